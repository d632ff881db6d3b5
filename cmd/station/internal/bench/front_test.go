package bench

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/assets"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
)

// thing is a thing of the screen, scrolled into view or not; empty if there is none.
func (h *hands) thing(id string) ui.Thing {
	for _, th := range h.a.desk.UI.Things() {
		if th.ID == id {
			return th
		}
	}
	return ui.Thing{}
}

// Keys stand in columns of key caps, and rows of letters are all as wide.
func TestKeysAndRowsLineUp(t *testing.T) {
	for _, size := range []struct {
		w, h    float64
		columns int
	}{{1366, 625, 3}, {390, 844, 1}} {
		h := newHands(t, size.w, size.h, Options{})
		h.press("keys")
		caps := map[float64]bool{}
		for _, th := range h.a.desk.UI.Things() {
			if !th.Behind && len([]rune(th.Label)) == 1 {
				caps[th.Rect.X] = true
			}
		}
		assert.Len(t, caps, size.columns)
		h.press("keys close")
		h.press("case ferry-clerk")
		h.press("examine")
		h.press("show letters")
		h.press("ask row")
		wide := map[float64]bool{}
		for _, th := range h.a.desk.UI.Things() {
			if strings.HasPrefix(th.ID, "row ") {
				wide[th.Rect.W] = true
			}
		}
		assert.Len(t, wide, 1)
	}
}

// In the menu the housekeeping stands apart from what is about the sitting.
func TestTheMenuHasItsHousekeepingApart(t *testing.T) {
	h := newHands(t, 1366, 625, Options{Case: "ferry-clerk"})
	h.press("menu")
	r := func(id string) (top, bottom float64) { t := h.find(id).Rect; return t.Y, t.Bottom() }
	_, conoid := r("conoid")
	leave, below := r("leave")
	apart, end := r("settings")
	next, _ := r("calibrate")
	assert.Greater(t, apart-below, 2*(leave-conoid))
	assert.InDelta(t, leave-conoid, next-end, 0.01)
}

// The door of a practical is calm and can be pressed by a finger.
func TestTheDoorOfAPracticalFits(t *testing.T) {
	file, _ := newPractical(t, nil)
	for _, size := range []struct{ w, h float64 }{{1366, 625}, {390, 844}} {
		for _, language := range assets.Languages() {
			m := newMemory()
			m.files[settings.File] = fmt.Appendf(nil, `{"textSize":100,"curtain":1,"language":%q}`, language)
			h := newHands(t, size.w, size.h, Options{Store: m})
			h.frame(ui.Input{Files: []ui.File{{Name: "friday.txt", Data: file}}})
			h.settle()
			name := fmt.Sprint(size, language)
			checkLayout(t, h, name)
			number, pass := h.find("candidate").Rect, h.find("passphrase").Rect
			assert.Equal(t, size.w > 700, number.Y == pass.Y, "%s: the fields stand beside one another", name)
			for _, id := range []string{"candidate", "passphrase", "admit", "turn back"} {
				assert.GreaterOrEqual(t, h.find(id).Rect.H, 44.0, "%s: %s", name, id)
			}
			assert.Empty(t, h.thing("bar:exam").ID, "%s: nothing is to be scrolled", name)
		}
	}
}
