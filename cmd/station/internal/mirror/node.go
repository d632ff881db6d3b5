// Package mirror makes of the things on the screen the elements of a page that say the
// same, for those who hear the screen or feel it and do not see it: what each element
// is, what it is called, what it says and how it stands. It knows no page: from two
// screens it finds what an element has to be told, so that elements stay and a screen
// reader keeps its place.
package mirror

import (
	"fmt"
	"strconv"
	"strings"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Kind is what an element is.
type Kind string

// The kinds.
const (
	Text    Kind = "text"
	Heading Kind = "heading"
	Button  Kind = "button"
	Field   Kind = "field"
	Secret  Kind = "secret" // a field whose text is not shown
	Slider  Kind = "slider"
	Image   Kind = "image"
	Dialog  Kind = "dialog"
	Region  Kind = "region" // a part of the screen
	Group   Kind = "group"  // several choices, one of which is taken
	Screen  Kind = "screen" // all that is in no dialog
)

// Node is one element.
type Node struct {
	Key      string  `json:"key"`
	Within   string  `json:"within,omitempty"` // key of the element that it is in; empty: the page
	Kind     Kind    `json:"kind"`
	ID       string  `json:"id,omitempty"` // of the thing, where something can be done with it
	Name     string  `json:"name,omitempty"`
	Value    string  `json:"value,omitempty"`
	Level    int     `json:"level,omitempty"` // of a heading
	Number   float64 `json:"number"`          // value of a slider
	Caret    int     `json:"caret"`           // of a field, in characters
	Mark     int     `json:"mark"`            // characters from there to the other end of what is selected
	Pressed  bool    `json:"pressed,omitempty"`
	Disabled bool    `json:"disabled,omitempty"`
	Inert    bool    `json:"inert,omitempty"` // a dialog is in front
	Box      Box     `json:"box"`
}

// Box is where an element lies, in logical pixels: left, top, width, height.
type Box [4]int

// screenKey is the key of the element with all that is in no dialog.
const screenKey = "screen"

// nodes are the elements for the things of a screen, in reading order, each after the
// one that it is in; focused is the key of the one that has the keyboard, or else of the
// dialog in front.
func nodes(things []ui.Thing) (all []Node, focused string) {
	l := list{seen: map[string]int{}, parts: map[string]bool{}}
	l.all = append(l.all, Node{Key: screenKey, Kind: Screen})
	for _, t := range things {
		if strings.HasPrefix(t.ID, "bar:") {
			continue // that something is scrolled means nothing to who hears all of it
		}
		l.add(t)
	}
	if l.focused == "" {
		l.focused = l.front
	}
	return l.all, l.focused
}

// list is the elements that there are so far.
type list struct {
	all            []Node
	seen           map[string]int // how often each ID was there
	parts          map[string]bool
	dialog         string // the last one, in which what lies before the screen is
	front, focused string // the dialog that is in front; what has the keyboard
}

func (l *list) add(t ui.Thing) {
	n := node(t)
	l.seen[n.Key]++
	if again := l.seen[n.Key]; again > 1 {
		n.Key += "#" + strconv.Itoa(again)
	}
	switch {
	case t.Role == ui.RoleDialog:
		n.Inert = t.Behind
		l.dialog = n.Key
		if !t.Behind {
			l.front = n.Key
		}
	case t.Layer > 0:
		n.Within = l.dialog
	default:
		n.Within = l.within(t)
	}
	if t.Group != "" {
		n.Within = l.part(Group, t.Group, n.Within)
	}
	if t.Focused {
		l.focused = n.Key
	}
	l.all = append(l.all, n)
}

// within is where a thing of the screen itself belongs: its region, or the screen.
func (l *list) within(t ui.Thing) string {
	l.all[0].Inert = l.all[0].Inert || t.Behind
	if t.Region == "" {
		return screenKey
	}
	return l.part(Region, t.Region, screenKey)
}

// part is the key of a part of an element, which is there from its first thing on.
func (l *list) part(k Kind, name, within string) (key string) {
	key = string(k) + " " + name
	if within != screenKey {
		key += " in " + within
	}
	if !l.parts[key] {
		l.parts[key] = true
		l.all = append(l.all, Node{Key: key, Within: within, Kind: k, Name: name})
	}
	return key
}

// node is the element for a thing alone.
func node(t ui.Thing) Node {
	n := Node{Kind: kindOf(t), Name: t.Label, Value: t.Value, Level: t.Level, Disabled: t.Disabled, Pressed: t.Selected, Box: boxOf(t)}
	n.Key = string(n.Kind) + " " + t.ID
	switch n.Kind {
	case Button, Field:
		n.ID = t.ID
	case Secret:
		n.ID, n.Value = t.ID, ""
	case Slider:
		n.ID, n.Number = t.ID, number(t.Value)
	case Image:
		n.Name, n.Value = strings.TrimPrefix(strings.TrimSuffix(t.Label+". "+t.Value, ". "), ". "), ""
	}
	if n.Kind == Field {
		n.Caret, n.Mark = t.Caret, t.Mark
	}
	return n
}

func kindOf(t ui.Thing) Kind {
	switch t.Role {
	case ui.RoleButton:
		return Button
	case ui.RoleField:
		if t.Secret {
			return Secret
		}
		return Field
	case ui.RoleSlider:
		return Slider
	case ui.RoleImage:
		return Image
	case ui.RoleDialog:
		return Dialog
	}
	if t.Level > 0 {
		return Heading
	}
	return Text
}

// number is the number that a value begins with.
func number(value string) (n float64) {
	fmt.Sscan(strings.ReplaceAll(strings.ReplaceAll(value, "−", "-"), ",", "."), &n)
	return n
}

// boxOf is where a thing can be felt: what of it is in view, or, where it is scrolled
// away, a spot at the edge that it went past, so that a finger finds nothing of it where
// something else is.
func boxOf(t ui.Thing) Box {
	if t.Clip == (paper.Rect{}) {
		return Box{int(t.Rect.X), int(t.Rect.Y), int(t.Rect.W), int(t.Rect.H)}
	}
	left, right := span(t.Rect.X, t.Rect.Right(), t.Clip.X, t.Clip.Right())
	top, bottom := span(t.Rect.Y, t.Rect.Bottom(), t.Clip.Y, t.Clip.Bottom())
	return Box{left, top, right - left, bottom - top}
}

// span is from a to b within low and high, and never nothing.
func span(a, b, low, high float64) (from, to int) {
	from = int(min(max(a, low), high-1))
	return from, max(from+1, int(min(b, high)))
}
