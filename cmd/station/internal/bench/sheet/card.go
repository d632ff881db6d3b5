package sheet

import (
	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wish"
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
		k.facts(v, c, w)
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
		for _, field := range sitting.Fields() { // what was typed is not lost
			if text := *k.entries[field]; text != "" && text != noted[field] {
				out.Add(wish.Note(field, text))
			}
		}
	}
	return closeIf(closed)
}

// facts are what is on record already.
func (k *Card) facts(v voice.Voice, c *ui.Column, w View) {
	c.Para(talk.Patient(v, w.Brief), ui.Body)
	c.Gap(4)
	if k.record == nil {
		c.Para(v.Text("bench.home.waiting"), ui.Quiet)
		return
	}
	r := k.record
	c.Para(v.Text("bench.card.eye", "eye", v.Text("eye."+string(w.Brief.Tested))), ui.Quiet)
	c.Para(v.Text("bench.card.objective", "rx", r.Objective), ui.Quiet)
	c.Para(v.Text("bench.card.unaided", "row", fact.Row(r.Unaided)), ui.Quiet)
	c.Para(v.Text("bench.card.sphere", "rx", optics.Rx{Sphere: r.Sphere}, "row", fact.Row(r.BestSphere)), ui.Quiet)
}

// entry is one field of the card.
func entry(u *ui.UI, v voice.Voice, c *ui.Column, field sitting.Field, text *string, noted string, out *wish.List) {
	label := v.Capital(v.Value(field))
	c.Para(label, ui.Body)
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
