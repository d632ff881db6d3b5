package home

import (
	"image/color"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/method"
)

// step is a value with a button on either side.
type step struct {
	id, value string
	by        func(n float64)
}

func (p *play) steps(v voice.Voice) []step {
	return []step{
		{"fog", v.Value(fact.Power(p.back)), func(n float64) { p.fog(n * method.SphereStep) }},
		{"cylinder", v.Value(fact.Amount(p.front - p.back)), func(n float64) { p.cylinder(n * method.CylinderStep) }},
		{"axis", v.Value(fact.Degrees(p.axis)), func(n float64) { p.axis = shape.Folded(p.axis + method.FineArrowStep*int(n)) }},
	}
}

// colour is that of what a step moves.
func (s step) colour(t ui.Theme) color.NRGBA {
	switch s.id {
	case "fog":
		return t.Amber
	case "axis":
		return t.Blue
	}
	return t.Ink
}

// stepRow is how the three steppers stand: how many beside one another, how high each
// is, and where its name is.
type stepRow struct {
	abreast int
	high    float64
	name    place
}

// place is where the name of a stepper stands.
type place uint8

const (
	over   place = iota // over the value, between the buttons
	above               // above the buttons, where it is too long for that
	before              // in a line with the value, where each has a row
)

// stepRow is how they stand in a width.
func (p *play) stepRow(u *ui.UI, v voice.Voice, w float64) stepRow {
	between := (w-16)/3 - 2*target
	lh, value := u.LineHeight(ui.Small), u.LineHeight(ui.Strong)
	if u.Width("+0.00", ui.Strong)+6 > between {
		return stepRow{1, max(46, value+8), before}
	}
	for _, s := range p.steps(v) {
		if u.Width(v.Text("bench.play."+s.id), ui.Small)+6 > between {
			return stepRow{3, max(target, value) + lh + 2, above}
		}
	}
	return stepRow{3, max(46, lh+value+6), over}
}

// height is how high all three are.
func (s stepRow) height() float64 { return float64(3/s.abreast)*(s.high+8) - 8 }

// steppers set fog, cylinder and axis.
func (p *play) steppers(u *ui.UI, v voice.Voice, c *ui.Column) {
	row := p.stepRow(u, v, c.W)
	wide := (c.W - 8*float64(row.abreast-1)) / float64(row.abreast)
	for i, s := range p.steps(v) {
		at := paper.Rect{X: c.X + float64(i%row.abreast)*(wide+8), Y: c.Y, W: wide, H: row.high}
		p.stepper(u, v.Text("bench.play."+s.id), at, s, row.name)
		if i%row.abreast == row.abreast-1 {
			c.Gap(row.high + 8)
		}
	}
	c.Gap(-8)
}

// stepper is a pill with a button at either end.
func (p *play) stepper(u *ui.UI, name string, r paper.Rect, s step, at place) {
	var label paper.Rect
	if at == above {
		label, r = r.CutTop(u.LineHeight(ui.Small) + 2)
	}
	u.Scene().Box(r, r.H/2, u.Theme.Sheet)
	u.Scene().Frame(r, r.H/2, 1, u.Theme.Edge)
	less, in := r.CutLeft(target)
	more, in := in.CutRight(target)
	if u.Sign(true, "play "+s.id+" less", less, "−", u.Names.Less(name), ui.Bare) {
		s.by(-1)
	}
	if u.Sign(true, "play "+s.id+" more", more, "+", u.Names.More(name), ui.Bare) {
		s.by(1)
	}
	switch at {
	case over:
		label, in = in.CutTop(in.H * 0.45)
	case before:
		label, in = in.CutLeft(in.W - u.Width("+0.00", ui.Strong) - 8)
	}
	u.Label(label, name, ui.Note, ui.Middle)
	ui.Tinted(u, in, s.value, ui.Strong, s.colour(u.Theme), ui.Middle)
	ui.Says(u, in, s.value)
}
