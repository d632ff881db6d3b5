// Package figure draws the figures of a debrief: as marks, so that a page and
// a screen show the same one. [Astigmatism] is the path of a sitting over the plane
// of astigmatism, and [Focus] where the focal lines stood at each of its steps.
package figure

import (
	"fmt"
	"html"
	"strings"
)

// Tone is what a mark stands for; who shows it chooses the colour.
type Tone uint8

// The tones.
const (
	Ink    Tone = iota
	Quiet       // axes and their figures
	Rule        // lines of a grid, bands
	Accent      // what the student did
	Second      // what stands beside it: the truth, the expert
	Warn        // a mistake
)

// Kind is the form of a mark.
type Kind uint8

// The forms.
const (
	Line   Kind = iota // through all points
	Area               // bounded by the points
	Circle             // round the first point, Size in radius, filled
	Ring               // the same, not filled
	Text               // at the first point, which is the middle of its baseline unless Start is set
)

// Point is a place in the figure, y down.
type Point struct{ X, Y float64 }

// Mark is one part of a figure.
type Mark struct {
	Kind   Kind
	Tone   Tone
	Points []Point
	Width  float64 // of a line or a ring
	Size   float64 // of a circle, or of text
	Dashed bool
	Text   string
	Start  bool // the text begins at its point
}

// Figure is a figure of W by H units, about as large as pixels.
type Figure struct {
	W, H  float64
	Title string
	Alt   string // what is seen in it, for those who do not see it
	Marks []Mark
}

func (f *Figure) add(m Mark) { f.Marks = append(f.Marks, m) }

func (f *Figure) line(t Tone, width float64, p ...Point) {
	f.add(Mark{Kind: Line, Tone: t, Width: width, Points: p})
}

func (f *Figure) text(t Tone, x, y, size float64, text string) {
	f.add(Mark{Kind: Text, Tone: t, Points: []Point{{x, y}}, Size: size, Text: text})
}

// classes are the names of the tones in the page's style.
var classes = map[Tone]string{Ink: "ink", Quiet: "quiet", Rule: "rule", Accent: "accent", Second: "second", Warn: "warn"}

// SVG writes the figure for a page whose style has the classes ink, quiet,
// rule, accent, second and warn, each with a color.
func (f *Figure) SVG() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %g %g" role="img" aria-label="%s">`, f.W, f.H, html.EscapeString(f.Alt))
	for _, m := range f.Marks {
		b.WriteString(m.svg())
	}
	b.WriteString("</svg>")
	return b.String()
}

func (m Mark) svg() string {
	c := classes[m.Tone]
	p := m.Points[0]
	switch m.Kind {
	case Circle:
		return fmt.Sprintf(`<circle class="%s" cx="%.1f" cy="%.1f" r="%.1f" fill="currentColor"/>`, c, p.X, p.Y, m.Size)
	case Ring:
		return fmt.Sprintf(`<circle class="%s" cx="%.1f" cy="%.1f" r="%.1f" fill="none" stroke="currentColor" stroke-width="%.1f"/>`, c, p.X, p.Y, m.Size, m.Width)
	case Text:
		anchor := "middle"
		if m.Start {
			anchor = "start"
		}
		return fmt.Sprintf(`<text class="%s" x="%.1f" y="%.1f" font-size="%.1f" text-anchor="%s" fill="currentColor">%s</text>`,
			c, p.X, p.Y, m.Size, anchor, html.EscapeString(m.Text))
	case Area:
		return fmt.Sprintf(`<polygon class="%s" points="%s" fill="currentColor"/>`, c, places(m.Points))
	}
	dash := ""
	if m.Dashed {
		dash = ` stroke-dasharray="4 4"`
	}
	return fmt.Sprintf(`<polyline class="%s" points="%s" fill="none" stroke="currentColor" stroke-width="%.1f" stroke-linejoin="round"%s/>`,
		c, places(m.Points), m.Width, dash)
}

func places(ps []Point) string {
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = fmt.Sprintf("%.1f,%.1f", p.X, p.Y)
	}
	return strings.Join(out, " ")
}
