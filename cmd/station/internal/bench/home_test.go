package bench

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Somebody unknown is called in with nothing told of before, and leaves nothing told behind.
func TestCallingInSomebodyTellsNothingOfBefore(t *testing.T) {
	h := newHands(t, 1366, 768, Options{})
	h.frame(ui.Input{Files: []ui.File{{Name: "wrong.toml", Data: []byte("title = 3\n")}}})
	h.settle()
	require.NotEmpty(t, h.notice())
	h.press("someone")
	assert.Empty(t, h.notice())
	h.fill("seed", "many")
	h.press("draw")
	assert.Contains(t, h.labels(), "“many”")
	assert.NotEmpty(t, h.notice())
	h.press("someone close")
	assert.Empty(t, h.notice())
}

// On a laptop and on a large screen the whole home screen is there at once; what is
// pressed is 44 pixels high and wide at any size.
func TestTheHomeScreenFits(t *testing.T) {
	for _, size := range []struct {
		w, h  float64
		whole bool
	}{{1366, 625, true}, {1366, 768, true}, {1920, 1080, true}, {1180, 700, false}, {800, 900, false}, {700, 1000, false}, {390, 844, false}} {
		for _, language := range assets.Languages() {
			m := newMemory()
			m.files[settings.File] = fmt.Appendf(nil, `{"textSize":100,"curtain":1,"language":%q}`, language)
			h := newHands(t, size.w, size.h, Options{Store: m})
			name := fmt.Sprint(size, language)
			checkLayout(t, h, name)
			bars, cards := 0, 0
			for _, th := range h.a.desk.UI.Things() {
				if th.ID == "bar:home" {
					bars++
				}
				if len(th.ID) > 5 && th.ID[:5] == "case " {
					cards++
				}
				if th.Role == ui.RoleButton {
					assert.GreaterOrEqual(t, th.Rect.H, 44.0, "%s: %s", name, th.ID)
					assert.GreaterOrEqual(t, th.Rect.W, 44.0, "%s: %s", name, th.ID)
				}
			}
			assert.Equal(t, len(cases.Library()), cards)
			if size.whole {
				assert.Zero(t, bars, "%s: nothing is to be scrolled", name)
			}
		}
	}
}

// Whoever was left says so on their card, and on the first card, which goes on; so does
// the introduction.
func TestWhoWasLeftGoesOn(t *testing.T) {
	m := newMemory()
	h := newHands(t, 1366, 768, Options{Store: m})
	h.press("case net-mender")
	h.press("examine")
	h.press("show fan")
	h.press("menu")
	h.press("leave")
	assert.Contains(t, h.find("case net-mender").Label, "go on, 0:")
	for _, th := range h.a.desk.UI.Things() {
		assert.NotEqual(t, "guided", th.ID, "one card leads on")
	}
	h.press("case net-mender")
	h.press("go on")
	require.True(t, at[*chairside.Screen](h))
	assert.Len(t, h.visit().Events(), 1)

	h.press("menu")
	h.press("leave")
	h.press("case crane-driver")
	h.press("examine")
	h.press("menu")
	h.press("leave")
	h.press("go on " + h.a.desk.Seats.Unfinished()[0].Name)
	assert.Equal(t, "crane-driver", h.visit().Notes.ID)
}

// The lines follow the hand and the keys; what they are is told by their names.
func TestTheConoidIsPlayedWith(t *testing.T) {
	for _, size := range []struct{ w, h float64 }{{1366, 625}, {390, 844}} {
		h := newHands(t, size.w, size.h, Options{})
		front, back := "play "+h.say("bench.play.front"), "play "+h.say("bench.play.back")
		at := func(id string) paper.Point { return h.find(id).Rect.Centre() }
		assert.Equal(t, "+1.00", h.find(front).Value)
		assert.Equal(t, "+0.25", h.find(back).Value)
		h.drag(at(front), at(back))
		assert.Equal(t, "+0.25", h.find(front).Value, "on the other line they have met")
		h.drag(paper.Point{X: at(back).X + 3, Y: at(back).Y}, paper.Point{X: at(back).X + 400, Y: at(back).Y})
		assert.Equal(t, "+0.25", h.find(front).Value)
		assert.Equal(t, "−1.00", h.find(back).Value, "no further than the ruler")
		h.press("play fog more")
		assert.Equal(t, "+0.50", h.find(front).Value)
		assert.Equal(t, "−0.75", h.find(back).Value)
		h.press("play cylinder less")
		assert.Equal(t, "+0.25", h.find(front).Value)
		h.a.desk.UI.Focus(back)
		h.key(ui.Left)
		assert.Equal(t, "−0.70", h.find(back).Value, "to the left is before")
		picture := h.find("image:" + h.say("bench.play.fan")).Rect
		assert.Greater(t, picture.W, 300.0)
	}
}

// Where the bench opened with a case of one's own, it leads to where that is written; else nothing does.
func TestTheWayToTheEditor(t *testing.T) {
	long(t)
	went := 0
	h := newHands(t, 1366, 768, Options{Edit: func() { went++ }})
	h.press("edit")
	h.press("guided")
	h.press("menu")
	h.press("edit")
	assert.Equal(t, 2, went)
	h = newHands(t, 1366, 768, Options{})
	_, is := h.look("edit")
	assert.False(t, is)
}
