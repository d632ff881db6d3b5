// Package exchange writes sittings for other systems: xAPI statements for a
// learning record store, FHIR resources for a clinical teaching system, and a
// gradebook for a spreadsheet.
//
// Candidates leave the program as numbers; who they are is kept elsewhere.
// Whatever looks like a clinical finding says in itself that it is test data
// about a simulated patient: a simulation for training measures nobody, and
// refraction of people is for licensed practice under local rules.
package exchange

import (
	"fmt"
	"math"
	"net/url"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

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
	Duration time.Duration // by the clock, from Started to the end
}

// Check says what is wrong with s; nil is well.
func (s *Sitting) Check() error {
	for _, check := range []func() error{s.checkWho, s.checkCase, s.checkEnd, s.checkMark} {
		if err := check(); err != nil {
			return fmt.Errorf("exchange: %w", err)
		}
	}
	return nil
}

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
	if !digit || len(s.Candidate) > 64 {
		return fmt.Errorf("the candidate is %q; allowed is a number, never a name: digits, with letters, -, . and _ if need be, at most 64", s.Candidate)
	}
	if _, err := parseUUID(s.Registration); err != nil {
		return fmt.Errorf("the registration: %w", err)
	}
	return nil
}

func (s *Sitting) checkCase() error {
	for _, f := range []struct{ name, text string }{{"id", s.Case.ID}, {"title", s.Case.Title}, {"hash", s.Case.Hash}} {
		if strings.TrimSpace(f.text) == "" || strings.ContainsFunc(f.text, unicode.IsControl) || !utf8.ValidString(f.text) {
			return fmt.Errorf("the case's %s is %q; allowed is a line of text", f.name, f.text)
		}
	}
	if s.Eye != sitting.Right && s.Eye != sitting.Left {
		return fmt.Errorf("the eye is %q; allowed are %q and %q", s.Eye, sitting.Right, sitting.Left)
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
		return fmt.Errorf("the end point is %v and %v D; allowed are powers from -%v to %v D", r.Sphere, r.Cyl, strongest, strongest)
	}
	if r.Cyl != 0 && !(r.Axis > 0 && r.Axis <= 180) {
		return fmt.Errorf("the end point's axis is %v; allowed is above 0 and up to 180", r.Axis)
	}
	if s.HasAcuity && !(math.Abs(s.Acuity) <= 4) {
		return fmt.Errorf("the acuity is %v logMAR; allowed is -4 to 4", s.Acuity)
	}
	return nil
}

func (s *Sitting) checkMark() error {
	switch {
	case !(s.Most > 0) || math.IsInf(s.Most, 0):
		return fmt.Errorf("the most is %v points; it has to be above 0", s.Most)
	case !(s.Points >= 0 && s.Points <= s.Most):
		return fmt.Errorf("there are %v points; allowed are 0 to %v", s.Points, s.Most)
	case s.Steps < 0:
		return fmt.Errorf("there are %d steps; there cannot be fewer than none", s.Steps)
	case s.Started.IsZero() || s.Started.Year() > 9999:
		return fmt.Errorf("the sitting has no time at which it started")
	case s.Duration < 0:
		return fmt.Errorf("the sitting lasted %v; it cannot end before it starts", s.Duration)
	}
	return nil
}

func (s *Sitting) ended() time.Time { return s.Started.Add(s.Duration) }

// instant is RFC 3339 in UTC, to a millisecond.
func instant(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

// checkHome looks at the web address under which an institution keeps its own
// names: cases and candidates are called by addresses below it. Nothing has to
// be there.
func checkHome(home string) (string, error) {
	u, err := url.Parse(home)
	if err != nil || (u.Scheme != "https" && u.Scheme != "http") || u.Host == "" ||
		u.User != nil || u.RawQuery != "" || u.Fragment != "" {
		return "", fmt.Errorf("exchange: the institution's address is %q; allowed is one like https://exams.example.org", home)
	}
	return strings.TrimRight(home, "/"), nil
}
