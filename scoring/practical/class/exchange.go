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
// those systems have no way to say so. A case begins when those before it were
// over, interruptions left out. What those systems could not take, such as a time
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
			at = at.Add(k.Elapsed)
		}
	}
	return begun, not
}

// sittingOf is a candidate's case i, which began at a time.
func sittingOf(p *practical.Plan, candidate string, i int, at time.Time, k practical.CaseMark) (exchange.Sitting, error) {
	c := p.Patient(i)
	out := exchange.Sitting{
		Candidate: candidate, Registration: exchange.Registration(p.ID, candidate, strconv.Itoa(i)), Eye: c.Tested,
		Case:   exchange.Case{ID: c.ID, Title: c.Title, Hash: c.Hash()},
		Points: k.Points, Most: k.Most, Steps: k.Steps, Started: at, Duration: k.Elapsed,
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
