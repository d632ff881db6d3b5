package ui_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// selected is the caret of the field, and how far from it what is selected reaches.
func (s *screen) selected() []int {
	for _, t := range s.u.Things() {
		if t.ID == "field" {
			return []int{t.Caret, t.Mark}
		}
	}
	return nil
}

// Shift selects on, all that is selected gives way to what is typed, and an arrow leaves
// it at its end on that side.
func TestTextOfAFieldIsSelected(t *testing.T) {
	s := &screen{u: ui.New()}
	s.frame(ui.Input{})
	s.click(s.at("field").Centre())
	s.frame(ui.Input{Text: "abcdef"})
	press := func(shift bool, keys ...ui.Key) {
		for _, k := range keys {
			s.frame(ui.Input{Keys: []ui.Press{{Key: k, Shift: shift}}})
		}
	}
	at := func(caret, mark int, about string) {
		t.Helper()
		assert.Equal(t, []int{caret, mark}, s.selected(), about)
	}
	press(true, ui.Left, ui.Left)
	at(4, 2, "two backward")
	press(false, ui.Right)
	at(6, 0, "left at its right end")
	press(true, ui.Left, ui.Left)
	press(false, ui.Left)
	at(4, 0, "left at its left end")
	press(true, ui.Home)
	at(0, 4, "to the start")
	s.frame(ui.Input{Text: "x"})
	assert.Equal(t, "xef", s.text)
	at(1, 0, "nothing is selected any more")
	press(true, ui.End)
	press(false, ui.Backspace)
	assert.Equal(t, "x", s.text, "what is selected, and no more")
	press(false, ui.SelectAll)
	at(1, -1, "all")
	press(false, ui.Delete)
	assert.Empty(t, s.text)
}

// Who draws the pointer along a field selects; with shift from where the caret was.
func TestTextOfAFieldIsSelectedByDrawing(t *testing.T) {
	s := &screen{u: ui.New()}
	s.frame(ui.Input{})
	s.click(s.at("field").Centre())
	s.frame(ui.Input{Text: "abcdef"})
	y, left := s.at("field").Centre().Y, s.at("field").X+1
	s.frame(ui.Input{Pointer: paper.Point{X: s.at("field").Right() - 1, Y: y}, Over: true, Down: true, Pressed: true})
	s.frame(ui.Input{Pointer: paper.Point{X: left, Y: y}, Over: true, Down: true})
	s.frame(ui.Input{Pointer: paper.Point{X: left, Y: y}, Over: true, Released: true})
	assert.Equal(t, []int{0, 6}, s.selected())
	s.frame(ui.Input{Text: "x"})
	assert.Equal(t, "x", s.text)
	s.frame(ui.Input{Text: "yz"})
	s.frame(ui.Input{Pointer: paper.Point{X: left, Y: y}, Over: true, Down: true, Pressed: true, Shift: true})
	assert.Equal(t, []int{0, 3}, s.selected())
}

// What undoes is not for what lies around, while a field has the focus or a dialog is in
// front.
func TestAKeyThatAFieldHasIsNotFree(t *testing.T) {
	undo := ui.Input{Keys: []ui.Press{{Key: ui.Undo, Ctrl: true}}}
	free := func(s *screen) bool {
		s.frame(ui.Input{})
		s.frame(ui.Input{})
		s.u.Begin(undo, 400, 300)
		return ui.TakeFree(s.u, ui.Undo)
	}
	assert.True(t, free(&screen{u: ui.New()}))
	assert.False(t, free(&screen{u: ui.New(), dialog: true}))
	s := &screen{u: ui.New()}
	s.frame(ui.Input{})
	s.click(s.at("field").Centre())
	assert.False(t, free(s))
	assert.Equal(t, ui.Undo, ui.Chord("z"))
	assert.Zero(t, ui.Chord("y"))
}
