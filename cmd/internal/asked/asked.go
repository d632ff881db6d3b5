// Package asked is an examination in which whoever uses the program sits in the
// patient's place: the expert examines, and hears what the user says. Beside the
// user sits the simulated patient, before whom the same is done and who is asked the
// same; what both said is compared at the end. Nothing is marked and nothing kept.
//
// The expert works from answers alone and is the same to the same answers. So no
// examination has to be stopped half way to wait for an answer: after each it is
// done again from the beginning, before a chair that knows no more than what was
// said, up to the first question that nobody has answered. That takes no time,
// because nobody looks at anything.
package asked

import (
	"errors"
	"slices"

	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// Most is how many questions are put at most, for the sake of those who answer at
// random. Who answers as the simulated patient does is asked no more than 43, in the
// library and among sixty drawn eyes. The project's choice.
const Most = 60

// Examination is an examination under way, or over.
type Examination struct {
	setup   sitting.Setup
	patient *sitting.Sitting // the simulated patient, who goes along
	acts    []sitting.Action // what the examiner has done
	given   []patient.Answer // by the user
	replies []Reply
	asks    *Question // nil: nothing is asked any more
	result  *expert.Result
	before  Glimpse // as the tested eye saw before the last change of a lens
	unheld  Glimpse // and before the last lens was held up
	kept    map[int][]float64
	judge   *retina.Renderer // nil until the clarity of a mark was asked for
}

// Question is what the examiner asks.
type Question struct {
	Action  sitting.Action
	Deeds   []sitting.Action // what was done since the question before
	State   sitting.State    // how things stand; a patient is not told of the frames
	Now     Glimpse          // what the eye that is tested sees
	Before  Glimpse          // what to compare it with, if that is asked
	Compare bool
}

// Reply is a question with what was said to it.
type Reply struct {
	Question
	Mine   patient.Answer // by the user
	Theirs patient.Answer // by the simulated patient, at the same moment
	Calm   patient.Answer // by the same without noise: what the image holds; once it is over
	event  int            // of the patient's sitting
}

// Sit begins an examination of the person of a setup, in whose place the user sits.
// It takes a moment; pause is as of [sitting.StartPausing].
func Sit(setup sitting.Setup, keys sitting.Keys, pause func()) (*Examination, error) {
	x := &Examination{setup: setup, patient: sitting.StartPausing(setup, keys, pause)}
	x.before = x.glimpse()
	x.unheld = x.before
	return x, x.goOn()
}

// Asks is what is asked now; nil when the examination is over.
func (x *Examination) Asks() *Question { return x.asks }

// Answer takes in what the user says to the question, and goes on to the next. It
// takes a moment, for the simulated patient looks as well.
func (x *Examination) Answer(mine patient.Answer) error {
	if x.asks == nil {
		return nil
	}
	r := Reply{Question: *x.asks, Mine: mine}
	var err error
	if r.Theirs, r.event, err = x.asked(r.Action); err != nil {
		return err
	}
	x.replies = append(x.replies, r)
	x.given = append(x.given, mine)
	x.acts = append(x.acts, r.Action)
	if len(x.given) >= Most {
		return x.Stop()
	}
	return x.goOn()
}

// asked has the simulated patient answer; who wants to see it again gets to.
func (x *Examination) asked(a sitting.Action) (answer patient.Answer, event int, err error) {
	for range 2 {
		e, err := x.patient.Do(a)
		if err != nil {
			return answer, 0, err
		}
		answer, event = *e.Answer, e.N
		if answer.Kind != patient.Again {
			break
		}
	}
	return answer, event, nil
}

// Stop ends the examination where it stands.
func (x *Examination) Stop() error {
	x.asks = nil
	return x.calm()
}

// goOn has the expert work up to the next question, or to the end.
func (x *Examination) goOn() error {
	c := &dictated{bench: x.bench(), given: x.given}
	result, err := expert.Examine(c, expert.BriefOf(x.setup))
	var at unanswered
	if err != nil && !errors.As(err, &at) {
		return err
	}
	deeds := slices.Clip(c.acts[len(x.acts):])
	if err := x.follow(deeds); err != nil {
		return err
	}
	x.acts = c.acts
	if x.result = result; result != nil {
		return x.Stop()
	}
	x.asks = x.question(at.asks, deeds)
	return nil
}

func (x *Examination) bench() *sitting.Bench {
	objective := [2]optics.Rx{x.setup.Eyes[0].Objective, x.setup.Eyes[1].Objective}
	return sitting.NewBench(x.setup.Tested, objective, x.setup.Room)
}

// follow does before the simulated patient what the examiner has done.
func (x *Examination) follow(deeds []sitting.Action) error {
	for _, a := range deeds {
		now, lenses := x.glimpse(), x.Frame().Lenses
		if _, err := x.patient.Do(a); err != nil {
			return err
		}
		switch {
		case a.Do == sitting.Hold:
			x.unheld = now
		case x.Frame().Lenses != lenses:
			x.before = now
		}
	}
	return nil
}

func (x *Examination) question(ask sitting.Action, deeds []sitting.Action) *Question {
	q := &Question{Action: ask, Deeds: deeds, State: x.patient.State(), Now: x.glimpse()}
	switch ask.Question {
	case patient.WithLens:
		q.Before, q.Compare = x.unheld, true
	case patient.OneOrTwo:
		q.Before, q.Compare = x.before, true
	}
	return q
}

// calm finds what the image held at each question: what the same person says
// without noise.
func (x *Examination) calm() error {
	standing, err := x.patient.Retrace()
	if err != nil {
		return err
	}
	for i := range x.replies {
		x.replies[i].Calm = *standing[x.replies[i].event].Noiseless
	}
	return nil
}

// Kept is how clear two marks that were compared were in the image, 0 to 1, the left
// one first; nil for any other question. The first time it takes a moment.
func (x *Examination) Kept(r Reply) []float64 {
	if x.judge == nil {
		x.judge, x.kept = retina.New(patient.Grid()), map[int][]float64{}
	}
	kept, known := x.kept[r.event]
	if !known {
		kept = r.kept(x.judge)
		x.kept[r.event] = kept
	}
	return kept
}

// Tested is the eye that is examined.
func (x *Examination) Tested() sitting.Side { return x.setup.Tested }

// Room is where it takes place.
func (x *Examination) Room() sitting.Room { return x.setup.Room }

// Replies are the questions so far with their answers.
func (x *Examination) Replies() []Reply { return slices.Clip(x.replies) }

// Frame is the trial frame of the eye that is tested.
func (x *Examination) Frame() optics.Frame { return x.patient.State().Frames[x.setup.Tested.Index()] }

// Result is what the expert found from the user's answers; nil when the examination
// was stopped before.
func (x *Examination) Result() *expert.Result { return x.result }

// Truth is what is hidden about the eye: for the end alone.
func (x *Examination) Truth() sitting.Truth { return x.patient.Truth(x.setup.Tested) }
