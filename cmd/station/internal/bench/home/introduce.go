package home

import (
	"math"
	"strconv"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// introduction introduces a case, and begins it.
type introduction struct {
	c      *cases.Case
	sealed string     // the case as it came, if it came sealed
	left   *seat.Left // nil: no sitting with them was left

	fixed bool                            // how much help there is, is not the student's choice
	begin func(help chair.Help) desk.Next // for an assignment; nil: the sitting is the student's own
}

// Introduce introduces a case.
func Introduce(c *cases.Case) desk.Overlay { return introduction{c: c} }

// IntroduceFor introduces a case of an assignment; begin begins it. Fixed is whether the
// assignment says how much help there is.
func IntroduceFor(c *cases.Case, fixed bool, begin func(help chair.Help) desk.Next) desk.Overlay {
	return introduction{c: c, fixed: fixed, begin: begin}
}

// Draw implements desk.Overlay.
func (i introduction) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	closed := d.UI.Dialog("case", i.c.Texts(v.Language).Title, v.Text("bench.close"), 780, func(c *ui.Column) {
		i.about(d, v, c)
		if i.begin != nil {
			next = i.beginning(d, v, c)
			return
		}
		sit := func(how seat.How) {
			how.Sealed = i.sealed
			next = desk.Sit{Case: i.c, How: how}
		}
		if i.left != nil {
			c.Flow(func(f *ui.Flow) {
				if f.Button("go on", v.Text("bench.home.left.press"), ui.Primary) {
					next = GoOn(d, *i.left)
				}
			})
			c.Gap(6)
		}
		if help, chosen := helps(d, c, i.left == nil); chosen {
			sit(seat.How{Help: help})
		}
		c.Rule()
		if i.sealed != "" { // a drill puts in what is to be found
			c.Para(v.Text("bench.sealed.sight"), ui.Note)
		} else if drill, chosen := drills(d.UI, v, c); chosen {
			sit(seat.How{Drill: drill})
		}
		c.Rule()
		predict(d, v, c)
	})
	if closed {
		return desk.Close{}
	}
	return next
}

// beginning is how a case of an assignment can be begun.
func (i introduction) beginning(d *desk.Desk, v voice.Voice, c *ui.Column) (next desk.Next) {
	next = desk.Stay{}
	if !i.fixed {
		if help, chosen := helps(d, c, true); chosen {
			next = i.begin(help)
		}
		return next
	}
	c.Flow(func(f *ui.Flow) {
		w, h := d.UI.ButtonSize(v.Text("bench.lesson.examine"), c.W)
		if d.UI.Button("examine", f.Next(w, max(h, target)), v.Text("bench.lesson.examine"), ui.Primary) {
			next = i.begin(chair.Alone)
		}
	})
	return next
}

// predict is the choice to say first what will be answered.
func predict(d *desk.Desk, v voice.Voice, c *ui.Column) {
	yes := desk.Choose(c, "predict", v.Text("bench.drill.predict"), []string{v.Text("bench.no"), v.Text("bench.yes")}, d.Settings.Now().Predict)
	d.Change(func(s *settings.Settings) { s.Predict = yes })
}

// about tells who it is, beside their portrait, and what was reached before.
func (i introduction) about(d *desk.Desk, v voice.Voice, c *ui.Column) {
	u, size := d.UI, 104.0
	if c.W < 420*u.Text {
		size = 76
	}
	face.Draw(u, paper.Rect{X: c.X, Y: c.Y, W: size, H: size}, personOf(i.c), face.Opts{})
	words := u.Column(c.X+size+18, c.Y, c.W-size-18)
	if story := i.c.Texts(v.Language).Story; story != "" {
		words.Para(story, ui.Body)
		words.Gap(6)
	}
	words.Para(v.Text("bench.case.who", "level", v.Text("bench.level."+strconv.Itoa(i.c.Level)), "age", int(i.c.Age+0.5),
		"eye", v.Text("eye."+string(i.c.Tested))), ui.Note)
	if best, ok := d.History.Best(i.c.ID); ok {
		words.Para(v.Text("bench.case.best", "left", fact.Amount(best.Left), "steps", best.Steps, "clock", best.Clock), ui.Note)
	}
	c.Y = max(c.Y+size, words.Y) + 8
}

// drills are parts of the method that can be practised: knots on its thread, beside one
// another or, where their names have no room for that, below. It gives the one pressed.
func drills(u *ui.UI, v voice.Voice, c *ui.Column) (chosen chair.Drill, pressed bool) {
	c.Para(v.Text("bench.drill.title"), ui.Strong)
	c.Para(v.Text("bench.drill.about"), ui.Note)
	c.Gap(4)
	all := cases.Stages()
	wide := (c.W + drillGap) / float64(len(all))
	for _, d := range all {
		if u.Width(v.Text("bench.drill."+string(d)), ui.Small) > wide-drillGap {
			return thread(u, v, c, all)
		}
	}
	high := math.Ceil(max(2*knotAt+u.LineHeight(ui.Small)+8, 44))
	r := c.Block(high)
	sc := u.Scene()
	y := r.Y + knotAt
	middle := (wide - drillGap) / 2
	sc.Line(r.X+middle, y, r.Right()-middle, y, 2, u.Theme.Edge)
	for i, d := range all {
		at := paper.Rect{X: r.X + float64(i)*wide, Y: r.Y, W: wide - drillGap, H: high}
		if knot(u, v, d, at, paper.Point{X: at.Centre().X, Y: y}) {
			chosen, pressed = d, true
		}
		u.Words(paper.Rect{X: at.X, Y: y + knotAt, W: at.W, H: u.LineHeight(ui.Small)}, v.Text("bench.drill."+string(d)), ui.Small, ui.Middle)
	}
	return chosen, pressed
}

// thread has the drills below one another.
func thread(u *ui.UI, v voice.Voice, c *ui.Column, all []chair.Drill) (chosen chair.Drill, pressed bool) {
	high := math.Ceil(max(44, 44*u.Text))
	x := c.X + knotAt
	u.Scene().Line(x, c.Y+high/2, x, c.Y+high*(float64(len(all))-0.5), 2, u.Theme.Edge)
	for _, d := range all {
		at := c.Block(high)
		if knot(u, v, d, at, paper.Point{X: x, Y: at.Centre().Y}) {
			chosen, pressed = d, true
		}
		name := v.Text("bench.drill." + string(d))
		words := paper.Rect{X: at.X + 2*knotAt + 8, W: at.W - 2*knotAt - 8}
		words.H = u.ParaHeight(name, words.W, ui.Body)
		words.Y = at.Y + (high-words.H)/2
		ui.Lines(u, words, name, ui.Body, ui.Start)
	}
	return chosen, pressed
}

// The knots of the drills, logical pixels.
const (
	drillGap = 8.0
	knotAt   = 16.0 // of the middle of a knot below the top of what is pressed
)

// knot is a drill that can be pressed; its name is written by the caller.
func knot(u *ui.UI, v voice.Voice, d chair.Drill, r paper.Rect, c paper.Point) bool {
	id := "drill " + string(d)
	over, pressed := ui.Part(u, id, r, v.Text("bench.drill."+string(d)), true, false)
	fill := u.Theme.Sheet
	if over {
		fill = u.Theme.Act
	}
	shape.Disc(u.Scene(), c, 9, u.Theme.Act)
	shape.Disc(u.Scene(), c, 6.5, fill)
	u.Ring(id, r.Inset(2))
	return pressed
}
