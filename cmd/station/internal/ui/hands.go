package ui

import (
	"strings"

	"conoid/cmd/station/internal/paper"
)

// hands are what the user does: where the pointer and the keyboard are.
type hands struct {
	in      Input
	used    []bool // keys that a part has taken
	focus   string // the thing that has the keyboard
	visible bool   // the focus was moved by keys, so that it is shown
	held    string // the thing that is pressed
	start   paper.Point
	cursor  Cursor
	typed   bool // in the last frame a field had the focus
	types   bool // in this frame
}

// Input is what happened since the last frame.
func (h *hands) Input() *Input { return &h.in }

// Cursor is the form that the pointer has now.
func (h *hands) Cursor() Cursor { return h.cursor }

// Focused reports whether a thing has the keyboard.
func (h *hands) Focused(id string) bool { return h.focus == id }

// Take takes a key that was pressed, if no other part took it before.
func (h *hands) Take(k Key) bool {
	_, ok := h.take(k)
	return ok
}

func (h *hands) take(k Key) (Press, bool) {
	for i, p := range h.in.Keys {
		if p.Key == k && !h.used[i] {
			h.used[i] = true
			return p, true
		}
	}
	return Press{}, false
}

// typing reports whether a field that is on the screen has the focus.
func (h *hands) typing() bool { return h.typed }

// Down reports whether a letter key is down, and no field has the focus.
func (h *hands) Down(r rune) bool { return !h.typing() && strings.ContainsRune(h.in.Letters, r) }

// arrows is the turn that the arrow keys ask for.
func (h *hands) arrows() (turn int) {
	for _, k := range []struct {
		key Key
		by  int
	}{{Left, -5}, {Down, -5}, {Right, 5}, {Up, 5}} {
		for {
			p, ok := h.take(k.key)
			if !ok {
				break
			}
			by := k.by
			if p.Shift {
				by /= 5
			}
			turn += by
		}
	}
	return turn
}
