package report

import (
	"math"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/method"
)

// Evidence is what the answers of a sitting say of one claim of its end point.
type Evidence struct {
	Claim string // its name
	Sum   string // what was stated, what the answers say, and how far they bear it out
	Heard []Heard
}

// Heard is one answer in it.
type Heard struct {
	Event int
	Text  string // where it was given, what it was, and where it sends
	Unfit string // why it counts for nothing; empty when it counts
}

// EvidenceOf is what the answers say of the claims of a report.
func EvidenceOf(v voice.Voice, r *scoring.Report) (out []Evidence) {
	v = v.By(r.Labels)
	for _, c := range r.Claims {
		e := Evidence{Claim: v.Capital(v.Value(c.Name)), Sum: sumOf(v, c)}
		for _, h := range c.Heard {
			e.Heard = append(e.Heard, heardOf(v, c, h))
		}
		out = append(out, e)
	}
	return out
}

func sumOf(v voice.Voice, c scoring.Claim) string {
	pairs := []any{"support", c.Support}
	id := "evidence.unheard"
	if c.Fit != nil {
		id = "evidence.heard"
		pairs = append(pairs, "fit", placeOn(c, *c.Fit))
	}
	switch {
	case c.Stated == nil:
		id = "evidence.nothing-stated"
	case c.Name == cases.SphereClaim:
		id += ".sphere"
	default:
		pairs = append(pairs, "stated", placeOn(c, *c.Stated))
	}
	return v.Sentence(v.Text(id, pairs...))
}

// placeOn is a value on the scale of a claim.
func placeOn(c scoring.Claim, at float64) any {
	switch c.Name {
	case cases.AxisClaim:
		return fact.Degrees(math.Round(at))
	case cases.CylinderClaim:
		return fact.Power(-math.Round(at*8)/8 + 0)
	}
	return fact.Power(math.Round(at*8)/8 + 0)
}

func heardOf(v voice.Voice, c scoring.Claim, h scoring.Heard) Heard {
	way := map[method.Way]string{method.More: "more", method.Stay: "stay", method.Less: "less"}[h.Way]
	id := "evidence.at." + string(c.Name)
	if h.Nothing || isLabel(h) {
		id = "evidence.dial"
	}
	out := Heard{Event: h.Event, Text: v.Text(id, "at", placeOn(c, h.At), "said", h.Said, "way", v.Text("way."+string(c.Name)+"."+way))}
	if h.Unfit != "" {
		out.Unfit = v.Text("evidence.unfit", "why", h.Unfit)
	}
	return out
}

// isLabel reports whether an answer is about a dial.
func isLabel(h scoring.Heard) bool {
	return h.Said.ID == "said.lines" || h.Said.ID == "said.all-around"
}

// evidence is what the answers say, a line for each.
func (p *page) evidence(r *scoring.Report) {
	if len(r.Claims) == 0 {
		return
	}
	p.line("")
	p.say("evidence.heading")
	for _, e := range EvidenceOf(p.voice, r) {
		p.hang("  ", e.String())
		for _, h := range e.Heard {
			p.hang("    ", h.Text+h.Unfit, Steps(p.voice, r, fact.Events{h.Event}))
		}
	}
}
