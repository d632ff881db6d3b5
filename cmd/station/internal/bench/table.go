package bench

import (
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// gap is the room between the parts of the bench.
const gap = 16

// dialog draws what lies in front of the screen.
type dialog func(a *App)

// drawBench draws the bench with a patient: the wall, the nose, the talk, and
// in practice the conoid at the foot.
func (a *App) drawBench() {
	u := a.ui
	a.keys()
	if a.seat == nil || a.screen != atBench { // a key ended it
		return
	}
	all := u.Window()
	if a.narrow() {
		a.drawNarrow(all)
		return
	}
	bar, rest := all.CutTop(u.RowHeight() + 16)
	a.drawBar(bar)
	if a.practice() && !a.set.NoConoid {
		var foot paper.Rect
		foot, rest = rest.CutBottom(footHeight * u.Text)
		a.drawConoid(foot.Inset(0))
	}
	rest = paper.Rect{X: gap, Y: rest.Y + 8, W: rest.W - 2*gap, H: rest.H - 16}
	wall := min(rest.H-a.toolsHeight(rest.W*0.34), rest.W*0.42)
	wall = max(wall, rest.W*0.28)
	side := rest.W - wall - 2*gap
	nose := max(side*0.52, 300*u.Text)
	left, rest := rest.CutLeft(wall)
	_, rest = rest.CutLeft(gap)
	middle, rest := rest.CutLeft(nose)
	_, right := rest.CutLeft(gap)
	if a.set.Left { // the talk on the left, the wall on the right
		x := gap + right.W + gap
		right.X = gap
		middle.X = x
		left.X = x + middle.W + gap
	}
	a.column("wall", left, func(c *ui.Column) { a.drawWall(c, wall) })
	a.column("nose", middle, func(c *ui.Column) { a.drawNose(c, middle.H) })
	a.drawTalk(right)
}

// narrow tells whether the three parts do not fit beside one another.
func (a *App) narrow() bool {
	w := a.ui.Window()
	return w.W/a.ui.Text < 940 || w.H/a.ui.Text < 520
}

// drawNarrow keeps the wall in view and stacks the rest.
func (a *App) drawNarrow(all paper.Rect) {
	u := a.ui
	bar, rest := all.CutTop(u.RowHeight() + 8)
	a.drawNarrowBar(bar)
	rest = paper.Rect{X: 8, Y: rest.Y + 4, W: rest.W - 16, H: rest.H - 8}
	var wall, stack paper.Rect
	if rest.W > rest.H {
		wall, stack = rest.CutLeft(min(rest.H, rest.W*0.42))
		wall.H = wall.W
		_, stack = stack.CutLeft(8)
		if a.set.Left {
			stack.X, wall.X = rest.X, rest.X+stack.W+8
		}
	} else {
		wall, stack = rest.CutTop(min(rest.W, rest.H*0.42))
		wall.X += (wall.W - wall.H) / 2
		wall.W = wall.H
		_, stack = stack.CutTop(8)
	}
	a.drawChart(wall)
	a.column("stack", stack, func(c *ui.Column) {
		a.tools(c)
		a.drawNotice(c)
		a.drawSaid(c, 3)
		a.drawAsk(c)
		c.Rule()
		a.wallTools(c)
		c.Rule()
		a.drawNose(c, 0)
		if a.practice() && !a.set.NoConoid {
			c.Rule()
			a.drawConoid(c.Block(footHeight * u.Text))
		}
		c.Rule()
		a.drawSaid(c, len(a.seat.talk))
	})
}

// column is a column that scrolls if it has to.
func (a *App) column(id string, r paper.Rect, body func(c *ui.Column)) {
	x, y, w := a.ui.Scroll(id, r, false)
	c := a.ui.Column(x+4, y+4, w-8)
	body(c)
	a.ui.EndScroll(c.Y + 8)
}

// drawBar is the line at the top.
func (a *App) drawBar(r paper.Rect) {
	u, t := a.ui, a.seat
	u.Scene().Box(r, 0, u.Theme.Sheet)
	u.Scene().Box(paper.Rect{X: r.X, Y: r.Bottom() - 1, W: r.W, H: 1}, 0, u.Theme.Rule)
	in := paper.Rect{X: gap, Y: r.Y + 8, W: r.W - 2*gap, H: u.RowHeight()}
	for _, b := range a.barButtons() {
		w, _ := u.ButtonSize(b.label, in.W)
		var place paper.Rect
		place, in = in.CutRight(w)
		_, in = in.CutRight(8)
		if u.Button(b.id, place, b.label, b.look) {
			b.do()
		}
	}
	text := t.c.Title
	facts := a.facts()
	fw := u.Width(facts, ui.Quiet)
	if u.Width(text, ui.Strong)+fw+24 <= in.W {
		u.Label(paper.Rect{X: in.X, Y: in.Y, W: in.W - fw - 12, H: in.H}, text, ui.Strong, ui.Start)
		u.Label(paper.Rect{X: in.Right() - fw, Y: in.Y, W: fw, H: in.H}, facts, ui.Quiet, ui.Finish)
		return
	}
	for _, f := range []string{facts, a.fewFacts()} {
		if fw := u.Width(f, ui.Quiet); fw <= in.W {
			u.Label(in, f, ui.Quiet, ui.Start)
			return
		}
	}
}

// practice tells whether the patient's view, the conoid and hints can be had.
func (a *App) practice() bool { return a.exam == nil }

// facts are whose eye it is, the clock and the steps.
func (a *App) facts() string {
	t := a.seat
	if x := a.exam; x != nil {
		if left, limited := x.now.Left(); limited && x.plan.Show.Clock {
			return a.l("exam.left", sentenceCase(a.eye(string(t.tested()))), minutes(left), t.s.Steps().Total())
		}
		return a.l("bar.few", minutes(x.now.Elapsed()), t.s.Steps().Total())
	}
	st := t.s.State()
	return a.l("bar.facts", sentenceCase(a.eye(string(t.tested()))), minutes(t.notes.Clock), t.s.Steps().Total(), simulated(st.Seconds))
}

func (a *App) fewFacts() string {
	if x := a.exam; x != nil {
		if left, limited := x.now.Left(); limited && x.plan.Show.Clock {
			return a.l("exam.few", minutes(left), a.seat.s.Steps().Total())
		}
	}
	return a.l("bar.few", minutes(a.seat.notes.Clock), a.seat.s.Steps().Total())
}

// eye is the name of an eye.
func (a *App) eye(side string) string { return a.l("eye." + side) }

// barButton is a button in the line at the top.
type barButton struct {
	id, label string
	look      ui.Look
	do        func()
}

// barButtons are from right to left.
func (a *App) barButtons() []barButton {
	if a.seat.replay != nil {
		return []barButton{{"menu", a.l("bar.menu"), ui.Plain, func() { a.dialog = menuDialog }}}
	}
	buttons := []barButton{
		{"menu", a.l("bar.menu"), ui.Plain, func() { a.dialog = menuDialog }},
		{"end", a.l("bar.end"), ui.Primary, a.openEnd},
		{"card", a.l("bar.card"), ui.Plain, func() { a.dialog = cardDialog }},
	}
	if a.practice() {
		buttons = append(buttons, barButton{"hint", a.l("bar.hint"), ui.Plain, a.hint})
	}
	return buttons
}

func (a *App) drawNarrowBar(r paper.Rect) {
	u := a.ui
	u.Scene().Box(r, 0, u.Theme.Sheet)
	in := paper.Rect{X: 8, Y: r.Y + 4, W: r.W - 16, H: u.RowHeight()}
	label := a.l("bar.menu")
	w, _ := u.ButtonSize(label, in.W)
	place, in := in.CutRight(w)
	if u.Button("menu", place, label, ui.Plain) {
		a.dialog = menuDialog
	}
	for _, f := range []string{a.facts(), a.fewFacts()} {
		if u.Width(f, ui.Quiet) <= in.W {
			u.Label(in, f, ui.Quiet, ui.Start)
			return
		}
	}
}

// tools are the buttons of the bar, where the bar has no room for them.
func (a *App) tools(c *ui.Column) {
	c.Flow(func(f *ui.Flow) {
		for _, b := range a.barButtons()[1:] {
			if f.Button(b.id, b.label, b.look) {
				b.do()
			}
		}
	})
}

// drawNotice shows what was refused.
func (a *App) drawNotice(c *ui.Column) {
	if a.notice == "" {
		return
	}
	c.Gap(4)
	h := a.ui.ParaHeight(a.notice, c.W-16, ui.Refusal)
	r := c.Block(h + 12)
	a.ui.Scene().Box(paper.Rect{X: r.X, Y: r.Y, W: 4, H: r.H}, 0, a.ui.Theme.Warn)
	a.ui.Para(r.X+12, r.Y+6, r.W-16, a.notice, ui.Refusal)
	c.Gap(8)
}

// keys are the short cuts of the bench.
func (a *App) keys() {
	if a.dialog != nil || a.later != nil || a.seat.replay != nil {
		return
	}
	for _, k := range shortcuts() {
		if !a.practice() && (k.key == 'h' || k.key == 'v') {
			continue
		}
		if a.ui.TakeText(k.key) {
			k.do(a)
			return
		}
	}
}

// shortcut is a key for what is done often.
type shortcut struct {
	key   rune
	label string // key of its label
	do    func(a *App)
}

// shortcuts are the keys, in the order in which they are explained.
func shortcuts() []shortcut {
	return []shortcut{
		{'+', "key.plus", func(a *App) { a.command("add +0.25") }},
		{'-', "key.minus", func(a *App) { a.command("add -0.25") }},
		{']', "key.morecyl", func(a *App) { a.cylinder("-0.25") }},
		{'[', "key.lesscyl", func(a *App) { a.cylinder("+0.25") }},
		{'a', "key.ask", (*App).askFirst},
		{'f', "key.fan", func(a *App) { a.command("show fan") }},
		{'r', "key.arrow", func(a *App) { a.command("show arrow") }},
		{'b', "key.blocks", func(a *App) { a.command("show blocks") }},
		{'l', "key.letters", func(a *App) { a.command("show letters") }},
		{'d', "key.duochrome", func(a *App) { a.command("show duochrome") }},
		{'o', "key.cover", (*App).toggleCover},
		{'v', "key.view", (*App).toggleCurtain},
		{'h', "key.hint", (*App).hint},
		{'c', "key.card", func(a *App) { a.dialog = cardDialog }},
		{'e', "key.end", (*App).openEnd},
		{'m', "key.menu", func(a *App) { a.dialog = menuDialog }},
	}
}

// toggleCover covers the other eye, or opens it.
func (a *App) toggleCover() {
	other := a.seat.tested().Other()
	if a.seat.s.State().Covered[other.Index()] {
		a.command("uncover " + string(other))
		return
	}
	a.command("cover " + string(other))
}
