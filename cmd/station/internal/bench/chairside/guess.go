package chairside

import (
	"math"
	"slices"
	"time"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/expect"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// guessing is a question that waits for what the student expects of it.
type guessing struct {
	ask   wish.Ask
	guess expect.Guess // as far as it is chosen
}

// lastRow is where the choice of the smallest row begins, logMAR: at what was read last, or in
// the middle.
func lastRow(told []chair.Told) float64 {
	for _, t := range slices.Backward(told) {
		if a := t.Event.Answer; a != nil && a.Kind == patient.Read {
			return math.Round(10*a.LogMAR) / 10
		}
	}
	return 0.3
}

// predicted is the question that waits, if the student is to say first what will be said
// to it, of rows beginning at one, logMAR; nil if it is asked at once.
func predicted(q wish.Ask, hung chart.Name, row float64) *guessing {
	switch {
	case q.Leading != "" || q.Size != nil:
		return nil
	case q.Question == patient.ReadLetters && !chart.Named(hung).HasRows():
		return nil
	case q.Question == patient.ReadLetters:
		return &guessing{q, expect.Guess{Kind: patient.Read, Row: row}}
	}
	return &guessing{ask: q}
}

// marks are the marks of the chart that hangs.
func marks(st sitting.State) []chart.Line {
	return chart.Named(st.Chart).Marks(chart.Hung{Pointer: float64(st.Pointer)})
}

// heardOf is what was expected of the last question and said to it, while the chart still
// hangs as it did.
func heardOf(c chair.Chair) *wall.Heard {
	now := c.State()
	for _, t := range slices.Backward(c.Talk()) {
		if t.After.Chart != now.Chart || t.After.Pointer != now.Pointer || t.After.Frames != now.Frames {
			return nil
		}
		e := t.Event
		if e.Answer == nil {
			continue
		}
		if e.Aside == nil || e.Aside.Predicted == "" {
			return nil
		}
		g, ok := expect.Parse(e.Aside.Predicted)
		if !ok || g.Holds(*e.Answer) == expect.Open {
			return nil
		}
		return &wall.Heard{Question: e.Action.Question, Guess: g, Answer: *e.Answer, Marks: marks(now)}
	}
	return nil
}

// sees is the patient's view that opens by itself with an answer, for who is led.
type sees struct {
	open  bool
	since time.Duration
}

// opening is how long the curtain takes.
const opening = 250 * time.Millisecond

// curtain is the share of the card that shows the chart as it hangs.
func (s sees) curtain(d *desk.Desk, chosen float64) float64 {
	if !s.open || chosen < 1 {
		return chosen
	}
	share := 1.0
	if past := d.At - s.since; past < opening && !d.Settings.Now().Still {
		share = float64(past) / float64(opening)
		d.UI.Again()
	}
	return 1 - (1-wall.Ajar)*share
}

// answered opens the view to who is led, with the answer.
func (s *Screen) answered(d *desk.Desk, news []chair.Told) {
	heard := slices.ContainsFunc(news, func(t chair.Told) bool { return t.Event.Answer != nil })
	if !heard || !s.helps(chair.Led) {
		return
	}
	s.hands.sees = sees{open: true, since: d.At}
	if wall.Swaps(s.visit.State().Chart) {
		s.hands.peeps.of[wish.PatientsView] = peep{open: true, latched: true}
	}
}

// changes reports whether an action changes what the patient sees.
func changes(do sitting.Verb) bool {
	switch do {
	case sitting.Ask, sitting.Explain, sitting.Note, sitting.End:
		return false
	}
	return true
}

// shut shuts the view again.
func (h *Hands) shut() {
	h.sees = sees{}
	h.peeps.of[wish.PatientsView] = peep{}
}
