// Package classes writes down what a class comes to that sat a practical, for
// people to read and print, for spreadsheets and for a terminal. It is apart from
// package report, which is at every station.
package classes

import (
	_ "embed"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/scoring/cohort"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

//go:embed class.html
var classHTML string

// classFuncs are what the page of a class asks a voice for.
func classFuncs(v voice.Voice) template.FuncMap {
	return template.FuncMap{
		"language":  func() string { return v.Language },
		"t":         func(id string, pairs ...any) string { return v.Text("practical.class."+id, pairs...) },
		"say":       v.Say,
		"word":      func(x fact.Named) string { return v.Capital(v.Value(x)) },
		"caution":   func() string { return v.Text("caution") },
		"finding":   func(id string) string { return v.Text("finding." + id) },
		"rx":        func(text string) string { return refraction(v, text) },
		"points":    func(p float64) string { return v.Value(fact.Points(p)) },
		"number":    func(x float64) fact.Number { return fact.Number(x) },
		"value":     func(x cohort.Value) string { return figure(v, x) },
		"minutes":   func(d time.Duration) string { return span(v, d) },
		"day":       func(t time.Time) string { return v.Value(fact.Moment{Time: t}) },
		"moment":    func(t time.Time) string { return t.Format(v.Text("style.short")) },
		"span":      func(d time.Duration) string { return span(v, d) },
		"slow":      func(t practical.Times) string { return slow(v, t) },
		"count":     func(n int) fact.Count { return fact.Count(n) },
		"add":       func(a, b int) int { return a + b },
		"share":     func(x float64) fact.Number { return fact.Number(math.Round(100 * x)) },
		"percent":   func(p, most float64) float64 { return 100 * p / math.Max(most, 1) },
		"part":      func(c *class.Class, i int) string { return partName(v, c, c.PartsOf[i]) },
		"jump":      func(by time.Duration) string { return jump(v, by) },
		"ruling":    func(c *class.Class, r practical.Ruling) string { return ruling(v, c, r) },
		"stops":     stops,
		"bare":      bare,
		"named":     func(c *class.Class, i int) string { return caseName(v, c, i) },
		"ofCase":    func(c *class.Class, f fact.Fact) fact.Fact { return OfCase(v, c, f) },
		"void":      func(c *class.Class) int { return kinds(c, func(k class.Kind) bool { return k == class.Void }) },
		"missing":   func(c *class.Class) int { return kinds(c, func(k class.Kind) bool { return k == class.Missing }) },
		"stop":      func(s *practical.Sheet, i practical.Interruption) string { return interruption(v, s, i) },
		"unmarked":  func(c *class.Class) int { return kinds(c, class.Kind.Unmarked) },
		"scheme":    func(c *class.Class) string { return Scheme(v, c) },
		"histogram": func(c *class.Class) histogram { return histogramOf(v, c) },
		"strip":     func() strip { return strip{Width: slopeWidth, Card: slopeAt(0), Heard: slopeAt(1)} },
		"drawn":     func(l class.Listening) strip { return stripOf(v, l) },
		"codes":     func(c *class.Class) string { return Codes(v, c, "practical.class.codes.about") },
		"decision":  func(c *class.Class, d practical.Decision) string { return Decision(v, c, d) },
	}
}

// kinds counts the troubles of some kinds.
func kinds(c *class.Class, is func(class.Kind) bool) (n int) {
	for _, t := range c.Troubles {
		if is(t.Kind) {
			n++
		}
	}
	return n
}

// caseName is the number of a case in the practical, with its patient: candidates may know
// it by another number, that of their own order.
func caseName(v voice.Voice, c *class.Class, i int) string {
	return v.Text("practical.class.case-name", "n", fact.Count(i+1), "title", c.Cases[i].Title)
}

// casesToldOf are facts whose n is the number of a case in the practical.
var casesToldOf = []string{"practical.late-case", "practical.doubt.clock", "practical.trouble.unsent"}

// OfCase is a fact with the patient beside the number of a case that it tells of.
func OfCase(v voice.Voice, c *class.Class, f fact.Fact) fact.Fact {
	n, is := f.Values["n"].(fact.Count)
	if !is || !slices.Contains(casesToldOf, f.ID) || n < 1 || int(n) > len(c.Cases) {
		return f
	}
	return f.With("n", caseName(v, c, int(n)-1))
}

// Page writes the report of a class as one page that needs nothing else and
// prints well.
func Page(w io.Writer, v voice.Voice, c *class.Class) error {
	page, err := template.New("class").Funcs(classFuncs(v)).Parse(classHTML)
	if err != nil {
		return err
	}
	return page.Execute(w, c)
}

// Table is the marks of a class in columns of text.
func Table(v voice.Voice, c *class.Class) string {
	rows := [][]string{{v.Text("practical.class.candidate"), v.Text("practical.class.points"), v.Text("practical.class.of"), ""}}
	for _, s := range c.Sheets {
		var notes []string
		if passes, ok := c.Passes(s); ok && passes {
			notes = append(notes, v.Text("practical.class.reaches"))
		}
		if slices.ContainsFunc(s.Cases, func(k practical.CaseMark) bool { return k.Reason != "" }) {
			notes = append(notes, v.Text("practical.class.overridden"))
		}
		rows = append(rows, []string{s.Candidate, v.Value(fact.Points(s.Points)), v.Value(fact.Points(s.Most)), strings.Join(notes, "; ")})
	}
	return report.Columns(rows)
}

// Scheme is by what the points of a class were given.
func Scheme(v voice.Voice, c *class.Class) string {
	if c.Scheme == "" {
		return v.Text("practical.class.own-scheme")
	}
	return v.Text("practical.class.scheme", "file", c.Scheme)
}

// Codes counts how the codes compare, in the words of an ID.
func Codes(v voice.Voice, c *class.Class, id string) string {
	n := class.CountCodes(c.Codes)
	said := v.Text(id, "agree", fact.Count(n.Agree), "differ", fact.Count(n.Differ), "nofile", fact.Count(n.NoFile), "noslip", fact.Count(n.NoSlip))
	if n.Another > 0 {
		said += " " + v.Text("practical.class.codes.another", "n", fact.Count(n.Another))
	}
	if n.Void > 0 {
		said += " " + v.Text("practical.class.codes.void", "n", fact.Count(n.Void))
	}
	return said
}

// figure is a number of the statistics, where there is one.
func figure(v voice.Voice, x cohort.Value) string {
	if !x.OK {
		return v.Text("practical.class.not-defined")
	}
	return v.Value(fact.Points(x.V))
}

// refraction is a refraction that is given in ASCII.
func refraction(v voice.Voice, text string) string {
	rx, err := optics.ParseRx(text)
	if err != nil {
		return text
	}
	return v.Value(rx)
}

func partName(v voice.Voice, c *class.Class, p class.PartOf) string {
	return v.Text("practical.class.part", "n", fact.Count(p.Case+1), "title", c.Cases[p.Case].Title, "part", scoring.PartName(p.Part))
}

// Decision is what was decided, with the patient of the case.
func Decision(v voice.Voice, c *class.Class, d practical.Decision) string {
	switch {
	case d.Points != nil:
		return v.Text("practical.class.overriding", "n", caseName(v, c, d.Case-1), "candidate", d.Candidate, "points", fact.Points(*d.Points))
	case d.Case != 0:
		return v.Text("practical.class.deciding", "deed", d.Do, "n", caseName(v, c, d.Case-1))
	}
	return v.Value(d.Do)
}

// jump is how a clock was set.
func jump(v voice.Voice, by time.Duration) string {
	if by < 0 {
		return v.Text("practical.class.jump-back", "by", fact.Seconds(-by.Seconds()))
	}
	return v.Text("practical.class.jump-on", "by", fact.Seconds(by.Seconds()))
}

// span is a time of a record, which can be negative.
func span(v voice.Voice, d time.Duration) string {
	if d = d.Round(time.Second); d < 0 {
		return "\u2212" + v.Value(-d)
	}
	return v.Value(d)
}

// slow says by how much the program's own clock went wrong; "" when it did not.
func slow(v voice.Voice, t practical.Times) string {
	switch {
	case t.TooSlow():
		return v.Text("practical.class.slow", "by", fact.Seconds(math.Round(t.Slow.Seconds())))
	case t.TooFast():
		return v.Text("practical.class.fast", "by", fact.Seconds(math.Round(-t.Slow.Seconds())))
	}
	return ""
}

// bar is one bar of the histogram, in units of the drawing.
type bar struct {
	X, Y, Width, Height float64
	Count               int
	Title               string
}

// histogram is the drawing of the marks of a class.
type histogram struct {
	Width, Height float64 // of the plot
	Bars          []bar
	Ticks         []tick
	Cut           float64 // where the pass mark stands; below 0 when there is none
}

// tick is a number on the axis.
type tick struct {
	X    float64
	Text string
}

const bins = 20

// histogramOf counts the marks in 20 equal steps from none to all points.
func histogramOf(v voice.Voice, c *class.Class) histogram {
	h := histogram{Width: 640, Height: 150, Cut: -1}
	most := 1.0
	if len(c.Sheets) > 0 && c.Sheets[0].Most > 0 {
		most = c.Sheets[0].Most
	}
	counts := make([]int, bins)
	for _, s := range c.Sheets {
		counts[min(bins-1, int(bins*s.Points/most))]++
	}
	step, unit := h.Width/bins, h.Height/float64(max(1, slices.Max(counts)))
	for i, n := range counts {
		height := unit * float64(n)
		h.Bars = append(h.Bars, bar{float64(i)*step + 1, h.Height - height, step - 2, height, n, v.Text("practical.class.bar",
			"n", fact.Count(n), "from", fact.Points(float64(i)*most/bins), "to", fact.Points(float64(i+1)*most/bins))})
	}
	for i := 0; i <= 10; i += 2 {
		h.Ticks = append(h.Ticks, tick{h.Width * float64(i) / 10, v.Value(fact.Points(most * float64(i) / 10))})
	}
	if c.PassMark.OK {
		h.Cut = h.Width * c.PassMark.V / most
	}
	return h
}
