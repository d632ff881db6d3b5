package main

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/scoring/population"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// account tells what a case amounts to. Repeats is what the expert finds in it;
// nil for not tried.
func account(path string, c *cases.Case, s *sitting.Sitting, r *population.Repeats) string {
	var b strings.Builder
	truth := s.Truth(c.Tested)
	objective := c.Of(c.Tested).Objective
	fmt.Fprintf(&b, "%s: %s, level %d. No mistakes.\n", path, c.Title, c.Level)
	line := func(name, format string, a ...any) { b.WriteString(entryOf(name, fmt.Sprintf(format, a...))) }
	acuity := func(rx optics.Rx) string { return patient.FormatAcuity(s.AcuityWith(c.Tested, rx)) }
	line("Patient", "%s, %.0f; %s eye; answers as %s", cmp.Or(c.Name, "no name"), c.Age, c.Tested, c.MannerName)
	line("Error", "%v: what is marked", truth.Error)
	line("Optical focus", "%v; the error has %.2f D more plus, the most that costs no acuity", truth.Optical.Round(0.01), truth.Offset)
	line("Objective", "%v", objective)
	line("Acuity", "%s unaided; %s with the objective result; %s at best",
		acuity(optics.Rx{}), acuity(objective), patient.FormatAcuity(truth.Best))
	line("Usual fog", "%s", fogOf(c))
	hard := "none"
	if d := c.Difficulties(); len(d) > 0 {
		hard = strings.Join(d, "; ")
	}
	line("Difficulties", "%s", hard)
	warnings := cases.Check(c)
	if r != nil {
		line("Expert", "%v, the mean of %d sittings; par %d steps, the median", r.Mean.Round(0.01), r.Sittings, r.Par)
		line("off by", "%s ± %.2f D of spherical equivalent, up to %.2f D of cylinder (95 %%)",
			signedPower(r.Off.M), r.LimitM, r.LimitCyl)
		warnings = append(warnings, traps(r)...)
	}
	for _, w := range warnings {
		fmt.Fprintln(&b, indent(wrap("Mind: "+w, width-margin), margin))
	}
	return b.String()
}

// entryOf is a line of an account: a name, and what is said of it, wrapped.
func entryOf(name, text string) string {
	const begins, wide = 16, 90
	text = indent(wrap(text, wide-begins), begins)
	return fmt.Sprintf("  %-14s%s\n", name, strings.TrimLeft(text, " "))
}

// fogOf tells whether the fog that is taught, on the objective sphere with the
// cylinder out, is enough in a case.
func fogOf(c *cases.Case) string {
	back, enough := c.Fogged()
	where := fmt.Sprintf("%.2f D before the retina", back)
	if back < 0 {
		where = fmt.Sprintf("%.2f D behind the retina", -back)
	}
	how := "enough"
	switch {
	case !enough && back < 1:
		how = "too little"
	case !enough:
		how = "more than needed"
	}
	return fmt.Sprintf("%s: %+.2f D puts the back focal line %s", how, cases.UsualFog, where)
}

// How far off the expert may be on average before a case is called a trap, in
// dioptres: of spherical equivalent, and of cylinder. It is the project's choice,
// a quarter and a half above the step of the trial lenses.
const (
	trapM   = 0.375
	trapCyl = 0.50
)

// traps is what the expert's sittings say against a case.
func traps(r *population.Repeats) []string {
	var doubts, out []string
	for _, d := range slices.Sorted(maps.Keys(r.Doubts)) {
		if n := r.Doubts[d]; 2*n > r.Sittings {
			doubts = append(doubts, fmt.Sprintf("In %d of %d sittings the expert had a doubt: %s.", n, r.Sittings, voice.English.Value(d)))
		}
	}
	blame := "Whoever works by the book ends there, and nothing in the answers shows it: a trap that no student can see."
	if len(doubts) > 0 {
		blame = "Whoever works by the book ends there; only the doubts tell."
	}
	if math.Abs(r.Off.M) > trapM {
		out = append(out, fmt.Sprintf("The expert is off by %s D of spherical equivalent on average. %s", signedPower(r.Off.M), blame))
	}
	if cyl := 2 * r.Off.Astigmatism(); cyl > trapCyl {
		out = append(out, fmt.Sprintf("The expert leaves %.2f D of cylinder on average, always the same way. %s", cyl, blame))
	}
	return append(out, doubts...)
}

func signedPower(d float64) string { return strings.ReplaceAll(fmt.Sprintf("%+.2f", d+0), "-", "−") }

// repeated has the expert examine the person of a sitting so many times, and
// counts on one line of w, which it wipes in the end.
func repeated(w io.Writer, path string, s *sitting.Sitting, sittings int) (*population.Repeats, error) {
	last := ""
	defer func() { fmt.Fprintf(w, "\r%*s\r", len(last), "") }()
	return population.Repeat(s, sittings, func(done int) {
		last = fmt.Sprintf("%s: the expert, %d of %d", path, done, sittings)
		fmt.Fprint(w, "\r"+last)
	})
}
