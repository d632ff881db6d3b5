package bench

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// admitted begins a practical of two cases for candidate 7: five minutes for
// each, eight in all.
func admitted(t *testing.T, o Options) (*hands, []byte) {
	t.Helper()
	file := newPractical(t)
	h := newHands(t, 1366, 768, o)
	h.frame(ui.Input{Files: []ui.File{{Name: "friday.txt", Data: file}}})
	h.settle()
	require.Equal(t, atExam, h.a.screen, h.a.notice)
	h.press("candidate")
	h.write("7")
	h.press("passphrase")
	h.write("open sesame")
	h.press("admit")
	require.IsType(t, practical.Ready{}, h.a.exam.attempt.State(), h.a.notice)
	return h, file
}

// labels are everything on the screen.
func (h *hands) labels() string {
	var out []string
	for _, t := range h.a.ui.Things() {
		out = append(out, t.ID+" "+t.Label)
	}
	return strings.Join(out, "\n")
}

// let lets time go by.
func (h *hands) let(d time.Duration) {
	for end := h.at + d; h.at < end; {
		h.at += 500 * time.Millisecond
		h.frame(ui.Input{Pointer: h.a.pointer})
	}
	h.settle()
}

// keptRecord is what is looked at of a record as it is kept.
type keptRecord struct {
	Interruptions []practical.Interruption
	Jumps         []practical.Jump
}

func (h *hands) kept(t *testing.T) (out keptRecord) {
	data, err := h.a.examKeep("7").Record()
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &out))
	return out
}

func TestAPracticalFromTheDoorToTheCode(t *testing.T) {
	long(t)
	var saved []byte
	h, _ := admitted(t, Options{Save: func(name string, data []byte) (string, error) { saved = data; return name, nil }})
	plan := h.a.exam.plan
	h.press("begin")
	require.Equal(t, atBench, h.a.screen)
	h.press("show fan")
	h.press("ask which")
	for _, hidden := range []string{"hint", "curtain", "image:", "leave", "conoid", "home"} {
		assert.NotContains(t, h.labels(), hidden+" ", "nothing but charts and answers")
	}
	h.write("h")
	assert.Nil(t, h.a.dialog)
	h.write("v")
	assert.Equal(t, 1.0, h.a.drawn())

	// The time runs while the menu is open.
	before := h.a.exam.now.Elapsed()
	h.press("menu")
	assert.NotContains(t, h.labels(), "leave")
	h.let(10 * time.Second)
	assert.Greater(t, h.a.exam.now.Elapsed()-before, 9*time.Second)
	h.key(ui.Escape)

	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	require.Equal(t, atExam, h.a.screen)
	assert.NotContains(t, h.labels(), "Truth")

	// The second runs out of its five minutes, and is handed in as it stands.
	h.press("begin")
	h.press("show letters")
	h.let(5*time.Minute + time.Second)
	require.IsType(t, practical.Over{}, h.a.exam.attempt.State())
	rec := h.a.exam.attempt.State().(practical.Over).Record()
	assert.Equal(t, practical.Stated, rec.Cases()[0].Ended)
	assert.Equal(t, practical.TimedUp, rec.Cases()[1].Ended)
	assert.Contains(t, h.labels(), rec.Code())
	require.NotEmpty(t, saved)
	assert.Empty(t, h.a.history, "a practical is no practice")

	require.Len(t, h.a.exam.marks, 2)
	assert.Regexp(t, `^Case 1: [0-9.]+ of 100 points\.$`, h.a.exam.marks[0])
	assert.NotContains(t, h.labels(), "Truth")
	for _, c := range rec.Cases() {
		log, err := sitting.ReadLog(strings.NewReader(c.Log))
		require.NoError(t, err)
		assert.Equal(t, plan.Keys("7", c.Case), log.Header.Keys)
		assert.NotEmpty(t, log.Events)
	}
	h.press("dismiss")
	assert.Equal(t, atHome, h.a.screen)
	assert.Empty(t, h.a.set.Exam)
}

func TestTheDoorIsKept(t *testing.T) {
	h := newHands(t, 1366, 768, Options{})
	h.frame(ui.Input{Files: []ui.File{{Name: "friday.txt", Data: newPractical(t)}}})
	h.settle()
	h.press("candidate")
	h.write("Not A Name!!")
	h.press("admit")
	assert.NotEmpty(t, h.a.notice)
	h.a.exam.candidate = "7"
	h.press("passphrase")
	h.write("guess")
	assert.NotContains(t, h.labels(), "guess", "what is typed is not shown")
	h.press("admit")
	assert.NotEmpty(t, h.a.notice)
	assert.Nil(t, h.a.exam.plan)
}

