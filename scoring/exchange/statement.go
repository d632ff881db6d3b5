package exchange

import (
	"encoding/json"
	"math"
	"net/url"
	"strconv"
	"time"

	"conoid/sim/fact"
)

// Statement is one xAPI statement: somebody did something with something.
// The fields are those of xAPI 1.0.3, Data, section 2.4 that are used here.
type Statement struct {
	ID        string   `json:"id"`
	Actor     Actor    `json:"actor"`
	Verb      Verb     `json:"verb"`
	Object    Activity `json:"object"`
	Result    *Result  `json:"result,omitempty"`
	Context   Context  `json:"context"`
	Timestamp string   `json:"timestamp"` // RFC 3339, milliseconds, UTC
}

// Actor is a candidate, known by an account name that is a number. The
// standard advises such a name where identity is not to be told (Data,
// section 2.4.2.3).
type Actor struct {
	ObjectType string  `json:"objectType"`
	Account    Account `json:"account"`
}

// Account is a number and who gave it.
type Account struct {
	HomePage string `json:"homePage"`
	Name     string `json:"name"`
}

// Verb is what was done.
type Verb struct {
	ID      string            `json:"id"`
	Display map[string]string `json:"display"`
}

// Activity is the case that was examined, or else a statement that is voided.
type Activity struct {
	ObjectType string      `json:"objectType"`
	ID         string      `json:"id"`
	Definition *Definition `json:"definition,omitempty"` // nil for a statement that is voided
}

// Definition is how an activity is called, and of what kind it is.
type Definition struct {
	Name        map[string]string `json:"name"`
	Description map[string]string `json:"description"`
	Type        string            `json:"type"`
}

// Result is how it went.
type Result struct {
	Score      *Score         `json:"score,omitempty"`
	Success    *bool          `json:"success,omitempty"`
	Completion *bool          `json:"completion,omitempty"`
	Response   string         `json:"response,omitempty"` // the end point, as optics.ParseRx reads it
	Duration   string         `json:"duration,omitempty"` // ISO 8601, at most hundredths of a second
	Extensions map[string]any `json:"extensions,omitempty"`
}

// Score is the mark.
type Score struct {
	Scaled float64 `json:"scaled"` // raw over max, 0 to 1
	Raw    float64 `json:"raw"`    // points
	Min    float64 `json:"min"`    // points
	Max    float64 `json:"max"`    // points
}

// Context tells one sitting from another, and one version of a case.
type Context struct {
	Registration string `json:"registration"`
	Revision     string `json:"revision,omitempty"` // the hash of the case
	Platform     string `json:"platform,omitempty"`
	Language     string `json:"language"`
}

// Verbs and the activity type of xAPI's first vocabulary. Read in the standard:
// attempted. Seen only in programs that agree with each other: the other verbs.
// From memory: the activity type.
const (
	vocabulary     = "http://adlnet.gov/expapi/"
	verbs          = vocabulary + "verbs/"
	simulationType = vocabulary + "activities/simulation"
)

// Statements tell of a sitting: that it was attempted; completed, or terminated
// if no end point was stated; scored; and passed or failed where that is said.
// They are the same each time, UUIDs and all, so that a store takes them once
// however often they are sent. A mark that was changed afterwards has the UUIDs
// of the old one, and a store refuses it, until [Correct] is told what was sent.
//
// home is the institution's address, such as https://exams.example.org: the
// names of cases and candidates stand below it.
func Statements(s *Sitting, home string, w Words) ([]Statement, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	home, err := checkHome(home)
	if err != nil {
		return nil, err
	}
	score := &Score{Scaled: s.Points / s.Most, Raw: s.Points, Max: s.Most}
	said := []struct {
		verb   string
		at     time.Time
		result *Result
	}{{"attempted", s.Started, nil}, {s.endVerb(), s.ended(), s.endResult(home)}, {"scored", s.ended(), &Result{Score: score}}}
	if s.Passed != nil {
		verb := "failed"
		if *s.Passed {
			verb = "passed"
		}
		said = append(said, said[2])
		said[3].verb, said[3].result = verb, &Result{Score: score, Success: s.Passed}
	}
	var out []Statement
	for _, x := range said {
		st, err := s.statement(home, x.verb, w)
		if err != nil {
			return nil, err
		}
		st.Timestamp, st.Result = instant(x.at), x.result
		out = append(out, st)
	}
	return out, nil
}

func (s *Sitting) statement(home, verb string, w Words) (Statement, error) {
	id, err := s.id(verb)
	return Statement{
		ID:    id,
		Actor: Actor{"Agent", Account{home, s.Candidate}},
		Verb:  Verb{verbs + verb, w.said(fact.New("exchange.verb." + verb))},
		Object: Activity{"Activity", home + "/cases/" + url.PathEscape(s.Case.ID), &Definition{
			map[string]string{w.Language: s.Case.Title}, w.said(fact.New("exchange.caution")), simulationType,
		}},
		Context: Context{s.Registration, s.Case.Hash, "Conoid", w.Language},
	}, err
}

func (s *Sitting) endVerb() string {
	if s.Stated {
		return "completed"
	}
	return "terminated"
}

func (s *Sitting) endResult(home string) *Result {
	extend := func(name string) string { return home + "/extensions/" + name }
	r := &Result{Completion: &s.Stated, Duration: seconds(s.Duration), Extensions: map[string]any{
		extend("steps"): s.Steps, extend("eye"): s.Eye,
	}}
	if s.Stated {
		r.Response = s.EndPoint.ASCII()
		if s.HasAcuity {
			r.Extensions[extend("logmar")] = s.Acuity
		}
	}
	return r
}

// seconds is a duration as xAPI 1.0.3, Data, section 4.6 has it: ISO 8601 in
// the form with designators, to a hundredth of a second.
func seconds(d time.Duration) string {
	return "PT" + strconv.FormatFloat(math.Round(d.Seconds()*100)/100, 'f', -1, 64) + "S"
}

// EncodeStatements writes statements as a JSON array, the form in which a
// store takes many at once. It refuses what a store would refuse.
func EncodeStatements(statements []Statement) ([]byte, error) {
	for i, s := range statements {
		one, err := json.Marshal(s)
		if err == nil {
			err = check(fact.New("exchange.statement", "n", fact.Count(i+1)), statementSchema, one)
		}
		if err != nil {
			return nil, err
		}
	}
	if statements == nil {
		statements = []Statement{}
	}
	data, err := json.MarshalIndent(statements, "", "  ")
	return append(data, '\n'), err
}
