package ui

import "conoid/cmd/station/internal/paper"

// Grip is what was done to something that can be turned or moved.
type Grip struct {
	Over, Held   bool        // the pointer is on it; it is being dragged
	Taken, Freed bool        // the drag began, or ended, in this frame
	At           paper.Point // where the pointer is
	Turn         int         // by keys: steps of 5, or of 1 with shift; positive is up, right, away
}

// Grip is a part that is dragged, or moved by the arrow keys while it has the focus.
// The wheel moves nothing: who scrolls must not turn what passes under the pointer. Hit
// reports whether a place belongs to it.
func (u *UI) Grip(id, label, value string, r paper.Rect, hit func(paper.Point) bool) Grip {
	g := Grip{At: u.in.Pointer}
	u.add(Thing{ID: id, Role: RoleSlider, Label: label, Value: value, Rect: r, stop: true})
	if u.inert() {
		return g
	}
	g.Over = u.hot(r) && (hit == nil || hit(u.in.Pointer)) && (u.held == "" || u.held == id)
	if g.Over && u.in.Pressed {
		u.held, u.focus, g.Taken = id, id, true
	}
	g.Held = u.held == id && u.in.Down
	g.Freed = u.held == id && u.in.Released
	if u.focus == id {
		g.Turn += u.arrows()
	}
	if g.Over || g.Held {
		u.cursor = Turn
	}
	if g.Held || g.Turn != 0 {
		u.again = true
	}
	return g
}
