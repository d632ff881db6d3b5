package chairside

import (
	"conoid/cmd/station/internal/bench/conoid"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// View is all that is to be drawn of a chair: the bar at the top, the wall, the
// nose, the talk, and in practice the conoid at the foot.
type View struct {
	Bar    Bar
	Wall   wall.View
	Nose   nose.View
	Talk   talk.View
	Notice string
	Conoid *conoid.View // nil: it is not to be seen
	Left   bool         // the talk stands on the left
	Waits  bool         // for an answer, or for anything that takes long
	Narrow bool
}

// Layout places the parts of a chair.
type Layout struct {
	panel talk.Panel
}

// frame is what the parts are drawn with.
type frame struct {
	u   *ui.UI
	v   voice.Voice
	d   *desk.Desk
	w   View
	ask func(c *ui.Column) // draws what is below the talk
	out *wish.List
}

// Draw draws a chair; ask draws what is below the talk.
func (l *Layout) Draw(d *desk.Desk, w View, ask func(c *ui.Column), out *wish.List) {
	f := frame{d.UI, d.Voice(), d, w, ask, out}
	if w.Narrow {
		f.narrow()
		return
	}
	l.wide(f)
}

// wide draws the parts beside one another.
func (l *Layout) wide(f frame) {
	u, w := f.u, f.w
	bar, rest := u.Window().CutTop(u.RowHeight() + 16)
	w.Bar.draw(u, bar, f.out)
	if w.Conoid != nil {
		var foot paper.Rect
		foot, rest = rest.CutBottom(conoid.Height * u.Text)
		conoid.Draw(u, f.v, foot.Inset(0), *w.Conoid)
	}
	rest = paper.Rect{X: desk.Gap, Y: rest.Y + 8, W: rest.W - 2*desk.Gap, H: rest.H - 16}
	side := min(rest.H-wall.ToolsHeight(u, f.v, rest.W*0.34), rest.W*0.42)
	side = max(side, rest.W*0.28)
	middle := max((rest.W-side-2*desk.Gap)*0.52, 300*u.Text)
	onWall, rest := rest.CutLeft(side)
	_, rest = rest.CutLeft(desk.Gap)
	onNose, rest := rest.CutLeft(middle)
	_, said := rest.CutLeft(desk.Gap)
	if w.Left { // the talk on the left, the wall on the right
		x := desk.Gap + said.W + desk.Gap
		said.X = desk.Gap
		onNose.X = x
		onWall.X = x + onNose.W + desk.Gap
	}
	f.d.Column("wall", onWall, func(c *ui.Column) { wall.Draw(u, f.v, c, w.Wall, side, f.out) })
	f.d.Column("nose", onNose, func(c *ui.Column) { nose.Draw(u, f.v, c, w.Nose, onNose.H, f.out) })
	l.panel.Draw(u, said, w.Talk, w.Waits, func(c *ui.Column) {
		desk.ShowNotice(u, c, w.Notice)
		f.ask(c)
	})
}

// lastSaid is how much of the talk stands above the rest where there is little
// room.
const lastSaid = 3

// narrow keeps the wall in view and stacks the rest.
func (f frame) narrow() {
	u, w := f.u, f.w
	bar, rest := u.Window().CutTop(u.RowHeight() + 8)
	w.Bar.drawNarrow(u, bar, f.out)
	rest = paper.Rect{X: 8, Y: rest.Y + 4, W: rest.W - 16, H: rest.H - 8}
	var onWall, stack paper.Rect
	if rest.W > rest.H {
		onWall, stack = rest.CutLeft(min(rest.H, rest.W*0.42))
		onWall.H = onWall.W
		_, stack = stack.CutLeft(8)
		if w.Left {
			stack.X, onWall.X = rest.X, rest.X+stack.W+8
		}
	} else {
		onWall, stack = rest.CutTop(min(rest.W, rest.H*0.42))
		onWall.X += (onWall.W - onWall.H) / 2
		onWall.W = onWall.H
		_, stack = stack.CutTop(8)
	}
	wall.Chart(u, f.v, onWall, w.Wall, f.out)
	f.d.Column("stack", stack, func(c *ui.Column) { f.stack(c, onWall.W) })
}

// stack is everything but the wall, below one another.
func (f frame) stack(c *ui.Column, side float64) {
	u, w := f.u, f.w
	w.Bar.tools(c, f.out)
	desk.ShowNotice(u, c, w.Notice)
	talk.Said(c, w.Talk, lastSaid)
	f.ask(c)
	c.Rule()
	wall.Tools(u, f.v, c, w.Wall, side, f.out)
	c.Rule()
	nose.Draw(u, f.v, c, w.Nose, 0, f.out)
	if w.Conoid != nil {
		c.Rule()
		conoid.Draw(u, f.v, c.Block(conoid.Height*u.Text), *w.Conoid)
	}
	c.Rule()
	talk.Said(c, w.Talk, len(w.Talk.Entries))
}
