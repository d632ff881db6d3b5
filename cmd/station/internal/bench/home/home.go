// Package home is the screen on which a patient is chosen.
package home

import (
	"strconv"
	"strings"
	"time"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// Screen is the choice of a patient.
type Screen struct {
	library []*cases.Case
	left    []seat.Left // as the store had it when the screen came
	level   int         // of a random eye; 0: any
	seed    string      // of a random eye, as it is typed
}

// New is the choice as it stands now.
func New(d *desk.Desk) *Screen { return &Screen{library: cases.Library(), left: d.Seats.Unfinished()} }

// Name implements desk.Screen.
func (s *Screen) Name() string { return "home" }

// TakesFiles implements desk.Screen.
func (s *Screen) TakesFiles() bool { return true }

// Tick implements desk.Screen.
func (s *Screen) Tick(*desk.Desk, time.Duration) desk.Next { return desk.Stay{} }

// page is a screen while it is being drawn, and what comes next.
type page struct {
	*Screen
	d    *desk.Desk
	v    voice.Voice
	next desk.Next
}

// Draw implements desk.Screen.
func (s *Screen) Draw(d *desk.Desk) desk.Next {
	p := &page{s, d, d.Voice(), desk.Stay{}}
	d.Page("home", 1080*max(1, d.UI.Text*0.75), func(c *ui.Column) {
		c.Gap(desk.Gap)
		c.Para(p.v.Text("bench.home.title"), ui.Title)
		c.Gap(4)
		c.Para(p.v.Text("bench.home.about"), ui.Body)
		c.Gap(4)
		c.Para(p.v.Text("caution"), ui.Caution)
		c.Gap(10)
		d.ShowNotice(c)
		if d.Work.Busy() {
			c.Para(p.v.Text("bench.home.waiting"), ui.Strong)
			c.Gap(8)
		}
		p.goOn(c)
		p.beginners(c)
		p.patients(c)
		p.others(c)
		p.more(c)
		c.Gap(desk.Gap)
	})
	return p.next
}

// mostLeft is how many of the sittings that were left are offered.
const mostLeft = 4

// goOn offers the sittings that were left.
func (p *page) goOn(c *ui.Column) {
	if len(p.left) == 0 {
		return
	}
	c.Head(p.v.Text("bench.home.open"))
	c.Flow(func(f *ui.Flow) {
		for i, l := range p.left[:min(len(p.left), mostLeft)] {
			look := ui.Plain
			if i == 0 {
				look = ui.Primary
			}
			if f.Button("go on "+l.Name, p.v.Text("bench.home.goon", "title", l.Title(p.v.Language), "clock", l.Notes.Clock), look) {
				p.next = GoOn(p.d, l)
			}
		}
	})
	c.Gap(8)
}

// GoOn goes on with a sitting that was left, once its case is open.
func GoOn(d *desk.Desk, l seat.Left) desk.Next {
	if l.Notes.Sealed == "" {
		return desk.GoOn{Name: l.Name}
	}
	return unseal(d, l.Notes.ID, []byte(l.Notes.Sealed), func(c *cases.Case, _ string) desk.Next {
		d.Seats.Opened(c)
		return desk.GoOn{Name: l.Name}
	})
}

// beginners offers the guided first case.
func (p *page) beginners(c *ui.Column) {
	look := ui.Plain
	if len(p.d.History.All()) == 0 {
		look = ui.Primary
	}
	c.Flow(func(f *ui.Flow) {
		if f.Button("guided", p.v.Text("bench.home.guided"), look) {
			p.next = desk.Sit{Case: p.library[0], How: seat.How{Guided: true}}
		}
		f.Text(p.v.Text("bench.home.minutes"), ui.Quiet)
	})
	c.Gap(8)
}

// patients lists the library by level.
func (p *page) patients(c *ui.Column) {
	c.Head(p.v.Text("bench.home.library"))
	for level := 1; level <= cases.Levels; level++ {
		c.Para(p.v.Text("bench.level."+strconv.Itoa(level)), ui.Note)
		c.Gap(3)
		c.Flow(func(f *ui.Flow) {
			for _, cs := range p.library {
				if cs.Level != level {
					continue
				}
				label := cs.Texts(p.v.Language).Title
				if best, ok := p.d.History.Best(cs.ID); ok {
					label += " · " + p.v.Text("bench.home.best", "left", fact.Amount(best.Left), "steps", best.Steps)
				}
				if f.Button("case "+cs.ID, label, ui.Plain) {
					p.next = desk.Open{Overlay: Introduce(cs)}
				}
			}
		})
	}
	c.Gap(8)
}

// others offers a random eye and tells of case files.
func (p *page) others(c *ui.Column) {
	c.Head(p.v.Text("bench.home.random"))
	c.Para(p.v.Text("bench.home.random.about"), ui.Quiet)
	c.Gap(6)
	names := []string{p.v.Text("bench.home.any")}
	for level := 1; level <= cases.Levels; level++ {
		names = append(names, p.v.Text("bench.home.level", "level", level))
	}
	p.level = c.Choice("level", names, p.level)
	c.Flow(func(f *ui.Flow) {
		label := p.v.Text("bench.home.seed")
		f.Text(label, ui.Body)
		p.d.UI.Field("seed", f.Next(140*p.d.UI.Text, p.d.UI.RowHeight()), label, &p.seed)
		if f.Button("draw", p.v.Text("bench.home.draw"), ui.Plain) {
			p.draw()
		}
	})
	c.Gap(8)
	c.Para(p.v.Text("bench.home.file"), ui.Quiet)
	c.Para(p.v.Text("bench.home.practical"), ui.Quiet)
	c.Gap(10)
}

// draw draws an eye by its seed, or by any.
func (p *page) draw() {
	text := strings.TrimSpace(p.seed)
	seed, err := strconv.ParseUint(text, 10, 64)
	switch {
	case text == "":
		seed = p.d.Seed()
	case err != nil:
		p.d.Notice.Tell("bench.home.badseed", "text", text)
		return
	}
	p.d.Notice.Clear()
	p.next = Drawn(seed, p.level)
}

// Drawn introduces the eye that a seed gives.
func Drawn(seed uint64, level int) desk.Next {
	return desk.Later{Work: func() desk.Next { return desk.Open{Overlay: Introduce(cases.Draw(seed, level))} }}
}

// more is what else there is.
func (p *page) more(c *ui.Column) {
	c.Flow(func(f *ui.Flow) {
		if f.Button("progress", p.v.Text("bench.progress.title"), ui.Plain) {
			p.next = desk.Open{Overlay: Progress{}}
		}
		if f.Button("settings", p.v.Text("bench.settings.title"), ui.Plain) {
			p.next = desk.Open{Overlay: dialogs.Settings{}}
		}
		if f.Button("keys", p.v.Text("bench.keys.title"), ui.Plain) {
			p.next = desk.Open{Overlay: dialogs.Keys{Keys: chairside.Keys()}}
		}
		if p.d.Quit != nil && f.Button("quit", p.v.Text("bench.quit"), ui.Plain) {
			p.d.Quit()
		}
	})
}
