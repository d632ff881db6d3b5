package chair

import (
	"encoding/json"

	"conoid/sim/fact"
)

// Help is how much a student is helped in a sitting of their own. It is to fade: a
// student who can do with less is told so, and decides.
type Help string

// The helps.
const (
	Alone Help = ""     // none; to look behind the curtain is noted as a hint
	Cues  Help = "cues" // where in the method one is; the view and the conoid are there to be looked at
	Led   Help = "led"  // each step with its reason
)

// Helps are all of them, the most help first.
func Helps() []Help { return []Help{Led, Cues, Alone} }

// Name is what a help is called in the words.
func (h Help) Name() string {
	if h == Alone {
		return "bench.help.alone"
	}
	return "bench.help." + string(h)
}

// UnmarshalJSON reads a help; true is what was written when there was only one.
func (h *Help) UnmarshalJSON(data []byte) error {
	var led bool
	if json.Unmarshal(data, &led) == nil {
		if *h = Alone; led {
			*h = Led
		}
		return nil
	}
	var text string
	if err := json.Unmarshal(data, &text); err != nil {
		return err
	}
	*h = Help(text)
	switch *h {
	case Alone, Cues, Led:
		return nil
	}
	return fact.Refuse("bench.help.unknown", "text", text)
}