func TestAPracticalGoesOnAfterTheMachineDied(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	h.press("begin")
	h.press("show fan")
	h.press("ask which")
	h.let(65 * time.Second)
	said, left := h.a.Status().Said, h.a.exam.now.Elapsed()
	logged := h.a.examKeep("7").logName(h.a.exam.now.Case())
	m.files[logged] = append(m.files[logged], `{"n":3,"at`...)

	again := newHands(t, 1366, 768, Options{Store: m})
	require.Equal(t, atExam, again.a.screen)
	assert.IsType(t, practical.Interrupted{}, again.a.exam.attempt.State())
	again.press("passphrase")
	again.write("wrong")
	again.press("let on")
	require.IsType(t, practical.Interrupted{}, again.a.exam.attempt.State(), "only the assessor lets it go on")
	again.press("passphrase")
	again.write("open sesame")
	again.press("let on")
	require.Equal(t, atBench, again.a.screen, again.a.notice)
	assert.Equal(t, said, again.a.Status().Said)
	assert.Equal(t, sitting.Fan, again.a.seat.s.State().Chart)
	assert.InDelta(t, left.Seconds(), again.a.exam.now.Elapsed().Seconds(), 1.5, "the time that had been left")
	assert.Len(t, again.kept(t).Interruptions, 1)
	again.press("show arrow")
	assert.Len(t, again.a.seat.s.Events(), 3)
}

func TestAnAnswerThatCannotBeKeptIsNotShownInAPractical(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	h.press("begin")
	h.press("show fan")
	m.full = true
	h.press("ask which")
	assert.Empty(t, h.a.Status().Said)
	assert.NotEmpty(t, h.a.notice)
	m.full = false
	h.press("ask which")
	assert.NotEmpty(t, h.a.Status().Said)
	assert.Len(t, h.a.seat.s.Events(), 2)
}

// The machine dies after the first line of a log was begun, and before it was
// whole: the case is begun again.
func TestACaseWhoseLogWasNotBegunBegins(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	now := h.a.exam.attempt.State().(practical.Ready)
	m.files[h.a.examKeep("7").logName(now.Case())] = []byte(`{"conoid"`)
	h.press("begin")
	require.Equal(t, atBench, h.a.screen, h.a.notice)
	h.press("show fan")
	assert.Len(t, h.a.seat.s.Events(), 1)
}

// The code that a candidate signed on paper stays the code.
func TestTheCodeStaysWhenTheMachineDiesAtTheEnd(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	for range 2 {
		h.press("begin")
		h.press("end")
		h.press("acuity 6/6")
		h.press("end now")
	}
	code := h.a.exam.attempt.State().(practical.Over).Record().Code()

	again := newHands(t, 1366, 768, Options{Store: m})
	again.a.o.Now = func() time.Time { return noon.Add(time.Hour) }
	again.press("passphrase")
	again.write("open sesame")
	again.press("let on")
	require.IsType(t, practical.Over{}, again.a.exam.attempt.State(), again.a.notice)
	assert.Contains(t, again.labels(), code)
}

// A case that cannot be handed in because nothing can be kept is handed in as
// soon as it can.
func TestACaseIsHandedInWhenItCanBeKept(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	h.press("begin")
	m.full = true
	h.let(5*time.Minute + time.Second)
	require.IsType(t, practical.Examining{}, h.a.exam.attempt.State())
	assert.NotEmpty(t, h.a.notice)
	m.full = false
	h.let(time.Second)
	require.IsType(t, practical.Ready{}, h.a.exam.attempt.State())
	assert.Equal(t, atExam, h.a.screen)
}

func TestAClockThatJumpsIsNoted(t *testing.T) {
	at := noon
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	h.a.o.Now = func() time.Time { return at.Add(h.at) }
	h.press("begin")
	h.let(3 * time.Second)
	assert.Empty(t, h.kept(t).Jumps)
	at = at.Add(-10 * time.Minute)
	h.let(time.Second)
	rec := h.kept(t)
	require.Len(t, rec.Jumps, 1)
	assert.InDelta(t, -600, rec.Jumps[0].By.Seconds(), 1)
	assert.Less(t, h.a.exam.now.Elapsed(), 10*time.Second, "the time is the monotonic one")
}

func TestEveryCandidateMeetsTheSameEyes(t *testing.T) {
	h, _ := admitted(t, Options{})
	h.press("begin")
	f := h.a.seat.s.State().Frames[h.a.seat.tested().Index()]
	assert.NotEqual(t, optics.Frame{}, f)
	assert.NotContains(t, h.labels(), h.a.exam.plan.Cases[0].Title, "the title of a case may tell something")
}
