package scoring

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Write writes a report for people: the mark, the points by part, and a line
// for each finding. Full adds the reasons, what each finding did to the focal
// lines, the luck, and the numbers of the events.
func (r *Report) Write(w io.Writer, full bool) error {
	t := &table{}
	if r.Mark == nil {
		t.line("The sitting was broken off before an end point was stated.")
	} else if err := r.Mark.table(t); err != nil {
		return err
	}
	t.line("")
	t.line("Marks: %s of %s", points(r.Total), points(r.Most))
	for _, p := range r.Parts {
		t.line("  %-12s%6s of %s", p.Name, points(p.Points), points(p.Most))
		if full {
			for _, reason := range p.Reasons {
				t.hang(fmt.Sprintf("    %7s  ", signedPoints(reason.Points)), reason.Text+events(reason.Events))
			}
		}
	}
	t.findings(r.Findings, full)
	if len(r.Luck) > 0 {
		t.line("")
		t.line("Chance: %s given otherwise than by the same person without noise.", were(len(r.Luck), "answer"))
	}
	if full {
		for _, l := range r.Luck {
			t.line("  event %d: %s; without noise: %s", l.Event, l.Said, l.Noiseless)
		}
	}
	t.line("")
	t.line("Par of this case, from %s of an expert: %.0f steps, %s, an end point %.2f D off.",
		count(r.Par.Seeds, "sitting"), r.Par.Steps, clock(r.Par.Seconds), r.Par.Typical)
	t.line("")
	t.line("%s", r.Caution)
	_, err := io.WriteString(w, t.String())
	return err
}

func (t *table) findings(all []Finding, full bool) {
	t.line("")
	if len(all) == 0 {
		t.line("Nothing was found that the method would have otherwise.")
		return
	}
	t.line("Findings:")
	for _, f := range all {
		t.line("  %-8s%s (%s)", f.Severity, f.Title, f.ID)
		if full {
			t.hang("          ", f.What+events(f.Events))
			t.hang("          ", f.Optics)
			t.hang("          ", "Better: "+f.Better)
		}
	}
}

// textWidth is the number of characters in a line.
const textWidth = 100

// hang writes text in lines, all of which begin where the first word does.
func (t *table) hang(lead, text string) {
	line, indent := lead, strings.Repeat(" ", utf8.RuneCountInString(lead))
	for i, word := range strings.Fields(text) {
		switch {
		case i == 0:
			line += word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > textWidth:
			t.line("%s", line)
			line = indent + word
		default:
			line += " " + word
		}
	}
	t.line("%s", line)
}

// events names events of the log.
func events(n []int) string {
	const most = 8
	if len(n) == 0 {
		return ""
	}
	var b strings.Builder
	for i, e := range n {
		switch {
		case i == most:
			b.WriteString(" …")
		case i > most:
		case i > 0:
			fmt.Fprintf(&b, ", %d", e)
		default:
			fmt.Fprintf(&b, "%d", e)
		}
	}
	if len(n) == 1 {
		return " [event " + b.String() + "]"
	}
	return " [events " + b.String() + "]"
}

// points are written with no more decimals than they need.
func points(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
}

func signedPoints(v float64) string {
	if v < 0 {
		return "−" + points(-v)
	}
	return "+" + points(v)
}
