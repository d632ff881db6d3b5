package ui

import (
	"image/color"

	"conoid/cmd/station/internal/paper"
)

// Style is how text looks.
type Style uint8

// The styles: four sizes, and the quiet forms of two of them.
const (
	Body Style = iota
	Small
	Head
	Title
	Strong    // Body, bold
	Quiet     // Body, for what matters less
	Note      // Small, for what matters less
	Caution   // Small, bold
	Refusal   // Body, for what was refused
	Figure    // Head, bold
	OnAccent  // Body on the accent
	StrongOn  // Strong on the accent
	SmallBold // Small, bold
)

// Align is where text stands in its box.
type Align uint8

// The places.
const (
	Start Align = iota
	Middle
	Finish
)

// font is the size and weight of a style.
func (u *UI) font(s Style) (size float64, w paper.Weight) {
	switch s {
	case Small, Note:
		return small * u.Text, paper.Regular
	case Caution, SmallBold:
		return small * u.Text, paper.Bold
	case Head:
		return head * u.Text, paper.Bold
	case Figure:
		return head * u.Text, paper.Bold
	case Title:
		return title * u.Text, paper.Bold
	case Strong, StrongOn:
		return body * u.Text, paper.Bold
	}
	return body * u.Text, paper.Regular
}

func (u *UI) ink(s Style) color.NRGBA {
	switch s {
	case Quiet, Note:
		return u.Theme.Quiet
	case Refusal:
		return u.Theme.Warn
	case OnAccent, StrongOn:
		return u.Theme.OnAcc
	}
	return u.Theme.Ink
}

// LineHeight is the height of a line of text.
func (u *UI) LineHeight(s Style) float64 {
	size, _ := u.font(s)
	return size * 1.35
}

// Width is the width of a text in one line.
func (u *UI) Width(text string, s Style) float64 {
	size, w := u.font(s)
	return paper.Width(text, size, w)
}

// Label writes a line of text, in the middle of the height of r, and lists it.
func (u *UI) Label(r paper.Rect, text string, s Style, a Align) {
	cut := !u.line(r, text, s, u.ink(s), a)
	u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r, Cut: cut})
}

// line writes a line of text and tells whether it fits.
func (u *UI) line(r paper.Rect, text string, s Style, c color.NRGBA, a Align) bool {
	size, w := u.font(s)
	wide := paper.Width(text, size, w)
	x := r.X
	switch a {
	case Middle:
		x += (r.W - wide) / 2
	case Finish:
		x += r.W - wide
	}
	u.scene.Text(x, r.Y+(r.H+paper.CapHeight(size, w))/2, size, w, text, c)
	return wide <= r.W+0.5 && u.LineHeight(s) <= r.H+0.5
}

// lines writes lines below one another, the whole in the middle of r.
func (u *UI) lines(r paper.Rect, lines []string, s Style, c color.NRGBA, a Align) bool {
	lh := u.LineHeight(s)
	fits := lh*float64(len(lines)) <= r.H+0.5
	y := r.Y + (r.H-lh*float64(len(lines)))/2
	for i, l := range lines {
		if !u.line(paper.Rect{X: r.X, Y: y + float64(i)*lh, W: r.W, H: lh}, l, s, c, a) {
			fits = false
		}
	}
	return fits
}

// wrap breaks a text into lines of a width.
func (u *UI) wrap(text string, width float64, s Style) []string {
	size, w := u.font(s)
	return paper.Wrap(text, width, size, w)
}

// ParaHeight is the height of a text in lines of a width.
func (u *UI) ParaHeight(text string, width float64, s Style) float64 {
	return float64(len(u.wrap(text, width, s))) * u.LineHeight(s)
}

// Para writes a text in lines of a width and gives its height.
func (u *UI) Para(x, y, width float64, text string, s Style) float64 {
	lines := u.wrap(text, width, s)
	h := float64(len(lines)) * u.LineHeight(s)
	r := paper.Rect{X: x, Y: y, W: width, H: h}
	cut := !u.lines(r, lines, s, u.ink(s), Start)
	u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r, Cut: cut})
	return h
}

// Words writes a line of text that belongs to a part which is listed already.
func (u *UI) Words(r paper.Rect, text string, s Style, a ...Align) {
	align := Start
	if len(a) > 0 {
		align = a[0]
	}
	if !u.line(r, text, s, u.ink(s), align) {
		u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r, Cut: true})
	}
}

// Wrap breaks a text into lines of a width.
func (u *UI) Wrap(text string, width float64, s Style) []string { return u.wrap(text, width, s) }

// Image lists a picture that was drawn, with what is seen in it.
func (u *UI) Image(name, alt string, r paper.Rect) {
	u.add(Thing{ID: "image:" + name, Role: RoleImage, Label: name, Value: alt, Rect: r})
}
