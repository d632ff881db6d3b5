package bench

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/result"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/sheet"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
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
	for i := 0; at[*chairside.Screen](h); i++ {
		require.Less(h.t, i, 90, "the guide leads nowhere")
		if h.waits() {
			press("just ask")
			continue
		}
		if !h.front() {
			press("guide 0")
			continue
		}
		if !slices.ContainsFunc(h.a.desk.UI.Things(), func(t ui.Thing) bool { return t.ID == "end now" }) {
			press("end point close")
			continue
		}
		if h.find("end acuity").Value == "" {
			press("acuity 6/6")
		}
		press("end now")
	}
}

// waits reports whether a question waits for what the student expects.
func (h *hands) waits() bool {
	return slices.ContainsFunc(h.a.desk.UI.Things(), func(t ui.Thing) bool { return t.ID == "just ask" })
}

// tab goes to a thing by the Tab key alone, and presses it with Enter.
func (h *hands) tab(id string) {
	h.t.Helper()
	for i := 0; !h.a.desk.UI.Focused(id); i++ {
		require.Less(h.t, i, 120, "Tab never comes to %q", id)
		h.key(ui.Tab)
	}
	h.key(ui.Enter)
}

// bare are events without what went on around them.
func bare(events []sitting.Event) []sitting.Event {
	out := slices.Clone(events)
	for i := range out {
		out[i].Aside = nil
	}
	return out
}

// What a press changes is where it stays in the frame of the press already: who
// presses on at once hits what they see.
func TestNothingIsShownWhereItWillNotStay(t *testing.T) {
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	press := "guide 0"
	for i := range 8 {
		p := h.find(press).Rect.Centre()
		h.frame(ui.Input{Pointer: p, Over: true, Down: true, Pressed: true})
		h.frame(ui.Input{Pointer: p, Over: true, Released: true})
		for h.a.desk.Work.Busy() { // the patient answers
			h.frame(ui.Input{Pointer: p, Over: true})
		}
		if press = "guide 0"; h.waits() {
			press = "just ask"
		}
		shown := h.find(press)
		h.settle()
		then := h.find(press)
		assert.Equal(t, []any{then.Label, then.Rect}, []any{shown.Label, shown.Rect}, i)
	}
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
		require.True(t, at[*result.Screen](h))
		s := on[*result.Screen](h)
		assert.LessOrEqual(t, s.Mark().DefocusEquivalent, 0.5)
		reviewed, err := s.Reviewed()
		require.True(t, reviewed)
		assert.NoError(t, err)
		require.Len(t, h.a.desk.History.All(), 1)
		assert.Equal(t, "ferry-clerk", h.a.desk.History.All()[0].ID)
	}
	assert.Equal(t, mouse.log().Events, keys.log().Events, "the same done by other means is answered the same")

	// The log says what the terminal would have said: it replays.
	c, err := cases.Find("ferry-clerk")
	require.NoError(t, err)
	s, err := sitting.Replay(c.Setup(), mouse.log())
	require.NoError(t, err)
	_, over := s.EndPoint(s.Setup().Tested)
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
	require.True(t, at[*chairside.Screen](again))
	assert.Equal(t, said, again.a.Status().Said)
	assert.Equal(t, before.Events, again.log().Events)
	assert.Contains(t, again.notice(), "cut off")
	again.press("show arrow")
	assert.Len(t, again.log().Events, len(before.Events)+1)

	again.press("menu")
	again.press("leave")
	assert.True(t, at[*home.Screen](again))
	assert.Len(t, again.a.desk.Seats.Unfinished(), 1)
	third := newHands(t, 1366, 768, Options{Store: m})
	require.True(t, at[*home.Screen](third), "who left on purpose is not taken back")
	third.press("go on " + again.a.desk.Seats.Unfinished()[0].Name)
	assert.True(t, at[*chairside.Screen](third))
	assert.Equal(t, chart.Arrow, third.visit().State().Chart)
}

