package ui

import (
	"strings"

	"conoid/cmd/station/internal/paper"
)

// heading is the title of a dialog and what closes it, beside one another unless a word
// of the title would have to be broken for that.
type heading struct {
	name, closing    string
	text, title      float64 // how wide and how high the title is
	buttonW, buttonH float64
	below            bool // the title stands below
}

// headOf finds room for a title.
func headOf(u *UI, wide float64, name, closing string) heading {
	h := heading{name: name, closing: closing}
	h.buttonW, h.buttonH = u.ButtonSize(closing, wide)
	h.text = wide - h.buttonW - 12
	for _, word := range strings.Fields(name) {
		if u.Width(word, Head) > h.text {
			h.text, h.below = wide, true
			break
		}
	}
	h.title = u.ParaHeight(name, h.text, Head)
	return h
}

func (h heading) high() float64 {
	if h.below {
		return h.buttonH + 6 + h.title
	}
	return max(h.buttonH, h.title)
}

// draw draws it, and reports whether the dialog was closed.
func (h heading) draw(u *UI, in paper.Rect, id string) (closed bool) {
	y := in.Y + (h.high()-h.title)/2
	if h.below {
		y = in.Y + h.buttonH + 6
	}
	u.Para(in.X, y, h.text, h.name, Head)
	return u.Button(id+" close", paper.Rect{X: in.Right() - h.buttonW, Y: in.Y, W: h.buttonW, H: h.buttonH}, h.closing, Plain)
}
