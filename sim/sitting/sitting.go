package sitting

import (
	"math"
	"slices"
	"time"

	"conoid/sim/eye"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
)

// Sitting is one examination under way: a bench, and the patient behind it. It
// is not for use by two goroutines at once.
type Sitting struct {
	setup     Setup
	keys      Keys
	bench     *Bench
	events    []Event
	asked     map[string]int
	before    settledView     // before the last change of a lens in a cell
	unheld    settledView     // before the last lens was held up
	explained bool            // the patient knows the task
	effort    patient.Effort  // accommodation of both eyes
	reads     []*patient.Look // with what letters were last read
	eyes      [2]*focused     // nil until an eye is looked through
	seen      *recent[view, *patient.Look]
	wants     *recent[view, patient.Demand] // accommodation wanted behind a frame
	renderer  *retina.Renderer
	focuser   *patient.Focuser
}

// Event is one accepted action and what came of it.
type Event struct {
	N      int             `json:"n"`  // 1, 2, 3 and so on
	At     float64         `json:"at"` // simulated seconds when the action was over
	Action Action          `json:"action"`
	Answer *patient.Answer `json:"answer,omitempty"`
	Aside  *Aside          `json:"aside,omitempty"`
}

// Aside is what went on around an event and changes nothing in the sitting: it
// is kept with the event, and is no part of what a replay compares.
type Aside struct {
	Wall      time.Time `json:"wall,omitzero"`       // when it was, by the clock on the wall
	Predicted string    `json:"predicted,omitempty"` // the answer that the examiner expected
	Opened    []string  `json:"opened,omitempty"`    // what the examiner looked at before it
	Hint      bool      `json:"hint,omitempty"`      // the next step was asked for before it
	Words     []string  `json:"words,omitempty"`     // the answer as it was really said
	Given     bool      `json:"given,omitempty"`     // it was done for the examiner, before their own work began
}

// Truth is what is hidden about one eye, for the marks and the debrief.
type Truth struct {
	Error   optics.Rx    // the clinical error
	Optical optics.Rx    // the lens that focuses paraxial light of eye.ReferenceNm, same place and distance
	Balance optics.Power // by how much the clinical error differs from it, dioptres at the cornea; see patient.Balance
	Best    float64      // best acuity expected, logMAR
	Grain   float64      // factor by which the nervous system is coarser than most people's
	Haze    float64      // share of light, 0 to 1, that is scattered beyond what the age does
}

// Limits is why no lens gives the eye a usual acuity, if that is so.
func (t Truth) Limits() (out []fact.Fact) {
	if t.Grain > 1 {
		out = append(out, fact.New("limit.neural", "best", fact.Row(t.Best), "grain", fact.Number(math.Round(10*t.Grain)/10)))
	}
	if percent := math.Round(100 * t.Haze); percent > 0 {
		out = append(out, fact.New("limit.haze", "percent", fact.Count(percent)))
	}
	return out
}

// Start seats the patient. The frames hold the objective result; both eyes are
// open and no chart is shown.
func Start(setup Setup, keys Keys) *Sitting { return StartPausing(setup, keys, nil) }

// StartPausing is Start for a program with a single thread: pause, if it is not
// nil, is called again and again during long work, here and in all that is done
// with the sitting later, so that the program can look after its user. It must
// not use the sitting.
func StartPausing(setup Setup, keys Keys, pause func()) *Sitting {
	r, f := retina.New(patient.Grid()), patient.NewFocuser()
	r.Pause = pause
	f.Pause(pause)
	s := seat(setup, keys, r, f)
	r.Between = pause // nobody else has the renderer yet
	s.effort = setup.Focusing.Rest(s.wanted())
	r.Between = nil
	return s
}

// PauseWithin has within be called again and again in the middle of an image as well, from
// now on. Until it returns nobody may do anything with the sitting, nor with one that was
// made from it by [Sitting.Again].
func (s *Sitting) PauseWithin(within func()) {
	s.renderer.Between = within
	s.focuser.PauseWithin(within)
}

func seat(setup Setup, keys Keys, r *retina.Renderer, f *patient.Focuser) *Sitting {
	b := NewBench(setup.Tested, setup.objective(), setup.Room)
	return &Sitting{
		setup: setup, keys: keys, renderer: r, focuser: f,
		bench:  b,
		before: settledView{frames: b.state.Frames},
		asked:  map[string]int{},
		seen:   newRecent[view, *patient.Look](mostSeen),
		wants:  newRecent[view, patient.Demand](mostWanted),
	}
}

// Again seats the same patient for another sitting, with fresh noise. What the
// first one worked out about the eyes and their views is kept, so that this costs
// nothing; the two must not be used at the same time.
func (s *Sitting) Again(keys Keys) *Sitting {
	next := seat(s.setup, keys, s.renderer, s.focuser)
	next.eyes, next.seen, next.wants = s.eyes, s.seen, s.wants
	next.effort = s.setup.Focusing.Rest(next.wanted())
	return next
}

