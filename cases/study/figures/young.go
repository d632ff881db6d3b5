package figures

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// accommodation puts the fan before eyes with both focal lines behind the
// retina: young ones, which can bring either line onto it, and old ones.
func accommodation(eyes int) []Row {
	m := patient.Manners()["everyday"]
	young, fogged, old := make([]float64, eyes), make([]float64, eyes), make([]float64, eyes)
	each(eyes, func(b *bench, k int, r *rand.Rand) {
		axis := math.Ceil(180 * r.Float64())
		e := drawn(r, 4, youngAge)
		a := astigmat{b.corrected(e), axis}
		answer := func(residual optics.Power, amplitude float64) patient.Answer {
			return a.fan(m, residual, amplitude, uint64(k))
		}
		// 1.00 D of cylinder, its front line 0.75 D and its back line 1.75 D
		// behind the retina.
		behind := a.residual(1, -1.75)
		young[k] = share(right(answer(behind, 8), axis))
		fogged[k] = share(right(answer(a.residual(1, 0.5), 8), axis))
		old[k] = share(right(answer(behind, 0), axis+90))
	})
	minus, blurred, nothing := overMinus(eyes), overMinusOld(eyes), heavyFog(eyes)
	return []Row{
		within("share of fans right, young, both lines behind", stat.Mean(young, nil), 0, 0.70, "common practice"),
		within("share of fans right, young, fogged", stat.Mean(fogged, nil), 0.9, 1, "common practice"),
		within("share 90° wrong, old, both lines behind", stat.Mean(old, nil), 0.9, 1, "geometry: the front line is nearest"),
		within("lines lost from −0.25 to −0.75 D too much, young", minus.lines, -0.5, 0.5, "common practice: a young eye reads as well"),
		within("share same or smaller by the same, young", minus.share, 0.9, 1, "common practice: smaller and blacker"),
		within("share worse by the same, no amplitude", blurred, 0.9, 1, "common practice"),
		within("share nothing clearer, 0.50 D cylinder, 2 D of fog", nothing, 0.7, 1, "common practice: too much fog"),
	}
}

type tooMuch struct{ lines, share float64 }

// overMinus takes young eyes from a quarter of a dioptre too much minus to
// three.
func overMinus(eyes int) tooMuch {
	lines, said := make([]float64, eyes), make([]float64, eyes)
	each(eyes, func(b *bench, k int, r *rand.Rand) {
		c := b.corrected(drawn(r, 4, youngAge))
		before, now := c.settled(-0.25, 8), c.settled(-0.75, 8)
		lines[k] = 10 * (c.accommodating(-0.75, now.Focus).Acuity() - c.accommodating(-0.25, before.Focus).Acuity())
		kind := patient.Manners()["everyday"].Compare(patient.Moment{Key: sitting.Seeded(uint64(k)).Noise, Since: 60, Explained: true}, before, now).Kind
		said[k] = share(kind == patient.Same || kind == patient.Smaller)
	})
	return tooMuch{stat.Mean(lines, nil), stat.Mean(said, nil)}
}

// overMinusOld is the share of old eyes that call the same worse.
func overMinusOld(eyes int) float64 {
	said := make([]float64, eyes)
	each(eyes, func(b *bench, k int, r *rand.Rand) {
		c := b.corrected(drawn(r, 4, youngAge))
		m := patient.Manners()["everyday"]
		m.Lapse = 0
		kind := m.Compare(patient.Moment{Key: sitting.Seeded(uint64(k)).Noise, Since: 60}, c.settled(-0.25, 0), c.settled(-0.75, 0)).Kind
		said[k] = share(kind == patient.Worse)
	})
	return stat.Mean(said, nil)
}

// accommodating is the eye behind its correction and d dioptres more.
func (c corrected) accommodating(d, focus float64) *patient.Look {
	return patient.Through(c.Eye, optics.Sphere(d), focus, 0).Look(c.renderer)
}

// settled is a look at letters behind the correction and d dioptres more, once
// accommodation is where it is wanted.
func (c corrected) settled(d, amplitude float64) patient.Glance {
	f := patient.UsualFocusing()
	focus := f.Rest(c.focuser.Wanted(patient.Through(c.Eye, optics.Sphere(d), 0, 0), amplitude, f.Tonic)).Focus
	look := []*patient.Look{c.accommodating(d, focus)}
	return patient.Glance{Felt: patient.Response(patient.Ring(look, chart.Line{Width: 1.5, Bars: 1}, chart.White)), Focus: focus}
}

// heavyFog is the share of eyes with half a dioptre of cylinder whose back line
// stands 2 D in front of the retina that find no line clearer.
func heavyFog(eyes int) float64 {
	said := make([]float64, eyes)
	m := patient.Manners()["everyday"]
	each(eyes, func(b *bench, k int, r *rand.Rand) {
		a := astigmat{b.corrected(drawn(r, 4, youngAge)), 180}
		kind := a.fan(m, a.residual(0.5, 2), 8, uint64(k)).Kind
		said[k] = share(kind != patient.Lines)
	})
	return stat.Mean(said, nil)
}

// fan asks the fan of an eye that accommodates as it wants to.
func (a astigmat) fan(m patient.Manner, residual optics.Power, amplitude float64, seed uint64) patient.Answer {
	at := patient.Moment{Key: sitting.Seeded(seed).Noise, View: fmt.Sprint(residual), Since: 60, Explained: true}
	return m.Lines(at, a.gaze(at, residual, amplitude), fanLines())
}

// gaze is what an eye that has settled sees while it is asked.
func (c corrected) gaze(at patient.Moment, residual optics.Power, amplitude float64) (out patient.Gaze) {
	f := patient.UsualFocusing()
	wanted := c.focuser.Wanted(patient.Through(c.Eye, residual, 0, 0), amplitude, f.Tonic)
	foci, _ := f.Wander(at, wanted, f.Rest(wanted))
	for _, focus := range foci {
		out = append(out, []*patient.Look{patient.Through(c.Eye, residual, focus, 0).Look(c.renderer)})
	}
	return out
}

// right reports whether the middle of the lines named gives the axis within 20
// degrees.
func right(a patient.Answer, axis float64) bool {
	if a.Kind != patient.Lines {
		return false
	}
	m, ok := method.Middle(a.Lines)
	return ok && math.Abs(optics.AxisDifference(m, axis)) <= 20
}
