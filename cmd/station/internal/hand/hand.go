// Package hand puts in order what the user does with pointer, keys and files
// between two frames, so that a frame that comes late loses nothing and mixes
// nothing up: a press and its release come in frames of their own, each with
// the place where it happened, and what is typed keeps its order.
package hand

import (
	"time"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Largest is the most bytes of a file that are taken in.
const Largest = 1 << 20

// nowhere is a place that nothing is drawn at.
var nowhere = paper.Point{X: -1e6, Y: -1e6}

type kind uint8

const (
	moving kind = iota // changes where the pointer is, and nothing else
	pressing
	wheeling
	keying  // a key without text
	typing  // text without a key
	spacing // a key that is text as well
	dropping
	holding // changes which letters are down, and nothing else
	aiming  // means a thing by its ID
)

type event struct {
	kind   kind
	at     paper.Point
	over   bool
	down   bool
	notch  float64
	press  ui.Press
	text   string
	file   ui.File
	mods   Mods
	hasPos bool
	aim    string
	writes *ui.Written
}

// Mods are the keys held down while something is done.
type Mods struct{ Shift, Ctrl, Alt bool }

// Queue holds what was done and not yet handed on. The zero value is ready.
type Queue struct {
	waiting []event
	now     ui.Input // how things stood at the end of the last frame
	down    bool     // as the newest event left it, and the next two as well
	at      paper.Point
	over    bool
	wheel   wheel
	letters string // that are down
}

// Move says where the pointer is.
func (q *Queue) Move(at paper.Point, m Mods) {
	if q.over && q.at == at {
		return
	}
	// Only the last of several places counts.
	if n := len(q.waiting); n > 0 && q.waiting[n-1].kind == moving {
		q.waiting = q.waiting[:n-1]
	}
	q.add(event{kind: moving, at: at, over: true, hasPos: true, mods: m})
}

// Leave says that the pointer is gone: off the window, or a finger lifted.
func (q *Queue) Leave() { q.add(event{kind: moving, at: nowhere, hasPos: true}) }

// Press and Release say where the button or finger went down and up. One that
// is pressed already is not pressed again, and the other way round.
func (q *Queue) Press(at paper.Point, m Mods) { q.button(true, at, m) }

// Release: see Press.
func (q *Queue) Release(at paper.Point, m Mods) { q.button(false, at, m) }

// Cancel lets go of a press that came to nothing, away from everything.
func (q *Queue) Cancel() {
	if q.down {
		q.down = false
		q.add(event{kind: pressing, at: nowhere, hasPos: true})
	}
}

func (q *Queue) button(down bool, at paper.Point, m Mods) {
	if q.down == down {
		return
	}
	q.down = down
	q.add(event{kind: pressing, at: at, over: true, down: down, hasPos: true, mods: m})
}

// Wheel turns the wheel, in notches, positive away from the user. Parts of a
// notch, as touchpads send them, are saved up until they make a whole one.
func (q *Queue) Wheel(notches float64, at time.Duration, m Mods) {
	if n := q.wheel.turn(notches, at); n != 0 {
		q.add(event{kind: wheeling, notch: n, mods: m})
	}
}

// Key presses or repeats a key; text is what it types, if anything.
func (q *Queue) Key(p ui.Press, text string) {
	k := keying
	if text != "" {
		k = spacing
	}
	q.add(event{kind: k, press: p, text: text, mods: Mods{p.Shift, p.Ctrl, p.Alt}})
}

// Type types text.
func (q *Queue) Type(text string, m Mods) { q.add(event{kind: typing, text: text, mods: m}) }

// Aim means a thing by its ID rather than by its place, and does a key to it, or none.
func (q *Queue) Aim(id string, key ui.Key) {
	e := event{kind: aiming, aim: id}
	if key != 0 {
		e.press = ui.Press{Key: key}
	}
	q.replace(e)
}

// Write says what a field, by its ID, holds now.
func (q *Queue) Write(id string, w ui.Written) { q.replace(event{kind: aiming, aim: id, writes: &w}) }

// replace adds an event; of several in a row that only mean a thing, or only say what
// one field holds, the last counts.
func (q *Queue) replace(e event) {
	if n := len(q.waiting); n > 0 {
		last := q.waiting[n-1]
		told := last.writes == nil || last.aim == e.aim && e.writes != nil
		if last.kind == aiming && last.press == (ui.Press{}) && told {
			q.waiting = q.waiting[:n-1]
		}
	}
	q.add(e)
}

// Waits reports whether something was done that is not handed on yet.
func (q *Queue) Waits() bool { return len(q.waiting) > 0 }

// Still reports whether all that was done was handed on, and nothing is held.
func (q *Queue) Still() bool { return len(q.waiting) == 0 && !q.down }

// Letters says which letter keys are down, in lower case.
func (q *Queue) Letters(down string) {
	if down != q.letters {
		q.letters = down
		q.add(event{kind: holding, text: down})
	}
}

// Drop hands in a file, of which no more than Largest bytes and one are kept,
// so that whoever reads it can tell that it is too long.
func (q *Queue) Drop(f ui.File) {
	if len(f.Data) > Largest {
		f.Data = f.Data[:Largest+1]
	}
	q.add(event{kind: dropping, file: f})
}

func (q *Queue) add(e event) {
	if e.hasPos {
		q.at, q.over = e.at, e.over
	}
	q.waiting = append(q.waiting, e)
}

// Next is the input of the next frame: as much of what waits as can be told in
// one frame without losing its order.
func (q *Queue) Next(now time.Duration) ui.Input {
	in := q.now
	in.Time = now
	last, n := moving, 0
	for _, e := range q.waiting {
		if !follows(last, e.kind) || e.kind == holding && in.Letters != q.now.Letters {
			break
		}
		e.tell(&in)
		n++
		if e.kind != moving && e.kind != holding {
			last = e.kind
		}
	}
	q.waiting = append(q.waiting[:0], q.waiting[n:]...)
	q.now = ui.Input{Pointer: in.Pointer, Over: in.Over, Down: in.Down, Shift: in.Shift, Ctrl: in.Ctrl, Alt: in.Alt, Letters: in.Letters}
	return in
}

// follows reports whether an event can be in one frame with what came before:
// moves come before what is done at a place, never after it, and only events
// of one kind are told together.
func follows(last, next kind) bool {
	switch last {
	case moving:
		return true
	case pressing, spacing, aiming:
		return false
	}
	return next == last
}

func (e event) tell(in *ui.Input) {
	if e.hasPos {
		in.Pointer, in.Over = e.at, e.over
	}
	if e.kind == holding {
		in.Letters = e.text
		return
	}
	in.Shift, in.Ctrl, in.Alt = e.mods.Shift, e.mods.Ctrl, e.mods.Alt
	switch e.kind {
	case pressing:
		in.Pressed, in.Released, in.Down = e.down, !e.down, e.down
	case wheeling:
		in.Wheel += e.notch
	case keying:
		in.Keys = append(in.Keys, e.press)
	case spacing:
		in.Keys = append(in.Keys, e.press)
		in.Text += e.text
	case typing:
		in.Text += e.text
	case dropping:
		in.Files = append(in.Files, e.file)
	case aiming:
		in.Aim, in.Written = e.aim, e.writes
		if e.press.Key != 0 {
			in.Keys = append(in.Keys, e.press)
		}
	}
}
