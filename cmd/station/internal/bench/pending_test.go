package bench

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/chair/chairtest"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// away is the use of a sitting whose patient is elsewhere.
type away struct{}

func (away) Tick(*desk.Desk, time.Duration, bool) desk.Next { return desk.Stay{} }
func (away) Clock() time.Duration                           { return 0 }
func (away) Facts(voice.Voice, chair.Chair) []string        { return []string{""} }
func (away) Warning(voice.Voice) string                     { return "" }
func (away) Stated(*desk.Desk) desk.Next                    { return desk.Home{} }
func (away) Practice() *seat.Practice                       { return nil }

// frames lets frames go by.
func (h *hands) frames(n int) {
	for range n {
		h.frame(ui.Input{Pointer: h.a.shown.pointer})
	}
}

// tap presses a thing and does not wait for what comes of it.
func (h *hands) tap(id string) {
	h.t.Helper()
	p := h.find(id).Rect.Centre()
	h.frame(ui.Input{Pointer: p, Over: true, Down: true, Pressed: true})
	h.frame(ui.Input{Pointer: p, Over: true, Released: true})
	h.frames(6)
}

// view is what is drawn of the chair.
func (h *hands) view() chairside.View {
	h.t.Helper()
	return on[*chairside.Screen](h).View(h.a.desk)
}

// slowChair sits a patient whose answers are late.
func slowChair(t *testing.T, h *hands) *chairtest.Slow {
	c, err := cases.Find("ferry-clerk")
	require.NoError(t, err)
	local, err := chair.Begin(c, sitting.Header{Case: c.Hash(), Title: c.Title}.Seeded(4), nil, nil)
	require.NoError(t, err)
	slow := &chairtest.Slow{Local: local}
	h.a.follow(desk.Bench{Screen: chairside.Examine(chair.Attend(slow, chair.Notes{}), away{})})
	h.settle()
	return slow
}

// With a patient who is far away lenses and charts move at once, and paler than
// what is sure; the answer waits, and is heard when it comes.
func TestLensesMoveAtOnceAndAnswersWait(t *testing.T) {
	h := newHands(t, 1366, 768, Options{})
	slow := slowChair(t, h)
	h.tap("show fan")
	view := h.view()
	assert.Equal(t, chart.Fan, view.Wall.Name, "it hangs there already")
	assert.True(t, view.Wall.Pale, "but it is not sure yet")
	slow.Arrive()
	h.settle()
	assert.False(t, h.view().Wall.Pale)

	h.tap("back+0.25")
	view = h.view()
	assert.InDelta(t, -0.75, view.Nose.Stands.Lenses[0].Power, 1e-9)
	assert.True(t, view.Nose.Pale.Lenses[0])
	assert.False(t, view.Nose.Pale.Lenses[1], "the cylinder stands where it stood")
	slow.Arrive()
	h.settle()

	h.tap("ask which")
	h.frames(20)
	assert.Empty(t, h.a.Status().Said)
	assert.Contains(t, h.labels(), "looks …")
	slow.Arrive()
	h.settle()
	assert.NotEmpty(t, h.a.Status().Said)
	assert.NotContains(t, h.labels(), "looks …")
}

// What is lost on its way has not happened, and the user is told.
func TestWhatIsLostOnItsWayHasNotHappened(t *testing.T) {
	h := newHands(t, 1366, 768, Options{})
	slow := slowChair(t, h)
	h.tap("cover left")
	assert.True(t, h.view().Nose.Covered[1])
	slow.Lose(errors.New("the line is dead"))
	h.settle()
	assert.False(t, h.view().Nose.Covered[1])
	assert.Contains(t, h.notice(), "he line is dead")
	assert.Zero(t, strings.Count(h.labels(), "covered"))
}
