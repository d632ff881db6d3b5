package ui

import (
	"cmp"
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
	Off       // Strong, for what is off or lost
)

// level is that of the heading that a text in a style is; 0: it is none.
func (s Style) level() int {
	switch s {
	case Title:
		return 1
	case Head:
		return 2
	}
	return 0
}

// Align is where text stands in its box.
type Align uint8

// The places.
const (
	Start Align = iota
	Middle
	Finish
)

// Label writes a line of text, in the middle of the height of r, and lists it.
func (u *UI) Label(r paper.Rect, text string, s Style, a Align) {
	cut := !u.line(r, text, s, u.ink(s), a)
	u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r, Cut: cut, Level: s.level()})
}

// Coloured is a label in a colour that it shares with what it names.
func (u *UI) Coloured(r paper.Rect, text string, s Style, a Align, c color.NRGBA) {
	cut := !u.line(r, text, s, c, a)
	u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r, Cut: cut})
}

// Para writes a text in lines of a width and gives its height.
func (u *UI) Para(x, y, width float64, text string, s Style) float64 {
	lines := u.wrap(text, width, s)
	h := float64(len(lines)) * u.LineHeight(s)
	r := paper.Rect{X: x, Y: y, W: width, H: h}
	cut := !u.lines(r, lines, s, u.ink(s), Start)
	u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r, Cut: cut, Level: s.level(), Refused: s == Refusal})
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

// Tinted is Words in a colour of the part's own.
func Tinted(u *UI, r paper.Rect, text string, s Style, c color.NRGBA, a Align) {
	if !u.line(r, text, s, c, a) {
		u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r, Cut: true})
	}
}

// Says lists what was written in pieces, as it is read out.
func Says(u *UI, r paper.Rect, text string) {
	u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r})
}

// Headline writes what a screen is about in a line that is no larger than others.
func Headline(u *UI, r paper.Rect, text string) {
	cut := !u.line(r, text, Strong, u.Theme.Ink, Start)
	u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r, Cut: cut, Level: 1})
}

// Image lists a picture that was drawn, with what it is a picture of.
func (u *UI) Image(name, alt string, r paper.Rect) {
	u.add(Thing{ID: "image:" + cmp.Or(name, alt), Role: RoleImage, Label: name, Value: alt, Rect: r})
}
