package classes

import (
	"time"

	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// ruling is what the assessor did to an attempt, when and why.
func ruling(v voice.Voice, r practical.Ruling) string {
	return v.Text(r.Do.Name(), "at", onClock(r.At), "reason", r.Reason, "time", fact.Seconds(r.Time.Seconds()), "from", r.From, "to", r.To)
}

// interruption is when an attempt stood still, and why as far as somebody said so.
func interruption(v voice.Voice, i practical.Interruption) string {
	switch {
	case i.Reason != "":
		return v.Text("practical.class.held", "at", onClock(i.Begun()), "on", onClock(i.Allowed), "reason", i.Reason)
	case i.Allowed.IsZero():
		return v.Text("practical.class.stopped", "at", onClock(i.Begun()))
	}
	return v.Text("practical.class.interrupted", "at", onClock(i.Begun()), "on", onClock(i.Allowed))
}

// rulings are all that the assessor did to an attempt on the day: the rulings, and
// when the time stood still.
func rulings(v voice.Voice, s *practical.Sheet) (all []string) {
	for _, i := range s.Interruptions {
		if i.Reason != "" {
			all = append(all, interruption(v, i))
		}
	}
	for _, r := range s.Rulings {
		all = append(all, ruling(v, r))
	}
	return all
}

func onClock(t time.Time) string { return t.Format("15:04") }
