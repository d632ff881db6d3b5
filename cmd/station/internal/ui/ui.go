// Package ui is a small set of parts for the screens of the station: text,
// buttons, steppers, fields, grips, scrolled columns and dialogs, with one
// order of focus and one list of all that is on the screen.
//
// The screen is described anew in every frame: a part is a call that draws it
// and tells what was done with it. So there is no state but what has the
// focus, what is held, what is scrolled and what is half typed.
package ui

import (
	"math"

	"conoid/cmd/station/internal/paper"
)

// Role is what a thing is for, as assistive technology names it.
type Role string

// The roles.
const (
	RoleText   Role = "text"
	RoleButton Role = "button"
	RoleField  Role = "textbox"
	RoleSlider Role = "slider"
	RoleDialog Role = "dialog"
	RoleImage  Role = "img"
)

// Thing is one part on the screen, for tests and for assistive technology.
type Thing struct {
	ID       string     `json:"id"`
	Role     Role       `json:"role"`
	Label    string     `json:"label"`
	Value    string     `json:"value,omitempty"`
	Rect     paper.Rect `json:"rect"`
	Clip     paper.Rect `json:"-"` // what of the screen it can be seen in
	Focused  bool       `json:"focused,omitempty"`
	Selected bool       `json:"selected,omitempty"`
	Disabled bool       `json:"disabled,omitempty"`
	Behind   bool       `json:"behind,omitempty"` // a dialog is in front
	Cut      bool       `json:"cut,omitempty"`    // its text does not fit

	stop bool // it can have the focus
}

// UI is the screen and what the user does to it.
type UI struct {
	Theme Theme
	Text  float64 // size of text, 1 to 2
	Names Names

	in     Input
	used   []bool // keys that a part has taken
	scene  *paper.Scene
	window paper.Rect
	clips  []paper.Rect

	focus   string // the thing that has the keyboard
	visible bool   // the focus was moved by keys, so that it is shown
	held    string // the thing that is pressed
	start   paper.Point
	reveal  string // a thing to scroll into view
	layer   int    // of what is drawn now
	top     int    // of the last frame
	highest int    // of this frame
	things  []Thing
	rolls   map[string]*roll
	rolling []*roll
	fields  map[string]*entry
	cursor  Cursor
	again   bool
	typed   bool // in the last frame a field had the focus
	types   bool // in this frame
}

// Names are what parts without a text of their own are called for those who do
// not see them.
type Names struct {
	Less, More func(label string) string // of the buttons beside a value
	Scroll     string                    // of the bar beside a column
}

// signs are names that need no words.
var signs = Names{
	Less:   func(label string) string { return label + " −" },
	More:   func(label string) string { return label + " +" },
	Scroll: "↕",
}

// New is a screen with nothing on it.
func New() *UI {
	return &UI{Theme: Light, Text: 1, Names: signs, scene: &paper.Scene{}, rolls: map[string]*roll{}, fields: map[string]*entry{}}
}

// Begin starts a frame of a window of w x h logical pixels.
func (u *UI) Begin(in Input, w, h float64) *paper.Scene {
	u.in, u.used = in, make([]bool, len(in.Keys))
	u.window = paper.Rect{W: w, H: h}
	u.clips = append(u.clips[:0], u.window)
	u.things, u.rolling = u.things[:0], u.rolling[:0]
	u.top, u.highest, u.layer = u.highest, 0, 0
	u.cursor, u.again = Arrow, false
	u.typed, u.types = u.types, false
	u.scene.Reset(w, h, u.Theme.Paper)
	if in.Pressed {
		u.start, u.held, u.visible = in.Pointer, "", false
	}
	return u.scene
}

// End finishes a frame: it moves the focus. Again tells whether the next frame
// differs even if nothing happens until then.
func (u *UI) End() (again bool) {
	if u.in.Released {
		u.held = ""
	}
	if u.highest != u.top {
		u.again = true // the parts behind a dialog learn of it in the next frame
	}
	for i, k := range u.in.Keys {
		if u.used[i] {
			continue
		}
		switch k.Key {
		case Tab:
			u.step(k.Shift)
		case Left, Right, Up, Down:
			u.toward(k.Key)
		}
	}
	return u.again || u.in.Active()
}

// Active tells whether anything happened.
func (in *Input) Active() bool {
	return in.Pressed || in.Released || in.Wheel != 0 || len(in.Keys) > 0 || in.Text != "" || len(in.Files) > 0
}

// Scene is what is being drawn.
func (u *UI) Scene() *paper.Scene { return u.scene }

// Window is the whole of the window.
func (u *UI) Window() paper.Rect { return u.window }

// Input is what happened since the last frame.
func (u *UI) Input() *Input { return &u.in }

// Cursor is the form that the pointer has now.
func (u *UI) Cursor() Cursor { return u.cursor }

// Things is all that was on the screen in the last frame.
func (u *UI) Things() []Thing { return u.things }

// Focus gives a thing the keyboard.
func (u *UI) Focus(id string) { u.focus, u.reveal, u.again = id, id, true }

