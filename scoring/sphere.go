package scoring

import (
	"math"
	"slices"

	"conoid/cases"
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
func (t sphereWork) judgeSphere() (j judgement) {
	if t.end == nil {
		return j
	}
	if !t.borne(cases.SphereClaim) {
		j.findings = t.sphereResult()
		if len(t.letters()) == 0 {
			return judgement{findings: append(j.findings, t.sphereFinding("letters-missing"))}
		}
		for _, look := range []func() (Finding, bool){t.lookAtLetters, t.lookAtMorePlus} {
			if f, ok := look(); ok {
				j.findings = append(j.findings, f)
			}
		}
	}
	for _, look := range []func() (Finding, bool){t.lookAtColours, t.lookAtPlusOne} {
		if f, ok := look(); ok {
			j.findings = append(j.findings, f)
		}
	}
	return j
}

// The looks at the end point give what there is to tell of the absence of one, if it
// is absent.

func (t sphereWork) lookAtLetters() (f Finding, lacks bool) {
	f = t.sphereFinding("letters-missing")
	f.Form = "through"
	return f, len(t.where(t.letters(), t.atEnd)) == 0
}

// lookAtMorePlus: something about letters or colours is asked through a little
// more plus than was stated.
func (t sphereWork) lookAtMorePlus() (f Finding, lacks bool) {
	asked := t.asked(patient.ReadLetters, patient.WhichColour, patient.WithLens, patient.OneOrTwo)
	more := t.where(asked, func(m *moment) bool {
		d, ok := t.beyondEnd(m)
		return ok && d > 0.125 && d <= 0.50+slack && (m.State.Chart.Is(chart.LetterChart) || m.State.Chart.Is(chart.ColourChart))
	})
	return t.sphereFinding("most-plus-not-shown"), len(more) == 0
}

// lookAtColours: not where the acuity forbids it.
func (t sphereWork) lookAtColours() (f Finding, lacks bool) {
	colours := t.where(t.asked(patient.WhichColour), func(m *moment) bool { return m.sees })
	blurred := t.where(colours, t.inBlur)
	switch {
	case len(colours) == 0:
		f = t.sphereFinding("duochrome-missing")
		f.Values["limit"] = fact.Row(method.DuochromeRow)
		return f, t.bestRead() <= method.DuochromeRow
	case len(blurred) == len(colours):
		return finding("duochrome-in-blur", 0, blurred, "lines", lines(t.moments[blurred[0]].residual), "limit", fact.Row(method.DuochromeRow)), true
	}
	return Finding{}, false
}

func (t sphereWork) lookAtPlusOne() (f Finding, lacks bool) {
	through := t.where(t.asked(patient.ReadLetters, patient.WithLens), t.throughPlusOne)
	return t.sphereFinding("plus-one-missing"), len(through) == 0
}

// sphereFinding is a finding about the end point, with what stands behind it.
func (t sphereWork) sphereFinding(id string) Finding {
	return finding(id, 0, []int{len(t.moments) - 1}, "tested", t.setup.Tested, "lines", lines(t.leftOver()))
}

// letters are the questions to the tested eye to read.
func (t *trace) letters() []int {
	return t.where(t.asked(patient.ReadLetters), func(m *moment) bool { return m.sees })
}

// leftOver is the residual that the end point leaves at the cornea, for the room
// of the sitting.
func (t sphereWork) leftOver() optics.Power { return behind(t.trace, t.found()) }

// beyondEnd is how much more plus than the end point is looked through, in
// dioptres, when the cylinder is that of the end point; false otherwise.
func (t *trace) beyondEnd(m *moment) (float64, bool) {
	if !m.sees || m.frame.Held.Kind == optics.CylinderLens {
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

// sphereResult recognises what is wrong with the sphere that was stated, by what the
// answers say of it.
func (t sphereWork) sphereResult() []Finding {
	c := t.claim(cases.SphereClaim)
	off := left(t.truth, t.found()).M
	if c.Fit != nil {
		off = -*c.Fit
	}
	last := t.moments[len(t.moments)-1]
	var f Finding
	switch {
	case off > OverPlusLimit+grain && t.workingLens(last.frame, off):
		f = t.sphereFinding("working-lens-left-in")
	case c.Fit == nil && t.found().Sphere > t.objective.Sphere+grain && t.stillFogged():
		// Plus was added for the fog, and nothing about less was ever asked.
		f = t.sphereFinding("fog-left-in")
		f.Values["sphere"] = fact.Power(t.found().Sphere)
		return []Finding{f}
	case off > method.SphereStep && t.stillFogged():
		f = t.sphereFinding("fog-left-in")
		f.Values["sphere"] = fact.Power(t.found().Sphere)
	case off > method.SphereStep:
		f = t.sphereFinding("too-much-plus")
	case off >= -method.SphereStep:
		return nil
	default:
		f = t.sphereFinding("too-much-minus")
		if amplitude := t.setup.Eyes[t.setup.Tested.Index()].Amplitude; amplitude > -off {
			f.Form, f.Values["amplitude"] = "hidden", fact.Number(math.Round(amplitude*10)/10)
		}
	}
	f.Values["off"] = fact.Amount(math.Round(math.Abs(off)*4) / 4)
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
func (t sphereWork) workingLens(f optics.Frame, off float64) bool {
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
