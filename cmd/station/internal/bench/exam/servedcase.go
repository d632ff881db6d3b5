package exam

import (
	"time"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/line"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// How long nothing may come back before the bench says so: of what was done, of how the
// time stands, which is heard with every beat, and so long that a hand is to be raised. Our
// choice.
const (
	unheard = 3 * time.Second
	unsaid  = 2*beats + unheard
	hand    = time.Minute
)

// servedUse is a case under way at a service. The time runs there.
type servedUse struct {
	x    *Served
	said *wire.Seat
	v    *chair.Visit
	line *line.Chair

	bench  *chairside.Screen // on which it is
	warned runsOut           // what the candidate was told last
	limit  time.Duration     // for the case, as it was heard last; 0 before, and for none
	fewLeft
}

// Tick implements chairside.Use.
func (u *servedUse) Tick(d *desk.Desk, _ time.Duration, _ bool) desk.Next {
	if next := u.goesOn(d); next != (desk.Stay{}) {
		return next
	}
	if u.x.s.now().Held {
		return desk.Bench{Screen: &ServedHeld{u: u, bench: u.bench}}
	}
	return desk.Stay{}
}

// goesOn takes in what the service has said since, and leaves a case that is not under way
// any more.
func (u *servedUse) goesOn(d *desk.Desk) desk.Next {
	if said, err := u.x.s.heard(); said == nil || err != nil {
		if err != nil {
			d.Notice.Refuse(err)
		}
		return u.back()
	}
	now := u.x.s.now()
	if gone := u.line.Gone(); gone != nil {
		d.Notice.Refuse(inWords(gone))
		return u.back()
	}
	if now.Stage != wire.Running || now.Place != u.said.Place {
		if u.v.Busy() {
			return desk.Stay{} // an answer that is on its way comes first
		}
		return u.back()
	}
	u.renumbered(d, now.Number)
	u.x.ends(d)
	u.warn(d, now)
	u.warnOfFew(d, u.v.Chair, u.said.Places)
	if u.v.Busy() {
		d.UI.Wake(d.At + 50*time.Millisecond)
	}
	if _, is := u.unheard(); is { // the clock stands still then, and wakes nobody
		d.UI.Wake(d.At + time.Second)
	}
	return desk.Stay{}
}

// renumbered takes in the number of the candidate, which may have been corrected.
func (u *servedUse) renumbered(d *desk.Desk, number string) {
	if number == "" || number == u.said.Candidate {
		return
	}
	said := *u.said
	said.Candidate = number
	u.said = &said
	u.x.knows(d, number)
}

// due is the warning that is due; false for none.
func (u *servedUse) due(now wire.Clock) (runsOut, bool) {
	if now.Left == nil || now.Stage != wire.Running {
		return runsOut{}, false
	}
	left, due := practical.WarningOf(*now.Left, now.Elapsed)
	return runsOut{left, due && now.Whole}, due
}

// back goes to what stands between the cases.
func (u *servedUse) back() desk.Next {
	_, u.x.form, _ = u.bench.Standing()
	u.x.s.leave()
	return desk.Bench{Screen: u.x}
}

// Clock implements chairside.Use.
func (u *servedUse) Clock() time.Duration { return u.x.s.now().Elapsed }

// Facts implements chairside.Use. While nothing comes back that is said, too.
func (u *servedUse) Facts(v voice.Voice, c chair.Chair) []string {
	now, steps := u.x.s.now(), fact.Count(c.Steps().Total())
	who := u.said.Candidate
	if since, is := u.unheard(); is {
		return unheardFacts(v, who, u.shows(now), since)
	}
	if now.Held {
		return []string{v.Text("bench.exam.who", "candidate", who, "facts", v.Text("bench.served.held")), who}
	}
	clock, eye := u.shows(now), chairside.Eye(v, c.Brief().Tested)
	few := v.Text("bench.bar.few", "clock", clock, "steps", steps)
	facts := []string{few, few}
	if u.limited(now) {
		facts = chairside.LeftFacts(v, eye, clock, steps)
	}
	return numbered(v, who, clock, facts)
}

// limited reports whether the candidate is shown how much time is left.
func (u *servedUse) limited(now wire.Clock) bool { return now.Left != nil && u.said.ShowClock }

// shows is the time that the candidate is shown: how much is left, or was used.
func (u *servedUse) shows(now wire.Clock) time.Duration {
	if u.limited(now) {
		return *now.Left
	}
	return now.Elapsed
}

// unheardFacts are the candidate's number and time as they were heard last, and that nothing
// came back since, down to the fewest.
func unheardFacts(v voice.Voice, who string, clock, since time.Duration) []string {
	about := "bench.served.unheard.about"
	if since >= hand {
		about = "bench.served.unheard.hand"
	}
	few := v.Text("bench.served.unheard", "clock", since)
	at := func(facts string) string { return v.Text("bench.served.at", "clock", clock, "facts", facts) }
	return []string{
		v.Text("bench.exam.who.few", "candidate", who, "facts", at(v.Text(about, "clock", since))),
		v.Text("bench.exam.who.few", "candidate", who, "facts", at(few)), v.Text("bench.exam.who.few", "candidate", who, "facts", few), v.Value(since),
	}
}

// unheard is for how long nothing came back, if that is to be said.
func (u *servedUse) unheard() (since time.Duration, is bool) {
	if since, waits := u.line.Waits(); waits && since >= unheard {
		return since, true
	}
	since = u.x.s.quiet()
	return since, since >= unsaid
}

// Warning implements chairside.Use.
func (u *servedUse) Warning(v voice.Voice) string {
	now, due := u.due(u.x.s.now())
	if !due {
		return ""
	}
	return v.Sentence(v.Value(now.fact()))
}

// Tells is what the service has told in passing; empty for nothing.
func (u *servedUse) Tells(v voice.Voice) string {
	if f := u.x.told; f != nil {
		return v.Sentence(v.Value(*f))
	}
	return ""
}

// Stated implements chairside.Use.
func (u *servedUse) Stated(*desk.Desk) desk.Next { return u.back() }

// Practice implements chairside.Use.
func (*servedUse) Practice() *seat.Practice { return nil }
