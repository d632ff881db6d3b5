package sitting

import (
	"math"

	"conoid/sim/fact"
	"conoid/sim/patient"
)

// Standing is how things stood when an event of a sitting was over: for marks
// and debriefs only.
type Standing struct {
	Event                 // N is 0 for the beginning, before any event
	State         State   // what stands in the frames, what hangs on the wall
	Accommodation float64 // of the eyes, dioptres

	// Noiseless is what the same person would have said without noise, lapses,
	// hesitation and obligingness; nil when nothing was asked.
	Noiseless *patient.Answer
	// Expected is the acuity, in logMAR, expected over all noise when the whole
	// letter chart was read; nil otherwise.
	Expected *float64
}

// Retrace goes through the events of a sitting once more and tells how things
// stood after each; the first standing is that of the beginning. The sitting
// stays as it is, and what it worked out is used again.
func (s *Sitting) Retrace() ([]Standing, error) {
	t := s.Again(s.keys)
	m := s.setup.Manner
	t.setup.Manner = patient.Manner{Difference: m.Difference, Dominance: m.Dominance, Slowness: m.Slowness}
	out := []Standing{{State: t.State(), Accommodation: t.effort.Focus}}
	for _, e := range s.events {
		calm, err := t.Do(e.Action)
		if err != nil {
			return nil, fact.Because(err, "log.impossible", "n", fact.Count(e.N))
		}
		st := Standing{Event: e, State: t.State(), Accommodation: t.effort.Focus, Noiseless: calm.Answer}
		if e.Action.Question == patient.ReadLetters && e.Action.Size == nil && t.bench.state.shown().HasRows() {
			st.Expected = t.expected()
		}
		out = append(out, st)
	}
	return out, nil
}

// expected is the acuity that the open eyes are expected to reach, the better
// of two, as when they last read; nil when none was open.
func (s *Sitting) expected() *float64 {
	best := math.Inf(1)
	for _, l := range s.reads {
		best = math.Min(best, l.Acuity())
	}
	if math.IsInf(best, 1) {
		return nil
	}
	return &best
}
