package exam

import (
	"time"

	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// use is a sitting of a practical: its time runs, whatever the candidate does:
// in front of an open menu, and behind a hidden window.
type use struct {
	x      *room
	v      *chair.Visit
	last   practical.Examining // as it was looked at last
	warned runsOut             // what the candidate was told last
	fewLeft
	form func() (act sitting.Action, open bool, err error)
	up   *fact.Fact // what the candidate is told when the time is up; nil before
}

// now is the case under way; as it was when it was handed in, once it is.
func (u *use) now() practical.Examining {
	if s, is := u.x.attempt.State().(practical.Examining); is {
		u.last = s
	}
	return u.last
}

func (u *use) Tick(d *desk.Desk, spent time.Duration, _ bool) desk.Next {
	if _, is := u.x.attempt.State().(practical.Examining); !is {
		return desk.Stay{}
	}
	ready := !d.Work.Busy() && !u.v.Busy() // an answer that is on its way comes first
	if chair.Over(u.v.Chair) {             // it could not be handed in before
		if !ready {
			return desk.Stay{}
		}
		return u.Stated(d)
	}
	up, err := u.x.attempt.Tick(d.Now(), spent)
	u.warn(d)
	u.warnOfFew(d, u.v.Chair, len(u.x.plan.Cases))
	d.Check(err)
	if up && ready {
		return u.timeUp(d)
	}
	return desk.Stay{}
}

// warn tells once when the time runs out, and again shortly before it does.
func (u *use) warn(d *desk.Desk) {
	now, due := u.due()
	if due && now != u.warned {
		d.Notice.Say(now.fact())
	}
	u.warned = now // none is due: there may be more time again, and less after that
}

// due is the warning that is due; false for none.
func (u *use) due() (runsOut, bool) {
	left, due := u.now().Warning()
	return runsOut{left, due && u.now().Whole()}, due
}

// runsOut is the time that a candidate was warned to have left at most: for the case, or in
// all where that is what runs out. Zero is no warning.
type runsOut struct {
	left  time.Duration
	whole bool
}

func (r runsOut) fact() fact.Fact {
	f := fact.New("bench.exam.warning", "n", fact.Count(r.left/time.Minute))
	if r.whole {
		f.ID = "bench.exam.warning.whole"
	}
	return f
}

// timeUp hands the case in whose time is up, as it stands. What stands in the form
// for the end point is stated where the practical says so.
func (u *use) timeUp(d *desk.Desk) desk.Next {
	if u.up == nil {
		told, err := u.take(d)
		if err != nil { // it could not be kept, and is tried again
			d.Notice.Refuse(err)
			return desk.Stay{}
		}
		u.up, u.x.cut = &told, true
	}
	return u.Stated(d)
}

// take takes what stands in an open form as the practical says, and gives what the
// candidate is told.
func (u *use) take(d *desk.Desk) (fact.Fact, error) {
	up := fact.New("bench.exam.up.case", "n", fact.Count(u.now().Place()))
	if u.now().AllUp() {
		up.ID = "bench.exam.up.whole"
	}
	act, open, wrong := u.form()
	switch {
	case !open:
		return fact.New("bench.exam.up", "up", up), nil
	case !u.x.plan.TakeOpen:
		return fact.New("bench.exam.up.form", "up", up), nil
	case wrong != nil:
		return fact.New("bench.exam.up.form.unfinished", "up", up, "cause", wrong), nil
	}
	u.v.Do(act, d.Now())
	if _, err := u.v.Hear(); err != nil {
		return fact.Fact{}, err
	}
	return fact.New("bench.exam.up.form.taken", "up", up, "rx", *act.Rx), nil
}

func (u *use) Clock() time.Duration { return u.now().Elapsed() }

// Facts have the candidate's number in front, down to the fewest.
func (u *use) Facts(v voice.Voice, c chair.Chair) []string {
	now, steps := u.now(), fact.Count(c.Steps().Total())
	clock, facts := now.Elapsed(), []string(nil)
	if left, limited := now.Left(); limited && u.x.plan.Show.Clock {
		clock, facts = left, chairside.LeftFacts(v, chairside.Eye(v, c.Brief().Tested), left, steps)
	} else {
		few := v.Text("bench.bar.few", "clock", clock, "steps", steps)
		facts = []string{few, few}
	}
	return numbered(v, now.Candidate(), clock, facts)
}

// numbered are facts with the candidate's number in front, down to the fewest.
func numbered(v voice.Voice, who string, clock time.Duration, facts []string) []string {
	return []string{
		v.Text("bench.exam.who", "candidate", who, "facts", facts[0]), v.Text("bench.exam.who.few", "candidate", who, "facts", facts[1]),
		v.Text("bench.exam.who.few", "candidate", who, "facts", v.Value(clock)), who,
	}
}

// Warning is said in forms, which lie in front of everything else.
func (u *use) Warning(v voice.Voice) string {
	now, due := u.due()
	if !due {
		return ""
	}
	return v.Sentence(v.Value(now.fact()))
}

func (u *use) Stated(*desk.Desk) desk.Next { return u.x.handIn(u.up) }

// Assessor is where the assessor comes in.
func (u *use) Assessor() desk.Overlay { return &entry{x: u.x} }

func (*use) Practice() *seat.Practice { return nil }
