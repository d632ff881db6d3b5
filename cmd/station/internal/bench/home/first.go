package home

import (
	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/sitting"
)

// invitation is the card with the one press that leads on.
type invitation struct {
	who         face.Person
	wears       face.Opts
	title, text string
	id, press   string
	next        func() desk.Next
}

// first invites to go on with the patient who was left last, or to the first one.
func (p *page) first(c *ui.Column) {
	card := p.invitation()
	u := p.d.UI
	size, edge := 76.0, 14.0
	switch {
	case p.large:
		size = 116
	case p.tight:
		size, edge = 70, 11
	}
	bw, bh := u.ButtonSize(card.press, c.W-32)
	bh = max(bh, 48)
	text := c.W - size - 52
	beside := text-bw-20 >= 240*u.Text
	if beside {
		text -= bw + 20
	}
	th, nh := u.ParaHeight(card.title, text, ui.Head), u.ParaHeight(card.text, text, ui.Note)
	high := max(size, th+nh+4) + 2*edge
	if !beside {
		high += bh + 12
	}
	r := c.Block(high)
	sc := u.Scene()
	sc.Box(paper.Rect{X: r.X + 3, Y: r.Y + 4, W: r.W, H: r.H}, 12, u.Theme.Shade)
	sc.Box(r, 12, u.Theme.Sheet)
	sc.Frame(r, 12, 1, u.Theme.Edge)
	face.Draw(u, paper.Rect{X: r.X + 16, Y: r.Y + edge, W: size, H: size}, card.who, card.wears)
	y := r.Y + edge + max(0, (size-th-nh-4)/2)
	u.Para(r.X+size+34, y, text, card.title, ui.Head)
	u.Para(r.X+size+34, y+th+4, text, card.text, ui.Note)
	at := paper.Rect{X: r.Right() - bw - 18, Y: r.Y + (r.H-bh)/2, W: bw, H: bh}
	if !beside {
		at = paper.Rect{X: r.X + 16, Y: r.Bottom() - bh - 14, W: bw, H: bh}
	}
	if u.Button(card.id, at, card.press, ui.Primary) {
		p.next = card.next()
	}
	c.Gap(edge - 2)
}

// invitation is the patient who was left last, or the first one, led.
func (p *page) invitation() invitation {
	v := p.v
	if l := p.lesson; l != nil {
		return l.invitation(v)
	}
	if len(p.left) > 0 {
		l := p.left[0]
		return invitation{
			who: strayed(l), title: l.Title(v.Language),
			text: v.Text("bench.home.left.about", "clock", l.Notes.Clock), id: "go on " + l.Name, press: v.Text("bench.home.left.press"),
			next: func() desk.Next { return GoOn(p.d, l) },
		}
	}
	c := p.library[0]
	return invitation{
		who: personOf(c), wears: face.Opts{Frame: true, Covered: [2]bool{c.Tested == sitting.Left, c.Tested == sitting.Right}},
		title: v.Text("bench.home.guided"), text: v.Text("bench.home.guided.about", "title", c.Texts(v.Language).Title),
		id: "guided", press: v.Text("bench.home.guided.press"),
		next: func() desk.Next { return desk.Sit{Case: c, How: seat.How{Help: chair.Led}} },
	}
}

// personOf is how the patient of a case looks.
func personOf(c *cases.Case) face.Person {
	return face.Of(face.Who{ID: c.ID, Title: c.Title, Name: c.Name, Age: c.Age})
}

// strayed is how the patient of a sitting that was left looks.
func strayed(l seat.Left) face.Person {
	if c := l.Case(); c != nil {
		return personOf(c)
	}
	return face.Of(face.Who{Title: l.Title(voice.English.Language)})
}

// GoOn goes on with a sitting that was left, once its case is open.
func GoOn(d *desk.Desk, l seat.Left) desk.Next {
	if l.Notes.Sealed == "" {
		return desk.GoOn{Name: l.Name}
	}
	return Unseal(d, l.Notes.ID, []byte(l.Notes.Sealed), func(c *cases.Case, _ string) desk.Next {
		d.Seats.Opened(c)
		return desk.GoOn{Name: l.Name}
	})
}
