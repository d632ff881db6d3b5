package ui

import (
	"conoid/cmd/station/internal/paper"
)

// Look is how a button stands out.
type Look uint8

// The looks.
const (
	Plain    Look = iota
	Primary       // the one that leads on
	Bare          // without an outline
	Selected      // the chosen one of several
	Ghost         // its words alone, underlined: what leads aside
	Question      // a question that can be asked: a speech bubble
	First         // the question, or the step, that leads on
)

// pad is the least room at either end of the text.
func (l Look) pad() float64 {
	if l == Question || l == First { // they stand in a row, and are round
		return 9
	}
	return padX
}

// leads reports whether a button is the one that leads on.
func (l Look) leads() bool { return l == Primary || l == First }

// pad is the room around the text of a button.
const (
	padX = 12
	padY = 7
)

// Button is a button; it reports whether it was pressed.
func (u *UI) Button(id string, r paper.Rect, label string, look Look) bool {
	return button(u, id, r, label, label, look, true)
}

// ButtonIf is a button that can be out of use.
func (u *UI) ButtonIf(enabled bool, id string, r paper.Rect, label string, look Look) bool {
	return button(u, id, r, label, label, look, enabled)
}

// Sign is a button with a short sign on it and a name for those who do not
// see it.
func (u *UI) Sign(enabled bool, id string, r paper.Rect, sign, name string, look Look) bool {
	return button(u, id, r, sign, name, look, enabled)
}

func button(u *UI, id string, r paper.Rect, label, name string, look Look, enabled bool) bool {
	over, down, pressed := press(u, id, r, enabled)
	u.back(r, look, enabled, over, down)
	style, ink := Body, u.Theme.Ink
	switch {
	case !enabled:
		ink = u.Theme.Quiet
	case look.leads():
		style, ink = Strong, u.Theme.OnAct
	case look == Selected:
		style = Strong
	}
	inner := paper.Rect{X: r.X + look.pad(), Y: r.Y, W: r.W - 2*look.pad(), H: r.H}
	if u.Width(label, style) > inner.W && len([]rune(label)) <= 3 {
		inner = r // a sign may stand close to the edge
	}
	lines := u.wrap(label, inner.W, style)
	if look == Ghost {
		u.underline(r, lines, style)
	}
	fits := u.lines(inner, lines, style, ink, Middle)
	u.add(Thing{
		ID: id, Role: RoleButton, Label: name, Rect: r, stop: true,
		Selected: look == Selected, Disabled: !enabled, Cut: !fits, Lines: len(lines),
	})
	u.Ring(id, r)
	return pressed
}

// Held is what was done to a button that acts as long as it is held.
type Held struct {
	Taken, Freed bool // the pointer went down on it, or up again, in this frame
	Struck       bool // a key pressed it, which has no length
}

// Hold is a button that acts as long as it is held.
func Hold(u *UI, enabled bool, id string, r paper.Rect, label string, look Look) (h Held) {
	before := u.held
	struck := button(u, id, r, label, label, look, enabled)
	h.Taken = before != id && u.held == id
	h.Freed = u.held == id && u.in.Released
	h.Struck = struck && !h.Freed
	return h
}

// Ring shows where the focus is.
func (u *UI) Ring(id string, r paper.Rect) {
	if u.focus == id && u.visible && !u.inert() {
		u.scene.Frame(r.Inset(-3), 9, 2.5, u.Theme.Act)
	}
}

// Flow places parts beside one another, in as many rows as they need.
type Flow struct {
	u          *UI
	x, y, w    float64
	at, height float64
	gap        float64
}

// Flow starts a row at x, y of a width.
func (u *UI) Flow(x, y, w float64) *Flow { return &Flow{u: u, x: x, y: y, w: w, gap: 8} }

// Next is the place of the next part.
func (f *Flow) Next(w, h float64) paper.Rect {
	w = min(w, f.w)
	if f.at > 0 && f.at+w > f.w+0.01 {
		f.Break()
	}
	r := paper.Rect{X: f.x + f.at, Y: f.y, W: w, H: h}
	f.at += w + f.gap
	f.height = max(f.height, h)
	return r
}

// Rest is the width that is left in the row.
func (f *Flow) Rest() float64 { return max(0, f.w-f.at) }

// Break begins a new row.
func (f *Flow) Break() {
	if f.at > 0 {
		f.y += f.height + f.gap
		f.at, f.height = 0, 0
	}
}

// Bottom is where the last row ends.
func (f *Flow) Bottom() float64 { return f.y + f.height }

// Button is a button in the row.
func (f *Flow) Button(id, label string, look Look) bool { return f.ButtonIf(true, id, label, look) }

// ButtonIf is a button in the row that can be out of use.
func (f *Flow) ButtonIf(enabled bool, id, label string, look Look) bool {
	w, h := f.u.ButtonSize(label, f.w)
	return f.u.ButtonIf(enabled, id, f.Next(w, h), label, look)
}

// Sign is a button with a short sign in the row.
func (f *Flow) Sign(enabled bool, id, sign, name string, look Look) bool {
	w, h := f.u.ButtonSize(sign, f.w)
	return f.u.Sign(enabled, id, f.Next(max(w, h), h), sign, name, look)
}

// Text is a text in the row.
func (f *Flow) Text(text string, s Style) {
	w := f.u.Width(text, s)
	if w > f.w { // in lines of its own
		f.Break()
		h := f.u.Para(f.x, f.y, f.w, text, s)
		f.at, f.height = f.w, h
		return
	}
	f.u.Label(f.Next(w, f.u.RowHeight()), text, s, Start)
}

// Blank is a button on which the caller writes; cut says that it does not fit.
func Blank(u *UI, id string, r paper.Rect, name string, look Look, cut bool) (pressed bool) {
	over, down, pressed := press(u, id, r, true)
	u.back(r, look, true, over, down)
	u.add(Thing{ID: id, Role: RoleButton, Label: name, Rect: r, stop: true, Selected: look == Selected, Cut: cut})
	u.Ring(id, r)
	return pressed
}

// Part is a part that can be pressed and is drawn by the caller, who also shows
// with Ring where the focus is.
func Part(u *UI, id string, r paper.Rect, name string, enabled, cut bool) (over, pressed bool) {
	over, _, pressed = press(u, id, r, enabled)
	u.add(Thing{ID: id, Role: RoleButton, Label: name, Rect: r, stop: true, Disabled: !enabled, Cut: cut})
	return over, pressed
}
