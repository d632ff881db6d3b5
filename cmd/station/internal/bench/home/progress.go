package home

import (
	"math"
	"slices"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// Progress is the user's own history.
type Progress struct{}

// Draw implements desk.Overlay.
func (Progress) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v, list := d.Voice(), d.History.All()
	closed := d.UI.Dialog("progress", v.Text("bench.progress.title"), v.Text("bench.close"), 760, func(c *ui.Column) {
		if len(list) == 0 {
			c.Para(v.Text("bench.progress.none"), ui.Body)
			c.Gap(8)
		}
		for _, part := range []func(*desk.Desk, voice.Voice, *ui.Column, []history.Reached) desk.Next{nextCase, byKind, past, files} {
			if after := part(d, v, c, list); after != (desk.Stay{}) {
				next = after
			}
		}
	})
	if closed {
		return desk.Close{}
	}
	return next
}

// nextCase proposes what to do next.
func nextCase(d *desk.Desk, v voice.Voice, c *ui.Column, list []history.Reached) (next desk.Next) {
	next = desk.Stay{}
	c.Flow(func(f *ui.Flow) {
		if p := history.Proposed(cases.Library(), list); p != nil {
			if f.Button("next case", v.Text("bench.progress.next", "title", p.Texts(v.Language).Title), ui.Primary) {
				next = desk.Open{Overlay: Introduce(p)}
			}
		}
		level := history.LevelFor(list)
		if f.Button("next eye", v.Text("bench.progress.eye", "level", level), ui.Plain) {
			next = Drawn(d.Seed(), level)
		}
	})
	c.Gap(4)
	return next
}

// byKind sums up by kind of eye.
func byKind(_ *desk.Desk, v voice.Voice, c *ui.Column, list []history.Reached) desk.Next {
	kinds := history.Kinds(list)
	if len(kinds) == 0 {
		return desk.Stay{}
	}
	c.Para(v.Text("bench.progress.kinds"), ui.Strong)
	for _, k := range kinds {
		c.Para(v.Text("bench.progress.kind", "kind", v.Capital(kindName(v, k.Name)), "left", fact.Amount(k.Left),
			"steps", int(math.Round(k.Steps)), "clock", k.Clock, "n", k.Count), ui.Body)
	}
	c.Rule()
	return desk.Stay{}
}

// kindName is a kind of eye in words.
func kindName(v voice.Voice, name cases.Difficulty) string {
	if name == history.Plain {
		return v.Text("bench.progress.plain")
	}
	return v.Value(name)
}

// titleOf is the title of the case of a sitting: as the library has it, or as it
// was when it was examined.
func titleOf(v voice.Voice, h history.Reached) string {
	for _, c := range cases.Library() {
		if c.ID == h.ID && c.Hash() == h.Case {
			return c.Texts(v.Language).Title
		}
	}
	return h.Title
}

// past lists the finished sittings, the last one first, to be stepped through.
func past(_ *desk.Desk, v voice.Voice, c *ui.Column, list []history.Reached) (next desk.Next) {
	next = desk.Stay{}
	for _, h := range slices.Backward(list) {
		text := v.Text("bench.progress.past", "date", h.When, "title", titleOf(v, h), "left", fact.Amount(h.Left), "steps", h.Steps, "clock", h.Clock)
		if h.Drill != "" {
			text += " · " + v.Text("bench.drill."+h.Drill)
		}
		if h.Branch {
			text += " · " + v.Text("bench.progress.within")
		}
		c.Flow(func(f *ui.Flow) {
			if f.Button("replay "+h.Log, text, ui.Plain) {
				next = desk.Replay{Name: h.Log}
			}
		})
	}
	if len(list) > 0 {
		c.Rule()
	}
	return next
}

// files hands all that is kept to the user, and deletes it.
func files(d *desk.Desk, v voice.Voice, c *ui.Column, _ []history.Reached) (next desk.Next) {
	next = desk.Stay{}
	c.Para(v.Text("bench.progress.files"), ui.Quiet)
	c.Gap(4)
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