// focused is an eye with its focus settled, and what is hidden about it.
type focused struct {
	eye.Eye
	truth Truth
}

// eye settles the focus of an eye from its clinical error, once.
func (s *Sitting) eye(side Side) *eye.Eye { return &s.settled(side).Eye }

func (s *Sitting) settled(side Side) *focused {
	i := side.Index()
	if s.eyes[i] == nil {
		e, vertex := s.setup.Eyes[i], s.setup.Room.Vertex
		own, best := e.Focused(s.renderer, vertex)
		truth := Truth{
			Error: e.Error, Balance: own.Balance, Best: best, Optical: behind(own.Needs, vertex),
			Grain: max(1, own.Grain), Haze: own.Haze(),
		}
		s.eyes[i] = &focused{own, truth}
	}
	return s.eyes[i]
}

// behind is the lens in the back cell that gives a vergence at the cornea from
// a chart at TruthDistance.
func behind(needs optics.Power, vertex float64) optics.Rx {
	arriving := optics.Sphere(-1 / (TruthDistance - vertex))
	return needs.Travel(-vertex).Sub(arriving).Rx()
}

// Do carries out an action. The error is a *Refusal when the action makes no
// sense now.
func (s *Sitting) Do(a Action) (Event, error) {
	a, err := s.bench.accept(a)
	if err != nil {
		return Event{}, err
	}
	e := Event{N: len(s.events) + 1, Action: a}
	s.apply(a)
	if a.Do == Ask {
		answer := s.answer(a)
		e.Answer = &answer
	}
	s.bench.listen(a, s.setup.Manner.Slowness*durations[Ask], s.accommodate)
	e.At = math.Round(s.bench.state.Seconds*10) / 10
	s.bench.Clock(e.At) // to the tenth, as everybody else has it
	s.events = append(s.events, e)
	return e, nil
}

// apply has an accepted action carried out before the patient, who remembers
// what the view was like before it.
func (s *Sitting) apply(a Action) {
	was, changes := settledView{s.bench.state.Frames, s.effort.Focus}, s.bench.changes
	s.bench.apply(a, s.accommodate)
	if s.bench.changes > changes {
		s.before = settledView{withoutHeld(was.frames), was.focus}
	}
	switch a.Do {
	case Hold:
		s.unheld = was
	case Explain:
		s.explained = true
	}
}

// withoutHeld are frames before which no lens is held up.
func withoutHeld(f [2]optics.Frame) [2]optics.Frame {
	for i := range f {
		f[i].Held = optics.Lens{}
	}
	return f
}

// Annotate keeps an aside with the last event, in place of what it had, and
// gives the event with it. Before any event there is nothing to keep it with.
func (s *Sitting) Annotate(a Aside) Event {
	if len(s.events) == 0 {
		return Event{}
	}
	a.Wall = a.Wall.Round(0).UTC() // as it can be written
	e := &s.events[len(s.events)-1]
	e.Aside = &a
	return *e
}

// Events are all accepted actions so far, with their answers and asides.
func (s *Sitting) Events() []Event { return slices.Clone(s.events) }

// State is how things stand.
func (s *Sitting) State() State {
	out := s.bench.State()
	out.Rows = s.rows()
	return out
}

// Questions are those that make sense now, as of [Bench.Questions].
func (s *Sitting) Questions() []patient.Question { return s.bench.Questions() }

// Steps counts all steps so far.
func (s *Sitting) Steps() Steps { return s.bench.Steps() }

// StepsOf counts the steps of the examination of an eye, as of [Bench.StepsOf].
func (s *Sitting) StepsOf(side Side) Steps { return s.bench.StepsOf(side) }

// EndPoint is what was stated at the end of the examination of an eye; false
// before.
func (s *Sitting) EndPoint(side Side) (EndPoint, bool) { return s.bench.EndPoint(side) }

// Keys are what the chance of this sitting is drawn from.
func (s *Sitting) Keys() Keys { return s.keys }

// Setup is what the sitting started from.
func (s *Sitting) Setup() Setup { return s.setup }

// Truth is what is hidden about an eye: for marks and debriefs only.
func (s *Sitting) Truth(side Side) Truth { return s.settled(side).truth }

// AcuityWith is the acuity, as logMAR, that an eye is expected to reach behind
// the lens rx in the back cell at TruthDistance, if it accommodates as
// suits letters best: for marks and debriefs only.
func (s *Sitting) AcuityWith(side Side, rx optics.Rx) float64 {
	e := *s.eye(side)
	at := optics.Required(rx, s.setup.Room.Vertex, TruthDistance)
	_, best := patient.ReadsBest(s.renderer, e, at, s.setup.Eyes[side.Index()].Amplitude)
	return best
}
