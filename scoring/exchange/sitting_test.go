package exchange

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

const home = "https://exams.example.org" // a domain that RFC 2606 keeps for examples

// inEnglish says a fact as programmers have it.
var inEnglish = Words{"en", fact.Fact.String}

// clerk is a made-up sitting.
func clerk() *Sitting {
	passed := true
	return &Sitting{
		Candidate: "4821", Registration: "0b9e7a52-3d5c-4a0b-8a2f-5d1c7f3e6a90",
		Case: Case{"ferry-clerk", "The ferry clerk", "5f2a"}, Eye: "right",
		Stated: true, EndPoint: optics.Rx{Sphere: -1.5, Cyl: -0.75, Axis: 170}, HasAcuity: true, Acuity: -0.08,
		Points: 17, Most: 20, Passed: &passed, Steps: 41,
		Started: time.Date(2026, 1, 15, 11, 20, 17, 750e6, time.FixedZone("", 3600)), Duration: 11*time.Minute + 42500*time.Millisecond,
	}
}

func with(change func(*Sitting)) *Sitting {
	s := clerk()
	change(s)
	return s
}

func TestCheck(t *testing.T) {
	require.NoError(t, clerk().Check())
	for says, change := range map[string]func(*Sitting){
		"bad-candidate (candidate Mary Lamb,":                     func(s *Sitting) { s.Candidate = "Mary Lamb" },
		"bad-candidate (candidate Mary,":                          func(s *Sitting) { s.Candidate = "Mary" },
		"bad-candidate (candidate m2@example.org,":                func(s *Sitting) { s.Candidate = "m2@example.org" },
		"bad-candidate (candidate ,":                              func(s *Sitting) { s.Candidate = "" },
		"bad-registration (registration 0b9e7a52-3d5c-8a0b":       func(s *Sitting) { s.Registration = "0b9e7a52-3d5c-8a0b-8a2f-5d1c7f3e6a90" },
		"bad-registration (registration 0b9e7a52-3d5c-4a0b-ca2f-": func(s *Sitting) { s.Registration = "0b9e7a52-3d5c-4a0b-ca2f-5d1c7f3e6a90" },
		"bad-registration (registration 0b9e7a52)":                func(s *Sitting) { s.Registration = "0b9e7a52" },
		"bad-case.id":                     func(s *Sitting) { s.Case.ID = "" },
		"bad-case.title":                  func(s *Sitting) { s.Case.Title = "two\nlines" },
		"bad-case.hash":                   func(s *Sitting) { s.Case.Hash = "\xff" },
		"bad-eye (eye both)":              func(s *Sitting) { s.Eye = "both" },
		"bad-power":                       func(s *Sitting) { s.EndPoint.Sphere = math.NaN() },
		"bad-axis (axis 0)":               func(s *Sitting) { s.EndPoint.Axis = 0 },
		"bad-axis (axis 181)":             func(s *Sitting) { s.EndPoint.Axis = 181 },
		"bad-acuity (acuity +Inf":         func(s *Sitting) { s.Acuity = math.Inf(1) },
		"bad-most (most 0)":               func(s *Sitting) { s.Most = 0 },
		"bad-points (most 20, points 21)": func(s *Sitting) { s.Points = 21 },
		"bad-steps (steps -1)":            func(s *Sitting) { s.Steps = -1 },
		"no-start":                        func(s *Sitting) { s.Started = time.Time{} },
		"bad-duration":                    func(s *Sitting) { s.Duration = -1 },
		"exchange.bad-duration":           func(s *Sitting) { s.Ended = s.Started.Add(-1) },
	} {
		s := with(change)
		assert.ErrorContains(t, s.Check(), says)
		_, err := Statements(s, home, inEnglish)
		assert.Error(t, err, says)
		_, err = VisionPrescription(s, home, inEnglish)
		assert.Error(t, err, says)
		_, err = Observation(s, home, inEnglish)
		assert.Error(t, err, says)
	}
	for _, bad := range []string{"", "exams.example.org", "ftp://example.org", "https://u:p@example.org", "https://example.org?x=1", "https:///x"} {
		_, err := Statements(clerk(), bad, inEnglish)
		assert.ErrorContains(t, err, "exchange.bad-home", bad)
	}
}

// RFC 9562, section 5.5 (version 5). The expected value is that of Python's
// uuid module for the name and namespace of the standard's own example.
func TestNamedUUID(t *testing.T) {
	dns, err := parseUUID("6ba7b810-9dad-11d1-80b4-00c04fd430c8")
	require.NoError(t, err)
	assert.Equal(t, "2ed6657d-e927-568b-95e1-2665a8aea6a2", dns.named("www.example.com").String())
	rapid.Check(t, func(t *rapid.T) {
		u := dns.named(rapid.String().Draw(t, "name"))
		back, err := parseUUID(u.String())
		require.NoError(t, err)
		require.Equal(t, u, back)
		require.Equal(t, byte(5), u[6]>>4)
		require.Equal(t, byte(2), u[8]>>6)
	})
}

func TestDecimals(t *testing.T) {
	for v, want := range map[float64]decimal{
		-1.5: "-1.50", 0: "0.00", 0.125: "0.125", -0.375: "-0.375", 12: "12.00", 0.1: "0.10", 1e-7: "0.0000001",
	} {
		assert.Equal(t, want, hundredths(v))
	}
	minusZero := math.Copysign(0, -1)
	assert.Equal(t, decimal("0.00"), hundredths(minusZero))
	assert.Equal(t, decimal("0"), plain(minusZero))
	assert.Equal(t, decimal("170"), plain(170))
	assert.Equal(t, decimal("172.5"), plain(172.5))
}
