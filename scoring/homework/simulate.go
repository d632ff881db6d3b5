package homework

import (
	"bytes"
	"hash/fnv"
	"time"

	"conoid/cases"
	"conoid/cases/begun"
	"conoid/scoring/candidate"
	"conoid/sim/sitting"
)

// pupil is how a simulated student works at first, and once they have learned. The skills
// are invented: they make classes to try an assignment with, and say nothing about
// students.
type pupil struct{ first, then string }

// pupils take turns.
var pupils = []pupil{
	{"with every check", "with every check"},
	{"no fog", "with every check"},
	{"cylinder left in", "no fog"},
	{"first alike", "with every check"},
	{"arrow to the clearer limb", "arrow to the clearer limb"},
	{"fog left in", "with every check"},
	{"full ritual, the card", "no arrow"},
	{"leads", "with every check"},
	{"two quarters too minus", "with every check"},
	{"too much fog", "fog left in"},
}

// pace is how much longer than the patient's own time a simulated sitting takes.
const pace = 1.3

// Simulated are the logs of student number i, from 0, who is made up: of each case of an
// assignment, twice where that may be. They begin at a time, a day apart, at the stage that
// the assignment says, and use only what it allows: the error is [cases.Barred] where that
// is not enough. It gives the same each time.
func Simulated(a *cases.Assignment, id string, all []*cases.Case, i int, who string, began time.Time) (logs [][]byte, err error) {
	p := pupils[i%len(pupils)]
	for place, c := range all {
		s := sitting.Start(c.Setup(), sitting.Seeded(1))
		for attempt, name := range attemptsOf(a, p) {
			h := sitting.Header{
				Case: c.Hash(), Title: c.Title, Who: who, Begin: string(a.Begin),
				Task: &sitting.Task{Assignment: id, Place: place + 1, Attempt: attempt + 1, Withheld: a.Withholds()},
			}
			begins := began.Add(time.Duration(24*attempt) * time.Hour).Add(time.Duration(20*place+3*i) * time.Minute)
			log, err := simulated(s, c, a, name, h, begins)
			if err != nil {
				return nil, err
			}
			logs = append(logs, log)
		}
	}
	return logs, nil
}

// attemptsOf are the skills of a student's attempts.
func attemptsOf(a *cases.Assignment, p pupil) []string {
	if a.Attempts == 1 {
		return []string{p.first}
	}
	return []string{p.first, p.then}
}

// simulated is the log of one sitting.
func simulated(s *sitting.Sitting, c *cases.Case, a *cases.Assignment, name string, h sitting.Header, begins time.Time) ([]byte, error) {
	skill, _ := candidate.Find(name)
	seed := seedOf(h.Who, h.Task.Place, h.Task.Attempt)
	h = h.Seeded(seed)
	chair, err := begun.Sit(s.Again(h.Keys), a)
	if err == nil {
		err = chair.Begin()
	}
	if err != nil {
		return nil, err
	}
	in := skill.InputOf(c)
	in.From, in.Before, in.Limits = chair.Stage, chair.Events(), chair.Limits()
	if err := skill.Examine(&timed{chair, begins, chair.State().Seconds}, in, seed); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	l, err := sitting.NewLog(&b, h)
	if err != nil {
		return nil, err
	}
	for _, e := range chair.Events() {
		if err := l.Append(e); err != nil {
			return nil, err
		}
	}
	return b.Bytes(), nil
}

// seedOf is what the chance of a sitting is drawn from.
func seedOf(who string, place, attempt int) uint64 {
	h := fnv.New64a()
	h.Write([]byte(who))
	h.Write([]byte{byte(place), byte(attempt)})
	return h.Sum64()
}

// timed is a sitting whose actions are at times.
type timed struct {
	*begun.Chair
	begins time.Time
	before float64 // seconds of the patient's that were gone then
}

// Do does an action, at the time that the patient has come to.
func (t *timed) Do(a sitting.Action) (sitting.Event, error) {
	e, err := t.Chair.Do(a)
	if err != nil {
		return e, err
	}
	spent := time.Duration(pace * (t.State().Seconds - t.before) * float64(time.Second)).Round(time.Second)
	return t.Annotate(sitting.Aside{Wall: t.begins.Add(spent)}), nil
}
