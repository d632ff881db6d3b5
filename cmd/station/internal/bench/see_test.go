package bench

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// untilAsked lets the guide lead to its first question about a chart of a kind, and has
// that question wait.
func (h *hands) untilAsked(kind chart.Kind) {
	h.t.Helper()
	for i := 0; ; i++ {
		require.Less(h.t, i, 60, "nothing is asked about %s", kind)
		next := h.visit().Next().Do[0]
		h.press("guide 0")
		if next.Do == sitting.Ask && next.Question == patient.QuestionOn(kind) {
			return
		}
		if h.waits() {
			h.press("just ask")
		}
	}
}

// onFan is a place on the line of a label, on the fan that hangs.
func (h *hands) onFan(label float64) paper.Point {
	r := h.find("expect lines").Rect
	mid := paper.Point{X: r.Centre().X, Y: r.Bottom() - 12}
	long := 0.7 * r.W / 2
	sin, cos := math.Sincos(chart.AngleOf(label) * math.Pi / 180)
	return paper.Point{X: mid.X + long*cos, Y: mid.Y - long*sin}
}

// touch presses a place.
func (h *hands) touch(p paper.Point) {
	h.frame(ui.Input{Pointer: p, Over: true, Down: true, Pressed: true})
	h.frame(ui.Input{Pointer: p, Over: true, Released: true})
	h.settle()
}

// Who is led says first what will be said, on the chart itself; then comes the answer, and
// view and conoid open. Both are shut until then.
func TestWhoIsLedPredictsActsAndSees(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	h.untilAsked(chart.DialChart)
	require.True(t, h.waits())
	n := len(h.log().Events)
	has := func(id string) bool { _, there := h.look(id); return there }
	assert.False(t, has("view"), "the view is shut")
	assert.Contains(t, h.labels(), h.say("bench.conoid.shut.guess"))
	assert.True(t, h.find("expect").Disabled, "nothing is expected yet")

	h.touch(h.onFan(60))
	assert.Equal(t, "50 to 70", h.find("expect lines").Value, "the line and those beside it")
	h.drag(h.find("expect to").Rect.Centre(), h.onFan(90))
	assert.Equal(t, "50 to 90", h.find("expect lines").Value)
	h.frame(ui.Input{Pointer: h.find("expect from").Rect.Centre(), Over: true, Down: true, Pressed: true})
	h.frame(ui.Input{Pointer: h.onFan(140), Over: true, Down: true}) // in one leap
	h.frame(ui.Input{Pointer: h.onFan(140), Over: true, Released: true})
	assert.Equal(t, "50 to 90", h.find("expect lines").Value, "no wider than half of all")
	assert.Len(t, h.log().Events, n, "not asked yet")

	h.press("expect")
	events := h.log().Events
	require.Len(t, events, n+1)
	assert.Equal(t, "50-90", events[n].Aside.Predicted)
	assert.Contains(t, h.labels(), "You expected: 50 to 90")
	for range 20 {
		h.frame(ui.Input{})
	}
	h.settle()
	assert.True(t, has("curtain"), "the view is open")
	assert.NotContains(t, h.labels(), h.say("bench.conoid.shut.guess"))
	assert.Empty(t, events[n].Aside.Opened)
	h.press("explain")
	assert.Nil(t, h.log().Events[n+1].Aside.Opened, "that it opened by itself is no hint")
	h.press("view")
	assert.False(t, has("curtain"), "it can be shut")
}

// What is seen after a change is to be expected first: with another lens the view shuts again,
// and the marks of what was expected go. The next choice of a row begins at what was read.
func TestTheViewShutsWithAnotherLens(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	h.untilAsked(chart.DialChart)
	h.touch(h.onFan(180))
	h.press("expect")
	h.settle()
	shown := func() (open, marked bool) {
		_, open = h.look("curtain")
		return open, on[*chairside.Screen](h).View(h.a.desk).Wall.Heard != nil
	}
	open, marked := shown()
	assert.True(t, open)
	assert.True(t, marked)
	h.press("back+0.25")
	open, marked = shown()
	assert.False(t, open)
	assert.False(t, marked)

	h.press("show letters")
	h.press("something else")
	h.press("ask read")
	read := 0.3 // where a choice begins when nothing was read
	for _, e := range h.log().Events {
		if e.Answer != nil && e.Answer.Kind == patient.Read {
			read = e.Answer.LogMAR
		}
	}
	require.Less(t, read, 0.25, "another row was read")
	begins := on[*chairside.Screen](h).View(h.a.desk).Wall.Guessing.Guess
	assert.InDelta(t, read, begins.Row, 0.05+1e-9)
}

// By keys alone: the fork goes along the fan, and each end for itself.
func TestTheForkGoesByKeys(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	h.untilAsked(chart.DialChart)
	h.a.desk.UI.Focus("expect lines")
	h.key(ui.Up)
	assert.Equal(t, "170 to 10", h.find("expect lines").Value)
	h.key(ui.Up)
	assert.Equal(t, "180 to 20", h.find("expect lines").Value)
	h.a.desk.UI.Focus("expect to")
	h.key(ui.Up)
	assert.Equal(t, "180 to 30", h.find("expect lines").Value)
	h.a.desk.UI.Focus("expect from")
	h.key(ui.Up)
	h.key(ui.Down)
	h.key(ui.Down)
	assert.Equal(t, "170 to 30", h.find("expect lines").Value)
}

