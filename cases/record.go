package cases

import (
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Instrument is how an objective result was come by. It is said on the record card,
// and bears on no answer.
type Instrument string

// The instruments.
const (
	Retinoscopy   Instrument = "retinoscopy"
	Autorefractor Instrument = "autorefractor"
	OldRecord     Instrument = "old-record"
)

// usualSpreads are the standard deviations, in dioptres of spherical equivalent, by
// which results miss what is found by asking. Source of the first: Jorge and others
// (2005), Optom Vis Sci 82(1). The others are the project's choice.
var usualSpreads = map[Instrument]float64{Retinoscopy: objectiveM, Autorefractor: 0.50, OldRecord: 0.75}

func instruments() []string {
	return []string{string(Retinoscopy), string(Autorefractor), string(OldRecord)}
}

// Name is the ID of its word.
func (i Instrument) Name() string { return "instrument." + string(i) }

// spread is how far the objective result of an eye is to be trusted: what the case
// says, or what is usual with its instrument; 0 where neither is said.
func (e *Eye) spread() float64 {
	if e.ObjectiveSpread != nil {
		return *e.ObjectiveSpread
	}
	return usualSpreads[e.ObjectiveBy]
}

// Worn are the old spectacles that somebody came with.
type Worn struct {
	Lens   optics.Rx // with a minus cylinder
	Acuity float64   // through it, logMAR
	Years  *float64  // how old they are; nil: nobody knows
}

// worn are the spectacles on the card of an eye; nil for none.
func (c *Case) worn(s *sitting.Sitting, side sitting.Side) *Worn {
	rx := c.Of(side).Spectacles
	if rx == nil {
		return nil
	}
	return &Worn{*rx, s.AcuityWith(side, *rx), c.SpectaclesYears}
}

// By is how the objective result on the card was come by, and how far it is to be
// trusted; no fact where the case says neither.
func (k Card) By() (f fact.Fact, said bool) {
	values := []any{"instrument", k.Instrument, "spread", fact.Number(k.Spread)}
	switch {
	case k.Instrument == "" && k.Spread == 0:
		return fact.Fact{}, false
	case k.Instrument == "":
		return fact.New("record.spread", values...), true
	}
	return fact.New("record.instrument", values...), true
}

// Tell is what the card says of the spectacles.
func (w Worn) Tell() fact.Fact {
	values := []any{"rx", w.Lens, "row", fact.Row(w.Acuity)}
	if w.Years == nil {
		return fact.New("record.spectacles", values...)
	}
	return fact.New("record.spectacles-years", append(values, "years", fact.Number(*w.Years))...)
}

// checkRecord looks at what is said of the spectacles and of the room's light.
func checkRecord(c *Case) (out []fact.Fact) {
	some := c.Eyes[0].Spectacles != nil || c.Eyes[1].Spectacles != nil
	switch {
	case c.SpectaclesYears == nil:
	case !some:
		out = append(out, fact.New("case.mind.spectacles-none"))
	case *c.SpectaclesYears >= c.Age:
		out = append(out, fact.New("case.mind.spectacles-age", "years", fact.Number(*c.SpectaclesYears), "age", fact.Number(c.Age)))
	}
	if c.Room.Light != nil && c.Eyes[0].Pupil != nil && c.Eyes[1].Pupil != nil {
		out = append(out, fact.New("case.mind.light"))
	}
	return out
}