func TestAStepThatCannotBeKeptHasNotHappened(t *testing.T) {
	m := newMemory()
	h := newHands(t, 1366, 768, Options{Store: m, Case: "net-mender"})
	h.press("show fan")
	m.full = true
	h.press("ask which")
	assert.Empty(t, h.a.Status().Said, "no answer without a log")
	assert.Contains(t, h.notice(), "full")
	m.full = false
	h.press("ask which")
	assert.NotEmpty(t, h.a.Status().Said)
	assert.Len(t, h.log().Events, 2)
}

func TestTheCylinderTurnsAsTheExaminerSeesIt(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	require.Equal(t, 170.0, h.frameNow().Lenses[optics.Front1].Axis)
	r := h.find("cylinder").Rect
	c := r.Centre()
	place := func(axis float64) paper.Point { return shape.At(c, r.W*0.3, axis) }

	h.drag(place(170), place(170+20)) // counter-clockwise
	assert.Equal(t, 10.0, h.frameNow().Lenses[optics.Front1].Axis, "from 170 over 180 to 10")
	assert.Len(t, h.log().Events, 1, "one drag is one action")
	assert.Equal(t, 1, h.visit().Steps().Total())

	h.frame(ui.Input{Pointer: c, Over: true, Wheel: 1})
	h.settle()
	assert.Equal(t, 10.0, h.frameNow().Lenses[optics.Front1].Axis, "the wheel turns no cylinder")
	h.a.desk.UI.Focus("cylinder")
	h.frame(ui.Input{Keys: []ui.Press{{Key: ui.Left, Shift: true}}, Shift: true})
	h.settle()
	assert.Equal(t, 9.0, h.frameNow().Lenses[optics.Front1].Axis)
	assert.Equal(t, 1, h.visit().Steps().Total(), "an unbroken turn is one step")
}

// A drag ends where it is when the window changes its size: the cylinder lies elsewhere
// then, and the hand has not moved.
func TestADragEndsWhenTheWindowChangesItsSize(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	axis := func() float64 { return h.frameNow().Lenses[optics.Front1].Axis }
	r := h.find("cylinder").Rect
	from, to := shape.At(r.Centre(), r.W*0.3, 170), shape.At(r.Centre(), r.W*0.3, 150)
	h.frame(ui.Input{Pointer: from, Over: true, Down: true, Pressed: true})
	h.frame(ui.Input{Pointer: to, Over: true, Down: true})
	assert.Equal(t, 170.0, axis(), "it is still in the hand")
	h.w, h.h = 1024, 640
	h.frame(ui.Input{Pointer: to, Over: true, Down: true})
	assert.Equal(t, 150.0, axis(), "left where it was turned to")
	h.frame(ui.Input{Pointer: from, Over: true, Down: true})
	h.frame(ui.Input{Pointer: from, Over: true, Released: true})
	h.settle()
	assert.Equal(t, 150.0, axis())
	assert.Len(t, h.log().Events, 1)
}

// The arrow is drawn in the patient's view: dragged to where the fan's line 30
// is printed, it points to 30. Mirrored, it would point to 150.
func TestTheArrowIsDraggedToTheLineThatItPointsTo(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	h.press("show arrow")
	r := h.find("arrow").Rect
	c := r.Centre()
	// Line 30 stands at one o'clock.
	h.drag(shape.At(c, r.H*0.3, 90), shape.At(c, r.H*0.3, 60))
	assert.Equal(t, 30, h.visit().State().Pointer)
	h.press("arrow -5")
	assert.Equal(t, 25, h.visit().State().Pointer)
}

// Lenses from all over the case can be put in; that it has every one, and that each comes
// into the window, is tested there.
func TestLensesOfTheWholeSetCanBePutIn(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	for i, d := range h.visit().Brief().Room.Set.Spheres() {
		if i%9 > 0 {
			continue
		}
		h.press("other back")
		h.fill("power", optics.SphereOf(d).Code())
		h.press("lens " + optics.SphereOf(d).Code()) // the window has gone there
		require.Equal(t, optics.SphereOf(d), h.frameNow().Lenses[optics.Back])
	}
	h.press("other front 1")
	h.press("lens -2.50")
	assert.Equal(t, optics.CylinderOf(-2.5, 170), h.frameNow().Lenses[optics.Front1])
	h.press("put in")
	h.press("kind pieces")
	h.press("piece pinhole")
	assert.True(t, h.frameNow().HasPinhole())
	h.press("out front 2")
	assert.False(t, h.frameNow().HasPinhole())
}

