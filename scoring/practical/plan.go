// Package practical holds timed practicals: some cases that many candidates sit
// under the same conditions, the sealed and signed file that brings them to the
// machines, and the results that come back. Package class holds what a class
// comes to.
//
// It knows no file, no clock and no words: whoever calls it reads, writes, says
// what time it is, and puts its facts into words. A practical knows candidates by
// numbers and never by names.
//
// [New] makes a [Plan], which Seal seals; [Read] and Open bring it to a machine.
// An [Entry] is what one candidate gets of it. An [Attempt] is the candidate at it,
// and makes the result. A [Marker] marks it; a [Ledger] holds what the assessor
// decided about the marks.
//
// PRACTICALS.md says what the seals and signatures protect from, and what not.
package practical

import (
	"crypto/ed25519"
	"crypto/rand"
	"errors"
	"io"
	"maps"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"conoid/cases"
	"conoid/sim/fact"
)

// Plan is a practical: what its candidates sit, and under what conditions.
type Plan struct {
	ID          string             `json:"id"` // made at random by New
	Title       string             `json:"title"`
	Rehearsal   bool               `json:"rehearsal,omitempty"` // proves a machine; its results are never marked with a class
	Cases       []Case             `json:"cases"`
	Shuffle     bool               `json:"shuffle,omitempty"`     // each candidate sits the cases in an order of their own
	PerCase     time.Duration      `json:"perCase,omitempty"`     // 0: no limit
	Total       time.Duration      `json:"total,omitempty"`       // 0: no limit
	Extra       map[string]float64 `json:"extra,omitempty"`       // more time by candidate, as a share: 0.25 is a quarter more
	Candidates  []string           `json:"candidates,omitempty"`  // who may sit; none: whoever comes
	CountPauses bool               `json:"countPauses,omitempty"` // the time between cases counts towards Total; else it is shown apart
	TakeOpen    bool               `json:"takeOpen,omitempty"`    // what stands whole in the form for the end point when the time is up counts as stated; else it does not
	Made        time.Time          `json:"made,omitzero"`         // when; zero in practicals of before
	Closes      time.Time          `json:"closes,omitzero"`       // whose first case is begun later is late; zero: never
	Marking     string             `json:"marking,omitempty"`     // the file of a marking scheme (see cases.ReadScheme); "": that of each case
	Show        Shown              `json:"show"`

	secret secret
	read   []*cases.Case
	scheme *cases.Scheme // of Marking
}

// Case is a case of a practical.
type Case struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Text  string `json:"text"` // the case file
}

// Shown is what a candidate is shown beyond the patient.
type Shown struct {
	Clock  bool `json:"clock"`            // the time that is left
	Titles bool `json:"titles,omitempty"` // the titles and stories of the cases, which are otherwise numbered
	Mark   bool `json:"mark,omitempty"`   // the marks, at the end
}

// secret is what only the inside of the seal knows.
type secret struct {
	Seed      []byte            `json:"seed"`      // of the noise and the orders
	Assessor  ed25519.PublicKey `json:"assessor"`  // signs the practical
	Recipient string            `json:"recipient"` // for whom results are sealed
	Station   []byte            `json:"station"`   // seed of the key that signs results
}

func (s secret) station() ed25519.PrivateKey { return ed25519.NewKeyFromSeed(s.Station) }

// Limits of a practical.
const (
	mostCases      = 50
	mostCandidates = 2000
	longest        = 24 * time.Hour
	mostExtra      = 3
)

// New completes a plan: an ID, a seed and a key for the stations are made at
// random, and k becomes its assessor. The error says everything that is wrong.
func New(p Plan, k *Keys) (*Plan, error) {
	p.secret = secret{Seed: make([]byte, 32), Station: make([]byte, ed25519.SeedSize), Assessor: k.Public(), Recipient: k.Recipient()}
	var id [10]byte
	for _, b := range [][]byte{p.secret.Seed, p.secret.Station, id[:]} {
		if _, err := io.ReadFull(rand.Reader, b); err != nil {
			return nil, err
		}
	}
	p.ID = Spell(id[:], 8)
	if err := p.complete(); err != nil {
		return nil, err
	}
	return &p, nil
}

