package ui

import (
	"time"

	"conoid/cmd/station/internal/paper"
)

// Key is a key that does something; characters come as text.
type Key uint8

// The keys.
const (
	Tab Key = iota + 1
	Enter
	Space
	Escape
	Backspace
	Delete
	Left
	Right
	Up
	Down
	Home
	End
	PageUp
	PageDown
	Undo      // Ctrl or Cmd with Z, wherever that stands on the keyboard
	SelectAll // the same with A
)

// Chord is the key that Ctrl or Cmd and a letter come to; 0 for none.
func Chord(letter string) Key {
	switch letter {
	case "z":
		return Undo
	case "a":
		return SelectAll
	}
	return 0
}

// Press is one press, or one repeat, of a key.
type Press struct {
	Key              Key
	Shift, Ctrl, Alt bool
}

// File is a file that was dropped on the window.
type File struct {
	Name string
	Data []byte
}

// Input is what happened since the last frame.
type Input struct {
	Pointer           paper.Point // logical pixels
	Over              bool        // the pointer is over the window; false once a touch has ended
	Down              bool        // the button or a finger is down now
	Pressed, Released bool        // it went down, or up, since the last frame
	Wheel             float64     // notches, positive away from the user
	Shift, Ctrl, Alt  bool
	Keys              []Press       // in order
	Text              string        // characters typed
	Letters           string        // letter keys that are down now, in lower case
	Files             []File        // dropped on the window
	Aim               string        // the thing that is meant, by its ID; the keys are for it
	Written           *Written      // what the field that is meant says now
	Time              time.Duration // monotonic, since the start
}

// Written is the whole text of a field after something was done to it elsewhere: by a
// telephone's keyboard, which may change words that were typed long before, or by
// pasting.
type Written struct {
	Text  string
	Caret int // in characters
	Mark  int // characters from there to the other end of what is selected; 0: nothing is
}

// Still is how things stand at the end of a frame, without what happened in it.
func (in *Input) Still() Input {
	return Input{Pointer: in.Pointer, Over: in.Over, Down: in.Down, Shift: in.Shift, Ctrl: in.Ctrl, Alt: in.Alt, Letters: in.Letters, Time: in.Time}
}

// Cursor is the form of the pointer.
type Cursor uint8

// The forms of the pointer.
const (
	Arrow Cursor = iota
	Hand
	Turn
	IBeam
)