// Into an empty frame goes a sphere at the back, and in front of it a cylinder:
// the trial set opens at the right drawer.
func TestTheTrialSetOpensAtWhatIsMissing(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	h.press("out front 1")
	h.press("put in")
	h.press("lens -0.50")
	assert.Equal(t, optics.CylinderLens, h.frameNow().Lenses[optics.Front1].Kind)
	h.press("put in")
	h.press("lens -0.50")
	assert.Equal(t, optics.SphereOf(-0.5), h.frameNow().Lenses[optics.Front2], "one cylinder is enough")
	h.press("out back")
	h.press("out front 2")
	h.press("cell front 1")
	h.press("out front 1")
	h.press("put in")
	h.press("lens -0.50")
	assert.Equal(t, optics.SphereOf(-0.5), h.frameNow().Lenses[optics.Back])
}

// A blink changes the screen without anybody doing anything, and only then; with
// reduced motion nothing moves.
func TestThePatientBlinks(t *testing.T) {
	frames := func(chosen string) (drawn int) {
		m := newMemory()
		m.files[settings.File] = []byte(chosen)
		h := newHands(t, 1366, 768, Options{Store: m, Case: "ferry-clerk"})
		h.press("menu") // which stops the clock that is shown
		for until := h.at + 8*time.Second; h.at < until; {
			h.at += 16 * time.Millisecond
			if _, changed := h.a.Frame(ui.Input{Pointer: h.a.shown.pointer, Time: h.at}, h.w, h.h); changed {
				drawn++
			}
		}
		return drawn
	}
	moving := frames(`{"textSize":100,"curtain":1,"language":"en"}`)
	assert.Greater(t, moving, 10)
	assert.Less(t, moving, 50, "between blinks nothing is drawn")
	assert.Less(t, frames(`{"textSize":100,"curtain":1,"language":"en","still":true}`), 3)
}

func TestTheEndPointFormRefusesNonsense(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	h.press("end")
	h.press("end now")
	assert.Contains(t, h.labels(), "State the acuity")
	h.fill("end acuity", "seven")
	h.press("end now")
	assert.Contains(t, h.labels(), "“seven”")
	require.True(t, at[*chairside.Screen](h))
	h.fill("end rx", "-7.00 / -1.00 x 10")
	for _, text := range []string{"6/6-2", "20/20", "0.8", "0.1 logMAR"} {
		h.fill("end acuity", text)
		h.press("end now")
		assert.Contains(t, h.labels(), "State the vertex distance", text)
	}
	h.fill("end rx", "rubbish")
	assert.True(t, h.find("end now").Disabled)
	text, told := h.a.Status().Aloud(Told{Field: "end rx"})
	assert.Empty(t, text, "nobody hears the mistake of each letter")
	h.key(ui.Tab)
	text, told = h.a.Status().Aloud(told)
	assert.Contains(t, text, "“rubbish”", "it is read out when the field is left")
	text, _ = h.a.Status().Aloud(told)
	assert.Empty(t, text, "and once")
	h.fill("end rx", "-7.00 / -1.00 x 10")
	h.press("vertex more")
	_, told = h.a.Status().Aloud(told)
	h.press("end now")
	text, told = h.a.Status().Aloud(told)
	assert.Equal(t, report.Verdict(voice.English, on[*result.Screen](h).Mark()), text, "what it came to is read out when the page opens")
	text, _ = h.a.Status().Aloud(told)
	assert.Empty(t, text, "and once")
	assert.Equal(t, optics.Rx{Sphere: -7, Cyl: -1, Axis: 10}, on[*result.Screen](h).Mark().EndPoint)
	assert.Contains(t, h.labels(), "Acuity: written down as 6/7.5")
}

// A spectacle lens of −10.00 D at 12 mm does what −9.52 D would at 7 mm, for
// 10 / (1 − 0.005 x −10) = 10 / 1.05: the vertex formula of every handbook.
func TestAnotherVertexDistanceIsAccountedFor(t *testing.T) {
	assert.InDelta(t, -9.52, sheet.Moved(optics.Rx{Sphere: -10}, 0.012, 0.007).Sphere, 0.006)
	assert.InDelta(t, -10, sheet.Moved(optics.Rx{Sphere: -9.52}, 0.007, 0.012).Sphere, 0.006)
}

