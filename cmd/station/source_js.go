package main

import (
	"strings"
	"syscall/js"
	"time"
	"unicode/utf8"

	"conoid/cmd/station/internal/hand"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// source listens to the browser's own events rather than asking once a frame
// what is down, so that a tap or a key between two late frames is not lost.
type source struct {
	listening bool
	canvas    js.Value
	hands     *hand.Queue
	now       func() time.Duration
	told      told
	letters   string // that are down
}

// keys by their names in the UI Events standard (KeyboardEvent.key).
var keys = map[string]ui.Key{
	"Tab": ui.Tab, "Enter": ui.Enter, " ": ui.Space, "Escape": ui.Escape, "Backspace": ui.Backspace, "Delete": ui.Delete,
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
	s.on("pointerdown", s.pointerDown)
	s.on("pointermove", func(e js.Value) {
		if e.Get("isPrimary").Bool() {
			q.Move(place(e), mods(e))
		}
	})
	s.on("pointerup", s.pointerUp)
	s.on("pointercancel", func(js.Value) { q.Cancel() })
	s.on("pointerleave", func(js.Value) { q.Leave() })
	s.on("blur", func(js.Value) {
		q.Cancel()
		s.letter("", false)
	})
	s.on("wheel", func(e js.Value) {
		q.Move(place(e), mods(e))
		q.Wheel(notches(e), s.now(), mods(e))
	})
	s.on("keydown", s.keyDown)
	s.on("keyup", func(e js.Value) {
		e.Call("stopImmediatePropagation")
		s.letter(e.Get("key").String(), false)
	})
	s.on("drop", s.drop)
}

// on listens before anybody else does.
func (s *source) on(event string, f func(js.Value)) {
	s.canvas.Call("addEventListener", event, js.FuncOf(func(_ js.Value, args []js.Value) any {
		f(args[0])
		return nil
	}), map[string]any{"capture": true, "passive": false})
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
	s.canvas.Call("focus")
	s.canvas.Call("setPointerCapture", e.Get("pointerId"))
	s.hands.Press(place(e), mods(e))
}

func (s *source) pointerUp(e js.Value) {
	if !e.Get("isPrimary").Bool() || e.Get("button").Int() != 0 {
		return
	}
	s.hands.Release(place(e), mods(e))
	if e.Get("pointerType").String() != "mouse" {
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
// that belongs to the browser (reload, zoom, back, the address), to it.
func (s *source) keyDown(e js.Value) {
	e.Call("stopImmediatePropagation")
	m, name := mods(e), e.Get("key").String()
	types := !m.Ctrl && !m.Alt || e.Call("getModifierState", "AltGraph").Bool()
	if e.Get("metaKey").Bool() || e.Get("isComposing").Bool() || m.Alt && !types {
		return
	}
	text := ""
	if types && utf8.RuneCountInString(name) == 1 {
		text = name
	}
	key, known := keys[name]
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

// drop takes in files. Their contents come a little later.
func (s *source) drop(e js.Value) {
	e.Call("preventDefault")
	e.Call("stopImmediatePropagation")
	files := e.Get("dataTransfer").Get("files")
	for i := range files.Length() {
		f := files.Index(i)
		var read js.Func
		read = js.FuncOf(func(_ js.Value, args []js.Value) any {
			defer read.Release()
			bytes := js.Global().Get("Uint8Array").New(args[0])
			data := make([]byte, bytes.Length())
			js.CopyBytesToGo(data, bytes)
			s.hands.Drop(ui.File{Name: f.Get("name").String(), Data: data})
			return nil
		})
		f.Call("slice", 0, hand.Largest+1).Call("arrayBuffer").Call("then", read)
	}
}
