package class

import (
	"crypto/sha256"
	"fmt"
	"time"

	"conoid/scoring/exchange"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// Sittings are what leaves a class for other systems (see package exchange):
// every case that was begun and counts. What was simulated is left out, for
// those systems have no way to say so. A case begins when those before it were
// over, interruptions left out.
func (c *Class) Sittings(p *practical.Plan) ([]exchange.Sitting, error) {
	var out []exchange.Sitting
	for _, s := range c.Sheets {
		if s.Simulated {
			continue
		}
		at := s.Started
		for _, i := range p.Entry(s.Candidate).Order() {
			k := s.Cases[i]
			if k.Ended != "" && !k.Withdrawn {
				one, err := sittingOf(p, s.Candidate, i, at, k)
				if err != nil {
					return nil, err
				}
				out = append(out, one)
			}
			at = at.Add(k.Elapsed)
		}
	}
	return out, nil
}

// sittingOf is a candidate's case i, which began at a time.
func sittingOf(p *practical.Plan, candidate string, i int, at time.Time, k practical.CaseMark) (exchange.Sitting, error) {
	c := p.Patient(i)
	out := exchange.Sitting{
		Candidate: candidate, Registration: registration(p.ID, candidate, i), Eye: c.Tested,
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

// registration is a UUID of a candidate's case i in a practical, the same each
// time (version 8 of RFC 9562: bits of a hash).
func registration(practical, candidate string, i int) string {
	h := sha256.Sum256(fmt.Appendf(nil, "Conoid sitting\n%s\n%s\n%d\n", practical, candidate, i))
	h[6], h[8] = h[6]&0x0f|0x80, h[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", h[:4], h[4:6], h[6:8], h[8:10], h[10:16])
}
