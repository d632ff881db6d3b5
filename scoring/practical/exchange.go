package practical

import (
	"crypto/sha256"
	"fmt"
	"time"

	"conoid/scoring/exchange"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// Sittings are what leaves a class for other systems (see package exchange):
// every case that was begun and counts. What was simulated is left out, for
// those systems have no way to say so. A case begins when those before it were
// over, interruptions left out.
func (c *Class) Sittings(p *Plan) ([]exchange.Sitting, error) {
	var out []exchange.Sitting
	for _, s := range c.Sheets {
		if s.Simulated {
			continue
		}
		entry, at := p.Entry(s.Candidate), s.Started
		for _, i := range entry.Order() {
			k := s.Cases[i]
			if k.Ended != "" && !k.Withdrawn {
				one, err := entry.sitting(i, k, at)
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

func (e Entry) sitting(i int, k CaseMark, at time.Time) (exchange.Sitting, error) {
	c := e.plan.read[i]
	out := exchange.Sitting{
		Candidate: e.candidate, Registration: e.registration(i), Eye: c.Tested,
		Case:   exchange.Case{ID: c.ID, Title: c.Title, Hash: c.Hash()},
		Points: k.Points, Most: k.Most, Steps: k.Steps, Started: at, Duration: k.Elapsed,
	}
	if k.EndPoint == "" {
		return out, nil
	}
	rx, err := optics.ParseRx(k.EndPoint)
	if err != nil {
		return out, fact.Because(err, "practical.candidate-case", "candidate", e.candidate, "n", fact.Count(i+1))
	}
	out.Stated, out.EndPoint = true, rx
	if k.Acuity != nil {
		out.HasAcuity, out.Acuity = true, *k.Acuity
	}
	return out, nil
}

// registration is a UUID of the candidate's case i in the practical, the same each
// time (version 8 of RFC 9562: bits of a hash).
func (e Entry) registration(i int) string {
	h := sha256.Sum256(fmt.Appendf(nil, "Conoid sitting\n%s\n%s\n%d\n", e.plan.ID, e.candidate, i))
	h[6], h[8] = h[6]&0x0f|0x80, h[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", h[:4], h[4:6], h[6:8], h[8:10], h[10:16])
}
