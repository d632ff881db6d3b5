package bench

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// log reads the log of the only sitting in a store.
func (h *hands) log() *sitting.Record {
	h.t.Helper()
	var name string
	for n := range h.store.files {
		if strings.HasSuffix(n, ".jsonl") && strings.HasPrefix(n, "sittings/") {
			require.Empty(h.t, name, "more than one log")
			name = n
		}
	}
	rec, err := sitting.ReadLog(bytes.NewReader(h.store.files[name]))
	require.NoError(h.t, err)
	return rec
}

// guided presses what the guide says until there is a result.
func (h *hands) guided(press func(id string)) {
	for i := 0; h.a.screen == atBench; i++ {
		require.Less(h.t, i, 90, "the guide leads nowhere")
		if h.a.dialog == nil {
			press("guide 0")
			continue
		}
		if !slices.ContainsFunc(h.a.ui.Things(), func(t ui.Thing) bool { return t.ID == "end now" }) {
			press("end point close")
			continue
		}
		if h.a.draft.acuity == "" {
			press("acuity 6/6")
		}
		press("end now")
	}
}

// tab goes to a thing by the Tab key alone, and presses it with Enter.
func (h *hands) tab(id string) {
	h.t.Helper()
	for i := 0; !h.a.ui.Focused(id); i++ {
		require.Less(h.t, i, 120, "Tab never comes to %q", id)
		h.key(ui.Tab)
	}
	h.key(ui.Enter)
}

func TestAGuidedSittingByMouseAndByKeyboard(t *testing.T) {
	long(t)
	mouse := newHands(t, 1366, 768, Options{})
	mouse.press("guided")
	mouse.guided(mouse.press)
	keys := newHands(t, 1366, 768, Options{})
	keys.tab("guided")
	keys.guided(keys.tab)
	for _, h := range []*hands{mouse, keys} {
		require.Equal(t, atResult, h.a.screen)
		assert.LessOrEqual(t, h.a.finished.mark.DefocusEquivalent, 0.5)
		require.NotNil(t, h.a.finished.debrief)
		assert.NoError(t, h.a.finished.failed)
		require.Len(t, h.a.history, 1)
		assert.Equal(t, "ferry-clerk", h.a.history[0].ID)
	}
	assert.Equal(t, mouse.log().Events, keys.log().Events, "the same done by other means is answered the same")

	// The log says what the terminal would have said: it replays.
	c, err := cases.Find("ferry-clerk")
	require.NoError(t, err)
	s, err := sitting.Replay(c.Setup(), mouse.log())
	require.NoError(t, err)
	_, over := s.EndPoint()
	assert.True(t, over)
}

func TestASittingGoesOnWhereItWasLeft(t *testing.T) {
	m := newMemory()
	h := newHands(t, 1366, 768, Options{Store: m, Case: "net-mender"})
	h.press("cover right")
	h.press("show fan")
	h.press("ask which")
	said := h.a.Status().Said
	require.NotEmpty(t, said)
	before := h.log()

	// The window dies in the middle of writing a line.
	for n := range m.files {
		if strings.HasSuffix(n, ".jsonl") {
			m.files[n] = append(m.files[n], `{"n":4,"at":1`...)
		}
	}
	again := newHands(t, 1366, 768, Options{Store: m})
	require.Equal(t, atBench, again.a.screen)
	assert.Equal(t, said, again.a.Status().Said)
	assert.Equal(t, before.Events, again.log().Events)
	assert.Contains(t, again.a.notice, "cut off")
	again.press("show arrow")
	assert.Len(t, again.log().Events, len(before.Events)+1)

	again.press("menu")
	again.press("leave")
	assert.Equal(t, atHome, again.a.screen)
	assert.Len(t, again.a.unfinished(), 1)
	third := newHands(t, 1366, 768, Options{Store: m})
	require.Equal(t, atHome, third.a.screen, "who left on purpose is not taken back")
	third.press("go on " + again.a.unfinished()[0].name)
	assert.Equal(t, atBench, third.a.screen)
	assert.Equal(t, sitting.Arrow, third.a.seat.s.State().Chart)
}

func TestAStepThatCannotBeKeptHasNotHappened(t *testing.T) {
	m := newMemory()
	h := newHands(t, 1366, 768, Options{Store: m, Case: "net-mender"})
	h.press("show fan")
	m.full = true
	h.press("ask which")
	assert.Empty(t, h.a.Status().Said, "no answer without a log")
	assert.Contains(t, h.a.notice, "full")
	m.full = false
	h.press("ask which")
	assert.NotEmpty(t, h.a.Status().Said)
	assert.Len(t, h.log().Events, 2)
}

