package talk

import (
	"fmt"
	"math"

	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// Panel is the talk above and what can be asked below it, which takes the
// height that it needs.
type Panel struct{ below float64 }

// Draw draws both; ask draws what is below. While something is waited for, the
// height stays as it was.
func (p *Panel) Draw(u *ui.UI, r paper.Rect, t View, waits bool, ask func(c *ui.Column)) {
	below := min(p.below, r.H*0.62)
	if below == 0 {
		below = r.H * 0.45
	}
	foot, top := r.CutBottom(below)
	x, y, w := u.Scroll("talk", top, true)
	c := u.Column(x+4, y+4, w-8)
	Said(c, t, len(t.Entries))
	u.EndScroll(c.Y + 8)
	u.Scene().Box(paper.Rect{X: r.X, Y: foot.Y, W: r.W, H: 1}, 0, u.Theme.Rule)
	x, y, w = u.Scroll("ask", paper.Rect{X: foot.X, Y: foot.Y + 4, W: foot.W, H: foot.H - 4}, false)
	c = u.Column(x+4, y+6, w-8)
	began := c.Y
	ask(c)
	u.EndScroll(c.Y + 4)
	if h := math.Ceil(c.Y - began + 18 - 0.01); h != p.below && !waits {
		p.below = h
		u.Unsettle()
	}
}

// Said draws the last entries of the talk, newest at the bottom.
func Said(c *ui.Column, t View, last int) {
	if len(t.Entries) == 0 {
		introduce(c, t)
		return
	}
	if last >= len(t.Entries) {
		introduce(c, t)
		c.Rule()
	}
	for _, e := range t.Entries[max(0, len(t.Entries)-last):] {
		e.draw(c)
		c.Gap(5)
	}
}

// draw draws what is told of an event; lines of a table stand in columns where
// there is room for them.
func (e Entry) draw(c *ui.Column) {
	for i := 0; i < len(e); i++ {
		var rows [][]string
		for _, l := range e[i:] {
			if len(l.Cells) < 2 {
				break
			}
			rows = append(rows, l.Cells)
		}
		if len(rows) > 0 && c.Table(rows, e[i].Style) {
			i += len(rows) - 1
			continue
		}
		c.Para(e[i].Text, e[i].Style)
	}
}

// introduce tells who sits there.
func introduce(c *ui.Column, t View) {
	for i, l := range t.Intro {
		if i > 0 {
			c.Gap(4)
		}
		c.Para(l.Text, l.Style)
	}
}

// Ask draws what can be asked of the chart in view.
func Ask(v voice.Voice, c *ui.Column, a Asking, out *wish.List) {
	if a.Advice != nil {
		Advise(c, *a.Advice, out)
		c.Rule()
	}
	if a.Waiting != "" {
		c.Para(a.Waiting, ui.Quiet)
		return
	}
	if len(a.Questions) == 0 {
		c.Para(v.Text("bench.talk.nochart"), ui.Quiet)
		c.Gap(6)
	}
	c.Flow(func(f *ui.Flow) {
		for i, q := range a.Questions {
			if f.Button("ask "+string(q.Question), q.Label, leading(i)) {
				out.Add(wish.Ask{Question: q.Question})
			}
		}
		if a.Rows && f.Button("ask row", v.Text("bench.ask.row"), ui.Plain) {
			out.Add(wish.Show{Sheet: wish.Rows})
		}
		if a.Lead && f.Button("lead", v.Text("bench.ask.lead"), ui.Plain) {
			out.Add(wish.Show{Sheet: wish.Leading})
		}
		if f.Button("explain", v.Text("bench.ask.explain"), ui.Plain) {
			out.Add(wish.Explain())
		}
	})
}

// Advise draws an advice with a button for each thing to do.
func Advise(c *ui.Column, a Advice, out *wish.List) {
	c.Para(a.Head, ui.Strong)
	c.Gap(2)
	c.Para(a.Text, ui.Body)
	c.Gap(6)
	c.Flow(func(f *ui.Flow) {
		for i, s := range a.Steps {
			if f.Button(fmt.Sprintf("guide %d", i), s.Label, leading(i)) {
				out.Add(s.Wish)
			}
		}
	})
}

// leading makes the first of several buttons the one that leads on.
func leading(i int) ui.Look {
	if i == 0 {
		return ui.Primary
	}
	return ui.Plain
}
