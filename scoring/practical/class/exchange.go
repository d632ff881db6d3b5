package class

import (
	"strconv"
	"time"

	"conoid/scoring/exchange"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// Sittings are what leaves a class for other systems (see package exchange): every case
// that was begun and counts; and those that were not begun by who was there, of which a
// gradebook has the points, and nobody else is told as if they had been sat. What was simulated is left out, for
// those systems have no way to say so. A case begins and ends when its record says; in one
// that does not say it begins when those before it were over. What those systems could not take, such as a time
// in no year, is left out too, and among the troubles.
func (c *Class) Sittings(p *practical.Plan) (begun, not []exchange.Sitting) {
	for _, s := range c.Sheets {
		if s.Simulated {
			continue
		}
		at := s.Started
		for _, i := range s.Entry(p).Order() {
			k := s.Cases[i]
			one, err := sittingOf(p, s.Candidate, i, at, k)
			if err == nil {
				err = one.Check()
			}
			switch {
			case k.Withdrawn:
			case err != nil:
				c.trouble(Unsent, s.File, s.Candidate, fact.New("practical.trouble.unsent", "n", fact.Count(i+1), "cause", err))
			case k.Ended == "":
				not = append(not, one)
			default:
				begun = append(begun, one)
			}
			at = one.Ended
		}
	}
	return begun, not
}

// spanOf is from when to when a case was sat, by the clock of the station; from a time on
// where its record does not say. Where that clock was set back to before the begin, the
// case ends after the time used.
func spanOf(k practical.CaseMark, from time.Time) (begun, ended time.Time) {
	if k.Begun.IsZero() {
		return from, from.Add(k.Elapsed)
	}
	if k.Until.Before(k.Begun) {
		return k.Begun, k.Begun.Add(k.Elapsed)
	}
	return k.Begun, k.Until
}

// sittingOf is a candidate's case i; those before it were over at a time.
func sittingOf(p *practical.Plan, candidate string, i int, at time.Time, k practical.CaseMark) (exchange.Sitting, error) {
	c := p.Patient(i)
	begun, ended := spanOf(k, at)
	out := exchange.Sitting{
		Candidate: candidate, Registration: exchange.Registration(p.ID, candidate, strconv.Itoa(i)), Eye: c.Tested,
		Case:   exchange.Case{ID: c.ID, Title: c.Title, Hash: c.Hash()},
		Points: k.Points, Most: k.Most, Steps: k.Steps, Started: begun, Ended: ended, Duration: k.Elapsed,
	}
	if k.EndPoint == "" {
		return out, nil
	}
	rx, err := optics.ParseRx(k.EndPoint)
	if err != nil {
		return out, fact.Because(err, "practical.candidate-case", "candidate", candidate, "n", fact.Count(i+1))
	}
	out.Stated, out.EndPoint = true, rx
	if k.Acuity != nil {
		out.HasAcuity, out.Acuity = true, *k.Acuity
	}
	return out, nil
}
