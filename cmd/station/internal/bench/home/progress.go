package home

import (
	"slices"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// Progress is the user's own history.
type Progress struct {
	library []*cases.Case
	people  map[string]*cases.Case // of the library, by their hashes
	there   map[string]bool        // whether a sitting is still in the store, once it was looked up
}

// NewProgress is the history as it stands now.
func NewProgress() *Progress {
	p := &Progress{library: desk.Library(), people: map[string]*cases.Case{}, there: map[string]bool{}}
	for _, c := range p.library {
		p.people[c.Hash()] = c
	}
	return p
}

// Draw implements desk.Overlay.
func (p *Progress) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v, list := d.Voice(), d.History.All()
	closed := d.UI.Dialog("progress", v.Text("bench.progress.title"), v.Text("bench.close"), 860, func(c *ui.Column) {
		c.Para(stands(v, list), ui.Body)
		c.Gap(12)
		next = p.proposal(d, v, c, list)
		if len(list) > 0 {
			c.Gap(14)
			p.picture(d.UI, v, c, list)
			c.Rule()
			byKind(d.UI, v, c, list)
			next = orNext(p.past(d, v, c, list), next)
			c.Rule()
		}
		next = orNext(files(d, v, c), next)
	})
	if closed {
		return desk.Close{}
	}
	return next
}

// kept reports whether a sitting can be stepped through: its log was not dropped to
// make room.
func (p *Progress) kept(d *desk.Desk, log string) bool {
	there, known := p.there[log]
	if known {
		return there
	}
	p.there[log] = d.Seats.Has(log)
	return p.there[log]
}

// stands says how the user stands.
func stands(v voice.Voice, list []history.Reached) string {
	s := history.Stands(list)
	text := ""
	switch {
	case len(list) == 0:
		return v.Text("bench.progress.none")
	case s.Count == 0:
		return v.Text("bench.progress.unmarked")
	case s.Count == 1:
		text = v.Text("bench.progress.stands.one", "points", whole(s.Points), "good", history.GoodPoints)
	default:
		text = v.Text("bench.progress.stands", "n", s.Count, "points", whole(s.Points), "good", history.GoodPoints)
	}
	if s.Expected.Asked > 0 {
		text += " " + foreseen(v, s.Expected)
	}
	return text
}

// proposal is what to do next: a card with the patient who is proposed, and why.
func (p *Progress) proposal(d *desk.Desk, v voice.Voice, c *ui.Column, list []history.Reached) (next desk.Next) {
	next = desk.Stay{}
	u, level := d.UI, history.LevelFor(list)
	eye := v.Text("bench.progress.eye", "level", level)
	to := history.Proposed(p.library, list)
	if to == nil {
		c.Para(v.Text("bench.progress.all"), ui.Strong)
	} else if offer(u, c, personOf(to), v.Text("bench.progress.next", "title", to.Texts(v.Language).Title), why(v, to, list), v.Text("bench.progress.see")) {
		next = desk.Open{Overlay: Introduce(to)}
	}
	c.Gap(8)
	c.Flow(func(f *ui.Flow) {
		if f.Button("next eye", eye, ui.Plain) {
			next = Drawn(d.Seed(), level)
		}
	})
	return next
}

// why says why a patient is proposed, and with how much help.
func why(v voice.Voice, c *cases.Case, list []history.Reached) string {
	text := v.Text("bench.progress.why.order")
	if w := history.Weakest(list); slices.Contains(c.Difficulties(), w) {
		text = v.Text("bench.progress.why.kind", "kind", kindName(v, w))
	}
	return text + " " + v.Text("bench.progress.why.help", "help", history.HelpFor(list))
}

// offer is a card with a face and what is proposed, and its press beside it, or below.
func offer(u *ui.UI, c *ui.Column, who face.Person, title, about, press string) (pressed bool) {
	const size, edge = 64.0, 12.0
	bw, bh := u.ButtonSize(press, c.W-2*edge)
	text := c.W - size - 3*edge
	beside := text-bw-edge >= 220*u.Text
	if beside {
		text -= bw + edge
	}
	th, ah := u.ParaHeight(title, text, ui.Strong), u.ParaHeight(about, text, ui.Note)
	high := max(size, th+ah)
	r := c.Block(high + 2*edge)
	if !beside {
		r.H += c.Block(bh + edge).H
	}
	sheet(u, r)
	face.Draw(u, paper.Rect{X: r.X + edge, Y: r.Y + edge, W: size, H: size}, who, face.Opts{})
	x, y := r.X+size+2*edge, r.Y+edge+(high-th-ah)/2
	u.Para(x, y, text, title, ui.Strong)
	u.Para(x, y+th, text, about, ui.Note)
	at := paper.Rect{X: r.Right() - bw - edge, Y: r.Y + (r.H-bh)/2, W: bw, H: bh}
	if !beside {
		at = paper.Rect{X: r.X + edge, Y: r.Bottom() - bh - edge, W: bw, H: bh}
	}
	return u.Button("next case", at, press, ui.Primary)
}

// sheet is a card of paper that lies there.
func sheet(u *ui.UI, r paper.Rect) {
	sc, t := u.Scene(), &u.Theme
	sc.Box(paper.Rect{X: r.X + 2, Y: r.Y + 3, W: r.W, H: r.H}, 10, t.Shade)
	sc.Box(r, 10, t.Sheet)
	sc.Frame(r, 10, 1, t.Edge)
}

// titleOf is the title of the case of a sitting: as the library has it, or as it
// was when it was examined.
func (p *Progress) titleOf(v voice.Voice, h history.Reached) string {
	if c := p.people[h.Case]; c != nil {
		return c.Texts(v.Language).Title
	}
	return h.Title
}

// faceOf is how the patient of a sitting looks.
func (p *Progress) faceOf(h history.Reached) face.Person {
	if c := p.people[h.Case]; c != nil {
		return personOf(c)
	}
	return face.Of(face.Who{Title: h.Title})
}

// files hands all that is kept to the user, and deletes it.
func files(d *desk.Desk, v voice.Voice, c *ui.Column) (next desk.Next) {
	next = desk.Stay{}
	c.Para(v.Text("bench.progress.files"), ui.Note)
	c.Gap(6)
	c.Flow(func(f *ui.Flow) {
		if d.Save != nil && f.Button("export", v.Text("bench.progress.export"), ui.Plain) {
			next = export(d)
		}
		if f.Button("delete all", v.Text("bench.progress.delete"), ui.Plain) {
			next = desk.Open{Overlay: deletion{}}
		}
	})
	return next
}

// whole are points as they are told here.
func whole(points float64) fact.Count { return fact.Count(int(points + 0.5)) }
