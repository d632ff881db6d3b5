package scoring

import (
	"cmp"
	"slices"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Report is the whole of what there is to tell of a sitting: its mark, the
// points by part with their evidence, what went wrong and why, and the way it
// went. Events are numbers of events of the log.
type Report struct {
	Labels chart.Labels `json:"-"` // of the dials: how lines are called

	Mark *Mark `json:"mark,omitempty"` // absent when no end point was stated

	Scheme fact.Fact `json:"scheme"` // by which scheme: the usual one, the case's own, or one that was named

	Total fact.Points `json:"total"`
	Most  fact.Points `json:"most"` // 100
	Parts []Part      `json:"parts"`

	Claims  []Claim     `json:"claims"`        // none when no end point was stated
	Heeding []Followed  `json:"heeding"`       // every informative answer, and whether it was followed
	Beyond  fact.Number `json:"beyondChance"`  // share of them that was, beyond chance
	Cap     fact.Points `json:"cap,omitempty"` // the most points, where claims are not borne out

	FromCard *FromCard `json:"-"` // tells something only over many sittings; nil where the answers leave a claim open

	Findings []Finding `json:"findings"` // the dearest first
	Luck     []Luck    `json:"luck"`
	Path     []Moment  `json:"path"`
	Par      Par       `json:"par"`
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
	Cost     fact.Points    `json:"cost"` // points lost by it, in all parts
	Events   fact.Events    `json:"events"`
	Values   map[string]any `json:"values,omitempty"` // by their names in the words
	Remarks  Remarks        `json:"remarks,omitempty"`

	loses float64 // share of what its item takes off the conduct, 0 to 1
}

// Remarks are what the tutor says beside a finding, by languages; "" is for all others.
type Remarks map[string]string

// In is the remark in a language; "" for none.
func (r Remarks) In(language string) string {
	if said := r[language]; said != "" {
		return said
	}
	return r[""]
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

// seriousFrom is how many points of 100 a serious finding loses at least. The
// project's choice.
const seriousFrom = 2

// severity follows from the points that a finding loses.
func severity(points fact.Points) Severity {
	switch {
	case points == 0:
		return Note
	case points < seriousFrom:
		return Slight
	}
	return Serious
}

// Review marks a sitting by the scheme of its case, against a par on the same
// case. A sitting that was broken off has points for its conduct alone. The
// sitting stays as it is.
func Review(c *cases.Case, s *sitting.Sitting, par Par) (*Report, error) {
	r, err := ReviewBy(c.Scheme(), c.MarkedBy(), s, par)
	if err != nil {
		return nil, err
	}
	r.Remark(c)
	return r, nil
}

// Remark puts beside each finding what the tutor who wrote the case says of it.
func (r *Report) Remark(c *cases.Case) {
	for i := range r.Findings {
		r.Findings[i].Remarks = c.Remarks(r.Findings[i].ID)
	}
}

// ReviewBy is [Review] by a scheme other than the case's own, such as that of a
// practical; by is the words for it.
func ReviewBy(scheme cases.Scheme, by fact.Fact, s *sitting.Sitting, par Par) (*Report, error) {
	t, err := traceOf(s)
	if err != nil {
		return nil, err
	}
	if t.given, err = givenIn(s); err != nil {
		return nil, err
	}
	r := &Report{Labels: s.Setup().Room.Labels, Scheme: by, Par: par, Path: pathOf(t), Luck: luckOf(t), Findings: []Finding{}}
	if t.end != nil {
		if r.Mark, err = Of(s); err != nil {
			return nil, err
		}
	}
	r.mark(t, scheme)
	for _, p := range r.Parts {
		r.Total += p.Points
		r.Most += p.Most
	}
	r.Total, r.Most = hundredth(r.Total), hundredth(r.Most)
	return r, nil
}

// mark works out the parts and the findings.
func (r *Report) mark(t *trace, s cases.Scheme) {
	r.Claims = claimsOf(t, s.Claims)
	t.claims = r.Claims
	r.FromCard = claiming{hearing{t}}.fromCard(r.Claims)
	r.Heeding = t.given.heeding(following{hearing{t}}.heeding(r.Claims))
	t.heeded = r.Heeding
	beyond := beyondChance(r.Heeding, enough(r.Claims))
	r.Beyond = fact.Number(tidy(beyond))
	listened := beyond >= heedingLeast

	faults := t.given.faults(faultsOf(t, s.Conduct))
	parts := claimParts(r.Claims, s.Claims, t.astigmatic(), listened)
	conduct, more := conductPart(s.Conduct, r.Heeding, enough(r.Claims), faults)
	for _, f := range more {
		faults = append(faults, fault{Finding: f})
	}
	early := tooEarly(r.Claims, s.Claims)
	steps, seconds := 0, fact.Seconds(0)
	if r.Mark != nil {
		steps, seconds = r.Mark.Steps.Total-t.given.steps-t.free(), r.Mark.Seconds-t.given.seconds
	}
	par := r.Par
	if t.given.events > 0 {
		par = t.given.par(par)
	}
	parts = append(parts, conduct, stepsPart(s.Steps, steps, par, early), timePart(s.Time, seconds, par, early))

	for i := range r.Claims {
		c := &r.Claims[i]
		lost := parts[i].Most - parts[i].Points
		cause := ""
		if lost > 0 {
			cause, faults = claiming{hearing{t}}.causeOf(c, listened, faults)
		}
		c.cause = cause
		parts[i] = c.reasons(parts[i], s.Claims, listened, cause)
	}
	r.Cap = capOf(r.Claims, s.Claims)
	r.Parts = capped(parts, r.Claims, r.Cap)
	if r.Cap == 100 {
		r.Cap = 0
	}
	r.Findings = append(r.Findings, costed(faults, r.Parts)...)
}

// capped takes off, from the part that is worth most, what goes beyond the most
// points of a sitting; it is charged to the claim that nothing bears out.
func capped(parts []Part, claims []Claim, most fact.Points) []Part {
	total := fact.Points(0)
	for _, p := range parts {
		total += p.Points
	}
	over := hundredth(total - most)
	if over <= 0 {
		return parts
	}
	cause, name := "", cases.Claim("")
	for i := range claims {
		if claims[i].unborne() {
			cause, name = claims[i].cause, claims[i].Name
			break
		}
	}
	for over > 0 {
		dearest := 0
		for i := range parts {
			if parts[i].Points > parts[dearest].Points {
				dearest = i
			}
		}
		p := &parts[dearest]
		takes := hundredth(min(over, p.Points))
		if takes <= 0 {
			return parts
		}
		p.Points = hundredth(p.Points - takes)
		r := Reason{Points: -takes, Finding: cause}
		if cause == "" {
			r.Why = fact.New("reason.capped", "claim", name, "most", most)
		}
		p.Reasons = append(p.lowered(takes), r)
		over = hundredth(over - takes)
	}
	return parts
}

// lowered takes points off what was earned.
func (p *Part) lowered(by fact.Points) []Reason {
	out := slices.Clone(p.Reasons)
	for i := range out {
		if takes := min(by, out[i].Points); takes > 0 {
			out[i].Points = hundredth(out[i].Points - takes)
			by = hundredth(by - takes)
		}
	}
	return slices.DeleteFunc(out, func(r Reason) bool { return r.Points == 0 && r.Why.ID != "reason.claim.not-needed" })
}

// costed are the findings with what each lost in all parts, the dearest first, one of
// each kind.
func costed(faults []fault, parts []Part) (out []Finding) {
	lost := map[string]fact.Points{}
	for _, p := range parts {
		for _, r := range p.Reasons {
			if r.Points < 0 && r.Finding != "" {
				lost[r.Finding] -= r.Points
			}
		}
	}
	seen := map[string]bool{}
	for _, f := range faults {
		if seen[f.ID] {
			continue
		}
		seen[f.ID] = true
		f.Cost = hundredth(lost[f.ID])
		f.Severity = severity(f.Cost)
		out = append(out, f.Finding)
	}
	slices.SortStableFunc(out, func(a, b Finding) int { return cmp.Compare(b.Cost, a.Cost) })
	return out
}
