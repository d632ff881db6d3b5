package bench

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/patient"
)

// A line of the dial is pressed, or an answer; what will be said stands there, and is said
// by a press of its own, once.
func TestALeadingQuestionIsSeenBeforeItIsAsked(t *testing.T) {
	h := newHands(t, 1366, 625, Options{Case: "ferry-clerk"})
	h.press("show fan")
	h.press("lead")
	said := func(answer string) bool {
		want := h.a.desk.Voice().Text("bench.talk.quoted", "answer", voice.English.Examiner().Ask(patient.WhichLines, answer))
		for _, th := range h.a.desk.UI.Things() {
			if th.Role == ui.RoleText && th.Label == want {
				return true
			}
		}
		return false
	}
	assert.True(t, h.find("lead now").Disabled, "nothing is chosen yet")
	r := h.find("lead line").Rect
	mid := shape.At(r.Centre(), r.H*0.37, 270) // of the lines, near the foot
	at := shape.At(mid, r.H*0.6, 60)
	h.drag(at, at)
	assert.True(t, said("30"))
	h.a.desk.UI.Focus("lead line")
	h.key(ui.Right)
	assert.True(t, said("40"))
	h.press("lead alike")
	assert.True(t, said("alike"))
	assert.Len(t, h.log().Events, 1, "only the fan was hung")
	h.press("lead now")
	assert.False(t, h.front())
	events := h.log().Events
	assert.Equal(t, "alike", events[len(events)-1].Action.Leading)
}
