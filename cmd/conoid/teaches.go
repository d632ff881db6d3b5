package main

import (
	"math"

	"conoid/cases"
	"conoid/render"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// What a picture is said to teach follows from the picture: where its lines lie, what the
// patient said, how it compares with the error. In dioptres, degrees and logMAR; the
// project's choice.
const (
	nearRetina = render.Stigmatic / 2 // a line so near to the retina is told to lie on it
	together   = 0.375                // lines this near to each other have come together
	sameLine   = 15                   // lines named so far from another are that one
	acrossLine = 25                   // and so near to a right angle are the other one
	readsLess  = 0.05                 // of an acuity
)

// teaches is what the picture of a stage teaches.
func (p *printer) teaches(st stage) fact.Fact {
	e := p.c.Of(p.c.Tested)
	front, back := st.sight.Left.FocalLines()
	switch st.title.ID {
	case "sheet.start", "sheet.fog":
		return fact.New(st.title.ID + "." + lying(front.Power, back.Power))
	case "sheet.fan", "sheet.no-fog", "sheet.cylinder-in":
		return fact.New(st.title.ID + "." + named(st.answer, e.Error))
	case "sheet.arrow":
		return p.arrow(st, e.Error)
	case "sheet.cylinder":
		return fact.New("sheet.cylinder."+asked(st.answer), "left", fact.Amount(front.Power-back.Power))
	case "sheet.blocks":
		if front.Power-back.Power <= together {
			return fact.New("sheet.blocks.together")
		}
		return fact.New("sheet.blocks.apart", "left", fact.Amount(front.Power-back.Power))
	case "sheet.along":
		return fact.New("sheet.along."+asked(st.answer), "left", fact.Amount(front.Power-back.Power))
	}
	if st.reads > p.best+readsLess+1e-9 {
		return fact.New(st.title.ID+".less", "best", fact.Row(p.best))
	}
	return fact.New(st.title.ID + ".best")
}

// arrow is what the arrow teaches, which stands as it was found.
func (p *printer) arrow(st stage, truth optics.Rx) fact.Fact {
	off := math.Round(math.Abs(optics.AxisDifference(truth.Axis, st.axis)))
	switch {
	case truth.Cyl > -method.FaintestCylinder:
		return fact.New("sheet.arrow.none")
	case off == 0:
		return fact.New("sheet.arrow.on")
	case off > cases.AxisBand(truth.Cyl):
		return fact.New("sheet.arrow.far", "off", fact.Number(off))
	}
	return fact.New("sheet.arrow.off", "off", fact.Number(off))
}

// lying says how two focal lines lie to the retina.
func lying(front, back float64) string {
	switch {
	case back >= -nearRetina && front <= nearRetina:
		return "on"
	case back >= -nearRetina:
		return "before"
	case front <= nearRetina:
		return "behind"
	}
	return "astride"
}

// named says which lines of a dial were named: "right" for those that run as the back
// line of the error in fog does, "across" for those at right angles to them, "other", or
// "none" where no line stands out, though one could; "even" where none could.
func named(a *patient.Answer, truth optics.Rx) string {
	if a == nil || a.Kind != patient.Lines {
		if truth.MinusCyl().Cyl > -method.FaintestCylinder {
			return "even"
		}
		return "none"
	}
	line, ok := optics.MeanAxis(a.Lines...)
	_, back := truth.Power().Scale(-1).FocalLines()
	switch off := math.Abs(optics.AxisDifference(optics.PatientAngle(back.Angle), line)); {
	case !ok || truth.Cyl == 0:
		return "other"
	case off <= sameLine:
		return "right"
	case off >= 90-acrossLine:
		return "across"
	}
	return "other"
}

// asked is where an answer about the blocks sends the cylinder.
func asked(a *patient.Answer) string {
	if a == nil {
		return "unasked"
	}
	way, said := method.Strengthen(a.Kind)
	switch {
	case !said:
		return "unasked"
	case way == method.More:
		return "more"
	case way == method.Less:
		return "less"
	}
	return "alike"
}
