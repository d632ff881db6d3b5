// Package study shows what marks measure: it lets a battery of candidates whose
// skill is known sit the same cases, marks them, and puts the marks side by side.
// [All] are the marked sittings and [Summarise] what they come to.
package study

import (
	"errors"
	"math"
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
	Claims int     // in how many claims the card of the case is off
	Off    float64 // defocus equivalent that the end point leaves, dioptres
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
	claims := ClaimsOff(c)
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
			left := end.Rx.Power().Sub(c.Of(c.Tested).Error.Power())
			out = append(out, Sat{k, m, claims, scoring.DefocusEquivalent(left)})
		}
	}
	return out, nil
}

// The bands within which a claim of the card holds: the spherical equivalent and the
// cylinder in dioptres, the axis in degrees, as wide as leaves 0.25 D but not
// narrower or wider than this. The project's choice: the step of the lenses.
const (
	powerBand                 = 0.25
	narrowestAxis, widestAxis = 5, 15
	grain                     = 1e-9
)

// Claims are what the card of a case says: spherical equivalent, cylinder and axis.
const Claims = 3

// ClaimsOff is in how many claims the card of a case, its objective result, is off
// by more than a band.
func ClaimsOff(c *cases.Case) (n int) {
	e := c.Of(c.Tested)
	truth, card := e.Error.MinusCyl(), e.Objective.MinusCyl()
	if math.Abs(card.SE()-truth.SE()) > powerBand+grain {
		n++
	}
	if math.Abs(card.Cyl-truth.Cyl) > powerBand+grain {
		n++
	}
	if truth.Cyl != 0 && card.Cyl != 0 {
		band := min(max(scoring.AxisTolerance(truth.Cyl), narrowestAxis), widestAxis)
		if math.Abs(optics.AxisDifference(truth.Axis, card.Axis)) > band+grain {
			n++
		}
	}
	return n
}
