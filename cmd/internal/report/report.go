// Package report puts the mark and the review of a sitting into words, and lays
// them out for people at a terminal.
//
//	r, err := scoring.Review(c, s, par)
//	...
//	err = report.Write(os.Stdout, voice.In("de"), r, true)
package report

import (
	"strings"
	"unicode/utf8"

	"io"

	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
)

// Write writes a report: the mark, the points by part, and a line for each
// finding. Full adds the reasons, what each finding did to the focal lines, the
// luck, and the numbers of the steps.
func Write(w io.Writer, v voice.Voice, r *scoring.Report, full bool) error {
	p := &page{voice: v.By(r.Labels)}
	if r.Mark == nil {
		p.say("report.broken-off")
	} else {
		p.mark(r.Mark)
	}
	p.line("")
	p.say("report.marks", "points", r.Total, "most", r.Most)
	if r.Scheme.ID != "" {
		p.say("report.by", "scheme", r.Scheme)
	}
	p.parts(r, full)
	if full {
		p.evidence(r)
	}
	p.line("")
	p.findings(r, full)
	p.luck(r, full)
	p.line("")
	p.say("report.par", "sittings", fact.Count(r.Par.Seeds), "steps", r.Par.WholeSteps(), "time", r.Par.Seconds, "off", r.Par.Typical)
	p.line("")
	p.say("caution")
	_, err := io.WriteString(w, p.String())
	return err
}

// WriteMark writes a mark: a sentence that sums it up, the end point beside the
// truth, what it took, and the caution.
func WriteMark(w io.Writer, v voice.Voice, m *scoring.Mark) error {
	p := &page{voice: v}
	p.mark(m)
	p.line("")
	p.say("caution")
	_, err := io.WriteString(w, p.String())
	return err
}

// parts are the points of each part, and why, in columns.
func (p *page) parts(r *scoring.Report, full bool) {
	names, points := column{}, column{right: true}
	for _, part := range r.Parts {
		names.add(p.voice.Value(part.Name))
		points.add(p.voice.Text("report.part", "points", part.Points, "most", part.Most))
	}
	for i, part := range r.Parts {
		p.line("  " + names.cell(i) + "  " + points.cell(i))
		if !full {
			continue
		}
		p.reasons(r, part, "report.earned-by", func(points fact.Points) bool { return points >= 0 })
		p.reasons(r, part, "report.lost-by", func(points fact.Points) bool { return points < 0 })
	}
}

// reasons are why points of a part were earned, or lost, under a heading with
// their sum, which is the points of the part, or what is missing of its most.
func (p *page) reasons(r *scoring.Report, part scoring.Part, heading string, of func(fact.Points) bool) {
	var reasons []scoring.Reason
	sum := fact.Points(0)
	for _, reason := range part.Reasons {
		if of(reason.Points) {
			reasons = append(reasons, reason)
			sum += reason.Points
		}
	}
	if len(reasons) == 0 {
		return
	}
	p.line("    " + p.voice.Text(heading, "points", max(sum, -sum)))
	for _, reason := range reasons {
		p.hang("    "+padLeft(p.earned(reason.Points), 7)+"  ", Why(p.voice, r, reason), Steps(p.voice, r, reason.Events))
	}
}

// earned are points with a sign.
func (p *page) earned(points fact.Points) string {
	if points < 0 {
		return p.voice.Value(points)
	}
	return p.voice.Text("report.earned", "points", points)
}

func (p *page) findings(r *scoring.Report, full bool) {
	all := r.Findings
	if len(all) == 0 {
		p.say("report.nothing")
		return
	}
	p.say("report.findings")
	severities := column{}
	for _, f := range all {
		severities.add(p.voice.Value(f.Severity))
	}
	for i, f := range all {
		words := Of(p.voice, f)
		lead := "  " + severities.cell(i) + "  "
		p.line(lead + words.Title)
		if words.Tutor != "" {
			p.hang(strings.Repeat(" ", utf8.RuneCountInString(lead)), words.Tutor)
		}
		if full {
			const indent = "          "
			p.hang(indent, words.What, Steps(p.voice, r, f.Events))
			p.hang(indent, words.Optics)
			p.hang(indent, p.voice.Text("report.better", "better", words.Better))
		}
	}
}

func (p *page) luck(r *scoring.Report, full bool) {
	all := r.Luck
	if len(all) == 0 {
		return
	}
	p.line("")
	p.say("report.luck", "answers", fact.Count(len(all)))
	if !full {
		return
	}
	for _, l := range all {
		p.line("  " + p.voice.Text("report.chance", "step", fact.Count(r.Step(l.Event)), "said", l.Said, "noiseless", l.Noiseless))
	}
}
