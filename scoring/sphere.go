package scoring

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// duochromeLimit is the acuity, in logMAR, beyond which red and green are not to
// be asked: 6/9, for which the chart has the row of 6/9.5. Their distance of
// about half a dioptre is then too small (an encyclopedia has it so; taught so).
const duochromeLimit = 0.20

// judgeSphere: at the end letters are read through the correction; red and
// green, +1.00 and more plus show that its sphere is the most plus with the best
// acuity (common practice).
func (t *trace) judgeSphere() judgement {
	if t.end == nil {
		return judgement{missed: "The sitting did not come to the sphere."}
	}
	if len(t.letters()) == 0 {
		f := t.sphereFinding("letters-missing", "No letters were read", 1,
			fmt.Sprintf("The %s eye was never asked to read.", t.setup.Tested), "Show the letters, and come down from the fog as long as letters are gained.")
		return judgement{findings: append(t.sphereResult(), f)}
	}
	j := judgement{findings: t.sphereResult()}
	for _, look := range []func() (string, []int, *Finding){t.lookAtLetters, t.lookAtMorePlus, t.lookAtColours, t.lookAtPlusOne} {
		what, events, f := look()
		if f != nil {
			j.findings = append(j.findings, *f)
			continue
		}
		if what != "" {
			j.good += ", " + what
			j.events = append(j.events, events...)
		}
	}
	j.good = "Looked at for the sphere: " + strings.TrimPrefix(j.good, ", ") + "."
	return j
}

// The looks at the end point give what was seen, where, or what is to be said of
// its absence.

func (t *trace) lookAtLetters() (string, []int, *Finding) {
	read := t.where(t.letters(), t.atEnd)
	if len(read) > 0 {
		return "letters", read, nil
	}
	f := t.sphereFinding("letters-missing", "No letters were read through the end point", 1.0/3,
		"The correction that was stated was never looked through at letters.",
		"Show the letters through the correction that you are going to state.")
	return "", nil, &f
}

// lookAtMorePlus: something about letters or colours is asked through a little
// more plus than was stated.
func (t *trace) lookAtMorePlus() (string, []int, *Finding) {
	asked := t.asked(patient.ReadLetters, patient.WhichColour, patient.WithLens, patient.OneOrTwo)
	more := t.where(asked, func(m *moment) bool {
		d, ok := t.beyondEnd(m)
		return ok && d > 0.125 && d <= 0.50+slack && (hasLetters(m.State.Chart) || m.State.Chart == sitting.Duochrome)
	})
	if len(more) > 0 {
		return "more plus", more, nil
	}
	f := t.sphereFinding("most-plus-not-shown", "Nothing shows that it is the most plus", 1.0/3,
		"Nothing was asked through a quarter or half a dioptre more plus than was stated, with the cylinder in.",
		"Come down from the fog a quarter at a time as long as letters are gained; or add a quarter, and see that letters are lost.")
	return "", nil, &f
}

// lookAtColours: not where the acuity forbids it.
func (t *trace) lookAtColours() (string, []int, *Finding) {
	colours := t.where(t.asked(patient.WhichColour), func(m *moment) bool { return m.sees })
	blurred := t.where(colours, t.inBlur)
	switch {
	case len(colours) == 0 && t.bestRead() > duochromeLimit:
		return "", nil, nil
	case len(colours) == 0:
		f := t.sphereFinding("duochrome-missing", "Red and green were not asked about", 1.0/6,
			"The duochrome was not used.", "With the acuity at 6/9 or better ask on which colour the rings are clearer.")
		return "", nil, &f
	case len(blurred) == len(colours):
		f := t.sphereFinding("duochrome-in-blur", "Red and green were asked about in a blur", 1.0/6,
			"The duochrome was used only while more than a dioptre of error was left.", "Ask about the colours when the acuity is 6/9 or better.")
		f.Events, f.Optics = blurred, "Red and green are focused about half a dioptre apart: where "+lines(t.moments[blurred[0]].residual)+", both are blurred much the same."
		return "", nil, &f
	}
	return "red and green", colours, nil
}

