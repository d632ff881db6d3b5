package scoring

import (
	"math"
	"slices"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// sphereWork judges the end of the refraction, the sphere.
type sphereWork struct{ *trace }

// judgeSphere: at the end letters are read through the correction; red and
// green, +1.00 and more plus show that its sphere is the most plus with the best
// acuity (common practice).
func (t sphereWork) judgeSphere() judgement {
	if t.end == nil {
		return judgement{missed: fact.New("reason.sphere.not-reached")}
	}
	if len(t.letters()) == 0 {
		return judgement{findings: append(t.sphereResult(), t.sphereFinding("letters-missing", 1))}
	}
	j := judgement{findings: t.sphereResult()}
	var seen []fact.Fact
	for _, look := range []func() (string, []int, *Finding){t.lookAtLetters, t.lookAtMorePlus, t.lookAtColours, t.lookAtPlusOne} {
		at, events, f := look()
		switch {
		case f != nil:
			j.findings = append(j.findings, *f)
		case at != "":
			seen = append(seen, fact.New("look."+at))
			j.events = append(j.events, events...)
		}
	}
	j.good = fact.New("reason.sphere", "looks", seen)
	return j
}

// The looks at the end point give the ID of what was looked at, where, or what
// there is to tell of its absence.

func (t sphereWork) lookAtLetters() (string, []int, *Finding) {
	read := t.where(t.letters(), t.atEnd)
	if len(read) > 0 {
		return "letters", read, nil
	}
	f := t.sphereFinding("letters-missing", 1.0/3)
	f.Form = "through"
	return "", nil, &f
}

// lookAtMorePlus: something about letters or colours is asked through a little
// more plus than was stated.
func (t sphereWork) lookAtMorePlus() (string, []int, *Finding) {
	asked := t.asked(patient.ReadLetters, patient.WhichColour, patient.WithLens, patient.OneOrTwo)
	more := t.where(asked, func(m *moment) bool {
		d, ok := t.beyondEnd(m)
		return ok && d > 0.125 && d <= 0.50+slack && (m.State.Chart.Is(chart.LetterChart) || m.State.Chart.Is(chart.ColourChart))
	})
	if len(more) > 0 {
		return "more-plus", more, nil
	}
	f := t.sphereFinding("most-plus-not-shown", 1.0/3)
	return "", nil, &f
}

// lookAtColours: not where the acuity forbids it.
func (t sphereWork) lookAtColours() (string, []int, *Finding) {
	colours := t.where(t.asked(patient.WhichColour), func(m *moment) bool { return m.sees })
	blurred := t.where(colours, t.inBlur)
	switch {
	case len(colours) == 0 && t.bestRead() > method.DuochromeRow:
		return "", nil, nil
	case len(colours) == 0:
		f := t.sphereFinding("duochrome-missing", 1.0/6)
		f.Values["limit"] = fact.Row(method.DuochromeRow)
		return "", nil, &f
	case len(blurred) == len(colours):
		f := finding("duochrome-in-blur", 1.0/6, blurred, "lines", lines(t.moments[blurred[0]].residual), "limit", fact.Row(method.DuochromeRow))
		return "", nil, &f
	}
	return "colours", colours, nil
}

func (t sphereWork) lookAtPlusOne() (string, []int, *Finding) {
	through := t.where(t.asked(patient.ReadLetters, patient.WithLens), t.throughPlusOne)
	if len(through) > 0 {
		return "plus-one", through, nil
	}
	f := t.sphereFinding("plus-one-missing", 1.0/6)
	return "", nil, &f
}

// sphereFinding is a finding about the end point, with what stands behind it.
func (t sphereWork) sphereFinding(id string, loses float64) Finding {
	return finding(id, loses, []int{len(t.moments) - 1}, "tested", t.setup.Tested, "lines", lines(t.leftOver()))
}

// letters are the questions to the tested eye to read.
func (t *trace) letters() []int {
	return t.where(t.asked(patient.ReadLetters), func(m *moment) bool { return m.sees })
}

// leftOver is the residual that the end point leaves at the cornea, for the room
// of the sitting.
func (t sphereWork) leftOver() optics.Power {
	f := optics.NewFrame(t.setup.Room.Vertex)
	return optics.Required(t.found(), f.Vertex, t.setup.Room.Distance).Sub(t.needs)
}

// beyondEnd is how much more plus than the end point is looked through, in
// dioptres, when the cylinder is that of the end point; false otherwise.
func (t *trace) beyondEnd(m *moment) (float64, bool) {
	if !m.sees {
		return 0, false
	}
	d := left(t.found(), m.marked)
	return d.M + m.frame.Held.Rx().Power().M, d.Astigmatism() <= 0.125+slack
}

func (t *trace) atEnd(m *moment) bool {
	d, ok := t.beyondEnd(m)
	return ok && math.Abs(d) < 0.125
}

func (t sphereWork) throughPlusOne(m *moment) bool {
	d, ok := t.beyondEnd(m)
	return ok && math.Abs(d-method.BlurTest) <= 0.25+slack && m.State.Chart.Is(chart.LetterChart)
}

// inBlur reports whether more than a dioptre of error was left.
func (t sphereWork) inBlur(m *moment) bool { return DefocusEquivalent(m.residual) > 1+slack }

// bestRead is the best acuity read, logMAR.
func (t sphereWork) bestRead() float64 {
	best := math.Inf(1)
	for _, i := range t.letters() {
		if a := t.moments[i].Answer; a.Kind == patient.Read {
			best = min(best, a.LogMAR)
		}
	}
	return best
}

// Working distances of 67 and 50 cm are neutralised with these lenses, in
// dioptres; common practice.
var workingLenses = []float64{1.50, 2.00}

// sphereResult recognises what is wrong with the sphere that was stated.
func (t sphereWork) sphereResult() []Finding {
	m := left(t.truth, t.found()).M
	last := t.moments[len(t.moments)-1]
	var f Finding
	switch {
	case m > OverPlusLimit+grain && t.workingLens(last.frame):
		f = t.sphereFinding("working-lens-left-in", 1)
	case m > 0.25+slack && t.stillFogged():
		f = t.sphereFinding("fog-left-in", 0.5)
		f.Values["sphere"] = fact.Power(t.found().Sphere)
	case m > OverPlusLimit+grain:
		f = t.sphereFinding("too-much-plus", 0.5)
	case m < -OverMinusLimit-grain:
		f = t.sphereFinding("too-much-minus", 0.5)
		if amplitude := t.setup.Eyes[t.setup.Tested.Index()].Amplitude; amplitude > -m {
			f.Form, f.Values["amplitude"] = "hidden", fact.Number(math.Round(amplitude*10)/10)
		}
	default:
		return nil
	}
	f.Values["off"] = fact.Amount(m)
	return []Finding{f}
}

// stillFogged reports whether the sphere that was stated is that of the last
// question about a dial, the arrow or the blocks, or more.
func (t sphereWork) stillFogged() bool {
	work := slices.Concat(t.dials(), t.arrows(), t.blocks())
	if len(work) == 0 {
		return false
	}
	return t.found().Sphere >= t.moments[slices.Max(work)].marked.Sphere-slack
}

// workingLens reports whether the end point is too plus by about a lens for the
// working distance that stands in the frame beside the sphere, or that the
// objective result still had in it.
func (t sphereWork) workingLens(f optics.Frame) bool {
	off := left(t.truth, t.found()).M
	near := func(lens, d float64) bool { return math.Abs(d-lens) <= 0.375 }
	spheres := 0
	for _, l := range f.Lenses {
		if l.Kind == optics.SphereLens {
			spheres++
		}
	}
	for _, w := range workingLenses {
		inFrame := spheres > 1 && slices.Contains(f.Lenses[:], optics.SphereOf(w))
		inResult := near(w, t.objective.Sphere-t.truth.Sphere)
		if near(w, off) && (inFrame || inResult) {
			return true
		}
	}
	return false
}