func TestTheCylinderTurnsAsTheExaminerSeesIt(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	require.Equal(t, 175.0, h.a.seat.s.State().Frames[0].Lenses[optics.Front1].Axis)
	r := h.find("cylinder").Rect
	c := r.Centre()
	place := func(axis float64) paper.Point { return at(c, r.W*0.3, axis) }

	h.drag(place(175), place(175+20)) // counter-clockwise
	assert.Equal(t, 15.0, h.a.seat.s.State().Frames[0].Lenses[optics.Front1].Axis, "from 175 over 180 to 15")
	assert.Len(t, h.log().Events, 1, "one drag is one action")
	assert.Equal(t, 1, h.a.seat.s.Steps().Total())

	h.frame(ui.Input{Pointer: c, Over: true, Wheel: 1})
	h.settle()
	assert.Equal(t, 20.0, h.a.seat.s.State().Frames[0].Lenses[optics.Front1].Axis)
	h.a.ui.Focus("cylinder")
	h.frame(ui.Input{Keys: []ui.Press{{Key: ui.Left, Shift: true}}, Shift: true})
	h.settle()
	assert.Equal(t, 19.0, h.a.seat.s.State().Frames[0].Lenses[optics.Front1].Axis)
	assert.Equal(t, 1, h.a.seat.s.Steps().Total(), "an unbroken turn is one step")
}

// The arrow is drawn in the patient's view: dragged to where the fan's line 30
// is printed, it points to 30. Mirrored, it would point to 150.
func TestTheArrowIsDraggedToTheLineThatItPointsTo(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	h.press("show arrow")
	r := h.find("arrow").Rect
	c := r.Centre()
	// Line 30 stands at one o'clock.
	h.drag(at(c, r.W*0.3, 90), at(c, r.W*0.3, 60))
	assert.Equal(t, 30, h.a.seat.s.State().Pointer)
	h.press("arrow -5")
	assert.Equal(t, 25, h.a.seat.s.State().Pointer)
}

func TestEveryLensOfTheSetCanBePutIn(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	for _, d := range h.a.seat.s.Setup().Room.Set.Spheres() {
		h.press("other back")
		h.press("lens " + dioptres(d))
		require.Equal(t, optics.SphereOf(d), h.a.seat.s.State().Frames[0].Lenses[optics.Back])
	}
	h.press("other front 1")
	h.press("lens −2.50")
	assert.Equal(t, optics.CylinderOf(-2.5, 175), h.a.seat.s.State().Frames[0].Lenses[optics.Front1])
	h.press("put in")
	h.press("kind " + h.a.l("set.pieces"))
	h.press("piece pinhole")
	assert.True(t, h.a.seat.s.State().Frames[0].HasPinhole())
	h.press("out front 2")
	assert.False(t, h.a.seat.s.State().Frames[0].HasPinhole())
}

func TestTheEndPointFormRefusesNonsense(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	h.press("end")
	h.press("end now")
	assert.Contains(t, h.a.draft.refused, "acuity")
	h.press("end acuity")
	h.write("seven")
	h.press("end now")
	assert.Contains(t, h.a.draft.refused, "seven")
	require.Equal(t, atBench, h.a.screen)
	for _, text := range []string{"6/6-2", "20/20", "0.8", "0.1 logMAR"} {
		h.a.draft.acuity, h.a.draft.refused = text, ""
		h.a.draft.rx = "-7.00 / -1.00 x 10"
		h.a.again = true
		h.settle()
		h.press("end now")
		assert.Contains(t, h.a.draft.refused, "vertex", text)
	}
	h.a.draft.rx = "rubbish"
	h.a.again = true
	h.settle()
	assert.True(t, h.find("end now").Disabled)
	h.a.draft.rx = "-7.00 / -1.00 x 10"
	h.a.again = true
	h.settle()
	h.press("vertex more")
	h.press("end now")
	require.Equal(t, atResult, h.a.screen)
	assert.Equal(t, "-7.00 / -1.00 x 10", h.a.finished.mark.EndPoint)
}

