package study

import (
	"cmp"
	"context"
	"math"
	"slices"

	"conoid/cases"
	"conoid/cases/study"
	"conoid/cases/study/population"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Expected is what can be expected of a case: what the expert finds in it, and what
// that earns by the scheme of the case.
type Expected struct {
	*population.Repeats
	Par    scoring.Par // of the student's own work
	Points population.Estimate
	Good   int    // sittings of GoodFrom points and more
	Lost   []Lost // the commonest first
}

// GoodFrom is from how many points on a sitting shows good work. The project's choice.
const GoodFrom = 90

// Lost is a finding that took points off the expert's sittings.
type Lost struct {
	scoring.Finding
	Sittings int     // that it was found in
	Points   float64 // mean of all sittings
}

// How well the expert's bias has to be known: its standard errors, in dioptres, are to
// be within wantedError, a quarter of the smallest bias that anybody is warned of. So
// many sittings as that takes by the spread of the first ones, but no more than most.
// (Two stages, as in Stein 1945; from memory.)
const (
	FirstSittings = 20
	MostSittings  = 80
	wantedError   = 0.03
)

// Expect has the expert sit a case until ctx ends, with the help of a sitting of it,
// which stays as it is, and as an assignment has it; nil for the whole. Progress is told
// how many sittings are done, and of how many.
func Expect(ctx context.Context, c *cases.Case, s *sitting.Sitting, as *cases.Assignment, progress func(done, all int)) (*Expected, error) {
	par, err := scoring.ParWith(c, s, scoring.ParSeeds)
	if err != nil {
		return nil, err
	}
	x := &expecting{out: &Expected{Par: par}, lost: map[string]*Lost{}}
	series, all := population.NewSeries(s, as), FirstSittings
	for done := 1; done <= all; done++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		sat, err := series.Next()
		if err != nil {
			return nil, err
		}
		if err := x.add(c, sat); err != nil {
			return nil, err
		}
		if done == FirstSittings {
			all = needed(series.Sum())
		}
		progress(done, all)
	}
	return x.sum(series.Sum()), nil
}

// needed is how many sittings the first ones ask for.
func needed(first *population.Repeats) int {
	worst := max(first.Sphere.Error, first.Cylinder.Error) / wantedError
	return min(max(FirstSittings, int(math.Ceil(float64(first.Sittings)*worst*worst))), MostSittings)
}

// expecting gathers what sittings earned and lost.
type expecting struct {
	out    *Expected
	totals []float64
	own    []scoring.Par // what the single sittings left of the par
	lost   map[string]*Lost
}

func (x *expecting) add(c *cases.Case, s *sitting.Sitting) error {
	r, err := scoring.Review(c, s, x.out.Par)
	if err != nil {
		return err
	}
	own, err := x.out.Par.Left(s)
	if err != nil {
		return err
	}
	x.totals, x.own = append(x.totals, float64(r.Total)), append(x.own, own)
	if r.Total >= GoodFrom {
		x.out.Good++
	}
	for _, f := range r.Findings {
		if f.Cost == 0 {
			continue
		}
		if x.lost[f.ID] == nil {
			x.lost[f.ID] = &Lost{Finding: f}
		}
		l := x.lost[f.ID]
		l.Sittings++
		l.Points += float64(f.Cost)
	}
	return nil
}

func (x *expecting) sum(found *population.Repeats) *Expected {
	x.out.Repeats, x.out.Points = found, population.EstimateOf(x.totals)
	var steps, seconds []float64
	for _, p := range x.own {
		steps, seconds = append(steps, p.Steps), append(seconds, float64(p.Seconds))
	}
	x.out.Par.Steps, x.out.Par.Seconds = study.Median(steps), fact.Seconds(study.Median(seconds))
	for _, l := range x.lost {
		l.Points /= float64(len(x.totals))
		x.out.Lost = append(x.out.Lost, *l)
	}
	slices.SortFunc(x.out.Lost, func(a, b Lost) int {
		return cmp.Or(cmp.Compare(b.Sittings, a.Sittings), cmp.Compare(b.Points, a.Points), cmp.Compare(a.ID, b.ID))
	})
	return x.out
}
