// Package chair is a sitting in use, as every face of the program has it. A
// [Chair] is where the patient sits: it takes actions and tells what may be
// shown. A [Local] chair has the patient in this process and keeps a log. A
// [Visit] is what a face keeps beside the chair: what was said, hints,
// predictions, the clock and the guide.
//
// An action is done, logged and synced, and only then answered. If it cannot be
// kept, it has not happened.
package chair

import (
	"conoid/cases"
	"conoid/cmd/internal/guide"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Brief is what whoever sits down is told. There is no truth in it. Index 0 of
// a pair is the right eye, 1 the left.
type Brief struct {
	cases.Texts                        // as the case is written
	Translated  map[string]cases.Texts // in other languages, by their codes
	ID          string                 // of the case
	Level       int
	Name        string  // of the patient; "" for none
	Age         float64 // years
	Tested      sitting.Side
	Room        sitting.Room
	Objective   [2]optics.Rx // with minus cylinders
}

// In is what the case says in a language, or else as it is written.
func (b Brief) In(language string) cases.Texts {
	if t, ok := b.Translated[language]; ok {
		return t
	}
	return b.Texts
}

// BriefOf is what is told about a case.
func BriefOf(c *cases.Case) Brief {
	setup := c.Setup()
	b := Brief{
		Texts: cases.Texts{Title: c.Title, Story: c.Story, Symptoms: c.Symptoms}, Translated: map[string]cases.Texts{},
		ID: c.ID, Level: c.Level, Name: c.Name, Age: c.Age, Tested: setup.Tested, Room: setup.Room,
	}
	for language := range c.Translations {
		b.Translated[language] = c.Texts(language)
	}
	for i, e := range setup.Eyes {
		b.Objective[i] = e.Objective.MinusCyl()
	}
	return b
}

// Chair is all that a face needs of a sitting, wherever the patient is.
type Chair interface {
	Brief() Brief
	// Card is the record of the tested eye. It may take a moment.
	Card() cases.Card
	// State is how things stand. Lenses, covers and charts of actions that are
	// on their way may be in it already: of those that Pending lists. Letters,
	// time and the record card wait for them.
	State() sitting.State
	// Pending are the actions on their way, oldest first.
	Pending() []*Pending
	Steps() sitting.Steps
	Events() []sitting.Event
	// Talk is the events again, each with how things stood after it.
	Talk() []Told
	EndPoint(sitting.Side) (sitting.EndPoint, bool)
	// Questions are what can be asked now, the natural one first.
	Questions() []patient.Question
	Do(sitting.Action, sitting.Aside) *Pending
}

// Told is one event, and how things stood after it, for words.
type Told struct {
	Event sitting.Event
	After sitting.State
}

// Insight is what needs the truth's side. Only a chair in this process has it,
// and only practice uses it.
type Insight interface {
	// Sees is what an eye makes of the light behind a frame; open is false when
	// it sees nothing.
	Sees(side sitting.Side, f optics.Frame) (seen patient.Sight, open bool)
	// Accommodation is how much the eyes accommodate now, dioptres.
	Accommodation() float64
	// Again seats the same patient with the same luck for another sitting, and
	// does events again in it: for replays, marks and debriefs. It costs little.
	// The chair must not be used at the same time.
	Again(events []sitting.Event) (*sitting.Sitting, error)
}

// Over reports whether the end point of the tested eye is stated.
func Over(c Chair) bool {
	_, over := c.EndPoint(c.Brief().Tested)
	return over
}

// View is what a student in front of a chair knows, for the guide.
func View(c Chair) guide.View {
	b := c.Brief()
	return guide.ViewOf(c, b.Tested, b.Objective[b.Tested.Index()], b.Room)
}