func (t *trace) lookAtPlusOne() (string, []int, *Finding) {
	through := t.where(t.asked(patient.ReadLetters, patient.WithLens), t.throughPlusOne)
	if len(through) > 0 {
		return "+1.00", through, nil
	}
	f := t.sphereFinding("plus-one-missing", "The +1.00 test was left out", 1.0/6,
		"No letters were read through +1.00 D more than was stated.", "Hold +1.00 up: the acuity must fall by lines (2 to 7; 4 is usual). If it hardly falls, there is too much minus.")
	return "", nil, &f
}

func (t *trace) sphereFinding(id, title string, loses float64, what, better string) Finding {
	return Finding{ID: id, Title: title, Events: []int{len(t.moments) - 1}, loses: loses, What: what, Better: better,
		Optics: "Through the end point, with accommodation relaxed, " + lines(t.leftOver()) + "."}
}

// letters are the questions to the tested eye to read.
func (t *trace) letters() []int {
	return t.where(t.asked(patient.ReadLetters), func(m *moment) bool { return m.sees })
}

// leftOver is the residual that the end point leaves at the cornea, for the room
// of the sitting.
func (t *trace) leftOver() optics.Power {
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

func (t *trace) throughPlusOne(m *moment) bool {
	d, ok := t.beyondEnd(m)
	return ok && math.Abs(d-1) <= 0.25+slack && hasLetters(m.State.Chart)
}

func hasLetters(c sitting.ChartName) bool { return c == sitting.Letters || c == sitting.Letter }

// inBlur tells whether more than a dioptre of error was left.
func (t *trace) inBlur(m *moment) bool { return DefocusEquivalent(m.residual) > 1+slack }

// bestRead is the best acuity read, logMAR.
func (t *trace) bestRead() float64 {
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
func (t *trace) sphereResult() []Finding {
	m := left(t.truth, t.found()).M
	last := t.moments[len(t.moments)-1]
	f := Finding{Events: []int{len(t.moments) - 1}, loses: 0.5, Optics: "Through the end point, with accommodation relaxed, " + lines(t.leftOver()) + "."}
	switch {
	case m > OverPlusLimit+grain && t.workingLens(last.frame):
		f.ID, f.Title, f.loses = "working-lens-left-in", "The lens for the working distance was left in", 1
		f.What = fmt.Sprintf("The spherical equivalent is %s D too plus, as much as the lens of a retinoscopy.", plainPower(m))
		f.Better = "Take the lens for the working distance out before the first question."
	case m > 0.25+slack && t.stillFogged():
		f.ID, f.Title = "fog-left-in", "The fog was left in"
		f.What = fmt.Sprintf("The sphere that was stated, %s, is still the one with which the dial and the blocks were fogged.", signed(t.found().Sphere))
		f.Better = "When the blocks are done, show letters and take the fog off a quarter at a time as long as letters are gained."
	case m > OverPlusLimit+grain:
		f.ID, f.Title = "too-much-plus", "Too much plus"
		f.What = fmt.Sprintf("The spherical equivalent is %s D too plus.", plainPower(m))
		f.Better = "Go on with less plus as long as letters are gained: the most plus is the one with the best acuity, not beyond it."
	case m < -OverMinusLimit-grain:
		f.ID, f.Title = "too-much-minus", "Too much minus"
		f.What = fmt.Sprintf("The spherical equivalent is %s D too minus.", plainPower(m))
		if amplitude := t.setup.Eyes[t.setup.Tested.Index()].Amplitude; amplitude > -m {
			f.Optics += fmt.Sprintf(" The eye has %.1f D of accommodation to make up for it, so that its acuity cannot show it.", amplitude)
		}
		f.Better = "Give no more minus for letters that are only smaller and blacker; fog, and come down again."
	default:
		return nil
	}
	return []Finding{f}
}

// stillFogged tells whether the sphere that was stated is that of the last
// question about a dial, the arrow or the blocks, or more.
func (t *trace) stillFogged() bool {
	work := slices.Concat(t.dials(), t.arrows(), t.blocks())
	if len(work) == 0 {
		return false
	}
	return t.found().Sphere >= t.moments[slices.Max(work)].marked.Sphere-slack
}

// workingLens tells whether the end point is too plus by about a lens for the
// working distance that stands in the frame beside the sphere, or that the
// objective result still had in it.
func (t *trace) workingLens(f optics.Frame) bool {
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
