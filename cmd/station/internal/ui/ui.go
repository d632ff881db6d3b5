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
	Lines    int        `json:"-"`                // that the label of a button takes
	Level    int        `json:"-"`                // of a heading, from 1; 0: it is none
	Region   string     `json:"-"`                // what part of the screen it belongs to, in words
	Group    string     `json:"-"`                // what it is one of several choices of, in words
	Layer    int        `json:"-"`                // 0: the screen; 1 and more: what lies in front of it
	Secret   bool       `json:"-"`                // a field whose text is not shown
	Refused  bool       `json:"-"`                // a text that says what was refused
	Caret    int        `json:"-"`                // place of the caret in a field, in characters
	Mark     int        `json:"-"`                // characters from there to the other end of what is selected

	stop bool // it can have the focus
}

// Stop reports whether a thing can have the keyboard now.
func (t *Thing) Stop() bool { return t.stop && !t.Behind && !t.Disabled }

// UI is the screen and what the user does to it.
type UI struct {
	Pen
	hands
	layers
	rest
	Names Names

	reveal  string // a thing to scroll into view
	things  []Thing
	rolls   map[string]*roll
	rolling []*roll
	fields  map[string]*entry
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
	return &UI{Pen: Pen{Theme: Light(), Text: 1, scene: &paper.Scene{}}, Names: signs, rolls: map[string]*roll{}, fields: map[string]*entry{}}
}

// Begin starts a frame of a window of w x h logical pixels.
func (u *UI) Begin(in Input, w, h float64) *paper.Scene {
	if window := (paper.Rect{W: w, H: h}); u.window != window {
		u.window, in = window, letGo(u, in)
	}
	u.in = in
	aim(u)
	u.used, u.region, u.group = make([]bool, len(u.in.Keys)), "", ""
	u.clips = append(u.clips[:0], u.window)
	u.things, u.rolling = u.things[:0], u.rolling[:0]
	u.top, u.highest, u.layer = u.highest, 0, 0
	u.cursor, u.rest = Arrow, rest{}
	u.typed, u.types = u.types, false
	u.scene.Reset(w, h, u.Theme.Room)
	if in.Pressed {
		u.start, u.held, u.visible = in.Pointer, "", false
	}
	return u.scene
}

// letGo ends what is held when the window changes its size, where it is: the parts are
// elsewhere now, and the hand has not moved.
func letGo(u *UI, in Input) Input {
	if u.held != "" && !in.Released {
		in.Over, in.Down, in.Pressed, in.Released = false, false, false, true
	}
	return in
}

// End finishes a frame: it moves the focus. Again reports whether the next frame
// differs even if nothing happens until then.
func (u *UI) End() (again bool) {
	if u.in.Released {
		u.held = ""
	}
	if u.highest != u.top {
		u.again = true // the parts behind a dialog learn of it in the next frame
	}
	giveBack(u)
	for i, k := range u.in.Keys {
		if u.used[i] {
			continue
		}
		switch k.Key {
		case Tab:
			step(u, k.Shift)
		case Left, Right, Up, Down:
			toward(u, k.Key)
		}
	}
	return u.again || u.in.Active()
}

// Active reports whether anything happened.
func (in *Input) Active() bool {
	return in.Pressed || in.Released || in.Wheel != 0 || len(in.Keys) > 0 || in.Text != "" || len(in.Files) > 0 ||
		in.Aim != "" || in.Written != nil
}

// Things is all that was on the screen in the last frame.
func (u *UI) Things() []Thing { return u.things }

// Focus gives a thing the keyboard.
func (u *UI) Focus(id string) { u.focus, u.reveal, u.again = id, id, true }

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

// TakeFree takes a key that was pressed, if no field has the focus and nothing lies in
// front.
func TakeFree(u *UI, k Key) bool { return u.layer >= u.top && !u.typing() && u.Take(k) }

// add lists a thing.
func (u *UI) add(t Thing) *Thing {
	t.Clip = u.clips[len(u.clips)-1]
	t.Behind, t.Layer, t.Group = u.inert(), u.layer, u.group
	if t.Layer == 0 {
		t.Region = u.region
	}
	t.Focused = t.stop && !t.Behind && u.focus == t.ID
	if t.stop && u.reveal == t.ID && !t.Behind {
		u.reveal = ""
		show(u, t.Rect)
	}
	u.things = append(u.things, t)
	return &u.things[len(u.things)-1]
}

// hot reports whether the pointer is on a part that can be pressed.
func (u *UI) hot(r paper.Rect) bool {
	return u.in.Over && !u.inert() && r.Contains(u.in.Pointer) && u.clips[len(u.clips)-1].Contains(u.in.Pointer)
}

// press reports whether a thing is under the pointer, held down, and whether it
// was pressed, with the pointer or a key.
func press(u *UI, id string, r paper.Rect, enabled bool) (over, down, pressed bool) {
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
func stops(u *UI) (at int, list []Thing) {
	at = -1
	for _, t := range u.things {
		if !t.Stop() {
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
func step(u *UI, back bool) {
	at, list := stops(u)
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
	goTo(u, list[at].ID)
}

// goTo gives a thing the keyboard, and shows that it has it.
func goTo(u *UI, id string) {
	u.focus, u.reveal, u.visible, u.again = id, id, true, true
}

// toward moves the focus to the nearest thing in a direction.
func toward(u *UI, k Key) {
	at, list := stops(u)
	if at < 0 {
		step(u, false)
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
		goTo(u, found)
	}
}
