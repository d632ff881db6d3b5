package sheet

import (
	"slices"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Card is the record card, filled in as one goes.
type Card struct {
	record  *cases.Card               // nil until it was worked out
	entries map[sitting.Field]*string // half typed
}

// NewCard is the card of a patient whose record is worked out while it is open.
func NewCard() *Card { return &Card{entries: map[sitting.Field]*string{}} }

// Found gives the card what is on record.
func (k *Card) Found(c cases.Card) { k.record = &c }

// Draw implements Sheet.
func (k *Card) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	v, noted := d.Voice(), w.State.Card
	closed := d.UI.Dialog("card", v.Text("bench.card.title", "name", talk.Who(v, w.Brief)), v.Text("bench.close"), 620, func(c *ui.Column) {
		desk.ShowNotice(d.UI, c, desk.Said{Text: w.Warning, Style: ui.Refusal})
		k.facts(v, d.UI, c, w)
		c.Rule()
		for _, field := range sitting.Fields() {
			if k.entries[field] == nil {
				text := noted[field]
				k.entries[field] = &text
			}
			entry(d.UI, v, c, field, k.entries[field], noted[field], out)
		}
	})
	if closed {
		for _, field := range k.unsaved(noted) { // what was typed is not lost
			out.Add(wish.Note(field, *k.entries[field]))
		}
	}
	return closeIf(closed)
}

// unsaved are the fields in which something is typed that is not noted.
func (k *Card) unsaved(noted map[sitting.Field]string) (out []sitting.Field) {
	for _, field := range sitting.Fields() {
		if text := k.entries[field]; text != nil && *text != "" && *text != noted[field] {
			out = append(out, field)
		}
	}
	return out
}

// Unsaved reports whether there are such.
func (k *Card) Unsaved(noted map[sitting.Field]string) bool { return len(k.unsaved(noted)) > 0 }

// facts are what is on record already, on a card of paper with ruled lines.
func (k *Card) facts(v voice.Voice, u *ui.UI, c *ui.Column, w View) {
	c.Para(talk.Patient(v, w.Brief), ui.Body)
	c.Gap(8)
	if k.record == nil {
		c.Para(v.Text("bench.home.waiting"), ui.Quiet)
		return
	}
	r := k.record
	lines := []string{
		v.Text("bench.card.eye", "eye", v.Text("eye."+string(w.Brief.Tested))),
		v.Text("bench.card.objective", "rx", r.Objective),
		v.Text("bench.card.unaided", "row", fact.Row(r.Unaided)),
		v.Text("bench.card.sphere", "rx", optics.Rx{Sphere: r.Sphere}, "row", fact.Row(r.BestSphere)),
	}
	if by, said := r.By(); said {
		lines = slices.Insert(lines, 2, v.Capital(v.Text("bench.card.by", "what", by)))
	}
	if r.Worn != nil {
		lines = append(lines, v.Text("bench.card.spectacles", "what", r.Worn.Tell()))
	}
	ruled(u, c, lines)
}

// ruled writes lines on a card of paper: a margin of blue down the left, and a ruled line
// below each.
func ruled(u *ui.UI, c *ui.Column, lines []string) {
	const margin, pad = 22, 7
	wide, high := c.W-margin-14, 2.0*pad
	for _, l := range lines {
		high += u.ParaHeight(l, wide, ui.Body) + pad
	}
	r := c.Block(high)
	sc, t := u.Scene(), &u.Theme
	sc.Box(paper.Rect{X: r.X + 2, Y: r.Y + 3, W: r.W, H: r.H}, 3, t.Shade)
	sc.Box(r, 3, t.Sheet)
	sc.Frame(r, 3, 1, t.Edge)
	sc.Box(paper.Rect{X: r.X + margin - 9, Y: r.Y, W: 1.5, H: r.H}, 0, t.Blue)
	y := r.Y + pad
	for i, l := range lines {
		y += u.Para(r.X+margin, y, wide, l, ui.Body) + pad
		if i < len(lines)-1 {
			sc.Box(paper.Rect{X: r.X, Y: y - pad/2, W: r.W, H: 1}, 0, t.Rule)
		}
	}
	c.Gap(4)
}

// entry is one field of the card.
func entry(u *ui.UI, v voice.Voice, c *ui.Column, field sitting.Field, text *string, noted string, out *wish.List) {
	label := v.Capital(v.Value(field))
	c.Para(label, ui.SmallBold)
	c.Gap(2)
	save := v.Text("bench.card.save")
	w, _ := u.ButtonSize(save, c.W)
	r := c.Block(u.RowHeight())
	place, rest := r.CutRight(w)
	_, rest = rest.CutRight(8)
	_, entered := u.Field("note "+string(field), rest, label, text)
	if u.ButtonIf(*text != "" && *text != noted, "save "+string(field), place, save, ui.Plain) || entered && *text != noted {
		out.Add(wish.Note(field, *text))
	}
	c.Gap(8)
}
