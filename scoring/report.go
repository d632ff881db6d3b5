package scoring

import (
	"math"

	"conoid/cases"
	"conoid/sim/sitting"
)

// Report is the whole of what is said of a sitting: its mark, the points by
// part with their evidence, what went wrong and why, and the way it went.
// Events are numbers of events of the log.
type Report struct {
	Mark *Mark `json:"mark,omitempty"` // absent when no end point was stated

	Total float64 `json:"total"` // points
	Most  float64 `json:"most"`  // 100
	Parts []Part  `json:"parts"`

	Findings []Finding `json:"findings"` // the dearest first
	Luck     []Luck    `json:"luck"`
	Path     []Moment  `json:"path"`
	Par      Par       `json:"par"`

	Caution string `json:"caution"`
}

// Part is one part of the marks.
type Part struct {
	Name    string   `json:"name"`
	Points  float64  `json:"points"`
	Most    float64  `json:"most"`
	Reasons []Reason `json:"reasons"`
}

// Reason is why points were earned (positive) or lost (negative). Those earned
// add up to the points of the part, and all lost with them to its most.
type Reason struct {
	Text    string  `json:"text"`
	Points  float64 `json:"points"`
	Events  []int   `json:"events,omitempty"`
	Finding string  `json:"finding,omitempty"` // ID of the finding that lost them
}

// Finding is one thing that went otherwise than the method has it.
type Finding struct {
	ID       string   `json:"id"` // a stable name
	Title    string   `json:"title"`
	Severity Severity `json:"severity"`
	Events   []int    `json:"events"`
	What     string   `json:"what"`   // what happened
	Optics   string   `json:"optics"` // what it did to the focal lines
	Better   string   `json:"better"` // what would have been better

	loses float64 // share of its item of the procedure, 0 to 1
}

// Severity says how much a finding matters.
type Severity string

// The severities: what only needs an explanation, what costs little, and what
// costs 2 points or more.
const (
	Note    Severity = "note"
	Slight  Severity = "slight"
	Serious Severity = "serious"
)

// The names of the parts.
const (
	EndPointPart  = "End point"
	ProcedurePart = "Procedure"
	StepsPart     = "Steps"
	TimePart      = "Time"
)

// Review marks a sitting by the scheme of its case, against a par on the same
// case. A sitting that was broken off has no points for its end point, steps
// and time. The sitting stays as it is.
func Review(c *cases.Case, s *sitting.Sitting, par Par) (*Report, error) {
	return ReviewBy(c.Scheme(), s, par)
}

// ReviewBy is Review by a scheme other than the case's own, such as that of a
// practical.
func ReviewBy(scheme cases.Scheme, s *sitting.Sitting, par Par) (*Report, error) {
	t, err := traceOf(s)
	if err != nil {
		return nil, err
	}
	r := &Report{Par: par, Caution: Caution, Path: t.path(), Luck: t.luck(), Findings: []Finding{}}
	if t.end != nil {
		if r.Mark, err = Of(s); err != nil {
			return nil, err
		}
	}
	procedure, findings := t.procedure(scheme.Procedure)
	r.Findings = append(r.Findings, findings...)
	r.Parts = []Part{
		endPointPart(scheme.EndPoint, r.Mark, len(t.moments)-1),
		procedure,
		stepsPart(scheme.Steps, r.Mark, par),
		timePart(scheme.Time, r.Mark, par),
	}
	for _, p := range r.Parts {
		r.Total += p.Points
		r.Most += p.Most
	}
	r.Total, r.Most = hundredth(r.Total), hundredth(r.Most)
	return r, nil
}

// hundredth rounds points.
func hundredth(v float64) float64 { return math.Round(v*100)/100 + 0 }