// complete checks a plan and reads its cases.
func (p *Plan) complete() error {
	var bad []error
	wrong := func(is bool, id string, pairs ...any) {
		if is {
			bad = append(bad, fact.Refuse(id, pairs...))
		}
	}
	wrong(!plainLine(p.Title, 80), "practical.title", "title", p.Title)
	wrong(len(p.Cases) < 1 || len(p.Cases) > mostCases, "practical.cases", "n", fact.Count(len(p.Cases)), "most", fact.Count(mostCases))
	long := func(d time.Duration) bool { return d < 0 || d > longest }
	most := fact.Seconds(longest.Seconds())
	wrong(long(p.PerCase), "practical.time-per-case", "time", fact.Seconds(p.PerCase.Seconds()), "most", most)
	wrong(long(p.Total), "practical.time-total", "time", fact.Seconds(p.Total.Seconds()), "most", most)
	wrong(len(p.Candidates) > mostCandidates || len(p.Extra) > mostCandidates, "practical.many-candidates", "most", fact.Count(mostCandidates))
	for i, c := range p.Candidates {
		wrong(c != Candidate(c), "practical.capitals", "candidate", c, "capitals", Candidate(c))
		wrong(slices.Contains(p.Candidates[:i], c), "practical.named-twice", "candidate", c)
		bad = append(bad, CheckCandidate(c))
	}
	for _, c := range slices.Sorted(maps.Keys(p.Extra)) {
		bad = append(bad, CheckCandidate(c))
		wrong(c != Candidate(c), "practical.capitals", "candidate", c, "capitals", Candidate(c))
		wrong(!(p.Extra[c] >= 0 && p.Extra[c] <= mostExtra), "practical.extra", "candidate", c, "share", fact.Number(p.Extra[c]), "most", fact.Number(mostExtra), "such", fact.Number(0.25))
		wrong(len(p.Candidates) > 0 && !slices.Contains(p.Candidates, c), "practical.extra-stranger", "candidate", c)
	}
	p.read = nil
	for i, c := range p.Cases {
		read, err := cases.Read(c.ID+".toml", []byte(c.Text))
		wrong(slices.ContainsFunc(p.Cases[:i], func(o Case) bool { return o.ID == c.ID }), "practical.case-twice", "case", c.ID)
		bad, p.read = append(bad, err), append(p.read, read)
	}
	if p.Marking != "" {
		var err error
		p.scheme, err = cases.ReadScheme("marking.toml", []byte(p.Marking))
		bad = append(bad, err)
		wrong(err == nil && p.scheme == nil, "practical.no-marking")
	}
	s := p.secret
	wrong(len(s.Seed) != 32 || len(s.Station) != ed25519.SeedSize || len(s.Assessor) != ed25519.PublicKeySize || p.ID == "", "practical.key-missing")
	return errors.Join(bad...)
}

// plainLine reports whether s is one line of printable characters, and not longer
// than most.
func plainLine(s string, most int) bool {
	return s != "" && s == strings.TrimSpace(s) && utf8.ValidString(s) && utf8.RuneCountInString(s) <= most &&
		!strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsPrint(r) })
}

// CheckCandidate says what is wrong with the number of a candidate.
func CheckCandidate(number string) error { return orNil(checkCandidate(number)) }

func checkCandidate(number string) *fact.Error {
	bad := strings.ContainsFunc(number, func(r rune) bool {
		return !('0' <= r && r <= '9' || 'A' <= r && r <= 'Z' || 'a' <= r && r <= 'z')
	})
	if bad || len(number) < 1 || len(number) > 12 {
		return fact.Refuse("practical.no-number", "text", number)
	}
	return nil
}

// orNil is an error that is nil when there is none.
func orNil(e *fact.Error) error {
	if e == nil {
		return nil
	}
	return e
}

// Candidate is the one way to write a candidate's number: in capitals, so that
// nobody sits twice as 7b and 7B.
func Candidate(number string) string { return strings.ToUpper(number) }

// Admits says why a candidate cannot sit this practical.
func (p *Plan) Admits(candidate string) error { return orNil(p.admits(candidate)) }

func (p *Plan) admits(candidate string) *fact.Error {
	if err := checkCandidate(candidate); err != nil {
		return err
	}
	if len(p.Candidates) > 0 && !slices.Contains(p.Candidates, Candidate(candidate)) {
		return fact.Refuse("practical.not-admitted", "candidate", Candidate(candidate), "n", fact.Count(len(p.Candidates)))
	}
	return nil
}

// Patient is the case number i of the plan, as it was read.
func (p *Plan) Patient(i int) *cases.Case { return p.read[i] }

// Scheme is how case i is marked.
func (p *Plan) Scheme(i int) cases.Scheme {
	if p.scheme != nil {
		return *p.scheme
	}
	return p.read[i].Scheme()
}

// MarkedBy is whose scheme that is.
func (p *Plan) MarkedBy(i int) fact.Fact {
	if p.scheme != nil {
		return fact.New("scheme.practical")
	}
	return p.read[i].MarkedBy()
}

// SignedBy is the fingerprint of the assessor who signed the practical.
func (p *Plan) SignedBy() string { return fingerprint(p.secret.Assessor) }
