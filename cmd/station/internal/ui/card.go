package ui

import "conoid/cmd/station/internal/paper"

// Card is a button whose face is drawn by whoever asks for it, on top of it; name is
// what it is called. It reports whether it was pressed.
func Card(u *UI, id string, r paper.Rect, name string) bool {
	over, down, pressed := press(u, id, r, true)
	u.scene.Box(paper.Rect{X: r.X + 2, Y: r.Y + 3, W: r.W, H: r.H}, 10, u.Theme.Shade)
	u.back(r, Plain, true, over, down)
	u.add(Thing{ID: id, Role: RoleButton, Label: name, Rect: r, stop: true})
	u.Ring(id, r)
	return pressed
}

// Lines writes a text in lines of a width from the top of r on, for a part that is
// listed already, and gives its height.
func Lines(u *UI, r paper.Rect, text string, s Style, a Align) float64 {
	lh, h := u.LineHeight(s), 0.0
	for _, l := range u.wrap(text, r.W, s) {
		u.Words(paper.Rect{X: r.X, Y: r.Y + h, W: r.W, H: lh}, l, s, a)
		h += lh
	}
	if h > r.H+0.5 {
		u.add(Thing{ID: "text:" + text, Role: RoleText, Label: text, Rect: r, Cut: true})
	}
	return h
}

// Seen reports whether any of r can be seen: what is scrolled away need not be drawn.
func Seen(u *UI, r paper.Rect) bool { return u.clips[len(u.clips)-1].Overlaps(r) }