// A spectacle lens of −10.00 D at 12 mm does what −9.52 D would at 7 mm, for
// 10 / (1 − 0.005 x −10) = 10 / 1.05: the vertex formula of every handbook.
func TestAnotherVertexDistanceIsAccountedFor(t *testing.T) {
	assert.InDelta(t, -9.52, moved(optics.Rx{Sphere: -10}, 0.012, 0.007).Sphere, 0.006)
	assert.InDelta(t, -10, moved(optics.Rx{Sphere: -9.52}, 0.007, 0.012).Sphere, 0.006)
}

func TestDrillsBeginWithTheEarlierWorkDone(t *testing.T) {
	long(t)
	for _, d := range drills {
		t.Run(string(d), func(t *testing.T) {
			h := newHands(t, 1366, 768, Options{})
			h.press("case net-mender")
			h.press("drill " + string(d))
			require.Equal(t, atBench, h.a.screen)
			assert.Equal(t, d, h.a.seat.notes.Drill)
			st := h.a.seat.s.State()
			seen := map[sitting.ChartName]bool{}
			for _, e := range h.log().Events {
				if e.Action.Do == sitting.Show {
					seen[e.Action.Chart] = true
				}
			}
			assert.Equal(t, d == atArrow || d == atBlocks || d == atSphere, seen[sitting.Fan], "the fan")
			assert.Equal(t, d == atBlocks || d == atSphere, seen[sitting.Arrow], "the arrow")
			assert.Equal(t, d == atSphere, seen[sitting.Blocks], "the blocks")
			if d == atFan || d == atArrow {
				f := st.Frames[h.a.seat.tested().Index()]
				assert.Equal(t, optics.NoLens, f.Lenses[optics.Front1].Kind, "the cylinder is out")
			}
		})
	}
}

func TestAPredictionIsHeldAgainstTheAnswer(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("case net-mender")
	h.press("predict " + h.a.l("yes"))
	h.press("drill arrow")
	h.press("show arrow")
	n := len(h.log().Events)
	h.press("ask limbs")
	assert.Len(t, h.log().Events, n, "not asked before the student has said what to expect")
	h.press("guess left")
	assert.Len(t, h.log().Events, n+1)
	assert.Equal(t, "the left side", h.a.seat.notes.Guessed[n+1])
}

func TestFilesAreReadOrRefused(t *testing.T) {
	h := newHands(t, 1366, 768, Options{})
	h.frame(ui.Input{Files: []ui.File{{Name: "mine.toml", Data: cases.Template()}}})
	h.settle()
	require.NotNil(t, h.a.dialog)
	h.press("examine")
	assert.Equal(t, "mine", h.a.seat.c.ID)
	h.press("menu")
	h.press("leave")
	h.frame(ui.Input{Files: []ui.File{{Name: "wrong.toml", Data: []byte("title = 3\n")}}})
	h.settle()
	assert.Contains(t, strings.ToLower(h.a.notice), "wrong.toml:1")
}

func TestARandomEyeIsTheSameForTheSameNumber(t *testing.T) {
	var hashes []string
	for range 2 {
		h := newHands(t, 1366, 768, Options{})
		h.press("seed")
		h.write("77")
		h.press("draw")
		h.press("examine")
		hashes = append(hashes, h.log().Header.Case)
	}
	assert.Equal(t, hashes[0], hashes[1])
	assert.Equal(t, cases.Draw(77, 0).Hash(), hashes[0])
}

func TestTheClockStandsStillInTheMenu(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	let := func(frames int) {
		for range frames {
			h.frame(ui.Input{})
		}
	}
	let(200)
	running := h.a.seat.notes.Clock
	assert.Greater(t, running.Seconds(), 3.0)
	h.press("menu")
	paused := h.a.seat.notes.Clock
	let(500)
	assert.InDelta(t, paused.Seconds(), h.a.seat.notes.Clock.Seconds(), 0.1)
}

func TestKeysDoWhatTheButtonsDo(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	h.write("+")
	assert.Equal(t, optics.SphereOf(-0.75), h.a.seat.s.State().Frames[0].Lenses[optics.Back])
	h.write("]")
	assert.Equal(t, optics.CylinderOf(-1.25, 175), h.a.seat.s.State().Frames[0].Lenses[optics.Front1])
	h.write("o")
	assert.True(t, h.a.seat.s.State().Covered[1])
	h.write("fa")
	assert.NotEmpty(t, h.a.Status().Said)
	h.write("c")
	h.press("note vision")
	h.write("fan")
	h.key(ui.Escape)
	assert.Equal(t, "fan", h.a.seat.s.State().Card["vision"], "what is typed on the card is no key, and is kept")
	h.write("e")
	assert.NotNil(t, h.a.dialog)
	assert.Equal(t, fmt.Sprint(h.a.seat.s.Steps().Total()), "4")
}

