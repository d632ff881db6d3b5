package ui

import (
	"image/color"

	"conoid/cmd/station/internal/paper"
)

// Pen draws: it knows the colours, the size of text and the part of the window
// that is drawn in.
type Pen struct {
	Theme Theme
	Text  float64 // size of text, 1 to 2

	tall   bool // a row has the height of a finger: in dialogs, which have room for it
	scene  *paper.Scene
	window paper.Rect
	clips  []paper.Rect
}

// Scene is what is being drawn.
func (p *Pen) Scene() *paper.Scene { return p.scene }

// Window is the whole of the window.
func (p *Pen) Window() paper.Rect { return p.window }

// Clip draws only within r until Unclip.
func (p *Pen) Clip(r paper.Rect) {
	p.clips = append(p.clips, p.clips[len(p.clips)-1].Intersect(r))
	p.scene.Clip(r)
}

// Unclip ends the last Clip.
func (p *Pen) Unclip() {
	p.clips = p.clips[:len(p.clips)-1]
	p.scene.Unclip()
}

// font is the size and weight of a style.
func (p *Pen) font(s Style) (size float64, w paper.Weight) {
	switch s {
	case Small, Note:
		return small * p.Text, paper.Regular
	case Caution, SmallBold:
		return small * p.Text, paper.Bold
	case Head:
		return head * p.Text, paper.Bold
	case Figure:
		return head * p.Text, paper.Bold
	case Title:
		return title * p.Text, paper.Bold
	case Strong, StrongOn, Off:
		return body * p.Text, paper.Bold
	}
	return body * p.Text, paper.Regular
}

func (p *Pen) ink(s Style) color.NRGBA {
	switch s {
	case Quiet, Note:
		return p.Theme.Quiet
	case Refusal, Off:
		return p.Theme.Warn
	case OnAccent, StrongOn:
		return p.Theme.OnAct
	}
	return p.Theme.Ink
}

// LineHeight is the height of a line of text.
func (p *Pen) LineHeight(s Style) float64 {
	size, _ := p.font(s)
	return size * 1.35
}

// Width is the width of a text in one line.
func (p *Pen) Width(text string, s Style) float64 {
	size, w := p.font(s)
	return paper.Width(text, size, w)
}

// line writes a line of text and reports whether it fits.
func (p *Pen) line(r paper.Rect, text string, s Style, c color.NRGBA, a Align) bool {
	size, w := p.font(s)
	wide := paper.Width(text, size, w)
	x := r.X
	switch a {
	case Middle:
		x += (r.W - wide) / 2
	case Finish:
		x += r.W - wide
	}
	p.scene.Text(x, r.Y+(r.H+paper.CapHeight(size, w))/2, size, w, text, c)
	return wide <= r.W+0.5 && p.LineHeight(s) <= r.H+0.5
}

// lines writes lines below one another, the whole in the middle of r.
func (p *Pen) lines(r paper.Rect, lines []string, s Style, c color.NRGBA, a Align) bool {
	lh := p.LineHeight(s)
	fits := lh*float64(len(lines)) <= r.H+0.5
	y := r.Y + (r.H-lh*float64(len(lines)))/2
	for i, l := range lines {
		if !p.line(paper.Rect{X: r.X, Y: y + float64(i)*lh, W: r.W, H: lh}, l, s, c, a) {
			fits = false
		}
	}
	return fits
}

// wrap breaks a text into lines of a width.
func (p *Pen) wrap(text string, width float64, s Style) []string {
	size, w := p.font(s)
	return paper.Wrap(text, width, size, w)
}

// ParaHeight is the height of a text in lines of a width.
func (p *Pen) ParaHeight(text string, width float64, s Style) float64 {
	return float64(len(p.wrap(text, width, s))) * p.LineHeight(s)
}

// Wrap breaks a text into lines of a width.
func (p *Pen) Wrap(text string, width float64, s Style) []string { return p.wrap(text, width, s) }

// ButtonSize is the size that a button wants, at most so wide.
func (p *Pen) ButtonSize(label string, most float64) (w, h float64) {
	wide := max(p.Width(label, Strong), p.Width(label, Body)) + 1
	w = min(wide+2*padX, most)
	n := max(len(p.wrap(label, w-2*padX, Strong)), len(p.wrap(label, w-2*padX, Body)))
	h = float64(n)*p.LineHeight(Body) + 2*padY
	return w, max(h, p.RowHeight())
}

// RowHeight is the height of a button with one line.
func (p *Pen) RowHeight() float64 {
	h := p.LineHeight(Body) + 2*padY
	if p.tall {
		return max(h, finger*p.Text)
	}
	return h
}

// finger is the least height of what a finger presses, logical pixels at a text size of
// 100 % (WCAG 2.1, success criterion 2.5.5).
const finger = 44

// back draws what a button is made of.
func (p *Pen) back(r paper.Rect, look Look, enabled, over, down bool) {
	t := &p.Theme
	fill, edge, width := t.Sheet, t.Edge, 1.0
	switch {
	case look.leads() && enabled:
		fill, edge = t.Act, t.Act
	case look == Selected:
		fill, edge, width = t.Touch, t.Ink, 2
	}
	switch {
	case down:
		fill = mix(fill, t.Ink, 0.2)
	case over && look.leads():
		fill = mix(fill, t.Ink, 0.12)
	case over:
		fill = t.Touch
	}
	if (look == Bare || look == Ghost) && !over {
		return
	}
	if !enabled {
		p.scene.Frame(r, 8, 1, t.Rule)
		return
	}
	if look == Question || look == First {
		p.bubble(r, fill, edge)
		return
	}
	p.scene.Box(r, 8, fill)
	p.scene.Frame(r, 8, width, edge)
	if look == Selected { // not by its outline alone: a clip at the head
		p.scene.Box(paper.Rect{X: r.Centre().X - 9, Y: r.Y - 3, W: 18, H: 6}, 2, t.Brass)
	}
}

// Bubble draws what is said: a speech bubble on which the caller writes.
func Bubble(u *UI, r paper.Rect) { u.bubble(r, u.Theme.Sheet, u.Theme.Edge) }

// bubble draws a question: a speech bubble with its tail below, at the left.
func (p *Pen) bubble(r paper.Rect, fill, edge color.NRGBA) {
	const round, tail = 20, 7
	var path paper.Path
	path.Rect(r, min(round, r.H/2))
	path.MoveTo(r.X+17, r.Bottom()-1)
	path.LineTo(r.X+30, r.Bottom()-1)
	path.LineTo(r.X+18, r.Bottom()+tail)
	path.Close()
	if fill != edge {
		p.scene.Stroke(&path, 2, edge) // its inner half is painted over
	}
	p.scene.Fill(&path, fill)
}

// underline draws a line below every line of a label in the middle of r.
func (p *Pen) underline(r paper.Rect, lines []string, s Style) {
	lh := p.LineHeight(s)
	y := r.Y + (r.H-lh*float64(len(lines)))/2
	for i, l := range lines {
		w := p.Width(l, s)
		foot := y + float64(i+1)*lh - 2
		p.scene.Line(r.Centre().X-w/2, foot, r.Centre().X+w/2, foot, 1, p.Theme.Edge)
	}
}

// caretAt is the place in a text nearest to x.
func (p *Pen) caretAt(runes []rune, x float64) int {
	for i := range runes {
		if p.Width(string(runes[:i+1]), Body)-p.Width(string(runes[i]), Body)/2 > x {
			return i
		}
	}
	return len(runes)
}