// A question that waits is taken back by Escape, and by whatever else is done.
func TestAQuestionThatWaitsIsTakenBack(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	for _, back := range []func(){
		func() { h.key(ui.Escape) },
		func() { h.press("show blocks") },
	} {
		h.untilAsked(chart.DialChart)
		n := len(h.log().Events)
		back()
		assert.False(t, h.waits())
		for _, e := range h.log().Events[n:] {
			assert.NotEqual(t, sitting.Ask, e.Action.Do)
		}
	}
}

// On charts with two sides either is pressed where it hangs, and then the patient's view takes
// the card.
func TestTwoSidesArePressedOnTheChart(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	for _, c := range []struct {
		hangs chart.Kind
		side  patient.Kind
	}{{chart.ArrowChart, patient.Left}, {chart.BlockChart, patient.Perpendicular}} { // as the method comes to them
		h.untilAsked(c.hangs)
		n := len(h.log().Events)
		h.press("expect side " + string(c.side))
		require.Len(t, h.log().Events, n+1)
		assert.Equal(t, string(c.side), h.log().Events[n].Aside.Predicted)
		assert.True(t, h.find("view").Selected, "the view is open")
	}
}

// With cues one sees where in the method one is, and no more; to look is no hint. Who works alone
// sees neither.
func TestHelpFades(t *testing.T) {
	long(t)
	for help, want := range map[string]struct{ slip, notes bool }{"examine led": {true, false}, "examine cues": {false, false}, "examine": {false, true}} {
		h := newHands(t, 1366, 768, Options{})
		h.press("case net-mender")
		h.press(help)
		_, slip := h.look("guide 0")
		assert.Equal(t, want.slip, slip, help)
		h.press("show letters")
		h.press("view")
		h.press("explain")
		var opened []string
		if a := h.log().Events[1].Aside; a != nil {
			opened = a.Opened
		}
		assert.Equal(t, want.notes, len(opened) == 1, help)
		h.press("ask read")
		assert.Equal(t, !want.notes, h.waits(), help)
	}
}

// Who would rather not, predicts nothing; the choice is kept.
func TestPredictionsAreTheStudentsChoice(t *testing.T) {
	long(t)
	m := newMemory()
	m.files[settings.File] = []byte(`{"textSize":100,"curtain":1,"predict":false}`)
	h := newHands(t, 1366, 768, Options{Store: m})
	h.press("guided")
	h.untilAsked(chart.LetterChart)
	assert.False(t, h.waits())
	assert.NotNil(t, h.log().Events[len(h.log().Events)-1].Answer)
}

// The question that waits has room in every window and language, for each kind of chart.
func TestWaitingQuestionsHaveRoom(t *testing.T) {
	long(t)
	for _, language := range assets.Languages() {
		m := newMemory()
		m.files[settings.File] = []byte(`{"textSize":100,"curtain":1,"predict":true,"language":"` + language + `"}`)
		h := newHands(t, 1366, 768, Options{Store: m})
		h.press("case net-mender")
		h.press("examine cues")
		for _, name := range []chart.Name{chart.Fan, chart.Clock, chart.Sunburst, chart.Arrow, chart.Blocks, chart.Letters, chart.Duochrome} {
			h.press("show " + string(name))
			h.press("ask " + string(patient.QuestionOn(chart.Named(name).Kind)))
			h.everywhere(screenSizes, func(where string) {
				require.True(t, h.waits(), string(name)+where)
				checkLayout(t, h, language+" "+string(name)+where)
				if h.w >= 1366 {
					h.uncut(language + " " + string(name) + where)
				}
			})
			h.key(ui.Escape)
		}
	}
}

// uncut checks that all that can be expected, and what asks without, is to be seen whole.
func (h *hands) uncut(where string) {
	h.t.Helper()
	for _, th := range h.a.desk.UI.Things() {
		if (strings.HasPrefix(th.ID, "expect ") || th.ID == "expect" || th.ID == "just ask") && th.Role == ui.RoleButton {
			assert.GreaterOrEqual(h.t, th.Clip.Bottom(), th.Rect.Bottom(), "%s: %q is cut off", where, th.Label)
		}
	}
}

// What is worked out of a sitting goes into the history: its points, and what was expected.
func TestExpectationsAreShownOverTime(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	h.untilAsked(chart.LetterChart)
	h.press("expect")
	h.guided(h.press)
	all := h.a.desk.History.All()
	require.Len(t, all, 1)
	assert.Equal(t, 1, all[0].Expected.Asked)
	assert.Equal(t, chair.Led, all[0].Help)
	require.NotNil(t, all[0].Points)
	assert.Greater(t, *all[0].Points, 90.0)
	assert.Contains(t, h.labels(), "You said first what would come 1 time")
}
