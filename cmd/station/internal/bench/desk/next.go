package desk

import (
	"time"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

// Screen is what fills the window. It has its own state and draws from that
// alone; what comes next it hands back.
type Screen interface {
	// Name is the screen's name in the status: home, bench, result, practical,
	// in the chair.
	Name() string
	// Draw describes the screen and does what the user did.
	Draw(d *Desk) Next
	// Tick lets so much time go by.
	Tick(d *Desk, spent time.Duration) Next
	// TakesFiles reports whether a file may be dropped now.
	TakesFiles() bool
}

// Seated is a screen with a patient in the chair.
type Seated interface {
	Patient(v voice.Voice) Patient
}

// Patient is what the status tells of a patient in the chair.
type Patient struct {
	Steps, Events int
	Said          string        // last
	Answers       int           // number of the event in which that was said
	Frame         string        // of the tested eye
	Clock         time.Duration // that is shown
}

// Overlay is a small screen in front of another.
type Overlay interface {
	Draw(d *Desk) Next
}

// Next is what is to come: only the router changes screens.
type Next interface{ next() }

type (
	// Stay leaves everything as it is.
	Stay struct{}
	// Home goes to the patients.
	Home struct{}
	// Open shows an overlay in front of the screen, in the place of another.
	Open struct{ Overlay Overlay }
	// Close closes the overlay.
	Close struct{}
	// Later has work done after the screen that shows a wait was painted; what
	// it gives comes then.
	Later struct{ Work func() Next }
	// Sit begins a sitting with a patient.
	Sit struct {
		Case *cases.Case
		How  seat.How
	}
	// GoOn goes on with a sitting that was left.
	GoOn struct{ Name string }
	// Seat shows the bench with a patient who is seated already.
	Seat struct{ Practice *seat.Practice }
	// Result shows what a sitting came to.
	Result struct{ Practice *seat.Practice }
	// Replay steps through a finished sitting.
	Replay struct{ Name string }
	// Leave leaves a sitting, which can go on later.
	Leave struct{}
	// Exam begins a practical that was handed out.
	Exam struct {
		Head    *practical.Sealed
		File    []byte
		Carried *practical.Parcel // an attempt that was carried here; nil for none
	}
	// Lesson shows an assignment that is kept.
	Lesson struct{ ID string }
	// EndExam goes home from a practical, and tells something there.
	EndExam struct{ Told string } // the ID of its words; empty for nothing
	// Bench shows another screen.
	Bench struct{ Screen Screen }
)

func (Stay) next()    {}
func (Home) next()    {}
func (Open) next()    {}
func (Close) next()   {}
func (Later) next()   {}
func (Sit) next()     {}
func (GoOn) next()    {}
func (Seat) next()    {}
func (Result) next()  {}
func (Replay) next()  {}
func (Leave) next()   {}
func (Exam) next()    {}
func (Lesson) next()  {}
func (EndExam) next() {}
func (Bench) next()   {}
