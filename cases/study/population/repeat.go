package population

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"conoid/cases"
	"conoid/cases/begun"
	"conoid/sim/expert"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Repeats sums up what the expert finds in many sittings with one person, who
// wavers differently each time. Differences are what was found less the truth.
type Repeats struct {
	Sittings int
	Mean     optics.Rx            // the mean of the power vectors
	Off      optics.Power         // the mean difference, dioptres
	Sphere   Estimate             // of the spherical equivalent's difference, dioptres
	Cylinder Estimate             // of the cylinder's, along the true axis; without a true cylinder of the one that is found, dioptres
	Turn     float64              // from the true axis to that of the mean, degrees; 0 without a cylinder
	LimitM   float64              // half width of the 95 % limits of the spherical equivalent, dioptres: 1.96 standard deviations
	LimitCyl float64              // the residual cylinder, dioptres, that 95 % of the sittings do not exceed
	Reversed int                  // in how many sittings the blocks asked for more of a cylinder that was too strong
	Doubts   map[expert.Doubt]int // in how many sittings the expert had each doubt
}

// Estimate is a mean, and its standard error: the standard deviation of single
// values over the root of their number.
type Estimate struct{ Mean, Error float64 }

// EstimateOf is the mean of two values or more.
func EstimateOf(v []float64) Estimate {
	mean, deviation := stat.MeanStdDev(v, nil)
	return Estimate{mean, stat.StdErr(deviation, float64(len(v)))}
}

// Series is sittings of the expert with one person, one after the other, with the
// seeds 0, 1 and so on.
type Series struct {
	last  *sitting.Sitting
	as    *cases.Assignment // as which they are sat; nil for the whole
	truth optics.Rx
	done  []once
}

type once struct {
	found    optics.Power
	reversed bool
	doubts   []expert.Doubt
}

// NewSeries is a series with the person of a sitting, which stays as it is; it is sat as
// an assignment has it, or whole for nil.
func NewSeries(s *sitting.Sitting, as *cases.Assignment) *Series {
	return &Series{last: s, as: as, truth: s.Truth(s.Setup().Tested).Error.MinusCyl()}
}

// Next has the expert examine the person once more.
func (r *Series) Next() (*sitting.Sitting, error) {
	r.last = r.last.Again(sitting.Seeded(uint64(len(r.done))))
	found, err := begun.Examine(r.last, r.as)
	if err != nil {
		return nil, err
	}
	slices.Sort(found.Doubts)
	r.done = append(r.done, once{found.Rx.Power(), reversed(r.last.Events(), r.truth), slices.Compact(found.Doubts)})
	return r.last, nil
}

// Repeat has the expert examine the person of a sitting so many times, 2 or
// more, or until ctx ends. The sitting itself stays as it is; progress is told how many
// are done. It is sat as an assignment has it, or whole for nil.
func Repeat(ctx context.Context, s *sitting.Sitting, as *cases.Assignment, sittings int, progress func(done int)) (*Repeats, error) {
	r := NewSeries(s, as)
	for i := range sittings {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if _, err := r.Next(); err != nil {
			return nil, err
		}
		progress(i + 1)
	}
	return r.Sum(), nil
}

// Sum is what two sittings or more come to.
func (r *Series) Sum() *Repeats {
	out := &Repeats{Sittings: len(r.done), Doubts: map[expert.Doubt]int{}}
	var offs []optics.Power
	var ms, cyls []float64
	var sum optics.Power
	for _, o := range r.done {
		off := o.found.Sub(r.truth.Power())
		sum, offs = sum.Add(o.found), append(offs, off)
		ms, cyls = append(ms, off.M), append(cyls, 2*off.Astigmatism())
		if o.reversed {
			out.Reversed++
		}
		for _, d := range o.doubts {
			out.Doubts[d]++
		}
	}
	mean := sum.Scale(1 / float64(len(r.done)))
	slices.Sort(cyls)
	out.Mean, out.Off = mean.Rx(), mean.Sub(r.truth.Power())
	out.Sphere, out.Cylinder = EstimateOf(ms), alongAxis(offs, r.axisOf(out.Mean))
	if r.truth.Cyl != 0 && out.Mean.Cyl != 0 {
		out.Turn = optics.AxisDifference(r.truth.Axis, out.Mean.Axis)
	}
	out.LimitM = 1.96 * stat.StdDev(ms, nil)
	out.LimitCyl = stat.Quantile(0.95, stat.Empirical, cyls, nil)
	return out
}

// axisOf is the axis along which a cylinder is too strong or too weak: the true one,
// or without one that of the mean that was found.
func (r *Series) axisOf(mean optics.Rx) float64 {
	if r.truth.Cyl != 0 {
		return r.truth.Axis
	}
	return mean.Axis
}

// alongAxis is the mean of differences as cylinders along an axis: below zero they
// are too strong a minus cylinder.
func alongAxis(offs []optics.Power, axis float64) Estimate {
	var cyls []float64
	sin, cos := math.Sincos(2 * axis * math.Pi / 180)
	for _, off := range offs {
		cyls = append(cyls, -2*(off.J0*cos+off.J45*sin))
	}
	return EstimateOf(cyls)
}

// tooStrong is by how much a cylinder has to be stronger than the true one, in
// dioptres, for an answer that asks for more of it to be the wrong way round: a step
// beyond the nearest one. The project's choice.
const tooStrong = 0.50

// reversed reports whether the blocks asked for more of a cylinder that was too strong
// already.
func reversed(events []sitting.Event, truth optics.Rx) bool {
	cyl := 0.0
	for _, e := range events {
		switch a := e.Action; {
		case a.Cell == sitting.In(optics.Front1):
			cyl = a.Lens.Power // of none, 0
		case a.Question == patient.WhichBlock && e.Answer != nil:
			if way, _ := method.Strengthen(e.Answer.Kind); way == method.More && cyl <= truth.Cyl-tooStrong {
				return true
			}
		}
	}
	return false
}
