// Package talk draws what is said: what can be asked, the newest answer, what the
// guide advises, and all that was said so far.
package talk

import (
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/patient"
)

// View is what is to be drawn of the talk.
type View struct {
	Who     string
	Intro   []Line
	Entries []Entry
	Last    *Answer // the newest; nil before the first
}

// Answer is what was said to a question.
type Answer struct {
	Asked, Said string
	Behind      string // which lenses, and the how manieth it was
	Guessed     string // what the student expected, and how that compares; empty for nothing
}

// Entry is what is told of one event.
type Entry []Line

// Line is a text of the talk.
type Line struct {
	Text  string
	Style ui.Style
	Cells []string // of a line of a table; the text is all of them
}

// Asking is what can be asked now, and what the guide advises.
type Asking struct {
	Advice    *Advice
	Waiting   string // the patient is looking; nothing can be asked
	Questions []Question
	Rows      bool       // a single row can be asked for
	Lead      bool       // a leading question can be asked
	Expecting *Expecting // nil: no question waits for what the student expects
}

// Question is a question that can be asked.
type Question struct {
	Question patient.Question
	Label    string
}

// Advice is the next step of the method with what can be pressed to take it.
type Advice struct {
	Stage      int    // of the method, from 1
	Title      string // of the stage
	Head, Text string
	Steps      []Step
	States     bool // the step is to state the end point
}

// Step is one thing to do.
type Step struct {
	Label string
	Wish  wish.Wish
}
