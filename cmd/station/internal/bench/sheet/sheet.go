// Package sheet has the small screens of the chair: what is laid in front of it
// to choose or to write something.
package sheet

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Sheet is one of them. What it wants done it adds to the wishes; it hands back
// desk.Close when it is closed, or what comes in its place.
type Sheet interface {
	Draw(d *desk.Desk, w View, out *wish.List) desk.Next
}

// View is what sheets are about.
type View struct {
	Brief     chair.Brief
	State     sitting.State
	Nose      nose.View
	Questions []patient.Question
	Charts    []chart.Name // that may be hung; none: all
	Practice  bool         // hints and the conoid can be had, and the sitting left
	NoConoid  bool         // it is hidden
	Hints     int
	Keys      []dialogs.Key
	Who       string       // whose practical it is and the clock, in few words; empty in practice
	Warning   string       // of time that runs out; empty: none
	Tools     []Tool       // that the bar has no room for
	Assessor  desk.Overlay // where the assessor comes in; nil where there is none
}

// Tool is a button that leads to another sheet.
type Tool struct {
	ID, Label string
	Wish      wish.Wish
}
