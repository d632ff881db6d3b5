package home

import (
	"strconv"
	"strings"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/bench/inchair"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
)

// target is the least height of what is pressed.
const target = 44

// key is a button of the foot.
func key(f *ui.Flow, u *ui.UI, id, label string) bool {
	w, h := u.ButtonSize(label, u.Window().W-40)
	return u.Button(id, f.Next(w, max(h, target)), label, ui.Plain)
}

// mostLeft is how many of the sittings that were left are offered.
const mostLeft = 4

// strays offers sittings that were left with people who are not of the library, but
// for the one that the first card is about.
func (p *page) strays(c *ui.Column) {
	first := true
	c.Flow(func(f *ui.Flow) {
		for i, l := range p.left[:min(len(p.left), mostLeft)] {
			if i == 0 || l.Notes.Sealed == "" && p.known(l.Notes.ID) {
				continue
			}
			if first {
				f.Text(p.v.Text("bench.home.open"), ui.Strong)
				first = false
			}
			if key(f, p.d.UI, "go on "+l.Name, p.v.Text("bench.home.stray", "title", l.Title(p.v.Language), "clock", l.Notes.Clock)) {
				p.next = GoOn(p.d, l)
			}
		}
	})
	if first {
		c.Gap(-8) // nothing stands in the row
	}
}

// known reports whether somebody is of the library.
func (p *page) known(id string) bool {
	for _, c := range p.library {
		if c.ID == id {
			return true
		}
	}
	return false
}

// foot offers somebody unknown, and what else there is.
func (p *page) foot(c *ui.Column) {
	if p.large {
		c.Gap(4)
		p.d.UI.Scene().Box(c.Block(3), 0, p.d.UI.Theme.Wood)
		c.Gap(14)
		p.next = orNext(p.someone.choose(p.d, c, true), p.next)
		c.Gap(4)
	}
	beside := false
	c.Flow(func(f *ui.Flow) {
		u, v := p.d.UI, p.v
		if !p.large && key(f, u, "someone", v.Text("bench.home.someone.press")) {
			p.d.Notice.Clear()
			p.next = desk.Open{Overlay: p.someone}
		}
		if key(f, u, "in chair", inchair.Press(v, p.tight)) {
			p.next = desk.Open{Overlay: inchair.Choose{}}
		}
		if key(f, u, "progress", v.Text("bench.progress.title")) {
			p.next = desk.Open{Overlay: NewProgress()}
		}
		if p.kept != "" && key(f, u, "assignments", v.Text("bench.home.assignments")) {
			p.next = desk.Lesson{ID: p.kept}
		}
		if key(f, u, "settings", v.Text("bench.settings.title")) {
			p.next = desk.Open{Overlay: dialogs.Settings{}}
		}
		if key(f, u, "keys", v.Text("bench.keys.title")) {
			p.next = desk.Open{Overlay: dialogs.Keys{Keys: chairside.Keys()}}
		}
		if p.d.Edit != nil && key(f, u, "edit", v.Text("bench.home.edit")) {
			p.d.Edit()
		}
		if p.d.Newer != nil && p.d.Newer() && key(f, u, "renew", v.Text("bench.home.renew")) {
			p.d.Renew()
		}
		if p.d.Quit != nil && key(f, u, "quit", v.Text("bench.quit")) {
			p.d.Quit()
		}
		text := v.Text("bench.home.file") // beside the buttons where two lines of it have room
		if r := f.Rest(); u.ParaHeight(text, r-8, ui.Note) <= min(2*u.LineHeight(ui.Note), target) {
			at := f.Next(r-8, target)
			u.Para(at.X+8, at.Y+(target-u.ParaHeight(text, r-8, ui.Note))/2, r-8, text, ui.Note)
			beside = true
		}
	})
	if !beside {
		c.Para(p.v.Text("bench.home.file"), ui.Note)
	}
}

// orNext is what comes next, if anything does, or else the other.
func orNext(next, other desk.Next) desk.Next {
	if next == (desk.Stay{}) {
		return other
	}
	return next
}

// someone calls in somebody whom nobody knows.
type someone struct {
	level int    // 0: any
	seed  string // as it is typed
}

// Draw implements desk.Overlay.
func (s *someone) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	closed := d.UI.Dialog("someone", v.Text("bench.home.random"), v.Text("bench.close"), 560, func(c *ui.Column) {
		if notice := d.Notice.Text(v); notice != "" {
			c.Para(notice, ui.Refusal)
			c.Gap(6)
		}
		next = s.choose(d, c, false)
	})
	if closed {
		d.Notice.Clear()
		return desk.Close{}
	}
	return next
}

// choose chooses a level and a seed; with a head of its own where it stands on the page.
func (s *someone) choose(d *desk.Desk, c *ui.Column, head bool) (next desk.Next) {
	next = desk.Stay{}
	v, u := d.Voice(), d.UI
	if head {
		c.Para(v.Text("bench.home.random"), ui.Strong)
	}
	c.Para(v.Text("bench.home.random.about"), ui.Note)
	c.Gap(6)
	names := []string{v.Text("bench.home.any")}
	for level := 1; level <= cases.Levels; level++ {
		names = append(names, v.Text("bench.home.level", "level", level))
	}
	c.Flow(func(f *ui.Flow) {
		for i, n := range names {
			look := ui.Plain
			if i == s.level {
				look = ui.Selected
			}
			w, h := u.ButtonSize(n, c.W)
			if u.Button("level "+n, f.Next(max(w, target), max(h, target)), n, look) {
				s.level = i
			}
		}
		if !head {
			f.Break()
		}
		label := v.Text("bench.home.seed")
		high := max(u.RowHeight(), target)
		u.Label(f.Next(u.Width(label, ui.Body)+2, high), label, ui.Body, ui.Start)
		u.Field("seed", f.Next(110*u.Text, high), label, &s.seed)
		if key(f, u, "draw", v.Text("bench.home.draw")) {
			next = s.draw(d)
		}
	})
	return next
}

// draw draws an eye by its seed, or by any.
func (s *someone) draw(d *desk.Desk) desk.Next {
	text := strings.TrimSpace(s.seed)
	seed, err := strconv.ParseUint(text, 10, 64)
	switch {
	case text == "":
		seed = d.Seed()
	case err != nil:
		d.Notice.Refuse(fact.Refuse("bench.home.badseed", "text", text))
		return desk.Stay{}
	}
	d.Notice.Clear()
	return Drawn(seed, s.level)
}

// Drawn introduces the eye that a seed gives.
func Drawn(seed uint64, level int) desk.Next {
	return desk.Later{Work: func() desk.Next { return desk.Open{Overlay: Introduce(cases.Draw(seed, level))} }}
}
