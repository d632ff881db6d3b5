package sheet

import (
	"conoid/cmd/internal/guide"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

func tell(id string) fact.Fact { return fact.Fact{ID: id} }

func closeIf(closed bool) desk.Next {
	if closed {
		return desk.Close{}
	}
	return desk.Stay{}
}

// Rows asks for a row of letters.
type Rows struct{}

// Draw implements Sheet.
func (Rows) Draw(d *desk.Desk, _ View, out *wish.List) desk.Next {
	v, pressed := d.Voice(), false
	closed := d.UI.Dialog("rows", v.Text("bench.ask.row"), v.Text("bench.close"), 480, func(c *ui.Column) {
		wide, high := 0.0, 0.0
		for _, size := range chart.RowSizes() {
			w, h := d.UI.ButtonSize(v.Value(fact.Row(size)), c.W)
			wide, high = max(wide, w, 96), max(high, h)
		}
		c.Flow(func(f *ui.Flow) { // all as wide as the widest, so that they stand in columns
			for _, size := range chart.RowSizes() {
				if d.UI.Button("row "+patient.FormatAcuity(size), f.Next(wide, high), v.Value(fact.Row(size)), ui.Plain) {
					out.Add(wish.Ask{Question: patient.ReadLetters, Size: &size})
					pressed = true
				}
			}
		})
	})
	return closeIf(closed || pressed)
}

// Charts are all that can hang on the wall.
type Charts struct{}

// Draw implements Sheet.
func (Charts) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	v, before := d.Voice(), len(*out)
	closed := d.UI.Dialog("all charts", v.Text("bench.charts.title"), v.Text("bench.close"), 480, func(c *ui.Column) {
		c.Flow(func(f *ui.Flow) {
			for _, name := range wall.Charts(w.Charts) {
				wall.Tile(d.UI, v, f.Next(104*d.UI.Text, 72*d.UI.Text), name, w.State.Chart == name, out)
			}
		})
	})
	return closeIf(closed || len(*out) > before)
}

// Hint shows the next step, as it was when it was asked for.
type Hint struct{ Advice guide.Advice }

// Draw implements Sheet.
func (h Hint) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	v, before := d.Voice(), len(*out)
	closed := d.UI.Dialog("hint", v.Text("bench.hint.title"), v.Text("bench.close"), 520, func(c *ui.Column) {
		talk.Advise(c, talk.AdviceOf(v, h.Advice), out)
		c.Para(v.Text("bench.hint.count", "n", w.Hints), ui.Note)
	})
	return closeIf(closed || len(*out) > before)
}
