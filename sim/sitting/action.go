// Package sitting is one examination: actions go in, answers come out, and
// the log of both is the whole of it. A sitting knows no file and no clock.
//
// It has two sides. A [Bench] is the examiner's: frames, lenses, the occluder,
// charts, the record card, steps and time. It says what can be done and how
// things stand then, and needs no eye for that. A [Sitting] has a bench and the
// patient who looks at what stands on it: eyes, accommodation, noise, letters
// and answers. Where the patient is elsewhere, a bench alone goes ahead of the
// sitting: it accepts and refuses what the sitting will, and only letters,
// answers and the time they took have to come from there.
package sitting

import (
	"strings"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Verb is what the examiner does.
type Verb string

// Name is the name of a verb in the words.
func (v Verb) Name() string { return "verb." + string(v) }

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

// Name is the name of an eye in the words.
func (s Side) Name() string { return "eye." + string(s) }

// The two eyes.
const (
	Right Side = "right"
	Left  Side = "left"
)

// Action is one thing that the examiner does. Only the fields of its verb are
// used and kept.
type Action struct {
	Do       Verb             `json:"do"`
	Eye      Side             `json:"eye,omitempty"`      // put, take, exchange, turn, hold, cover, uncover; empty is the tested eye
	Cell     Place            `json:"cell,omitempty"`     // put, take, exchange, turn; the zero value lets the frame choose where that is plain
	Lens     optics.Lens      `json:"lens,omitzero"`      // put, exchange, hold, and take to say which; an exchanged cylinder may leave its axis out
	OldFirst bool             `json:"oldFirst,omitempty"` // exchange: the old lens comes out before the new goes in
	NewFirst bool             `json:"newFirst,omitempty"` // exchange: the new lens goes in before the old comes out; with neither, the order that keeps more plus
	Axis     int              `json:"axis,omitempty"`     // turn, point: 1 to 180
	Chart    chart.Name       `json:"chart,omitempty"`    // show
	Size     *float64         `json:"size,omitempty"`     // show letter, ask read: logMAR size of the row
	Question patient.Question `json:"question,omitempty"` // ask
	Leading  string           `json:"leading,omitempty"`  // ask: the answer that is put into the patient's mouth
	Field    Field            `json:"field,omitempty"`    // note
	Text     string           `json:"text,omitempty"`     // note: the entry
	Rx       *optics.Rx       `json:"rx,omitempty"`       // state: the correction
	Acuity   patient.Acuity   `json:"acuity,omitzero"`    // state, if one was measured
}

// Place is the cell that an action is about. The zero value names none.
type Place uint8

// In is the place that is a cell.
func In(c optics.Cell) Place { return Place(c) + 1 }

// Cell is the cell that is named; false when none is.
func (p Place) Cell() (c optics.Cell, named bool) {
	if p == 0 {
		return 0, false
	}
	return optics.Cell(p - 1), true
}

// String is the name of the cell, or "".
func (p Place) String() string {
	if c, named := p.Cell(); named {
		return c.String()
	}
	return ""
}

// MarshalText writes the name of the cell.
func (p Place) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads the name of a cell.
func (p *Place) UnmarshalText(text []byte) error {
	c, err := optics.ParseCell(string(text))
	if err == nil {
		*p = In(c)
	}
	return err
}

// Field is an entry of the record card.
type Field string

// The entries of the record card.
const (
	VisionField    Field = "vision"
	SphereField    Field = "best sphere"
	CylinderField  Field = "estimated cylinder"
	FogField       Field = "fog"
	AxisField      Field = "fan axis"
	DuochromeField Field = "duochrome"
)

// Name is the name of an entry in the words.
func (f Field) Name() string { return "field." + strings.ReplaceAll(string(f), " ", "-") }

// Fields are the entries of the record card, in their order.
func Fields() []Field {
	return []Field{VisionField, SphereField, CylinderField, FogField, AxisField, DuochromeField}
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
		out.Rx, out.Acuity = copied(a.Rx), a.Acuity
	}
	return out
}

func copied[T any](v *T) *T {
	if v == nil {
		return nil
	}
	c := *v
	return &c
}
