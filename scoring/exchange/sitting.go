// Package exchange writes sittings for other systems: xAPI statements for a
// learning record store, FHIR resources for a clinical teaching system, and a
// gradebook for a spreadsheet.
//
// Each begins with a [Sitting], and where there is text with [Words]: [Statements]
// are for [Send], [VisionPrescription] and [Observation] are resources, and
// [WriteGradebook] and [WriteSittings] write tables.
//
// Candidates leave the program as numbers; who they are is kept elsewhere.
// Whatever looks like a clinical finding says in itself that it is test data
// about a simulated patient: a simulation for training measures nobody, and
// refraction of people is for licensed practice under local rules.
package exchange

import (
	"math"
	"net/url"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Case is the imaginary person who was examined.
type Case struct {
	ID    string // as in the library, such as "net-mender"
	Title string
	Hash  string // of all that bears on the answers and the marks
}

// Sitting is what leaves the program about one sitting of one candidate.
type Sitting struct {
	Candidate    string // a number, such as "4821" or "2026-017": never a name or an address
	Registration string // a UUID of this candidate's sitting, made once and kept with its log
	Case         Case
	Eye          sitting.Side

	Stated    bool      // an end point was stated; if not, the sitting was broken off
	EndPoint  optics.Rx // as stated
	HasAcuity bool      // an acuity was stated with it
	Acuity    float64   // logMAR, as stated

	Points float64 // 0 to Most
	Most   float64 // above 0
	Passed *bool   // nil where nobody has said what passes

	Steps    int           // actions
	Started  time.Time     // by the clock
	Ended    time.Time     // by the clock; zero: after Duration
	Duration time.Duration // that was used: from Started to the end, interruptions left out
}

// Check reports what is wrong with s; nil is well.
func (s *Sitting) Check() error {
	for _, check := range []func() error{s.checkWho, s.checkCase, s.checkEnd, s.checkMark} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

// mostCandidate is how long the number of a candidate can be, in characters.
const mostCandidate = 64

// checkWho keeps names and mail addresses from slipping in where a number
// belongs: there has to be a digit, and neither a space nor an @.
func (s *Sitting) checkWho() error {
	digit := false
	for _, r := range s.Candidate {
		digit = digit || '0' <= r && r <= '9'
		if !('0' <= r && r <= '9' || 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || strings.ContainsRune("-._", r)) {
			digit = false
			break
		}
	}
	if !digit || len(s.Candidate) > mostCandidate {
		return fact.Refuse("exchange.bad-candidate", "candidate", s.Candidate, "most", fact.Count(mostCandidate))
	}
	_, err := parseUUID(s.Registration)
	return err
}

func (s *Sitting) checkCase() error {
	for _, f := range []struct{ name, text string }{{"id", s.Case.ID}, {"title", s.Case.Title}, {"hash", s.Case.Hash}} {
		if strings.TrimSpace(f.text) == "" || strings.ContainsFunc(f.text, unicode.IsControl) || !utf8.ValidString(f.text) {
			return fact.Refuse("exchange.bad-case."+f.name, "text", f.text)
		}
	}
	if s.Eye != sitting.Right && s.Eye != sitting.Left {
		return fact.Refuse("exchange.bad-eye", "eye", string(s.Eye))
	}
	return nil
}

func (s *Sitting) checkEnd() error {
	if !s.Stated {
		return nil
	}
	const strongest = 100.0 // dioptres; no trial lens comes near
	r := s.EndPoint
	if !(math.Abs(r.Sphere) <= strongest) || !(math.Abs(r.Cyl) <= strongest) {
		return fact.Refuse("exchange.bad-power", "sphere", fact.Number(r.Sphere), "cylinder", fact.Number(r.Cyl),
			"least", fact.Number(-strongest), "most", fact.Number(strongest))
	}
	if r.Cyl != 0 && !(r.Axis > 0 && r.Axis <= 180) {
		return fact.Refuse("exchange.bad-axis", "axis", fact.Number(r.Axis))
	}
	const worst = 4.0 // logMAR, far beyond any chart
	if s.HasAcuity && !(math.Abs(s.Acuity) <= worst) {
		return fact.Refuse("exchange.bad-acuity", "acuity", fact.Number(s.Acuity), "least", fact.Number(-worst), "most", fact.Number(worst))
	}
	return nil
}

func (s *Sitting) checkMark() error {
	switch {
	case !(s.Most > 0) || math.IsInf(s.Most, 0):
		return fact.Refuse("exchange.bad-most", "most", fact.Number(s.Most))
	case !(s.Points >= 0 && s.Points <= s.Most):
		return fact.Refuse("exchange.bad-points", "points", fact.Number(s.Points), "most", fact.Number(s.Most))
	case s.Steps < 0:
		return fact.Refuse("exchange.bad-steps", "steps", fact.Count(s.Steps))
	case s.Started.IsZero() || !writable(s.Started) || s.Duration >= 0 && !writable(s.ended()):
		return fact.Refuse("exchange.no-start")
	case s.Duration < 0 || s.ended().Before(s.Started):
		return fact.Refuse("exchange.bad-duration")
	}
	return nil
}

func (s *Sitting) ended() time.Time {
	if s.Ended.IsZero() {
		return s.Started.Add(s.Duration)
	}
	return s.Ended
}

// writable reports whether RFC 3339 has a way to write a time in UTC: it has four
// digits for a year (section 5.6).
func writable(t time.Time) bool { y := t.UTC().Year(); return y >= 0 && y <= 9999 }

// instant is RFC 3339 in UTC, to a millisecond.
func instant(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

// CheckHome says what is wrong with the web address of an institution.
func CheckHome(home string) error {
	_, err := checkHome(home)
	return err
}

// checkHome looks at the web address under which an institution keeps its own
// names: cases and candidates are called by addresses below it. Nothing has to
// be there.
func checkHome(home string) (string, error) {
	u, err := url.Parse(home)
	if err != nil || (u.Scheme != "https" && u.Scheme != "http") || u.Host == "" ||
		u.User != nil || u.RawQuery != "" || u.Fragment != "" {
		return "", fact.Refuse("exchange.bad-home", "home", home)
	}
	return strings.TrimRight(home, "/"), nil
}
