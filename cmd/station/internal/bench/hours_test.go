package bench

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

// byHours is a case of the library whose dials have hours.
const byHours = "fish-auctioneer"

// inLanguage is a store in which a language was chosen.
func inLanguage(language string) *memory {
	m := newMemory()
	m.files[settings.File] = fmt.Appendf(nil, `{"textSize":100,"curtain":1,"language":%q}`, language)
	return m
}

// Where the dials have hours, a replay says in hours where the arrow is to point next.
// It takes a second and more, for the sitting is reviewed before its replay can be opened.
func TestAReplaySpeaksInHours(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Store: inLanguage("de"), Case: byHours})
	h.command("show arrow")
	h.command("arrow 45")
	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	h.press("replay")
	h.press("forward")
	v := h.a.desk.Voice().By(chart.ByHour)
	next := v.Text("bench.replay.next", "action", v.Examiner().Action(h.log().Events[1].Action))
	assert.Contains(t, h.labels(), next)
	assert.Contains(t, next, "1½ Uhr")
}

// In the chair, lines have the names of the hours that are printed at them, and what was
// said is told in hours.
func TestTheChairSpeaksInHours(t *testing.T) {
	h := newHands(t, 1366, 768, Options{})
	x := seated(h, byHours)
	for n := 0; x.Asks().Action.Question != patient.WhichLines; n++ {
		h.answered(x.Asks().Action.Question, n)
	}
	assert.Equal(t, "line 1 o’clock", h.find("ray 60").Label)
	assert.Equal(t, "line 2 o’clock", h.find("ray 30").Label)
	h.press("ray 60")
	h.press("ray 30")
	h.press("say lines")
	h.press("stop")
	require.Nil(t, x.Asks())
	assert.Contains(t, h.labels(), "You: lines 1 o’clock and 2 o’clock.")
}

// Between the arrow's keys stands the hour to which it points, and for who does not see it what
// the arrow is turned to; the keys stay where they are, wide enough for a finger.
func TestTheArrowsReadingIsAnHour(t *testing.T) {
	for _, language := range assets.Languages() {
		h := newHands(t, 1366, 625, Options{Store: inLanguage(language), Case: byHours})
		v := h.a.desk.Voice().By(chart.ByHour)
		h.command("show arrow")
		h.everywhere(screenSizes, func(where string) {
			if h.w < 700 {
				h.press("tab ask")
			}
			var keys []ui.Thing
			for _, label := range []int{22, 30} {
				h.command(fmt.Sprintf("arrow %d", label))
				said := v.Value(fact.Label(label))
				assert.Equal(t, said, h.find("arrow").Value, where)
				assert.Contains(t, h.labels(), "text:"+said+" ", where)
				checkLayout(t, h, language+where)
				more := h.find("arrow +1")
				if h.w >= 1366 || language == assets.English {
					assert.GreaterOrEqual(t, more.Rect.W, 44.0, where)
				}
				keys = append(keys, more)
			}
			assert.Equal(t, keys[0].Rect, keys[1].Rect, where)
		})
	}
}
