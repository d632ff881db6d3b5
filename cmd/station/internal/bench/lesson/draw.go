package lesson

import (
	"strconv"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/handed"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// target is the least height of what is pressed.
const target = 44

// Draw implements desk.Screen.
func (s *Screen) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	said := s.h.In(v.Language)
	d.Column("lesson", d.Pinned(), func(c *ui.Column) {
		c.Para(v.Text("bench.lesson.title"), ui.Note)
		c.Para(said.Title, ui.Title)
		if said.Aims != "" {
			c.Para(said.Aims, ui.Body)
			c.Gap(4)
		}
		c.Para(s.rules(v), ui.Note)
		c.Rule()
		d.ShowNotice(c)
		if d.Work.Busy() {
			c.Para(v.Text("bench.home.waiting"), ui.Quiet)
		}
		if s.asks {
			s.ask(d, v, c)
		} else {
			next = s.work(d, v, c)
		}
		c.Gap(6)
		if n := s.beside(d, v, c); n != (desk.Stay{}) {
			next = n
		}
		c.Flow(func(f *ui.Flow) {
			if key(f, d.UI, "home", v.Text("bench.lesson.home"), ui.Plain) {
				next = desk.Later{Work: func() desk.Next { return desk.Home{} }}
			}
		})
		c.Rule()
		c.Para(v.Text("caution"), ui.Caution)
	})
	return next
}

// key is a button in a row.
func key(f *ui.Flow, u *ui.UI, id, label string, look ui.Look) bool {
	w, h := u.ButtonSize(label, u.Window().W-64)
	return u.Button(id, f.Next(w, max(h, target)), label, look)
}

// rules are what the assignment asks, in one paragraph.
func (s *Screen) rules(v voice.Voice) string {
	h := s.h
	var out []string
	add := func(is bool, id string, pairs ...any) {
		if is {
			out = append(out, v.Text(id, pairs...))
		}
	}
	help, fixed := chair.HelpOf(h.Help)
	add(!h.Opens.IsZero(), "bench.lesson.opens", "at", h.Opens.Told())
	add(!h.Closes.IsZero(), "bench.lesson.closes", "at", h.Closes.Told())
	add(h.Attempts > 0, "bench.lesson.attempts", "n", fact.Count(h.Attempts))
	add(h.Limit > 0, "bench.lesson.limit", "clock", h.Limit)
	add(h.Begin != "", "bench.lesson.begin", "stage", v.Text("bench.drill."+string(h.Begin)))
	add(fixed, "bench.lesson.help", "help", v.Value(help))
	add(h.Shows == cases.ShowsMarks, "bench.lesson.marks")
	add(h.Shows == cases.ShowsNothing, "bench.lesson.nothing")
	if len(out) == 0 {
		return v.Text("bench.lesson.free")
	}
	text := ""
	for _, o := range out {
		text += o + " "
	}
	return text[:len(text)-1]
}

// ask asks for the number that the student has in the class.
func (s *Screen) ask(d *desk.Desk, v voice.Voice, c *ui.Column) {
	c.Para(v.Text("bench.lesson.who.about"), ui.Body)
	c.Gap(8)
	c.Para(v.Text("bench.lesson.who"), ui.Strong)
	c.Gap(2)
	u := d.UI
	_, entered := u.Field("who", paper.Rect{X: c.X, Y: c.Y, W: min(c.W, 320*u.Text), H: u.RowHeight()}, v.Text("bench.lesson.who"), &s.who)
	c.Gap(u.RowHeight() + 10)
	c.Flow(func(f *ui.Flow) {
		if key(f, u, "take number", v.Text("bench.lesson.who.press"), ui.Primary) || entered {
			s.take(d)
		}
	})
}

// take takes the number that was typed.
func (s *Screen) take(d *desk.Desk) {
	who := handed.Who(s.who)
	if err := handed.CheckWho(who); err != nil {
		d.Notice.Refuse(err)
		return
	}
	d.Notice.Clear()
	set := d.Settings.Now()
	set.Who = who
	if err := d.Settings.Change(set); err != nil {
		d.Notice.Refuse(err)
		return
	}
	s.who, s.asks = who, false
	d.UI.Again()
}

