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

// Field is a field to type in; it reports whether its text was changed and
// whether Enter was pressed in it.
func (u *UI) Field(id string, r paper.Rect, label string, text *string) (changed, entered bool) {
	return field(u, id, r, label, text, false)
}

// Secret is a Field whose text is not shown, and not listed.
func (u *UI) Secret(id string, r paper.Rect, label string, text *string) (changed, entered bool) {
	return field(u, id, r, label, text, true)
}

func field(u *UI, id string, r paper.Rect, label string, text *string, secret bool) (changed, entered bool) {
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
		if u.in.Written != nil {
			runes = e.write(u.in.Written)
		}
		runes, entered = u.edit(e, runes)
		*text = string(runes)
		changed = *text != before
	}
	e.at = min(e.at, len(runes))
	value := *text
	if secret {
		runes, value = []rune(strings.Repeat("•", len(runes))), ""
	}
	drawField(u, id, r, runes, e, focused)
	u.add(Thing{ID: id, Role: RoleField, Label: label, Value: value, Rect: r, Secret: secret, Caret: e.at, stop: true})
	return changed, entered
}

// write takes what the field says now, as far as it could have been typed.
func (e *entry) write(w *Written) (runes []rune) {
	e.at = 0
	for i, c := range []rune(w.Text) {
		if !unicode.IsPrint(c) || len(runes) == longestEntry {
			continue
		}
		runes = append(runes, c)
		if i < w.Caret {
			e.at++
		}
	}
	return runes
}

func drawField(u *UI, id string, r paper.Rect, runes []rune, e *entry, focused bool) {
	t := &u.Theme
	edge, width := t.Edge, 1.0
	if focused {
		edge, width = t.Act, 2
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
		u.scene.Line(x+0.5, r.Y+(r.H-lh)/2, x+0.5, r.Y+(r.H+lh)/2, 1.5, t.Act)
	}
	u.Unclip()
	u.Ring(id, r)
}
