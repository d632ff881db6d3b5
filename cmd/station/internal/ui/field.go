package ui

import (
	"strings"
	"unicode"

	"conoid/cmd/station/internal/paper"
)

// entry is a field that is being typed in.
type entry struct {
	at int // place of the caret, in characters
}

// longestEntry is more than any field needs.
const longestEntry = 200

// Field is a field to type in; it tells whether its text was changed and
// whether Enter was pressed in it.
func (u *UI) Field(id string, r paper.Rect, label string, text *string) (changed, entered bool) {
	return u.field(id, r, label, text, false)
}

// Secret is a Field whose text is not shown, and not listed.
func (u *UI) Secret(id string, r paper.Rect, label string, text *string) (changed, entered bool) {
	return u.field(id, r, label, text, true)
}

func (u *UI) field(id string, r paper.Rect, label string, text *string, secret bool) (changed, entered bool) {
	e := u.fields[id]
	runes := []rune(*text)
	if e == nil {
		e = &entry{at: len(runes)}
		u.fields[id] = e
	}
	if u.hot(r) {
		u.cursor = IBeam
		if u.in.Pressed {
			u.focus, u.held = id, id
			e.at = u.caretAt(runes, u.in.Pointer.X-r.X-8)
		}
	}
	focused := u.focus == id && !u.inert()
	if focused {
		u.types = true
		before := *text
		runes, entered = u.edit(e, runes)
		*text = string(runes)
		changed = *text != before
	}
	e.at = min(e.at, len(runes))
	value := *text
	if secret {
		runes, value = []rune(strings.Repeat("•", len(runes))), ""
	}
	u.drawField(id, r, runes, e, focused)
	u.add(Thing{ID: id, Role: RoleField, Label: label, Value: value, Rect: r, stop: true})
	return changed, entered
}

func (u *UI) drawField(id string, r paper.Rect, runes []rune, e *entry, focused bool) {
	t := &u.Theme
	edge, width := t.Edge, 1.0
	if focused {
		edge, width = t.Accent, 2
	}
	u.scene.Box(r, 4, t.Sheet)
	u.scene.Frame(r, 4, width, edge)
	inner := paper.Rect{X: r.X + 8, Y: r.Y, W: r.W - 16, H: r.H}
	caret := u.Width(string(runes[:e.at]), Body)
	shift := max(0, caret-inner.W+2) // what is typed stays in view
	u.Clip(inner)
	u.line(paper.Rect{X: inner.X - shift, Y: r.Y, W: 1e6, H: r.H}, string(runes), Body, t.Ink, Start)
	if focused {
		lh := u.LineHeight(Body)
		x := inner.X + caret - shift
		u.scene.Line(x+0.5, r.Y+(r.H-lh)/2, x+0.5, r.Y+(r.H+lh)/2, 1.5, t.Accent)
	}
	u.Unclip()
	u.Ring(id, r)
}

// caretAt is the place in a text nearest to x.
func (u *UI) caretAt(runes []rune, x float64) int {
	for i := range runes {
		if u.Width(string(runes[:i+1]), Body)-u.Width(string(runes[i]), Body)/2 > x {
			return i
		}
	}
	return len(runes)
}

// edit does what was typed.
func (u *UI) edit(e *entry, runes []rune) (out []rune, entered bool) {
	e.at = min(e.at, len(runes))
	for _, c := range u.in.Text {
		if unicode.IsPrint(c) && len(runes) < longestEntry {
			runes = append(runes[:e.at:e.at], append([]rune{c}, runes[e.at:]...)...)
			e.at++
		}
	}
	u.in.Text = ""
	for i, k := range u.in.Keys {
		if u.used[i] {
			continue
		}
		u.used[i] = true
		switch k.Key {
		case Backspace:
			if e.at > 0 {
				runes = append(runes[:e.at-1:e.at-1], runes[e.at:]...)
				e.at--
			}
		case Delete:
			if e.at < len(runes) {
				runes = append(runes[:e.at:e.at], runes[e.at+1:]...)
			}
		case Left:
			e.at = max(0, e.at-1)
		case Right:
			e.at = min(len(runes), e.at+1)
		case Home:
			e.at = 0
		case End:
			e.at = len(runes)
		case Enter:
			entered = true
		case Space: // comes as text
		default:
			u.used[i] = false
		}
	}
	return runes, entered
}
