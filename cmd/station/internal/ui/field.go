package ui

import (
	"strings"

	"conoid/cmd/station/internal/paper"
)

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
		e = &entry{at: len(runes), mark: len(runes)}
		u.fields[id] = e
	}
	over := u.hot(r)
	if over {
		u.cursor = IBeam
	}
	point(u, e, id, shown(runes, secret), r.X+8, over)
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
	e.fit(len(runes))
	value := *text
	if secret {
		value = ""
	}
	drawField(u, id, r, shown(runes, secret), e, focused)
	u.add(Thing{ID: id, Role: RoleField, Label: label, Value: value, Rect: r, Secret: secret, Caret: e.at, Mark: e.mark - e.at, stop: true})
	return changed, entered
}

// shown is what is seen of a text.
func shown(runes []rune, secret bool) []rune {
	if secret {
		return []rune(strings.Repeat("•", len(runes)))
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
	place := func(at int) float64 { return u.Width(string(runes[:at]), Body) }
	caret := place(e.at)
	e.shift = min(max(e.shift, caret-inner.W+2), caret) // what is typed stays in view
	lh := u.LineHeight(Body)
	line := paper.Rect{X: inner.X - e.shift, Y: r.Y + (r.H-lh)/2, H: lh}
	u.Clip(inner)
	if from, to := e.marked(); focused && from < to {
		selected := paper.Rect{X: line.X + place(from), Y: line.Y, W: place(to) - place(from), H: lh}
		u.scene.Box(selected, 0, mix(t.Sheet, t.Act, 0.25))
		u.scene.Frame(selected, 0, 1, t.Act)
	}
	u.line(paper.Rect{X: line.X, Y: r.Y, W: 1e6, H: r.H}, string(runes), Body, t.Ink, Start)
	if focused {
		x := line.X + caret
		u.scene.Line(x+0.5, line.Y, x+0.5, line.Bottom(), 2, t.Act)
	}
	u.Unclip()
	u.Ring(id, r)
}
