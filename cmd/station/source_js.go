package main

import (
	"strings"
	"syscall/js"
	"time"
	"unicode/utf8"

	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/hand"
	"conoid/cmd/station/internal/mirror"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// source listens to the browser's own events rather than asking once a frame
// what is down, so that a tap or a key between two late frames is not lost.
type source struct {
	listening bool
	canvas    js.Value
	bench     js.Value // the elements that mirror the things on it
	hands     *hand.Queue
	now       func() time.Duration
	told      bench.Told
	letters   string // that are down
	mirror    mirror.Mirror
}

// keys by their names in the UI Events standard (KeyboardEvent.key).
var keys = map[string]ui.Key{
	"Enter": ui.Enter, " ": ui.Space, "Escape": ui.Escape, "Backspace": ui.Backspace, "Delete": ui.Delete,
	"ArrowLeft": ui.Left, "ArrowRight": ui.Right, "ArrowUp": ui.Up, "ArrowDown": ui.Down,
	"Home": ui.Home, "End": ui.End, "PageUp": ui.PageUp, "PageDown": ui.PageDown,
}

// gather begins to listen when it is first called; from then on the events
// come by themselves.
func (s *source) gather(q *hand.Queue, now time.Duration, _ float64) {
	if s.listening {
		return
	}
	s.listening, s.hands = true, q
	start := time.Now().Add(-now)
	s.now = func() time.Duration { return time.Since(start) }
	s.canvas = js.Global().Get("document").Call("querySelector", "canvas")
	s.canvas.Call("removeAttribute", "tabindex")
	s.canvas.Call("setAttribute", "aria-hidden", "true")
	s.bench = mirrors.Call("begin")
	s.on("pointerdown", s.pointerDown)
	s.on("pointermove", func(e js.Value) {
		if e.Get("isPrimary").Bool() {
			q.Move(place(e), mods(e))
		}
	})
	s.on("pointerup", s.pointerUp)
	s.on("pointercancel", func(js.Value) { q.Cancel() })
	s.on("pointerleave", func(js.Value) { q.Leave() })
	s.on("mousedown", keep) // the bench says what has the focus
	s.on("touchstart", keep)
	js.Global().Call("addEventListener", "blur", js.FuncOf(func(js.Value, []js.Value) any {
		q.Cancel()
		s.letter("", false)
		return nil
	}))
	s.on("wheel", func(e js.Value) {
		q.Move(place(e), mods(e))
		q.Wheel(notches(e), s.now(), mods(e))
	})
	s.on("keydown", s.keyDown)
	s.on("keypress", func(e js.Value) {
		if !typedIn(e.Get("target")) {
			keep(e) // a button would be pressed by Enter once more
		}
	})
	s.on("keyup", func(e js.Value) {
		keep(e) // a button would be pressed by the space bar once more
		s.letter(e.Get("key").String(), false)
	})
	s.on("drop", s.drop)
}

// on listens to the canvas and to the elements before it, where the keys go, before
// anybody else does.
func (s *source) on(event string, f func(js.Value)) {
	heard := js.FuncOf(func(_ js.Value, args []js.Value) any {
		f(args[0])
		return nil
	})
	for _, part := range []js.Value{s.canvas, s.bench} {
		part.Call("addEventListener", event, heard, map[string]any{"capture": true, "passive": false})
	}
}

// keep keeps from the browser what it would do: give the focus away, or press.
func keep(e js.Value) {
	e.Call("preventDefault")
	e.Call("stopImmediatePropagation")
}

// place is where a pointer is: the canvas fills the page, and a pixel of the
// page is a logical pixel.
func place(e js.Value) paper.Point {
	return paper.Point{X: e.Get("clientX").Float(), Y: e.Get("clientY").Float()}
}

func mods(e js.Value) hand.Mods {
	return hand.Mods{Shift: e.Get("shiftKey").Bool(), Ctrl: e.Get("ctrlKey").Bool(), Alt: e.Get("altKey").Bool()}
}

func (s *source) pointerDown(e js.Value) {
	if !e.Get("isPrimary").Bool() || e.Get("button").Int() != 0 {
		return
	}
	s.capture(e.Get("pointerId"))
	s.hands.Press(place(e), mods(e))
}

// capture has a pointer told to the canvas until it is let go of. One that only
// assistive technology made up is no pointer that could be.
func (s *source) capture(pointer js.Value) {
	defer func() { _ = recover() }()
	s.canvas.Call("setPointerCapture", pointer)
}

func (s *source) pointerUp(e js.Value) {
	if !e.Get("isPrimary").Bool() || e.Get("button").Int() != 0 {
		return
	}
	s.hands.Release(place(e), mods(e))
	if e.Get("pointerType").String() != "mouse" {
		mirrors.Call("lift", e.Get("clientX"), e.Get("clientY"))
		s.hands.Leave()
	}
}

// notches is how far a wheel was turned. A browser tells it in pixels, of
// which the usual notch has 100, in lines, of which it has 3, or in pages.
func notches(e js.Value) float64 {
	part := []float64{100, 3, 1}[e.Get("deltaMode").Int()]
	return -e.Get("deltaY").Float() / part
}

// keyDown takes the keys that the bench uses, and leaves the others, and all
// that belongs to the browser (reload, zoom, back, the address), to it. The browser
// goes from element to element by itself, so that Tab leads out of the page as well.
func (s *source) keyDown(e js.Value) {
	e.Call("stopImmediatePropagation")
	m, name := mods(e), e.Get("key").String()
	types := !m.Ctrl && !m.Alt || e.Call("getModifierState", "AltGraph").Bool()
	meta := e.Get("metaKey").Bool()
	if chord := ui.Chord(strings.ToLower(name)); chord == ui.Undo && (m.Ctrl || meta) && !m.Alt && !m.Shift && !typedIn(e.Get("target")) {
		s.hands.Key(ui.Press{Key: chord, Ctrl: true}, "")
		e.Call("preventDefault")
		return
	}
	if meta || e.Get("isComposing").Bool() || m.Alt && !types {
		return
	}
	text := ""
	if types && utf8.RuneCountInString(name) == 1 {
		text = name
	}
	key, known := keys[name]
	if typedIn(e.Get("target")) && (!known || !throughField[key]) {
		return // the field does it, and tells what it came to
	}
	switch {
	case known:
		s.hands.Key(ui.Press{Key: key, Shift: m.Shift, Ctrl: m.Ctrl, Alt: m.Alt}, text)
	case text != "":
		s.hands.Type(text, m)
		s.letter(text, true)
	default:
		return
	}
	e.Call("preventDefault")
}

// letter notes that a letter key went down or up; none stands for all of them.
func (s *source) letter(name string, down bool) {
	name = strings.ToLower(name)
	left := strings.ReplaceAll(s.letters, name, "")
	switch {
	case name == "":
		left = ""
	case down:
		left += name
	}
	s.letters = left
	s.hands.Letters(left)
}
