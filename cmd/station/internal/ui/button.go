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
)

// pad is the room around the text of a button.
const (
	padX = 12
	padY = 7
)

// ButtonSize is the size that a button wants, at most so wide.
func (u *UI) ButtonSize(label string, most float64) (w, h float64) {
	wide := max(u.Width(label, Strong), u.Width(label, Body)) + 1
	w = min(wide+2*padX, most)
	n := max(len(u.wrap(label, w-2*padX, Strong)), len(u.wrap(label, w-2*padX, Body)))
	return w, float64(n)*u.LineHeight(Body) + 2*padY
}

// RowHeight is the height of a button with one line.
func (u *UI) RowHeight() float64 { return u.LineHeight(Body) + 2*padY }

// Button is a button; it tells whether it was pressed.
func (u *UI) Button(id string, r paper.Rect, label string, look Look) bool {
	return u.button(id, r, label, label, look, true)
}

// ButtonIf is a button that can be out of use.
func (u *UI) ButtonIf(enabled bool, id string, r paper.Rect, label string, look Look) bool {
	return u.button(id, r, label, label, look, enabled)
}

// Sign is a button with a short sign on it and a name for those who do not
// see it.
func (u *UI) Sign(enabled bool, id string, r paper.Rect, sign, name string, look Look) bool {
	return u.button(id, r, sign, name, look, enabled)
}

func (u *UI) button(id string, r paper.Rect, label, name string, look Look, enabled bool) bool {
	over, down, pressed := u.press(id, r, enabled)
	u.back(r, look, enabled, over, down)
	style, ink := Body, u.Theme.Ink
	switch {
	case !enabled:
		ink = u.Theme.Quiet
	case look == Primary:
		style, ink = Strong, u.Theme.OnAcc
	case look == Selected:
		style = Strong
	}
	inner := paper.Rect{X: r.X + padX, Y: r.Y, W: r.W - 2*padX, H: r.H}
	if u.Width(label, style) > inner.W && len([]rune(label)) <= 3 {
		inner = r // a sign may stand close to the edge
	}
	fits := u.lines(inner, u.wrap(label, inner.W, style), style, ink, Middle)
	u.add(Thing{
		ID: id, Role: RoleButton, Label: name, Rect: r, stop: true,
		Selected: look == Selected, Disabled: !enabled, Cut: !fits,
	})
	u.Ring(id, r)
	return pressed
}

// back draws what a button is made of.
func (u *UI) back(r paper.Rect, look Look, enabled, over, down bool) {
	t := &u.Theme
	fill, edge, width := t.Sheet, t.Edge, 1.0
	switch {
	case look == Primary && enabled:
		fill, edge = t.Accent, t.Accent
	case look == Selected:
		edge, width = t.Accent, 2
	}
	switch {
	case down:
		fill = mix(fill, t.Ink, 0.2)
	case over && look == Primary:
		fill = mix(fill, t.Ink, 0.12)
	case over:
		fill = t.Touch
	}
	if look == Bare && !over {
		return
	}
	if !enabled {
		u.scene.Frame(r, 6, 1, t.Rule)
		return
	}
	u.scene.Box(r, 6, fill)
	u.scene.Frame(r, 6, width, edge)
	if look == Selected { // not by colour alone: a bar at the foot
		u.scene.Box(paper.Rect{X: r.X + 8, Y: r.Bottom() - 5, W: r.W - 16, H: 3}, 0, t.Accent)
	}
}

// Ring shows where the focus is.
func (u *UI) Ring(id string, r paper.Rect) {
	if u.focus == id && u.visible && !u.inert() {
		u.scene.Frame(r.Inset(-3), 9, 2.5, u.Theme.Accent)
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
