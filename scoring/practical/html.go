package practical

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"conoid/scoring/cohort"
)

//go:embed report.html
var reportPage string

var reportTemplate = template.Must(template.New("report").Funcs(template.FuncMap{
	"minus":   func(s string) string { return strings.ReplaceAll(s, "-", "\u2212") },
	"points":  func(v float64) string { return forPeople(v, 1) },
	"value":   func(v cohort.Value) string { return valueText(v, 1) },
	"fine":    func(v cohort.Value) string { return valueText(v, 2) },
	"minutes": func(d time.Duration) string { return fmt.Sprintf("%d:%02d", int(d.Minutes()), int(d.Seconds())%60) },
	"day":     func(t time.Time) string { return t.Format("2 January 2006, 15:04") },
	"clock":   func(t time.Time) string { return t.Format("15:04") },
	"add":     func(a, b int) int { return a + b },
	"percent": func(v, most float64) float64 { return 100 * v / math.Max(most, 1) },
	"unmarked": func(c *Class) int {
		return len(slices.DeleteFunc(slices.Clone(c.Troubles), func(t Trouble) bool { return t.Kind == Late }))
	},
}).Parse(reportPage))

// WriteHTML writes the report of a class as one page that needs nothing else and
// prints well.
func (c *Class) WriteHTML(w io.Writer) error { return reportTemplate.Execute(w, c) }

func forPeople(v float64, decimals int) string {
	return strings.ReplaceAll(fmt.Sprintf("%.*f", decimals, v+0), "-", "\u2212")
}

func valueText(v cohort.Value, decimals int) string {
	if !v.OK {
		return "not defined"
	}
	return forPeople(v.V, decimals)
}

// Bar is one bar of the histogram, in units of the drawing.
type Bar struct {
	X, Y, Width, Height float64
	Count               int
	From, To            float64 // points
}

// Histogram is the drawing of the marks of a class.
type Histogram struct {
	Width, Height float64 // of the plot
	Bars          []Bar
	Ticks         []Tick
	Cut           float64 // where the pass mark stands; below 0 when there is none
}

// Tick is a number on the axis.
type Tick struct {
	X    float64
	Text string
}

const bins = 20

// Histogram counts the marks in 20 equal steps from none to all points.
func (c *Class) Histogram() Histogram {
	h := Histogram{Width: 640, Height: 150, Cut: -1}
	most := c.most()
	counts := make([]int, bins)
	for _, s := range c.Sheets {
		counts[min(bins-1, int(bins*s.Points/most))]++
	}
	step, unit := h.Width/bins, h.Height/float64(max(1, slices.Max(counts)))
	for i, n := range counts {
		height := unit * float64(n)
		h.Bars = append(h.Bars, Bar{float64(i)*step + 1, h.Height - height, step - 2, height, n, float64(i) * most / bins, float64(i+1) * most / bins})
	}
	for i := 0; i <= 10; i += 2 {
		h.Ticks = append(h.Ticks, Tick{h.Width * float64(i) / 10, number(hundredth(most * float64(i) / 10))})
	}
	if c.PassMark.OK {
		h.Cut = h.Width * c.PassMark.V / most
	}
	return h
}

func (c *Class) most() float64 {
	if len(c.Sheets) == 0 || c.Sheets[0].Most == 0 {
		return 1
	}
	return c.Sheets[0].Most
}

// Retention is what stands at the end of every report about keeping it.
const Retention = "Candidates are numbers here; who they are is known only from the list of the institution. Keep results, decisions and reports no longer than its rules say, then delete them; conoid practical forget removes one candidate."

// Retention is the constant of that name, for the page.
func (c *Class) Retention() string { return Retention }
