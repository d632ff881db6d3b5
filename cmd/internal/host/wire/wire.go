// Package wire has what a candidate's bench and the service say to one another:
// JSON over HTTP. Nothing of the truth is in it, and no chance of a patient.
package wire

import (
	"strings"
	"time"

	"conoid/cases"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Where the requests go. All but [StatePath] are POST.
const (
	EnterPath = "/s/enter" // Enter, gives a Seat
	StatePath = "/s/state" // gives a Seat
	ClaimPath = "/s/claim" // Tab, gives a Seat: this page takes the place
	BeginPath = "/s/begin" // Tab, gives a Seat: the next case begins
	ActPath   = "/s/act"   // Act, gives a Done
	BeatPath  = "/s/beat"  // Tab, gives a Clock
	LeavePath = "/s/leave" // Tab, gives a Seat: whoever is through leaves the place, and another ticket can be used
)

// Silent is how long nothing is heard of a bench before the candidate's time stands still:
// our choice.
const Silent = 15 * time.Second

// TicketLetters is how long a ticket is: 12 letters of 24 are 55 bits, and it is good
// once. A session has 256 bits, and 64 are enough (OWASP Session Management Cheat Sheet).
const TicketLetters = 12

// Written is a ticket as it is meant, however it was typed.
func Written(ticket string) string {
	return strings.Map(func(c rune) rune {
		if c == '-' || c == ' ' {
			return -1
		}
		return c
	}, strings.ToUpper(ticket))
}

// Enter is a candidate at the door.
type Enter struct {
	Ticket string `json:"ticket"`
	ID     string `json:"id"` // 128 random bits: the same when it is sent again
}

// Tab is a page of a candidate that is in use.
type Tab struct {
	Tab    string `json:"tab"`              // made at random by the page
	Hidden bool   `json:"hidden,omitempty"` // nobody can see it, as a beat says
}

// Act is an action.
type Act struct {
	Tab    string         `json:"tab"`
	Place  int            `json:"place"` // of the case in the candidate's order, from 1
	N      int            `json:"n"`     // of the event that it is to become
	ID     string         `json:"id"`    // 128 random bits: the same when it is sent again
	Action sitting.Action `json:"action"`
}

// Stage is how far a candidate has come.
type Stage string

// The stages.
const (
	Door    Stage = "door"    // nobody has come in with this page
	Lobby   Stage = "lobby"   // the ticket was right: somebody is to let the candidate in
	Ready   Stage = "ready"   // a case comes next
	Running Stage = "running" // a case is under way
	Over    Stage = "over"    // everything was handed in
)

// Cut is the case before, if its time was up before an end point was stated.
type Cut struct {
	Place int  `json:"place"`           // from 1; 0: it was stated, or somebody closed it
	Whole bool `json:"whole,omitempty"` // the time for everything was up
}

// Clock is how the time stands.
type Clock struct {
	Stage   Stage          `json:"stage"`
	Number  string         `json:"number,omitempty"` // of the candidate, which may have been corrected since
	Place   int            `json:"place"`            // of the case that is under way or comes next, from 1
	Waits   bool           `json:"waits,omitempty"`  // the practical is not open yet
	Held    bool           `json:"held,omitempty"`   // the time stands still, for everybody or for this candidate
	Shut    bool           `json:"shut,omitempty"`   // the practical is closed: nobody is let in any more
	Elapsed time.Duration  `json:"elapsed"`          // of the case under way
	Left    *time.Duration `json:"left,omitempty"`   // for it; nil: no limit
	Whole   bool           `json:"whole,omitempty"`  // that is what is left in all
}

// Seat is all that a bench has to know when it comes.
type Seat struct {
	Clock
	Title     string        `json:"title"` // of the practical
	Rehearsal bool          `json:"rehearsal,omitempty"`
	Candidate string        `json:"candidate"`
	Tab       string        `json:"tab,omitempty"` // of the page that has the place
	Places    int           `json:"places"`        // how many cases there are
	PerCase   time.Duration `json:"perCase,omitempty"`
	Total     time.Duration `json:"total,omitempty"`
	Spent     time.Duration `json:"spent"` // for the cases that are over
	ShowClock bool          `json:"showClock"`
	Code      string        `json:"code,omitempty"`   // once it is over
	Closed    bool          `json:"closed,omitempty"` // likewise: somebody closed it before the candidate was through
	Cut       Cut           `json:"cut,omitzero"`
	Rest      int           `json:"rest,omitempty"` // how many cases were not begun, once it is over
	Released  bool          `json:"released,omitempty"`
	Shown     bool          `json:"shown,omitempty"`     // once they are released: candidates are shown their points
	Points    []float64     `json:"points,omitempty"`    // likewise, of the cases in the candidate's order; none for a result that has none
	Withdrawn []int         `json:"withdrawn,omitempty"` // likewise, the places of those that count for nobody, from 1

	Patient *Patient `json:"patient,omitempty"` // while a case is under way
}

// Patient is the case under way, as whoever sits down is told of it.
type Patient struct {
	Texts      cases.Texts            `json:"texts"`
	Translated map[string]cases.Texts `json:"translated,omitempty"`
	Name       string                 `json:"name,omitempty"`
	Age        float64                `json:"age"`
	Tested     sitting.Side           `json:"tested"`
	Room       sitting.Room           `json:"room"`
	Objective  [2]optics.Rx           `json:"objective"`
	Card       cases.Card             `json:"card"`
	Events     []Event                `json:"events"`
}

// Event is an action that was done, and what came of it.
type Event struct {
	N      int               `json:"n"`
	At     float64           `json:"at"` // simulated seconds when it was over
	Action sitting.Action    `json:"action"`
	Answer *patient.Answer   `json:"answer,omitempty"`
	Rows   []patient.RowRead `json:"rows,omitempty"` // letters in view after it
}

// Done is the reply to an action.
type Done struct {
	Clock
	Event Event `json:"event"`
}

// Problem is why something was not done. It is an error, and what is sent as the
// reply.
type Problem struct {
	Kind  Kind    `json:"kind"`
	Since []Event `json:"since,omitempty"` // Behind: the events from the number on that was sent
	Clock *Clock  `json:"clock,omitempty"`
}

// Kind is a kind of problem.
type Kind string

// The kinds of problems.
const (
	NoSession Kind = "no-session" // nobody has a place with this session, or this ticket
	Elsewhere Kind = "elsewhere"  // another page of the candidate has the place
	Behind    Kind = "behind"     // other actions were done meanwhile
	Ahead     Kind = "ahead"      // an action before this one is missing
	Refused   Kind = "refused"    // the action makes no sense now
	Held      Kind = "held"       // the time stands still
	NotNow    Kind = "not-now"    // another stage than the request is for, or the time is up
	NotKept   Kind = "not-kept"   // it could not be kept, and has not happened
	Malformed Kind = "malformed"  // the request cannot be read
	TooMany   Kind = "too-many"   // requests
)

// Error is for programmers.
func (p *Problem) Error() string { return "wire: " + string(p.Kind) }
