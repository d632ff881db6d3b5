// Package blind is a candidate's work as whoever rates it is shown it: what the candidate
// was told of each patient, and what was done and said; without the candidate's number,
// the truth, or any marks.
package blind

import (
	"strings"

	"conoid/cmd/internal/chair"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Case is a case of a work, in words.
type Case struct {
	Story string // of the patient, where candidates were shown it; else ""
	Card  []Item
	Steps []Step
	Ended string // practical.TimedUp, practical.ByAssessor, or "" for an end point
}

// Item is a line of the record card.
type Item struct {
	Name string // the ID of its words
	Text string
}

// Step is something that was done, or asked and answered.
type Step struct {
	N    int      // 0 for what is no step of its own
	Did  string   // or what was asked
	Said string   // by the patient; "" for nothing
	Rows []string // of letters that were read, each beside what hung on the wall
}

// Of is a work, case by case in the order in which it was sat. Every step is done again.
func Of(v voice.Voice, p *practical.Plan, r *practical.Record) (all []Case, err error) {
	for _, sat := range r.Cases() {
		c, err := caseOf(v, p, sat)
		if err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	return all, nil
}

func caseOf(v voice.Voice, p *practical.Plan, sat practical.Sat) (Case, error) {
	rec, err := sitting.ReadLog(strings.NewReader(sat.Log))
	if err != nil {
		return Case{}, err
	}
	patient := p.Patient(sat.Case)
	begun, err := chair.Resume(patient, &sitting.Record{Header: rec.Header}, nil, nil)
	if err != nil {
		return Case{}, err
	}
	whole, err := chair.Resume(patient, rec, nil, nil)
	if err != nil {
		return Case{}, err
	}
	v = v.By(patient.Room.Labels)
	out := Case{Card: Card(v, chair.Attend(begun, chair.Notes{})), Steps: steps(v, whole)}
	if p.Show.Titles {
		out.Story = begun.Brief().In(v.Language).Story
	}
	if sat.Ended == practical.TimedUp || sat.Ended == practical.ByAssessor {
		out.Ended = sat.Ended
	}
	return out, nil
}

// steps are what was done in a sitting.
func steps(v voice.Voice, l *chair.Local) (all []Step) {
	room, after, last := l.Brief().Room, sitting.StepsAfter(l.Events()), 0
	for i, t := range l.Talk() {
		one := Step{Did: v.Done(t.Event, t.After, room)}
		if after[i] > last {
			one.N, last = after[i], after[i]
		}
		if t.Event.Answer != nil {
			one.Did = v.Text("terminal.said", "answer", v.Examiner().Question(t.Event.Action, t.After.Chart))
			one.Said = v.Text("terminal.said", "answer", v.Answer(*t.Event.Answer, room.Labels, t.After.Chart))
			one.Rows = v.Rows(*t.Event.Answer)
		}
		all = append(all, one)
	}
	return all
}

// Card is the record card of the patient in a chair, as an examiner finds it.
func Card(v voice.Voice, visit *chair.Visit) []Item {
	b, card := visit.Brief(), visit.Card()
	who := b.Name
	if who == "" {
		who = v.Text("terminal.patient")
	}
	out := []Item{
		{"terminal.patient", v.Text("terminal.patient.is", "who", who, "age", fact.Number(b.Age), "symptoms", b.In(v.Language).Symptoms)},
		{"terminal.to-test", v.Value(fact.New("eye." + string(b.Tested)))},
		{"terminal.objective", v.Text("terminal.objective.is", "rx", card.Objective)},
	}
	if by, said := card.By(); said {
		out = append(out, Item{"terminal.by", v.Text("terminal.record", "what", by)})
	}
	if card.Worn != nil {
		out = append(out, Item{"terminal.spectacles", v.Text("terminal.record", "what", card.Worn.Tell())})
	}
	return append(out, Item{"terminal.vision", v.Text("terminal.vision.is", "unaided", fact.Row(card.Unaided),
		"acuity", fact.Row(card.BestSphere), "sphere", optics.Rx{Sphere: card.Sphere})})
}
