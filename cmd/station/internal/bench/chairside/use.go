package chairside

import (
	"time"

	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Use is what a sitting is for: practice, or a practical.
type Use interface {
	// Tick lets its clock run; paused is true while the menu is open.
	Tick(d *desk.Desk, spent time.Duration, paused bool) desk.Next
	// Clock is the time that is shown.
	Clock() time.Duration
	// Facts are what stands in the bar, and the same in ever fewer words.
	Facts(v voice.Voice, c chair.Chair) []string
	// Warning is what stands in forms while the time runs out; empty before.
	Warning(v voice.Voice) string
	// Stated tells that the end point was stated.
	Stated(d *desk.Desk) desk.Next
	// Practice is the sitting of one's own; nil in a practical.
	Practice() *seat.Practice
}

// attended is a use at which an assessor comes in.
type attended interface{ Assessor() desk.Overlay }

// telling is a use of which something else is told in the bar, too, while that is the notice.
type telling interface{ Tells(v voice.Voice) string }

// practice is the use of a sitting of one's own.
type practice struct{ p *seat.Practice }

func (u practice) Tick(d *desk.Desk, spent time.Duration, paused bool) desk.Next {
	if paused || spent <= 0 {
		return desk.Stay{}
	}
	// A machine that slept, or a page that was hidden, did not examine anybody.
	if due := u.p.Visit().Tick(min(spent, time.Second)); due {
		d.Check(u.p.Keep())
	}
	return desk.Stay{}
}

func (u practice) Clock() time.Duration { return u.p.Notes().Clock }

func (u practice) Facts(v voice.Voice, c chair.Chair) []string {
	if left, limited := u.p.Notes().Terms.Left(u.Clock()); limited {
		return limitFacts(v, c, left)
	}
	return PracticeFacts(v, c, u.Clock())
}

// limitFacts are whose eye it is, what is left of the time, or by how much it is over, and
// the steps.
func limitFacts(v voice.Voice, c chair.Chair, left time.Duration) []string {
	steps, eye := fact.Count(c.Steps().Total()), Eye(v, c.Brief().Tested)
	if left < 0 {
		return []string{v.Text("bench.lesson.over", "clock", -left, "steps", steps)}
	}
	return LeftFacts(v, eye, left, steps)
}

// LeftFacts are whose eye it is, how much time is left, and the steps.
func LeftFacts(v voice.Voice, eye string, left time.Duration, steps fact.Count) []string {
	return []string{v.Text("bench.exam.left", "eye", eye, "clock", left, "steps", steps), v.Text("bench.exam.few", "clock", left, "steps", steps)}
}

// PracticeFacts are whose eye it is, the clock, the steps and the patient's own
// time.
func PracticeFacts(v voice.Voice, c chair.Chair, clock time.Duration) []string {
	b, steps := c.Brief(), fact.Count(c.Steps().Total())
	all := v.Text("bench.bar.facts", "eye", Eye(v, b.Tested), "clock", clock, "steps", steps, "lived", Lived(c.State().Seconds))
	return []string{all, v.Text("bench.bar.few", "clock", clock, "steps", steps)}
}

// Lived is simulated time as the patient lived it.
func Lived(seconds float64) time.Duration { return time.Duration(seconds) * time.Second }

// Eye is an eye at the beginning of a sentence.
func Eye(v voice.Voice, side sitting.Side) string {
	return v.Capital(v.Text("eye." + string(side)))
}

func (practice) Warning(voice.Voice) string { return "" }

func (u practice) Stated(*desk.Desk) desk.Next { return desk.Result{Practice: u.p} }

func (u practice) Practice() *seat.Practice { return u.p }
