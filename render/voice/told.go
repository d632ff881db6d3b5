package voice

import (
	"fmt"
	"math"
	"strconv"
	"strings"

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
		return v.stands(a.Eye, after.Frames[a.Eye.Index()], room)
	case sitting.End:
		return v.stated(a)
	}
	return v.Capital(v.Text("told.done."+string(a.Do),
		"eye", a.Eye,
		"wall", v.Wall(after, room.Labels),
		"at", fact.Degrees(after.Pointer),
		"field", a.Field, "text", a.Text))
}

// stands says what stands before an eye.
func (v Voice) stands(side sitting.Side, f optics.Frame, room sitting.Room) string {
	text := v.Capital(v.Text("told.done.frame", "eye", side, "lenses", v.Frame(f)))
	if worn := v.Worn(f, room.Distance); worn != "" {
		text += " " + worn
	}
	return text
}

// stated says what an end point is. The acuity is told as it was written.
func (v Voice) stated(a sitting.Action) string {
	if !a.Acuity.Given() {
		return v.Text("told.done.state", "rx", *a.Rx)
	}
	return v.Text("told.done.state-acuity", "rx", *a.Rx, "acuity", strings.ReplaceAll(a.Acuity.Written, "-", "−"))
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
		"at", fact.Degrees(st.Pointer),
		"first", fact.Row(chart.RowSizes()[0]),
		"size", v.Size(st.Size))
}

// Question is what the examiner says with a question about the chart in view.
func (v Voice) Question(a sitting.Action, view chart.Name) string {
	switch {
	case a.Question == patient.ReadLetters && a.Size != nil:
		return v.Text("told.asked.row", "row", fact.Row(*a.Size))
	case a.Question == patient.ReadLetters && chart.Named(view).Sized:
		return v.Text("told.asked.letter")
	}
	return v.Ask(a.Question, a.Leading)
}

// Rows are the rows of letters that were read, each beside what was shown, and
// what they come to; nil when no letters were read. The sizes stand in a column.
func (v Voice) Rows(a patient.Answer) (out []string) {
	if a.Kind != patient.Read || len(a.Rows) == 0 {
		return nil
	}
	for _, r := range a.Rows {
		out = append(out, v.Text("told.rows.row",
			"row", fmt.Sprintf("%-7s", v.row(r.LogMAR)), "shown", r.Shown, "said", r.Said,
			"right", fact.Count(r.Right()), "all", fact.Count(len(r.Shown))))
	}
	if len(a.Rows[0].Shown) == 1 {
		return out // one letter is no acuity
	}
	return append(out, v.Text("told.rows.makes", "acuity", v.Acuity(a.LogMAR)))
}

// Acuity is an acuity as a row and letters more or fewer, with its logMAR.
func (v Voice) Acuity(logMAR float64) string {
	return v.Text("told.acuity", "acuity", fact.LogMAR(logMAR), "logmar", v.decimals(logMAR, 2))
}

// Size is the size of letters as a row of the chart has it, with its logMAR.
func (v Voice) Size(logMAR float64) string {
	return v.Text("told.acuity", "acuity", fact.Row(logMAR), "logmar", v.decimals(math.Round(logMAR*10)/10, 1))
}

// Action is an action as a button says it.
func (v Voice) Action(a sitting.Action) string {
	name := string(a.Do)
	switch {
	case a.Do == sitting.Take && a.Lens == (optics.Lens{}):
		name = "take-cell"
	case a.Do == sitting.Show && a.Size != nil:
		name = "show-letter"
	}
	cell, _ := a.Cell.Cell()
	values := []any{
		"eye", a.Eye, "cell", cell, "lens", a.Lens, "at", fact.Degrees(a.Axis),
		"chart", a.Chart, "question", v.Asking(a), "field", a.Field, "text", a.Text,
	}
	if a.Size != nil {
		values = append(values, "row", fact.Row(*a.Size))
	}
	return v.Capital(v.Text("told.do."+name, values...))
}

// Asking is the question of an action as a button says it.
func (v Voice) Asking(a sitting.Action) string {
	if a.Question == patient.ReadLetters && a.Size != nil {
		return v.Text("told.ask.row", "row", fact.Row(*a.Size))
	}
	return v.Text("told.ask." + string(a.Question))
}

// Expected is an answer in a word, as it can be expected of a patient or put
// into the mouth of one: the kind of an answer, or the label of a line.
func (v Voice) Expected(answer string) string {
	if label, err := strconv.Atoi(answer); err == nil {
		return v.Text("told.answer.line", "at", fact.Degrees(label))
	}
	return v.Text("told.answer." + answer)
}
