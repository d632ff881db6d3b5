package scoring

import (
	"math"

	"conoid/cases"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Report is the whole of what there is to tell of a sitting: its mark, the
// points by part with their evidence, what went wrong and why, and the way it
// went. Events are numbers of events of the log.
type Report struct {
	Mark *Mark `json:"mark,omitempty"` // absent when no end point was stated

	Total fact.Points `json:"total"`
	Most  fact.Points `json:"most"` // 100
	Parts []Part      `json:"parts"`

	Findings []Finding `json:"findings"` // the dearest first
	Luck     []Luck    `json:"luck"`
	Path     []Moment  `json:"path"`
	Par      Par       `json:"par"`
}

// Part is one part of the marks.
type Part struct {
	Name    PartName    `json:"name"`
	Points  fact.Points `json:"points"`
	Most    fact.Points `json:"most"`
	Reasons []Reason    `json:"reasons"`
}

// PartName is the ID of a part of the marks.
type PartName string

// The parts.
const (
	EndPointPart  PartName = "end-point"
	ProcedurePart PartName = "procedure"
	StepsPart     PartName = "steps"
	TimePart      PartName = "time"
)

// Name is the ID of the word for a part.
func (p PartName) Name() string { return "part." + string(p) }

// Reason is why points were earned (positive) or lost (negative). Those earned
// add up to the points of the part, and all lost with them to its most.
type Reason struct {
	Why     fact.Fact   `json:"why,omitzero"` // absent when a finding says it
	Points  fact.Points `json:"points"`
	Events  fact.Events `json:"events,omitempty"`
	Finding string      `json:"finding,omitempty"` // ID of the finding that lost them
}

// Finding is one thing that went otherwise than the method has it. The words
// for it are those for "finding." and its ID, which is its title, and for that
// with ".what" (what happened), ".optics" (what it did to the focal lines) and
// ".better" (what would have been better). Where it has a form, words of that
// form go before: "finding.fog-too-much.what/unseen".
type Finding struct {
	ID       string         `json:"id"` // a stable name
	Form     string         `json:"form,omitempty"`
	Severity Severity       `json:"severity"`
	Events   fact.Events    `json:"events"`
	Values   map[string]any `json:"values,omitempty"` // by their names in the words

	loses float64 // share of its item of the procedure, 0 to 1
}

// finding is a finding with its values in pairs of a name and a value.
func finding(id string, loses float64, events []int, pairs ...any) Finding {
	return Finding{ID: id, Events: events, Values: fact.New(id, pairs...).Values, loses: loses}
}

// Severity is how much a finding matters.
type Severity string

// The severities: what only needs an explanation, what costs little, and what
// costs 2 points or more.
const (
	Note    Severity = "note"
	Slight  Severity = "slight"
	Serious Severity = "serious"
)

// Name is the ID of the word for a severity.
func (s Severity) Name() string { return "severity." + string(s) }

// Review marks a sitting by the scheme of its case, against a par on the same
// case. A sitting that was broken off has no points for its end point, steps
// and time. The sitting stays as it is.
func Review(c *cases.Case, s *sitting.Sitting, par Par) (*Report, error) {
	return ReviewBy(c.Scheme(), s, par)
}

// ReviewBy is [Review] by a scheme other than the case's own, such as that of a
// practical.
func ReviewBy(scheme cases.Scheme, s *sitting.Sitting, par Par) (*Report, error) {
	t, err := traceOf(s)
	if err != nil {
		return nil, err
	}
	r := &Report{Par: par, Path: pathOf(t), Luck: luckOf(t), Findings: []Finding{}}
	if t.end != nil {
		if r.Mark, err = Of(s); err != nil {
			return nil, err
		}
	}
	procedure, findings := procedureOf(t, scheme.Procedure)
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
func hundredth(v fact.Points) fact.Points { return fact.Points(math.Round(float64(v)*100)/100 + 0) }