func TestDrillsBeginWithTheEarlierWorkDone(t *testing.T) {
	long(t)
	for _, d := range cases.Stages() {
		t.Run(string(d), func(t *testing.T) {
			h := newHands(t, 1366, 768, Options{})
			h.press("case net-mender")
			h.press("drill " + string(d))
			require.True(t, at[*chairside.Screen](h))
			assert.Equal(t, d, h.visit().Notes.Drill)
			seen := map[chart.Name]bool{}
			for _, e := range h.log().Events {
				if e.Action.Do == sitting.Show {
					seen[e.Action.Chart] = true
				}
			}
			assert.Equal(t, d == cases.AtArrow || d == cases.AtBlocks || d == cases.AtSphere, seen[chart.Fan], "the fan")
			assert.Equal(t, d == cases.AtBlocks || d == cases.AtSphere, seen[chart.Arrow], "the arrow")
			assert.Equal(t, d == cases.AtSphere, seen[chart.Blocks], "the blocks")
			if d == cases.AtFan || d == cases.AtArrow {
				f := h.frameNow()
				assert.Equal(t, optics.NoLens, f.Lenses[optics.Front1].Kind, "the cylinder is out")
			}
		})
	}
}

func TestAPredictionIsHeldAgainstTheAnswer(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("case net-mender")
	h.press("predict " + h.say("bench.yes"))
	h.press("drill arrow")
	h.press("show arrow")
	n := len(h.log().Events)
	h.press("ask limbs")
	assert.Len(t, h.log().Events, n, "not asked before the student has said what to expect")
	h.press("expect left")
	assert.Len(t, h.log().Events, n+1)
	assert.Equal(t, "left", h.log().Events[n].Aside.Predicted)
	assert.Contains(t, h.labels(), "You expected: the left side – you had it")
}

func TestWhatIsOpenedGoesWithTheNextAction(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{Case: "net-mender"})
	opened := func() []string {
		h.press("explain")
		last := h.log().Events[len(h.log().Events)-1]
		require.NotNil(t, last.Aside)
		return last.Aside.Opened
	}
	conoid := func() {
		h.press("menu")
		h.press("conoid")
		h.press("menu close")
	}
	assert.Empty(t, opened(), "nothing was")
	h.press("show fan")
	h.press("view")
	assert.Equal(t, []string{"view"}, opened())
	edge := h.find("curtain").Rect.Centre()
	h.drag(edge, paper.Point{X: edge.X + 100, Y: edge.Y})
	assert.Empty(t, opened(), "it was open already")
	h.press("view")
	conoid()
	assert.Empty(t, opened(), "both are shut")
	conoid()
	h.press("view")
	assert.Equal(t, []string{"conoid", "view"}, opened())
	h.press("show blocks")
	assert.Empty(t, opened(), "there the view is not behind a curtain")
	h.press("view")
	assert.Equal(t, []string{"view"}, opened())
}

// Who works alone has no conoid before the eyes, from which an end point could be read
// off; a press opens it, and is noted. Who is led sees it.
func TestWhoWorksAloneHasTheConoidShut(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{Case: "net-mender"})
	_, shut := h.look("open conoid")
	require.True(t, shut)
	_, open := h.look(h.say("bench.tab.conoid"))
	assert.False(t, open)
	h.press("open conoid")
	_, shut = h.look("open conoid")
	assert.False(t, shut)
	_, open = h.look(h.say("bench.tab.conoid"))
	assert.True(t, open)
	h.press("explain")
	last := h.log().Events[len(h.log().Events)-1]
	assert.Equal(t, []string{"conoid"}, last.Aside.Opened)
	h.press("menu")
	h.press("conoid")
	h.press("conoid")
	h.press("menu close")
	h.press("explain")
	last = h.log().Events[len(h.log().Events)-1]
	assert.Equal(t, []string{"conoid"}, last.Aside.Opened, "opened anew")
}