// work is the patients, and what is handed in.
func (s *Screen) work(d *desk.Desk, v voice.Voice, c *ui.Column) (next desk.Next) {
	next = desk.Stay{}
	window := s.h.At(d.Now())
	switch window {
	case cases.Before:
		c.Para(v.Text("bench.lesson.before", "at", s.h.Opens.Told()), ui.Strong)
	case cases.After:
		c.Para(v.Text("bench.lesson.after", "at", s.h.Closes.Told()), ui.Strong)
	}
	lead := s.next()
	for i := range s.places {
		p := &s.places[i]
		if n := s.row(d, v, c, p, window != cases.Before, p == lead); n != (desk.Stay{}) {
			next = n
		}
		c.Gap(6)
	}
	c.Rule()
	c.Flow(func(f *ui.Flow) {
		f.Text(v.Text("bench.lesson.number", "who", d.Settings.Now().Who), ui.Body)
		if key(f, d.UI, "other number", v.Text("bench.lesson.who.change"), ui.Ghost) {
			s.asks = true
			d.UI.Again()
		}
	})
	places, sittings := s.done()
	c.Para(v.Text("bench.lesson.handin.about", "done", fact.Count(places), "all", fact.Count(len(s.places))), ui.Note)
	switch {
	case s.file != "":
		c.Para(v.Text("bench.lesson.saved", "file", s.file), ui.Strong)
	case !s.saved.IsZero():
		c.Para(v.Text("bench.lesson.saved.at", "at", fact.Moment{Time: s.saved}), ui.Note)
	}
	c.Gap(4)
	if d.Save != nil {
		look := ui.Plain
		if lead == nil {
			look = ui.Primary
		}
		c.Flow(func(f *ui.Flow) {
			w, h := d.UI.ButtonSize(v.Text("bench.lesson.handin"), c.W)
			if d.UI.ButtonIf(sittings > 0, "hand in", f.Next(w, max(h, target)), v.Text("bench.lesson.handin"), look) {
				next = desk.Later{Work: func() desk.Next { return s.handIn(d) }}
			}
		})
	}
	return next
}

// row is one patient: who it is, how far one is, and what can be done.
func (s *Screen) row(d *desk.Desk, v voice.Voice, c *ui.Column, p *place, open, lead bool) desk.Next {
	u := d.UI
	label, look := s.label(v, p), ui.Plain
	if lead && open {
		look = ui.Primary
	}
	can := open && (p.left != nil || s.more(*p))
	wide, high := u.ButtonSize(label, c.W)
	title := v.Text("bench.lesson.patient", "n", fact.Count(p.n), "title", p.title(v.Language))
	text := c.W - wide - 12
	below := text < 180*u.Text
	if below {
		text = c.W
	}
	th := u.ParaHeight(title, text, ui.Strong)
	state := s.state(v, p)
	sh := u.ParaHeight(state, text, ui.Note)
	high = max(high, target)
	if below {
		r := c.Block(th + sh + high + 6)
		u.Para(r.X, r.Y, text, title, ui.Strong)
		u.Para(r.X, r.Y+th, text, state, ui.Note)
		if u.ButtonIf(can, "begin "+strconv.Itoa(p.n), paper.Rect{X: r.X, Y: r.Y + th + sh + 4, W: wide, H: high}, label, look) {
			return s.press(d, p)
		}
		return desk.Stay{}
	}
	r := c.Block(max(th+sh, high))
	y := r.Y + (r.H-th-sh)/2
	u.Para(r.X, y, text, title, ui.Strong)
	u.Para(r.X, y+th, text, state, ui.Note)
	if u.ButtonIf(can, "begin "+strconv.Itoa(p.n), paper.Rect{X: r.Right() - wide, Y: r.Y + (r.H-high)/2, W: wide, H: high}, label, look) {
		return s.press(d, p)
	}
	return desk.Stay{}
}

// label is what the button of a place says.
func (s *Screen) label(v voice.Voice, p *place) string {
	switch {
	case p.left != nil:
		return v.Text("bench.home.left.press")
	case len(p.done) > 0:
		return v.Text("bench.lesson.again")
	}
	return v.Text("bench.lesson.examine")
}

// state is how far one is with a place.
func (s *Screen) state(v voice.Voice, p *place) string {
	text := ""
	add := func(t string) {
		if text != "" {
			text += " · "
		}
		text += t
	}
	for i, l := range p.done {
		add(s.reached(v, i+1, l.Notes.Points))
	}
	if p.left != nil {
		add(v.Text("bench.home.goon", "clock", p.left.Notes.Clock))
	}
	if text == "" {
		text = v.Text("bench.lesson.unseen")
	}
	if !s.more(*p) && p.left == nil {
		add(v.Text("bench.lesson.nomore"))
	}
	return text
}

// reached is what an attempt came to, as far as the assignment shows it.
func (s *Screen) reached(v voice.Voice, n int, points *float64) string {
	if s.h.Shows != cases.ShowsNothing && points != nil {
		return v.Text("bench.lesson.points", "n", fact.Count(n), "points", fact.Points(*points))
	}
	return v.Text("bench.lesson.done", "n", fact.Count(n))
}
