package voice

import (
	"fmt"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Done says what an event did, given how things stood after it; "" for a
// question, which its answer tells of.
func (v Voice) Done(e sitting.Event, after sitting.State, room sitting.Room) string {
	a := e.Action
	switch a.Do {
	case sitting.Ask:
		return ""
	case sitting.Put, sitting.Take, sitting.Exchange, sitting.Turn, sitting.Hold, sitting.Lower:
		return stands(v, a.Eye, after.Frames[a.Eye.Index()], room)
	case sitting.End:
		return stated(v, a)
	}
	return v.Capital(v.Text("told.done."+string(a.Do),
		"eye", a.Eye,
		"wall", v.Wall(after, room.Labels),
		"at", fact.Label(after.Pointer),
		"field", a.Field, "text", a.Text))
}

// stands says what stands before an eye.
func stands(v Voice, side sitting.Side, f optics.Frame, room sitting.Room) string {
	text := v.Capital(v.Text("told.done.frame", "eye", side, "lenses", v.Frame(f)))
	if worn := v.Worn(f, room.Distance); worn != "" {
		text += " " + worn
	}
	return text
}

// stated says what an end point is.
func stated(v Voice, a sitting.Action) string {
	if !a.Acuity.Given() {
		return v.Text("told.done.state", "rx", *a.Rx)
	}
	return v.Text("told.done.state-acuity", "rx", *a.Rx, "acuity", a.Acuity)
}

// marks are what the lines of a dial carry.
var marks = map[chart.Labels]string{
	chart.ByAxis: "by-axis", chart.ByHour: "by-hour", chart.NoLabels: "unmarked",
}

// Wall says what hangs on the wall, as a part of a sentence.
func (v Voice) Wall(st sitting.State, labels chart.Labels) string {
	name := string(st.Chart)
	switch chart.Named(st.Chart).Kind {
	case "":
		name = "none"
	case chart.DialChart:
		name = marks[labels]
	}
	return v.Text("told.wall."+name,
		"chart", st.Chart,
		"at", fact.Label(st.Pointer),
		"first", fact.Row(chart.RowSizes()[0]),
		"size", style{v}.size(st.Size))
}

// Rows are the rows of letters that were read, each beside what was shown, and
// what they come to; nil when no letters were read. The sizes stand in a column.
func (v Voice) Rows(a patient.Answer) (out []string) {
	if a.Kind != patient.Read || len(a.Rows) == 0 {
		return nil
	}
	for _, r := range a.Rows {
		out = append(out, v.Text("told.rows.row",
			"row", fmt.Sprintf("%-7s", style{v}.row(r.LogMAR)), "shown", r.Shown, "said", r.Said,
			"right", fact.Count(r.Right()), "all", fact.Count(len(r.Shown))))
	}
	if len(a.Rows[0].Shown) == 1 {
		return out // one letter is no acuity
	}
	return append(out, v.Text("told.rows.makes", "acuity", style{v}.measured(a.LogMAR)))
}
