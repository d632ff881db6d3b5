package chair

import (
	"slices"
	"time"

	"conoid/cmd/internal/guide"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Visit is a sitting in use: the chair, and what a face keeps beside it. It is no
// chair itself: what it does has a time, and answers are heard from it. It
// knows no clock and no disk: times are given, and notes are handed out to be
// kept.
type Visit struct {
	Chair
	Notes   Notes
	waiting []parcel      // whose answers were not heard yet, oldest first
	aside   sitting.Aside // of the next action
	kept    time.Duration
}

// parcel is an action that was sent, and what went with it.
type parcel struct {
	*Pending
	aside sitting.Aside
}

// Attend is a visit to a chair, from where it stands.
func Attend(c Chair, n Notes) *Visit { return &Visit{Chair: c, Notes: n, kept: n.Clock} }

// Do sends an action on its way at a time. What went on around it goes with it.
func (v *Visit) Do(a sitting.Action, now time.Time) *Pending {
	aside := v.aside
	aside.Wall, v.aside = now, sitting.Aside{}
	p := v.send(a, aside)
	v.waiting = append(v.waiting, parcel{p, aside})
	return p
}

// send hands an action to the chair, unless the terms of the sitting forbid it.
func (v *Visit) send(a sitting.Action, aside sitting.Aside) *Pending {
	if err := v.Notes.Terms.Allows(a); err != nil {
		return Sent(a).Decide(Told{}, err)
	}
	return v.Chair.Do(a, aside)
}

// Questions are what can be asked now and is allowed, the natural one first.
func (v *Visit) Questions() []patient.Question {
	return slices.DeleteFunc(slices.Clone(v.Chair.Questions()), func(q patient.Question) bool {
		return v.Notes.Terms.Allows(sitting.Action{Do: sitting.Ask, Question: q}) != nil
	})
}

// Hear takes in what has been decided since, in order, up to the first action
// that was refused or could not be kept: nothing came of that one. Call it again
// for what came after it.
func (v *Visit) Hear() (news []Told, err error) {
	for len(v.waiting) > 0 && err == nil {
		first := v.waiting[0]
		told, why, ready := first.Ready()
		if !ready {
			break
		}
		v.waiting = v.waiting[1:]
		if err = why; err != nil {
			v.keep(first.aside)
		} else {
			news = append(news, told)
		}
	}
	return news, err
}

// keep keeps what went on around an action of which nothing came for the next.
// The prediction was of its answer.
func (v *Visit) keep(was sitting.Aside) {
	v.aside.Opened = slices.Concat(was.Opened, v.aside.Opened)
	v.aside.Hint = v.aside.Hint || was.Hint
}

// Busy reports whether an answer is still to be heard.
func (v *Visit) Busy() bool { return len(v.waiting) > 0 }

// Predict notes what the student expects to hear to the next question.
func (v *Visit) Predict(answer string) { v.aside.Predicted = answer }

// Open notes that the student looked something up before the next action.
func (v *Visit) Open(what string) { v.aside.Opened = append(v.aside.Opened, what) }

// Hint is the next step for a student who asks for it, which is noted.
func (v *Visit) Hint() guide.Advice {
	v.Notes.Hints++
	v.aside.Hint = true
	return v.Next()
}

// Over reports whether the end point of the tested eye is stated.
func (v *Visit) Over() bool { return Over(v.Chair) }

// Next is the guide's next step.
func (v *Visit) Next() guide.Advice { return guide.Next(View(v.Chair)) }

// clockGrain is how much of the clock may be lost in a crash.
const clockGrain = 5 * time.Second

// Tick lets real time pass, and reports whether the notes are worth keeping
// again.
func (v *Visit) Tick(spent time.Duration) (due bool) {
	v.Notes.Clock += spent
	if v.Notes.Clock-v.kept < clockGrain {
		return false
	}
	v.kept = v.Notes.Clock
	return true
}
