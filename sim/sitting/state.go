package sitting

import (
	"fmt"
	"strings"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Index is the place of an eye in a pair: 0 for the right, 1 for the left.
func (s Side) Index() int {
	if s == Left {
		return 1
	}
	return 0
}

// Other is the fellow eye.
func (s Side) Other() Side {
	if s == Left {
		return Right
	}
	return Left
}

// State is how things stand at one moment of a sitting, as the examiner sees
// them. Index 0 of a pair is the right eye, 1 the left.
type State struct {
	Frames  [2]optics.Frame
	Covered [2]bool
	Chart   chart.Name
	Pointer int               // label that the arrow points at, 1 to 180
	Size    float64           // logMAR of the single letter
	Rows    []patient.RowRead // letters in view, nothing said yet; largest row first
	Showing int               // how often letters were shown so far: each time they are others
	Card    map[Field]string  // record card
	Seconds float64           // simulated time
}

// view names what is looked at through which lenses, in canonical words: two
// views of one name look alike.
func (s *State) view() string {
	var b strings.Builder
	for i, f := range s.Frames {
		if s.Covered[i] {
			b.WriteString("covered;")
			continue
		}
		for _, l := range f.Lenses {
			fmt.Fprintf(&b, "%s,", l.Code())
		}
		fmt.Fprintf(&b, "%s;", f.Held.Code())
	}
	fmt.Fprintf(&b, "%s", s.Chart)
	switch c := s.shown(); {
	case c.Pointed:
		fmt.Fprintf(&b, " %d", s.Pointer)
	case c.Sized:
		fmt.Fprintf(&b, " %.1f", s.Size)
	}
	if s.Chart.Is(chart.LetterChart) {
		fmt.Fprintf(&b, " showing %d", s.Showing)
	}
	return b.String()
}

// Steps counts what was done, by kind. An unbroken turn of a cylinder or of
// the arrow is one step.
type Steps struct {
	Lens     int `json:"lens"`
	Chart    int `json:"chart"`
	Question int `json:"question"`
}

// Total is the number of steps of all kinds.
func (s Steps) Total() int { return s.Lens + s.Chart + s.Question }

// plus is the sum of both.
func (s Steps) plus(o Steps) Steps {
	return Steps{s.Lens + o.Lens, s.Chart + o.Chart, s.Question + o.Question}
}

// count adds the step, if it is one, that the last event took.
func (s *Steps) count(before, now Action) {
	switch now.Do {
	case Put, Take, Exchange, Hold:
		s.Lens++
	case Turn:
		if !now.goesOn(before) {
			s.Lens++
		}
	case Show:
		s.Chart++
	case Point:
		if !now.goesOn(before) {
			s.Chart++
		}
	case Ask:
		s.Question++
	}
}

// StepsAfter are the numbers of steps that were taken after each of some events, from
// the first event on. An event that is no step of its own has that of the step before.
func StepsAfter(events []Event) []int {
	out := make([]int, 0, len(events))
	var n Steps
	var before Action
	for _, e := range events {
		n.count(before, e.Action)
		out, before = append(out, n.Total()), e.Action
	}
	return out
}

// EndPoint is the correction that the examiner states at the end.
type EndPoint struct {
	Rx     optics.Rx
	Acuity patient.Acuity
}

// Refusal says why an action was not accepted. A refused action is no step and
// changes nothing.
type Refusal struct{ fact.Fact }

func (r *Refusal) Error() string { return r.Fact.String() }

func refuse(why fact.Fact) error { return &Refusal{why} }
