// Package study shows what marks measure: it lets a battery of candidates whose
// skill is known sit the same cases, marks them, and puts the marks side by side.
// [All] are the marked sittings and [Summarise] what they come to.
package study

import (
	"errors"
	"runtime"
	"sync"
	"sync/atomic"

	"conoid/cases"
	"conoid/scoring"
	"conoid/scoring/candidate"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Sat is one sitting of a candidate, marked.
type Sat struct {
	Candidate candidate.Candidate
	Marked
	Case   *cases.Case
	Seed   uint64    // of the sitting
	Claims int       // in how many claims the card of the case is off
	Eye    optics.Rx // what it needs, with a minus cylinder
	Off    float64   // defocus equivalent that the end point leaves, dioptres
}

// All has every candidate sit every case with so many seeds, on all cores, and
// marks them. Progress is told how many cases are done, from any goroutine. The
// result does not depend on the number of cores.
func All(cs []*cases.Case, ks []candidate.Candidate, seeds int, progress func(done int)) ([]Sat, error) {
	out, errs := make([][]Sat, len(cs)), make([]error, len(cs))
	var next, done atomic.Int64
	var wg sync.WaitGroup
	for range min(len(cs), runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= len(cs) {
					return
				}
				// The par has the first seeds, and no two cases have the same luck.
				out[i], errs[i] = sit(cs[i], ks, uint64(scoring.ParSeeds+1+i*seeds), seeds)
				progress(int(done.Add(1)))
			}
		})
	}
	wg.Wait()
	var all []Sat
	for _, sats := range out {
		all = append(all, sats...)
	}
	return all, errors.Join(errs...)
}

// sit has all candidates sit one case, with so many seeds from the first on.
func sit(c *cases.Case, ks []candidate.Candidate, first uint64, seeds int) ([]Sat, error) {
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	par, err := scoring.ParWith(c, s, scoring.ParSeeds)
	if err != nil {
		return nil, err
	}
	var out []Sat
	claims := len(c.CardMisses())
	for _, k := range ks {
		for seed := range uint64(seeds) {
			done, err := candidate.RunWith(s, c, k, first+seed)
			if err != nil {
				return nil, err
			}
			m, err := mark(c, done, par)
			if err != nil {
				return nil, err
			}
			end, _ := done.EndPoint(c.Tested)
			truth := c.Of(c.Tested).Error.MinusCyl()
			left := end.Rx.Power().Sub(truth.Power())
			out = append(out, Sat{k, m, c, first + seed, claims, truth, scoring.DefocusEquivalent(left)})
		}
	}
	return out, nil
}
