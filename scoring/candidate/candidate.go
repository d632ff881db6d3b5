// Package candidate is a battery of simulated candidates whose skill is known,
// because it is in how they are made. It is there to see whether marks measure
// skill: that somebody moved the lenses because of what the patient said.
//
// [All] are five groups. The good listen, each in a style of work that is
// accepted; those with a fault are good but for one thing; the deaf do not
// listen, however much they ask; the contrary listen and state the opposite of
// what they heard; the told know the end point and act the work around it. [Candidate.Examine] works through a chair, and [Run] through
// a sitting of a case. The candidates are invented and say nothing about
// students.
package candidate

import (
	"hash/fnv"
	"math/rand/v2"
	"slices"

	"conoid/cases"
	"conoid/sim/expert"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Group is what a candidate is an example of.
type Group string

// The groups.
const (
	Good     Group = "good"     // listens, in an accepted style
	Fault    Group = "fault"    // listens, and commits one fault
	Contrary Group = "contrary" // listens, and states the opposite
	Deaf     Group = "deaf"     // does not listen
	Told     Group = "told"     // knows the end point, and acts: no scheme can tell that from listening where all moves are right
)

// Candidate is one of the battery.
type Candidate struct {
	Name   string
	Group  Group
	Fault  string // the ID of the finding that its fault should be known by; of the fault group alone
	Also   string // the ID of another, that says the same where the eye makes it that
	Turned bool   // its fault shows only where the axis and its mirror image differ
	Told   bool   // is told the end point before the sitting
	Ritual bool   // moves its lenses in the same way whatever is answered

	work func(ritualHands)
}

// Input is what a candidate has before the sitting.
type Input struct {
	expert.Brief
	Sphere float64    // the best sphere of the record card, dioptres
	Truth  *optics.Rx // what the eye needs; nil for all who are not told

	// Where an expert came before: the stage that is to be done next, and what was done
	// and said until then. Who works in a style, or through the full ritual, goes on from
	// there; all others begin anew.
	From   cases.Stage
	Before []sitting.Event
}

// todo reports whether the work at a stage is still to be done.
func (in Input) todo(at cases.Stage) bool {
	return slices.Index(cases.Stages(), at) >= slices.Index(cases.Stages(), in.From)
}

// All are the whole battery, group by group.
func All() []Candidate { return slices.Concat(good(), faults(), contraries(), deaf()) }

// Find is the candidate of a name.
func Find(name string) (Candidate, bool) {
	all := All()
	i := slices.IndexFunc(all, func(k Candidate) bool { return k.Name == name })
	if i < 0 {
		return Candidate{}, false
	}
	return all[i], true
}

// InputOf is what the candidate has before a sitting of a case.
func (k Candidate) InputOf(c *cases.Case) Input {
	in := Input{Brief: expert.BriefOf(c.Setup()), Sphere: c.BestSphere(c.Tested)}
	if k.Told {
		truth := c.Of(c.Tested).Error
		in.Truth = &truth
	}
	return in
}

// stopped carries an action that was refused out of a candidate's work.
type stopped struct{ err error }

// Examine works through a whole sitting and states the end point. It does the
// same each time for the same answers and seed. The error is that of an action
// which was refused.
func (k Candidate) Examine(c expert.Chair, in Input, seed uint64) (err error) {
	defer func() {
		if r := recover(); r != nil {
			s, ok := r.(stopped)
			if !ok {
				panic(r)
			}
			err = s.err
		}
	}()
	in.Objective = in.Objective.MinusCyl()
	h := &hands{
		Input: in, chair: c, chance: chanceOf(k.Name, seed),
		sphere: in.Objective.Sphere, cyl: in.Objective.Cyl, axis: in.Objective.Axis,
	}
	h.takeOver()
	k.work(handsOf(h))
	return nil
}

func chanceOf(name string, seed uint64) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(name))
	return rand.New(rand.NewPCG(h.Sum64(), seed))
}

// Run is a sitting of a case by a candidate.
func Run(c *cases.Case, k Candidate, seed uint64) (*sitting.Sitting, error) {
	return RunWith(sitting.Start(c.Setup(), sitting.Seeded(seed)), c, k, seed)
}

// RunWith is Run with the help of a sitting of the case, which stays as it is:
// what was worked out about its eyes is not worked out again.
func RunWith(s *sitting.Sitting, c *cases.Case, k Candidate, seed uint64) (*sitting.Sitting, error) {
	s = s.Again(sitting.Seeded(seed))
	if err := k.Examine(s, k.InputOf(c), seed); err != nil {
		return nil, fact.Because(err, "expert.stopped")
	}
	return s, nil
}
