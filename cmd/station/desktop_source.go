//go:build !js && (windows || darwin || desktop)

package main

import (
	"io/fs"
	"time"

	"github.com/hajimehoshi/ebiten/v2"
	"github.com/hajimehoshi/ebiten/v2/inpututil"

	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/hand"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// source reads pointer, keys and files of a desktop, once a frame.
type source struct {
	pointer paper.Point
	finger  ebiten.TouchID
	touched bool
	repeats [ui.PageDown + 1]hand.Repeat
	runes   []rune
	touches []ebiten.TouchID
}

var keys = map[ui.Key][]ebiten.Key{
	ui.Tab: {ebiten.KeyTab}, ui.Enter: {ebiten.KeyEnter, ebiten.KeyNumpadEnter}, ui.Space: {ebiten.KeySpace},
	ui.Escape: {ebiten.KeyEscape}, ui.Backspace: {ebiten.KeyBackspace}, ui.Delete: {ebiten.KeyDelete},
	ui.Left: {ebiten.KeyLeft}, ui.Right: {ebiten.KeyRight}, ui.Up: {ebiten.KeyUp}, ui.Down: {ebiten.KeyDown},
	ui.Home: {ebiten.KeyHome}, ui.End: {ebiten.KeyEnd}, ui.PageUp: {ebiten.KeyPageUp}, ui.PageDown: {ebiten.KeyPageDown},
}

// gather puts what was done since the last frame into the queue.
func (s *source) gather(q *hand.Queue, now time.Duration, scale float64) {
	m := hand.Mods{
		Shift: ebiten.IsKeyPressed(ebiten.KeyShift),
		Ctrl:  ebiten.IsKeyPressed(ebiten.KeyControl),
		Alt:   ebiten.IsKeyPressed(ebiten.KeyAlt),
	}
	s.mouse(q, now, scale, m)
	s.touch(q, scale, m)
	s.keyboard(q, now, m)
	if dropped := ebiten.DroppedFiles(); dropped != nil {
		drop(q, dropped)
	}
}

func (s *source) mouse(q *hand.Queue, now time.Duration, scale float64, m hand.Mods) {
	x, y := ebiten.CursorPosition()
	at := paper.Point{X: float64(x) / scale, Y: float64(y) / scale}
	if at != s.pointer && !s.touched {
		s.pointer = at
		q.Move(at, m)
	}
	if inpututil.IsMouseButtonJustPressed(ebiten.MouseButtonLeft) {
		q.Press(at, m)
	}
	if inpututil.IsMouseButtonJustReleased(ebiten.MouseButtonLeft) {
		q.Release(at, m)
	}
	if _, turn := ebiten.Wheel(); turn != 0 {
		q.Wheel(turn, now, m)
	}
}

// touch follows the first finger; others are left out.
func (s *source) touch(q *hand.Queue, scale float64, m hand.Mods) {
	place := func(x, y int) paper.Point { return paper.Point{X: float64(x) / scale, Y: float64(y) / scale} }
	if s.touched {
		if inpututil.IsTouchJustReleased(s.finger) {
			q.Release(place(inpututil.TouchPositionInPreviousTick(s.finger)), m)
			q.Leave()
			s.touched = false
			return
		}
		q.Move(place(ebiten.TouchPosition(s.finger)), m)
		return
	}
	s.touches = inpututil.AppendJustPressedTouchIDs(s.touches[:0])
	if len(s.touches) > 0 {
		s.finger, s.touched = s.touches[0], true
		q.Press(place(ebiten.TouchPosition(s.finger)), m)
	}
}

// keyboard puts text before keys: in one frame, somebody who types a number
// and Enter has typed them in this order.
func (s *source) keyboard(q *hand.Queue, now time.Duration, m hand.Mods) {
	s.runes = ebiten.AppendInputChars(s.runes[:0])
	space := false
	for _, r := range s.runes {
		if r == ' ' {
			space = true // comes with its key
			continue
		}
		q.Type(string(r), m)
	}
	for k := ui.Tab; k <= ui.PageDown; k++ {
		down := false
		for _, e := range keys[k] {
			down = down || ebiten.IsKeyPressed(e)
		}
		if !s.repeats[k].Press(down, now) {
			continue
		}
		text := ""
		if k == ui.Space && (space || !m.Ctrl && !m.Alt) {
			text = " "
		}
		q.Key(ui.Press{Key: k, Shift: m.Shift, Ctrl: m.Ctrl, Alt: m.Alt}, text)
	}
	if m.Ctrl || ebiten.IsKeyPressed(ebiten.KeyMeta) {
		chords(q, m)
	}
	q.Letters(letters(m))
}

// chords are the letters that do something with Ctrl or Cmd, as the keyboard has them.
func chords(q *hand.Queue, m hand.Mods) {
	for k := ebiten.KeyA; k <= ebiten.KeyZ; k++ {
		if !inpututil.IsKeyJustPressed(k) || m.Alt || m.Shift {
			continue
		}
		if key := ui.Chord(ebiten.KeyName(k)); key != 0 {
			q.Key(ui.Press{Key: key, Ctrl: true}, "")
		}
	}
}

// letters are the letter keys that are down, as the keyboard has them.
func letters(m hand.Mods) (down string) {
	if m.Ctrl || m.Alt {
		return ""
	}
	for k := ebiten.KeyA; k <= ebiten.KeyZ; k++ {
		if ebiten.IsKeyPressed(k) {
			down += ebiten.KeyName(k)
		}
	}
	return down
}

// drop takes in the files that were dropped, not what lies in folders.
func drop(q *hand.Queue, dropped fs.FS) {
	entries, err := fs.ReadDir(dropped, ".")
	if err != nil {
		return
	}
	for _, e := range entries {
		if f, err := hand.FileIn(dropped, e.Name()); err == nil {
			q.Drop(f)
		}
	}
}

// tell does nothing: a window of this kind has nothing that a screen reader
// could read.
func (s *source) tell(*bench.App) {}
