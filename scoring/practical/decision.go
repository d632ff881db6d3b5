package practical

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"time"
	"unicode/utf8"

	"conoid/sim/fact"
)

// Decision is what an assessor decided about marks, and why.
type Decision struct {
	N         int       `json:"n"` // 1, 2, 3 and so on
	At        time.Time `json:"at"`
	Do        Deed      `json:"do"`
	Candidate string    `json:"candidate,omitempty"` // Override
	Case      int       `json:"case,omitempty"`      // from 1, in the order of the plan
	Points    *float64  `json:"points,omitempty"`    // Override: instead of those marked
	Reason    string    `json:"reason"`              // "" when somebody was forgotten
}

// Deed is what a decision does.
type Deed string

// The deeds.
const (
	Override Deed = "override" // other points for a candidate's case
	Withdraw Deed = "withdraw" // a case no longer counts, for anybody
	Restore  Deed = "restore"  // a case that was withdrawn counts again
	Forgot   Deed = "forgot"   // a candidate was forgotten, with the decisions about them
)

// Name is the ID of the words for a deed.
func (d Deed) Name() string { return "practical.deed." + string(d) }

// line is a decision as its file has it: a line of JSON with the SHA-256 of all
// that stands before it, and signed by the assessor, so that no line can be
// changed, put in or taken out. That lines were cut off at the end shows only
// beside a report, which tells how many there were.
type line struct {
	Decision
	Before string `json:"before"`
	Signed []byte `json:"signed,omitempty"`
}

const (
	maxDecisions = 4 << 20
	mostReason   = 500
)

func (p *Plan) before(data []byte) string {
	h := sha256.New()
	fmt.Fprintf(h, "Conoid decisions on %s\n", p.ID)
	h.Write(data)
	return hex.EncodeToString(h.Sum(nil))
}

// Decide gives the line that has to be added to a file of decisions. Data is the
// whole file, which may be empty.
func (p *Plan) Decide(k *Keys, name string, data []byte, d Decision) ([]byte, error) {
	past, err := p.ReadDecisions(name, data)
	if err != nil {
		return nil, err
	}
	d.N, d.At, d.Candidate = len(past)+1, d.At.Round(0), Candidate(d.Candidate)
	if err := p.checkDecision(d); err != nil {
		return nil, err
	}
	if !k.Public().Equal(p.secret.Assessor) {
		return nil, fact.Refuse("practical.other-assessor-decides")
	}
	l := line{Decision: d, Before: p.before(data)}
	body, err := json.Marshal(l)
	if err != nil {
		return nil, err
	}
	l.Signed = ed25519.Sign(k.sign, body)
	body, err = json.Marshal(l)
	return append(body, '\n'), err
}

// ReadDecisions reads a file of decisions on this practical. The error is a
// fact "practical.at" that names the line.
func (p *Plan) ReadDecisions(name string, data []byte) ([]Decision, error) {
	if len(data) > maxDecisions {
		return nil, tooLarge(name, data, maxDecisions)
	}
	var out []Decision
	for at := 0; at < len(data); {
		n := len(out) + 1
		end := bytes.IndexByte(data[at:], '\n') + 1
		if end == 0 {
			return nil, malformed(name, n, fact.New("practical.decision.torn"))
		}
		var l line
		if err := strict(data[at:at+end], &l); err != nil {
			return nil, malformed(name, n, fact.New("practical.decision.none", "cause", err))
		}
		same, _ := json.Marshal(l)
		signature := l.Signed
		l.Signed = nil
		body, _ := json.Marshal(l)
		switch {
		case l.N != n || l.Before != p.before(data[:at]):
			return nil, malformed(name, n, fact.New("practical.decision.before"))
		case !bytes.Equal(append(same, '\n'), data[at:at+end]) || !ed25519.Verify(p.secret.Assessor, body, signature):
			return nil, malformed(name, n, fact.New("practical.decision.changed"))
		}
		if err := p.checkDecision(l.Decision); err != nil {
			return nil, malformed(name, n, err.Fact)
		}
		out, at = append(out, l.Decision), at+end
	}
	return out, nil
}

func (p *Plan) checkDecision(d Decision) *fact.Error {
	n := utf8.RuneCountInString(d.Reason)
	switch {
	case !slices.Contains([]Deed{Override, Withdraw, Restore, Forgot}, d.Do):
		return fact.Refuse("practical.decision.unknown", "do", string(d.Do))
	case d.Do == Forgot:
		if d.Candidate != "" || d.Case != 0 || d.Points != nil {
			return fact.Refuse("practical.decision.forgot-named")
		}
		return nil
	case n < 3 || n > mostReason || !plainLine(d.Reason, mostReason):
		return fact.Refuse("practical.decision.reason", "most", fact.Count(mostReason))
	case d.Case < 1 || d.Case > len(p.Cases):
		return fact.Refuse("practical.decision.case", "n", fact.Count(d.Case), "most", fact.Count(len(p.Cases)))
	case d.Do == Override && d.Points == nil:
		return fact.Refuse("practical.decision.no-points")
	case d.Do == Override && !(*d.Points >= 0 && *d.Points <= 100):
		return fact.Refuse("practical.decision.points", "points", fact.Number(*d.Points))
	case d.Do == Override:
		return p.admits(d.Candidate)
	case d.Candidate != "" || d.Points != nil:
		return fact.Refuse("practical.decision.everybody")
	}
	return nil
}

// Forget gives a file of decisions without those about a candidate, signed anew,
// and with a line that says that somebody was forgotten, but not who.
func (p *Plan) Forget(k *Keys, name string, data []byte, candidate string, at time.Time) ([]byte, error) {
	past, err := p.ReadDecisions(name, data)
	if err != nil {
		return nil, err
	}
	past = slices.DeleteFunc(past, func(d Decision) bool { return d.Candidate == Candidate(candidate) })
	past = append(past, Decision{At: at, Do: Forgot})
	var out []byte
	for _, d := range past {
		line, err := p.Decide(k, name, out, d)
		if err != nil {
			return nil, err
		}
		out = append(out, line...)
	}
	return out, nil
}

// apply applies decisions to a sheet. Later ones count.
func (s *Sheet) apply(ds []Decision) {
	for _, d := range ds {
		switch d.Do {
		case Override:
			if d.Candidate == s.Candidate {
				c := &s.Cases[d.Case-1]
				c.Points, c.Reason = min(*d.Points, c.Most), d.Reason
			}
		case Withdraw, Restore:
			s.Cases[d.Case-1].Withdrawn = d.Do == Withdraw
		}
	}
	s.sum()
}
