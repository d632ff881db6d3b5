// Package wish is what the hands want done at the chair, as values: the drawings
// hand them back, and the screen does them.
package wish

import (
	"conoid/cmd/internal/expect"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Wish is one thing that is wanted.
type Wish interface{ wish() }

type (
	// Do wants an action done at once.
	Do struct{ Action sitting.Action }
	// Soon wants an action done once the screen was painted that says so.
	Soon struct{ Action sitting.Action }
	// Ask wants a question asked.
	Ask struct {
		Question patient.Question
		Size     *float64 // of the row to read, logMAR; nil: from the top
		Leading  string   // the answer that is put into the patient's mouth
	}
	// Guess asks a question of which the student expects an answer, or none.
	Guess struct {
		Ask   Ask
		Guess expect.Guess
	}
	// Expect has the student expect an answer to the question that waits for it.
	Expect struct{ Guess expect.Guess }
	// Unask takes that question back.
	Unask struct{}
	// Touch lays the hand on a cell.
	Touch struct{ Cell optics.Cell }
	// Hold has something turned in the hand, and shown so.
	Hold struct{ Turning Turning }
	// Release leaves it where it was turned to.
	Release struct{}
	// Curtain draws the curtain across the wall: so much of it shows the chart as
	// it hangs. Keep is false while it is being dragged.
	Curtain struct {
		To   float64
		Keep bool
	}
	// Peep wants a view for as long as a button is held; Latch leaves it there until
	// the next press.
	Peep struct {
		What        Glimpse
		Over, Latch bool
	}
	// Show wants a sheet laid in front.
	Show struct{ Sheet Sheet }
	// TrialSet wants a lens for a cell from the set.
	TrialSet struct{ Cell optics.Cell }
	// Undo wants the last change of a lens put back.
	Undo struct{}
	// Hand lays the cylinders to hold up at hand, or the spheres; Axis is where they are
	// held, 1 to 180.
	Hand struct {
		Cylinders bool
		Axis      int
	}
	// Lean leans in to the frame, which then takes the wall's place, or back again.
	Lean struct{ Back bool }
	// Conoid shows the conoid, or hides it.
	Conoid struct{ Hidden bool }
	// Leave leaves the sitting, which can go on later.
	Leave struct{}
	// Tell wants something told that cannot be done.
	Tell struct{ ID string }
)

func (Do) wish()       {}
func (Soon) wish()     {}
func (Ask) wish()      {}
func (Guess) wish()    {}
func (Expect) wish()   {}
func (Unask) wish()    {}
func (Touch) wish()    {}
func (Hold) wish()     {}
func (Release) wish()  {}
func (Curtain) wish()  {}
func (Peep) wish()     {}
func (Show) wish()     {}
func (TrialSet) wish() {}
func (Undo) wish()     {}
func (Hand) wish()     {}
func (Lean) wish()     {}
func (Conoid) wish()   {}
func (Leave) wish()    {}
func (Tell) wish()     {}

// Sheet is a small screen of the chair's.
type Sheet uint8

// The sheets.
const (
	Menu Sheet = iota
	EndPoint
	Card
	Hint
	Rows
	Leading
	Charts
)

// Glimpse is a view that is held.
type Glimpse uint8

// The views.
const (
	PatientsView Glimpse = iota
	ViewBefore           // before the last change
)

// Turning is a cylinder or an arrow in the hand.
type Turning struct {
	Arrow  bool
	Lifted bool        // a cylinder that is held up
	Cell   optics.Cell // of another cylinder
	Grab   float64     // what was turned, less the angle of the pointer, when it was taken, degrees
	To     int         // 1 to 180
}

// List is what was wished in a frame, in order.
type List []Wish

// Add adds wishes.
func (l *List) Add(w ...Wish) { *l = append(*l, w...) }
