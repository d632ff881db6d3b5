package practical

import (
	"bytes"
	"crypto/ed25519"
	"encoding/json"
	"strings"

	"conoid/cases"
	"conoid/sim/fact"
)

// ResultEnding is the ending of the name of a result.
const ResultEnding = ".conoid-result"

// maxResult is the largest result, in bytes.
const maxResult = 16 << 20

const resultKind = "Conoid practical result"

var resultFields = []string{"Practical", "Candidate", "Simulated", "Code"}

// Result is the file of a record that is over: sealed for the assessor, and
// signed with the station key of the practical. No truth is in it. The error
// says what is wrong with the record.
func (p *Plan) Result(r *Record) ([]byte, error) {
	if err := r.in.over(p); err != nil {
		return nil, err
	}
	lock, err := cases.LockFor(p.secret.Recipient)
	if err != nil {
		return nil, err
	}
	data, err := json.Marshal(r.in)
	if err != nil {
		return nil, err
	}
	part, err := lock.Seal(data)
	if err != nil {
		return nil, err
	}
	out := (&envelope{resultKind, version, r.in.head(), [][]byte{part}}).sign(p.secret.station())
	if len(out) > maxResult {
		return nil, fact.Refuse("practical.result-large", "bytes", fact.Count(len(out)), "most", fact.Count(maxResult))
	}
	return out, nil
}

// over says what is wrong with a record that should be over.
func (r *record) over(p *Plan) error {
	if err := r.check(p); err != nil {
		return err
	}
	if n := len(r.Cases); n > 0 && r.Cases[n-1].Ended == "" {
		return fact.Refuse("practical.case-open", "n", fact.Count(n))
	}
	if r.Ended.IsZero() || r.Held != nil {
		return fact.Refuse("practical.not-over")
	}
	return nil
}

func (r *record) head() []field {
	var out []field
	for i, v := range []string{r.Practical, r.Candidate, yesNo(r.Simulated), code(r)} {
		out = append(out, field{resultFields[i], v})
	}
	return out
}

// Outside is what anybody can read of a result. Nothing of it is verified.
type Outside struct {
	Practical, Candidate, Code string
	Simulated                  bool
}

// IsResult reports whether a file begins as a result does.
func IsResult(data []byte) bool { return bytes.HasPrefix(data, []byte(resultKind+", version ")) }

// LookAt is what can be read of a result without a key. It believes the file.
func LookAt(name string, data []byte) (Outside, error) {
	o, err := readResult(name, data)
	if err != nil {
		return Outside{}, err
	}
	return Outside{o.value("Practical"), o.value("Candidate"), o.value("Code"), o.value("Simulated") == yesNo(true)}, nil
}

func readResult(name string, data []byte) (*opened, error) {
	return readEnvelope(name, data, resultKind, resultFields, 1, 1, maxResult)
}

// codeOf is the code of a result of a candidate that a station keeps.
func (p *Plan) codeOf(data []byte, candidate string) (string, error) {
	o, err := readResult("", data)
	if err != nil || o.value("Practical") != p.ID || o.value("Candidate") != candidate ||
		!o.verify(p.secret.station().Public().(ed25519.PublicKey)) {
		return "", fact.Refuse("practical.result-damaged")
	}
	return o.value("Code"), nil
}

// How much of a result is done again: a log of a thousand lines takes some seconds,
// and the time grows faster than the log. The expert needs about sixty lines for a
// case. The project's choice.
const (
	mostLines      = 1000  // of one log
	mostLinesInAll = 10000 // of a result
)

// bounded refuses logs that would take too long to do again, before any of their
// lines is read.
func (r *record) bounded() error {
	all := 0
	for i, s := range r.Cases {
		n := strings.Count(s.Log, "\n")
		if n > mostLines {
			return fact.Refuse("practical.log-long", "n", fact.Count(i+1), "lines", fact.Count(n), "most", fact.Count(mostLines))
		}
		all += n
	}
	if all > mostLinesInAll {
		return fact.Refuse("practical.logs-long", "lines", fact.Count(all), "most", fact.Count(mostLinesInAll))
	}
	return nil
}

// ErrOther says that a result is of another practical.
var ErrOther error = fact.Refuse("practical.other-result")

// ReadResult opens a result with the assessor's key and checks everything but
// the answers in it. The error is one of Read and Open, or ErrOther, or says
// what is wrong with the record.
func ReadResult(p *Plan, name string, data []byte, k cases.Key) (*Record, error) {
	o, err := readResult(name, data)
	if err != nil {
		return nil, err
	}
	if o.value("Practical") != p.ID {
		return nil, inFile(name, ErrOther)
	}
	if !o.verify(p.secret.station().Public().(ed25519.PublicKey)) {
		return nil, inFile(name, ErrSignature)
	}
	text, err := k.Open(o.parts[0])
	if err != nil {
		return nil, inFile(name, err)
	}
	r := &Record{}
	if err := readRecord(text, &r.in); err != nil {
		return nil, inFile(name, err)
	}
	if err := r.in.bounded(); err != nil {
		return nil, inFile(name, err)
	}
	if err := r.in.over(p); err != nil {
		return nil, inFile(name, err)
	}
	if !bytes.Equal((&envelope{resultKind, o.version, r.in.head(), o.parts}).body(), o.body) {
		return nil, inFile(name, cases.ErrChanged)
	}
	return r, nil
}

// MostLines is how many lines the log of each of so many cases may have, its header and
// the end point left out, so that the result can be read: whoever keeps logs takes no more.
func MostLines(cases int) int { return min(mostLines, mostLinesInAll/max(1, cases)) - 2 }

// ActionsLeft is how many more actions the log of one of so many cases takes after so many
// that were done; the end point can be stated all the same.
func ActionsLeft(cases, done int) int { return max(0, MostLines(cases)-1-done) }

// fewLeft are with how many actions left a candidate is warned, the least first: the
// project's choice.
var fewLeft = [...]int{10, 100}

// FewLeft is the warning about the actions of one of so many cases with which the candidate
// was to be warned last, after so many that were done; false when none was due yet.
func FewLeft(cases, done int) (int, bool) {
	for _, n := range fewLeft {
		if ActionsLeft(cases, done) <= n {
			return n, true
		}
	}
	return 0, false
}
