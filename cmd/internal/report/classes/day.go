package classes

import (
	"strings"
	"time"

	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// ruling is what the assessor, or the staff of a service, did to an attempt, when and why, and
// in or before which case.
func ruling(v voice.Voice, c *class.Class, r practical.Ruling) string {
	id := r.Do.Name()
	if c.Served && r.Do == practical.Closed {
		id = "practical.class.closed.served"
	}
	return v.Text(id, "at", onClock(r.At), "n", caseName(v, c, r.Case), "reason", bare(r.Reason), "time", fact.Seconds(r.Time.Seconds()), "from", r.From, "to", r.To)
}

// setDown are the rulings by which an attempt is set down, to go on later.
var setDown = map[practical.Rule]string{practical.Left: "practical.class.put-away", practical.Carried: "practical.class.carried"}

// interruption is when an attempt of a sheet stood still, and why as far as somebody said so.
func interruption(v voice.Voice, s *practical.Sheet, i practical.Interruption) string {
	for _, r := range s.Rulings {
		if id, is := setDown[r.Do]; is && !r.At.Before(i.Begun()) && r.At.Before(i.Allowed) {
			return v.Text(id, "at", onClock(r.At), "time", fact.Seconds(i.Length().Round(time.Second).Seconds()), "from", onClock(i.Begun()), "on", onClock(i.Allowed))
		}
	}
	switch {
	case i.Reason != "":
		return v.Text("practical.class.held", "time", fact.Seconds(i.Length().Round(time.Second).Seconds()), "from", onClock(i.Begun()), "on", onClock(i.Allowed), "reason", bare(i.Reason))
	case i.Allowed.IsZero():
		return v.Text("practical.class.stopped", "at", onClock(i.Begun()))
	}
	return v.Text("practical.class.interrupted", "at", onClock(i.Begun()), "on", onClock(i.Allowed))
}

// rulings are all that the assessor did to an attempt on the day: the rulings, and
// when the time stood still.
func rulings(v voice.Voice, c *class.Class, s *practical.Sheet) (all []string) {
	for _, i := range stops(s.Interruptions) {
		if i.Reason != "" {
			all = append(all, interruption(v, s, i))
		}
	}
	for _, r := range s.Rulings {
		all = append(all, ruling(v, c, r))
	}
	return all
}

// stops are interruptions, of which one for a reason that went on over a stop of the program
// is told once.
func stops(all []practical.Interruption) (out []practical.Interruption) {
	for _, i := range all {
		n := len(out) - 1
		if n >= 0 && i.Reason != "" && i.Reason == out[n].Reason && i.Begun().Equal(out[n].Allowed) {
			out[n].Allowed = i.Allowed
			continue
		}
		out = append(out, i)
	}
	return out
}

// bare is a reason without a full stop, for a sentence that has one.
func bare(reason string) string { return strings.TrimRight(strings.TrimSpace(reason), ".") }

// onClock is a time of the day, to the second: what was done to all at once is to be told so.
func onClock(t time.Time) string { return t.Format(time.TimeOnly) }