func TestAFinishedSittingIsSteppedThroughAndLeftForAnotherWay(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	h.guided(h.press)
	events := h.log().Events
	h.press("replay")
	require.Equal(t, atBench, h.a.screen)
	assert.Empty(t, h.a.seat.talk)
	for i := 1; i <= 12; i++ {
		h.press("forward")
		require.Equal(t, i, h.a.seat.replay.at)
	}
	chart := h.a.seat.s.State()
	h.press("forward")
	h.press("back")
	assert.Equal(t, chart, h.a.seat.s.State(), "back is where it was")
	assert.Equal(t, events[:12], h.a.seat.s.Events(), "the same answers again")
	h.press("show duochrome")
	assert.Contains(t, h.a.notice, "replay")
	assert.Len(t, h.log().Events, len(events), "a replay changes nothing")

	h.press("branch")
	require.Nil(t, h.a.seat.replay)
	assert.Equal(t, events[:12], h.a.seat.s.Events())
	h.press("show duochrome")
	assert.Len(t, h.a.seat.s.Events(), 13)
	assert.True(t, h.a.seat.notes.Branch)
}

func TestProgressIsKeptTakenAlongAndDeleted(t *testing.T) {
	long(t)
	var saved []byte
	h := newHands(t, 1366, 768, Options{Save: func(name string, data []byte) (string, error) { saved = data; return name, nil }})
	h.press("guided")
	h.guided(h.press)
	h.press("home")
	h.press("progress")
	h.press("export")
	require.NotEmpty(t, saved)
	h.press("progress")
	h.press("delete all")
	h.press("delete now")
	assert.Empty(t, h.store.files)
	assert.Empty(t, h.a.history)
	h.frame(ui.Input{Files: []ui.File{{Name: exportName, Data: saved}}})
	h.settle()
	require.Len(t, h.a.history, 1)
	require.NoError(t, h.a.openReplay(h.a.history[0].Log), "the log came back as well")
}

func TestTheWeakestKindIsProposed(t *testing.T) {
	lib := cases.Library()
	assert.Equal(t, lib[0], proposed(lib, nil), "the easiest at first")
	var kind string
	var with *cases.Case
	for _, c := range lib[1:] {
		if d := c.Difficulties(); len(d) > 0 {
			kind, with = d[0], c
			break
		}
	}
	history := []reached{
		{ID: "x", Left: 0.1, Steps: 30, Kinds: nil},
		{ID: "y", Left: 0.9, Steps: 30, Kinds: []string{kind}},
	}
	assert.Equal(t, kind, kinds(history)[0].name)
	assert.Equal(t, with, proposed(lib, history))
	history = append(history, reached{ID: with.ID, Case: with.Hash(), Left: 0.2, Kinds: with.Difficulties()})
	assert.NotEqual(t, with, proposed(lib, history), "what went well is not proposed again")
}

func TestASealedCaseIsOpenedAndStaysSealed(t *testing.T) {
	lock, err := cases.LockWith("open sesame")
	require.NoError(t, err)
	file, err := cases.Seal("mine.toml", cases.Template(), lock)
	require.NoError(t, err)
	m := newMemory()
	h := newHands(t, 1366, 768, Options{Store: m})
	h.frame(ui.Input{Files: []ui.File{{Name: "mine" + cases.SealedEnding, Data: file}}})
	h.settle()
	h.press("passphrase")
	h.write("open says me")
	h.press("open case")
	assert.NotEmpty(t, h.a.notice)
	h.key(ui.Escape)
	h.frame(ui.Input{Files: []ui.File{{Name: "mine" + cases.SealedEnding, Data: file}}})
	h.settle()
	h.press("passphrase")
	h.write("open sesame")
	h.press("open case")
	h.press("examine")
	require.Equal(t, atBench, h.a.screen, h.a.notice)
	h.press("show fan")
	for name, data := range m.files {
		assert.NotContains(t, string(data), "error =", name)
	}

	again := newHands(t, 1366, 768, Options{Store: m})
	again.press("passphrase")
	again.write("open sesame")
	again.press("open case")
	require.Equal(t, atBench, again.a.screen, again.a.notice)
	assert.Equal(t, sitting.Fan, again.a.seat.s.State().Chart)
}
