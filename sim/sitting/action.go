// Package sitting is one examination: actions go in, answers come out, and
// the log of both is the whole of it. A sitting knows no file and no clock.
package sitting

import "conoid/sim/patient"

// Verb is what the examiner does.
type Verb string

// The verbs of an examination.
const (
	Put      Verb = "put"      // a lens into a cell
	Take     Verb = "take"     // the lens out of a cell
	Exchange Verb = "exchange" // the lens in a cell for another
	Turn     Verb = "turn"     // the cylinder in a cell to an axis
	Hold     Verb = "hold"     // a lens up in front of the frame
	Lower    Verb = "lower"    // the lens that is held up
	Cover    Verb = "cover"    // an eye with the occluder
	Uncover  Verb = "uncover"
	Show     Verb = "show"    // a chart
	Point    Verb = "point"   // the arrow (and with it the blocks) to a label
	Ask      Verb = "ask"     // a question
	Explain  Verb = "explain" // the task to the patient
	Note     Verb = "note"    // an entry on the record card
	End      Verb = "state"   // the end point
)

// Side is an eye of the patient, "right" or "left".
type Side string

// The two eyes.
const (
	Right Side = "right"
	Left  Side = "left"
)

// ChartName is a chart that can be shown.
type ChartName string

// The charts.
const (
	NoChart   ChartName = ""
	Fan       ChartName = "fan"
	Clock     ChartName = "clock"
	Sunburst  ChartName = "sunburst"
	Arrow     ChartName = "arrow"
	Blocks    ChartName = "blocks"
	Letters   ChartName = "letters"
	Letter    ChartName = "letter"
	Duochrome ChartName = "duochrome"
)

// Action is one thing that the examiner does. Only the fields of its verb are
// used and kept.
type Action struct {
	Do       Verb             `json:"do"`
	Eye      Side             `json:"eye,omitempty"`      // put, take, exchange, turn, hold, cover, uncover; empty is the tested eye
	Cell     string           `json:"cell,omitempty"`     // put, take, exchange, turn: "back", "front 1" ... "front 3"; empty lets the frame choose where that is plain
	Lens     string           `json:"lens,omitempty"`     // put, exchange, hold: as optics.Lens.Code writes it; an exchanged cylinder may leave its axis out
	OldFirst bool             `json:"oldFirst,omitempty"` // exchange: the old lens comes out before the new goes in
	NewFirst bool             `json:"newFirst,omitempty"` // exchange: the new lens goes in before the old comes out; with neither, the order that keeps more plus
	Axis     int              `json:"axis,omitempty"`     // turn, point: 1 to 180
	Chart    ChartName        `json:"chart,omitempty"`    // show
	Size     *float64         `json:"size,omitempty"`     // show letter, ask read: logMAR size of the row
	Question patient.Question `json:"question,omitempty"` // ask
	Leading  string           `json:"leading,omitempty"`  // ask: the answer that is put into the patient's mouth
	Field    string           `json:"field,omitempty"`    // note: vision, best sphere, estimated cylinder, fog, fan axis, duochrome
	Text     string           `json:"text,omitempty"`     // note: the entry; state: the correction, such as -1.00/-2.00x30
	Acuity   string           `json:"acuity,omitempty"`   // state: as written, such as 6/6-2
}

// goesOn tells whether an action goes on with the turn of a cylinder or of the
// arrow that the action before it was.
func (a Action) goesOn(before Action) bool {
	switch a.Do {
	case Turn:
		return before.Do == Turn && before.Eye == a.Eye && before.Cell == a.Cell
	case Point:
		return before.Do == Point
	}
	return false
}

// only keeps the fields that the verb uses.
func (a Action) only() Action {
	out := Action{Do: a.Do}
	switch a.Do {
	case Put:
		out.Eye, out.Cell, out.Lens = a.Eye, a.Cell, a.Lens
	case Exchange:
		out.Eye, out.Cell, out.Lens, out.OldFirst, out.NewFirst = a.Eye, a.Cell, a.Lens, a.OldFirst, a.NewFirst
	case Take:
		out.Eye, out.Cell = a.Eye, a.Cell
	case Turn:
		out.Eye, out.Cell, out.Axis = a.Eye, a.Cell, a.Axis
	case Hold:
		out.Eye, out.Lens = a.Eye, a.Lens
	case Lower, Cover, Uncover:
		out.Eye = a.Eye
	case Show:
		out.Chart, out.Size = a.Chart, copied(a.Size)
	case Point:
		out.Axis = a.Axis
	case Ask:
		out.Question, out.Leading, out.Size = a.Question, a.Leading, copied(a.Size)
	case Note:
		out.Field, out.Text = a.Field, a.Text
	case End:
		out.Text, out.Acuity = a.Text, a.Acuity
	}
	return out
}

func copied(v *float64) *float64 {
	if v == nil {
		return nil
	}
	c := *v
	return &c
}
