package ui_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// places are where the things of one frame are, by their IDs.
func places(u *ui.UI, in ui.Input, draw func()) map[string]paper.Rect {
	u.Begin(in, 400, 300)
	draw()
	u.End()
	out := map[string]paper.Rect{}
	for _, th := range u.Things() {
		out[th.ID] = th.Rect
	}
	return out
}

// A choice stands at the right of what it is about, or below where both do not fit.
func TestAChoiceStandsBesideItsLabelOrBelow(t *testing.T) {
	u, at := ui.New(), 0
	choose := func(wide float64) func() {
		return func() { at = ui.Choose(u.Column(0, 0, wide), "look", "Appearance", []string{"Light", "Dark"}, at) }
	}
	r := places(u, ui.Input{}, choose(380))
	label, dark := r["text:Appearance"], r["look Dark"]
	assert.Equal(t, label.Y, dark.Y)
	assert.InDelta(t, 380, dark.Right(), 0.01)
	assert.Greater(t, r["look Light"].X, label.Right())
	for _, th := range u.Things() {
		assert.Equal(t, th.Role == ui.RoleButton, th.Group == "Appearance", "%s: who hears the choices hears what of", th.ID)
	}
	r = places(u, ui.Input{}, choose(180))
	assert.Less(t, r["text:Appearance"].Bottom(), r["look Dark"].Y)
	assert.Zero(t, r["look Light"].X)

	at = 0
	p := dark.Centre()
	places(u, ui.Input{Pointer: p, Over: true, Down: true, Pressed: true}, choose(380))
	places(u, ui.Input{Pointer: p, Over: true, Released: true}, choose(380))
	assert.Equal(t, 1, at)
}

// The title of a dialog goes below what closes it before a word of it is broken.
func TestATitleIsNotBrokenWithinAWord(t *testing.T) {
	u := ui.New()
	u.Text = 2
	dialog := func(title string) map[string]paper.Rect {
		for range 3 { // until its height is known
			places(u, ui.Input{}, func() { u.Dialog(title, title, "Close it now", 400, func(*ui.Column) {}) })
		}
		return places(u, ui.Input{}, func() { u.Dialog(title, title, "Close it now", 400, func(*ui.Column) {}) })
	}
	r := dialog("A key")
	assert.Less(t, r["text:A key"].Y, r["A key close"].Bottom())
	r = dialog("Shortcuttings")
	assert.Greater(t, r["text:Shortcuttings"].Y, r["Shortcuttings close"].Bottom())
}

func TestWhatIsScrolledAwayIsNotSeen(t *testing.T) {
	u := ui.New()
	u.Begin(ui.Input{}, 400, 300)
	u.Clip(paper.Rect{Y: 100, W: 400, H: 100})
	assert.True(t, ui.Seen(u, paper.Rect{Y: 190, W: 10, H: 20}))
	assert.False(t, ui.Seen(u, paper.Rect{Y: 200, W: 10, H: 20}))
	u.Unclip()
	assert.True(t, ui.Seen(u, paper.Rect{Y: 200, W: 10, H: 20}))
}
