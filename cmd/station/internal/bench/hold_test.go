package bench

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// stays is what must not move: by name, where it is.
func (h *hands) stays(ids ...string) map[string]paper.Rect {
	out := map[string]paper.Rect{}
	for _, t := range h.a.desk.UI.Things() {
		if slices.Contains(ids, t.ID) {
			out[t.ID] = t.Rect
		}
	}
	return out
}

// Nothing that is asked, answered, put in, taken out or looked at moves the rack, the
// first question, the face, or the bar's buttons.
func TestWhatMustNotMoveDoesNot(t *testing.T) {
	for _, size := range []struct{ w, h float64 }{{1366, 625}, {1366, 768}, {1920, 1080}, {1024, 640}, {390, 844}} {
		h := newHands(t, size.w, size.h, Options{Case: "ferry-clerk"})
		h.press("show fan")
		names := []string{
			"show fan", "show duochrome", "charts", "ask which", "menu", "end", "card", "hint", "so far",
			"tab ask", "tab lenses", "tab conoid", "tab said",
		}
		before := h.stays(names...)
		require.GreaterOrEqual(t, len(before), 6, "%v", size)
		for _, do := range []func(){
			func() { h.command("ask which") },
			func() { h.command("change sphere to +2.00") },
			func() { h.command("remove cylinder") },
			func() { h.command("ask change") },
			func() { h.press("view") },
			func() { h.command("hold +0.50") },
			func() { h.command("ask lens") },
			func() { h.command("lower") },
			func() { h.press("view") },
			func() { h.command("ask which") },
		} {
			do()
			assert.Equal(t, before, h.stays(names...), "%v", size)
		}
	}
}

// The card is where it is whatever hangs on it.
func TestTheCardStaysWhereItIs(t *testing.T) {
	h := newHands(t, 1366, 625, Options{Case: "ferry-clerk"})
	h.press("show arrow")
	card := h.find("arrow").Rect
	assert.Equal(t, paper.Rect{X: 108, Y: 52, W: 583, H: 329}, card)
	h.press("ask limbs")
	h.press("show blocks")
	h.press("view")
	h.press("view")
	assert.Equal(t, card, h.find("arrow").Rect)
}

// whole reports whether the whole card shows what the patient sees.
func (h *hands) whole() bool {
	note := h.say("bench.wall.picture")
	return slices.ContainsFunc(h.a.desk.UI.Things(), func(t ui.Thing) bool { return t.Label == note })
}

// hold presses a button and does something while it is down.
func (h *hands) hold(id string, while func()) {
	p := h.find(id).Rect.Centre()
	h.frame(ui.Input{Pointer: p, Over: true, Down: true, Pressed: true})
	h.frame(ui.Input{Pointer: p, Over: true, Down: true})
	while()
	h.frame(ui.Input{Pointer: p, Over: true, Released: true})
	h.settle()
}

func TestTheViewSwapsWhileItIsHeld(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	h.press("show blocks")
	assert.False(t, h.whole())
	h.hold("view", func() { assert.True(t, h.whole()) })
	assert.False(t, h.whole())

	for range 60 { // time goes by, so that the next is a first press
		h.frame(ui.Input{})
	}
	h.frame(ui.Input{Text: "v", Letters: "v"})
	h.frame(ui.Input{Letters: "v"})
	assert.True(t, h.whole(), "the key is down")
	h.frame(ui.Input{})
	h.settle()
	assert.False(t, h.whole())

	for range 60 {
		h.frame(ui.Input{})
	}
	h.press("view")
	h.press("view")
	assert.True(t, h.whole(), "a double press leaves it open")
	h.press("view")
	assert.False(t, h.whole())

	h.a.desk.UI.Focus("view")
	h.key(ui.Enter)
	assert.True(t, h.whole(), "a key's press has no length")
	h.press("show arrow")
	assert.False(t, h.whole(), "with another chart it is shut again")
}

// The view before the last change is there once there was one, and differs.
func TestTheViewBeforeTheLastChange(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	h.press("show fan")
	h.press("view")
	assert.True(t, h.find("before").Disabled, "nothing was changed yet")
	picture := func() []byte {
		p := paper.NewPainter()
		p.Paint(h.scene, 1)
		var pixels []byte
		img := p.Image()
		for y := 60; y < 240; y += 3 { // of the card, on the side of what is seen
			for x := 400; x < 730; x += 3 {
				pixels = append(pixels, img.RGBAAt(x, y).R)
			}
		}
		return pixels
	}
	first := picture()
	h.command("change sphere to +1.00")
	second := picture()
	assert.NotEqual(t, first, second)
	h.hold("before", func() { assert.Equal(t, first, picture()) })
	assert.Equal(t, second, picture())
}

// Who is led has one step to take, and the questions behind it.
func TestWhoIsLedHasOneStep(t *testing.T) {
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	ids := func() (out []string) {
		for _, t := range h.a.desk.UI.Things() {
			out = append(out, t.ID)
		}
		return out
	}
	assert.Contains(t, ids(), "guide 0")
	for _, id := range []string{"guide 1", "explain", "lead"} {
		assert.NotContains(t, ids(), id)
	}
	h.press("something else")
	assert.Contains(t, ids(), "explain")
	assert.NotContains(t, ids(), "guide 0")
	h.press("explain")
	assert.Contains(t, ids(), "guide 0", "what was asked for came about: the next step is back")
}