// Focused tells whether a thing has the keyboard.
func (u *UI) Focused(id string) bool { return u.focus == id }

// Take takes a key that was pressed, if no other part took it before.
func (u *UI) Take(k Key) bool {
	_, ok := u.take(k)
	return ok
}

func (u *UI) take(k Key) (Press, bool) {
	for i, p := range u.in.Keys {
		if p.Key == k && !u.used[i] {
			u.used[i] = true
			return p, true
		}
	}
	return Press{}, false
}

// TakeText takes the character r if it was typed and no field has the focus.
func (u *UI) TakeText(r rune) bool {
	if u.layer < u.top || u.typing() {
		return false
	}
	for _, c := range u.in.Text {
		if c == r {
			u.in.Text = ""
			return true
		}
	}
	return false
}

// typing tells whether a field that is on the screen has the focus.
func (u *UI) typing() bool { return u.typed }

// inert tells whether a dialog lies in front of what is drawn now.
func (u *UI) inert() bool { return u.layer < u.top }

// add lists a thing.
func (u *UI) add(t Thing) *Thing {
	t.Clip = u.clips[len(u.clips)-1]
	t.Behind = u.inert()
	t.Focused = t.stop && !t.Behind && u.focus == t.ID
	if t.stop && u.reveal == t.ID && !t.Behind {
		u.reveal = ""
		u.show(t.Rect)
	}
	u.things = append(u.things, t)
	return &u.things[len(u.things)-1]
}

// hot tells whether the pointer is on a part that can be pressed.
func (u *UI) hot(r paper.Rect) bool {
	return u.in.Over && !u.inert() && r.Contains(u.in.Pointer) && u.clips[len(u.clips)-1].Contains(u.in.Pointer)
}

// press tells whether a thing is under the pointer, held down, and whether it
// was pressed, with the pointer or a key.
func (u *UI) press(id string, r paper.Rect, enabled bool) (over, down, pressed bool) {
	if !enabled || u.inert() {
		return false, false, false
	}
	over = u.hot(r) && (u.held == "" || u.held == id)
	if over && u.in.Pressed && r.Contains(u.start) {
		u.held, u.focus = id, id
	}
	down = u.held == id && over
	if down && u.in.Released {
		pressed = true
	}
	if u.focus == id {
		if _, ok := u.take(Enter); ok {
			pressed = true
		} else if _, ok := u.take(Space); ok {
			pressed = true
			u.in.Text = ""
		}
	}
	if over {
		u.cursor = Hand
	}
	if pressed {
		u.again = true
	}
	return over, down, pressed
}

// stops are the things that can have the focus now.
func (u *UI) stops() (at int, list []Thing) {
	at = -1
	for _, t := range u.things {
		if !t.stop || t.Behind || t.Disabled {
			continue
		}
		if t.ID == u.focus {
			at = len(list)
		}
		list = append(list, t)
	}
	return at, list
}

// step moves the focus to the next thing, or back.
func (u *UI) step(back bool) {
	at, list := u.stops()
	if len(list) == 0 {
		return
	}
	switch {
	case at < 0 && back:
		at = len(list) - 1
	case at < 0:
		at = 0
	case back:
		at = (at + len(list) - 1) % len(list)
	default:
		at = (at + 1) % len(list)
	}
	u.goTo(list[at].ID)
}

func (u *UI) goTo(id string) {
	u.focus, u.reveal, u.visible, u.again = id, id, true, true
}

// toward moves the focus to the nearest thing in a direction.
func (u *UI) toward(k Key) {
	at, list := u.stops()
	if at < 0 {
		u.step(false)
		return
	}
	from := list[at].Rect.Centre()
	best, found := math.Inf(1), ""
	for i, t := range list {
		c := t.Rect.Centre()
		dx, dy := c.X-from.X, c.Y-from.Y
		along, across := dx, dy
		switch k {
		case Left:
			along = -dx
		case Up:
			along, across = -dy, dx
		case Down:
			along, across = dy, dx
		}
		if i == at || along <= 1 {
			continue
		}
		// What lies straight ahead comes before what is nearer to the side.
		if d := along + 3*math.Abs(across); d < best {
			best, found = d, t.ID
		}
	}
	if found != "" {
		u.goTo(found)
	}
}

// Clip draws only within r until Unclip.
func (u *UI) Clip(r paper.Rect) {
	u.clips = append(u.clips, u.clips[len(u.clips)-1].Intersect(r))
	u.scene.Clip(r)
}

// Unclip ends the last Clip.
func (u *UI) Unclip() {
	u.clips = u.clips[:len(u.clips)-1]
	u.scene.Unclip()
}

// Front draws what follows in front of all the rest, which is out of reach
// until Back.
func (u *UI) Front() {
	u.layer++
	u.highest = max(u.highest, u.layer)
}

// Back ends Front.
func (u *UI) Back() { u.layer-- }

// Again asks for another frame at once: something was learnt in this one that
// changes the next.
func (u *UI) Again() { u.again = true }
