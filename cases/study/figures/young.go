package figures

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// accommodation puts the fan before eyes with both focal lines behind the
// retina: young ones, which can bring either line onto it, and old ones.
func accommodation(eyes int) []Row {
	m := patient.Manners()["everyday"]
	old := make([]float64, eyes)
	each(eyes, func(b *bench, k int, r *rand.Rand) {
		a := astigmat{b.corrected(drawn(r, 4, youngAge)), math.Ceil(180 * r.Float64())}
		old[k] = share(right(a.fan(m, a.residual(1, -1.75), 0, uint64(k)), a.axis+90))
	})
	by := young(eyes, -4, -3, -2, -1.5, -1, -0.5, 0.25, 0.5)
	behind, less, fogged := slices.Concat(by[:5]...), by[5], slices.Concat(by[6:]...)
	minus, blurred, nothing := overMinus(eyes), overMinusOld(eyes), heavyFog(eyes)
	const (
		why    = "common practice: a young eye without fog names now these, now those; no study found"
		steady = "common practice: fog makes an end of it"
	)
	return []Row{
		within("right, 16 years, 1.00 D, back line 1 to 4 D behind", behind.share(func(s said) bool { return s.right }), 0.10, 0.50, why),
		within("90° wrong by the same", behind.share(func(s said) bool { return s.across }), 0.15, 0.60, why),
		within("“they keep changing” by the same", behind.share(func(s said) bool { return s.Kind == patient.Changing }), 0.20, 0.45, why),
		within("another answer of the same when asked again", behind.share(func(s said) bool { return s.other }), 0.50, 1, why),
		within("right, back line 0.50 D behind", less.share(func(s said) bool { return s.right }), 0.90, 1, steady),
		within("right, back line 0.25 and 0.50 D before the retina", fogged.share(func(s said) bool { return s.right }), 0.95, 1, steady),
		within("“they keep changing” by these", fogged.share(func(s said) bool { return s.Kind == patient.Changing }), 0, 0, steady),
		within("share 90° wrong, old, both lines behind", stat.Mean(old, nil), 0.9, 1, "geometry: the front line is nearest"),
		within("lines lost from −0.25 to −0.75 D too much, young", minus.lines, -0.5, 0.5, "common practice: a young eye reads as well"),
		within("share same or smaller by the same, young", minus.share, 0.9, 1, "common practice: smaller and blacker"),
		within("share worse by the same, no amplitude", blurred, 0.9, 1, "common practice"),
		within("share nothing clearer, 0.50 D cylinder, 2 D of fog", nothing, 0.7, 1, "common practice: too much fog"),
	}
}

// said is what the lines of the fan were said to be.
type said struct {
	patient.Answer
	right, across bool // the axis, or 90 degrees from it
	other         bool // something else was said when asked again
}

type told []said

func (t told) share(is func(said) bool) float64 {
	var n float64
	for _, s := range t {
		n += share(is(s))
	}
	return n / float64(len(t))
}

// young asks eyes of 16 years with 1.00 D of cylinder twice each, with the back
// line so many dioptres in front of the retina.
func young(eyes int, before ...float64) []told {
	const age = 16
	out := make([]told, len(before))
	for i := range out {
		out[i] = make(told, eyes)
	}
	m := patient.Manners()["everyday"]
	each(eyes, func(b *bench, k int, r *rand.Rand) {
		a := astigmat{b.corrected(drawn(r, 0, age)), math.Ceil(180 * r.Float64())}
		for i, back := range before {
			p := a.residual(1, back)
			at := patient.Moment{Key: sitting.Seeded(uint64(k)).Noise, View: fmt.Sprint(p), Since: 60, Explained: true}
			first := m.Lines(at, a.gaze(at, p, eye.Amplitude(age)), fanLines())
			at.Asked = 1
			again := m.Lines(at, a.gaze(at, p, eye.Amplitude(age)), fanLines())
			out[i][k] = said{first, right(first, a.axis), right(first, a.axis+90), first.Kind != again.Kind || !slices.Equal(first.Lines, again.Lines)}
		}
	})
	return out
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
	known := map[float64]*patient.Look{}
	for _, focus := range foci {
		if known[focus] == nil {
			known[focus] = patient.Through(c.Eye, residual, focus, 0).Look(c.renderer)
		}
		out = append(out, []*patient.Look{known[focus]})
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
