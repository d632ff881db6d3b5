package bench

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// admitted begins a practical of two cases for candidate 7: five minutes for
// each, eight in all.
func admitted(t *testing.T, o Options) (*hands, []byte) {
	t.Helper()
	file, keys := newPractical(t, nil)
	h := newHands(t, 1366, 768, o)
	h.keys = keys
	h.head, _ = practical.Read("friday.txt", file)
	h.enter(file)
	require.True(t, at[*exam.Ready](h), h.notice())
	return h, file
}

// admittedTo begins such a practical that was changed.
func admittedTo(t *testing.T, o Options, change func(*practical.Plan)) *hands {
	t.Helper()
	file, _ := newPractical(t, change)
	h := newHands(t, 1366, 768, o)
	h.head, _ = practical.Read("friday.txt", file)
	h.enter(file)
	require.True(t, at[*exam.Ready](h), h.notice())
	return h
}

// enter brings candidate 7 through the door of a practical.
func (h *hands) enter(file []byte) { h.t.Helper(); h.enterAs("7", file) }

// enterAs brings a candidate through the door.
func (h *hands) enterAs(number string, file []byte) {
	h.t.Helper()
	h.frame(ui.Input{Files: []ui.File{{Name: "friday.txt", Data: file}}})
	h.settle()
	require.True(h.t, at[*exam.Door](h), h.notice())
	h.press("candidate")
	h.write(number)
	h.press("passphrase")
	h.write("open sesame")
	h.press("admit")
}

// keptRecord is what is looked at of a record as it is kept.
type keptRecord struct {
	Cases         []practical.Sat
	Interruptions []practical.Interruption
	Jumps         []practical.Jump
	Waited        time.Duration
}

// record is the record of the candidate as it is kept.
func (h *hands) record() (rec keptRecord) {
	h.t.Helper()
	require.NoError(h.t, json.Unmarshal(h.store.files["practicals/"+seat.Slug(h.head.ID)+"/7.json"], &rec))
	return rec
}

// sat is the case under way, or the last one.
func (h *hands) sat() practical.Sat {
	c := h.record().Cases
	return c[len(c)-1]
}

// labels are everything on the screen.
func (h *hands) labels() string {
	var out []string
	for _, t := range h.a.desk.UI.Things() {
		out = append(out, t.ID+" "+t.Label)
	}
	return strings.Join(out, "\n")
}

// let lets time go by.
func (h *hands) let(d time.Duration) {
	for end := h.at + d; h.at < end; {
		h.at += 500 * time.Millisecond
		h.frame(ui.Input{Pointer: h.a.shown.pointer})
	}
	h.settle()
}

func TestAPracticalFromTheDoorToTheCode(t *testing.T) {
	long(t)
	var saved []byte
	h, _ := admitted(t, Options{Save: func(name string, data []byte) (string, error) { saved = data; return name, nil }})
	plan, err := h.head.Open("open sesame")
	require.NoError(t, err)
	h.press("begin")
	require.True(t, at[*chairside.Screen](h))
	h.press("show fan")
	h.press("ask which")
	for _, hidden := range []string{"hint", "curtain", "view", "before", "image:", "leave", "conoid", "home", "guide 0", "something else"} {
		assert.NotContains(t, h.labels(), hidden+" ", "nothing but charts and answers")
	}
	h.write("h")
	assert.False(t, h.front())
	h.write("v")
	assert.Equal(t, 1.0, h.a.desk.Settings.Now().Curtain)

	// The time runs while the menu is open.
	before := h.sat().Elapsed
	h.press("menu")
	assert.NotContains(t, h.labels(), "leave")
	h.let(10 * time.Second)
	assert.Greater(t, h.sat().Elapsed-before, 9*time.Second)
	h.key(ui.Escape)

	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	require.True(t, at[*exam.Ready](h))
	assert.NotContains(t, h.labels(), "Truth")
	assert.Equal(t, practical.Stated, h.record().Cases[0].Ended)

	// The second runs out of its five minutes, and is handed in as it stands.
	h.press("begin")
	h.press("show letters")
	h.let(5*time.Minute + time.Second)
	require.True(t, at[*exam.Over](h))
	assert.Equal(t, practical.TimedUp, h.record().Cases[1].Ended)
	require.NotEmpty(t, saved)
	rec, err := practical.ReadResult(plan, "result", saved, h.keys.Key())
	require.NoError(t, err)
	assert.Contains(t, h.labels(), rec.Code())
	assert.Empty(t, h.a.desk.History.All(), "a practical is no practice")

	assert.Regexp(t, `Case 1: [0-9.]+ of 100 points\.\n`, h.labels())
	assert.Regexp(t, `Case 2: [0-9.]+ of 100 points\.\n`, h.labels())
	assert.NotContains(t, h.labels(), "Truth")
	for _, c := range rec.Cases() {
		rec, err := sitting.ReadLog(strings.NewReader(c.Log))
		require.NoError(t, err)
		assert.Equal(t, plan.Entry("7").Keys(c.Case), rec.Header.Keys)
		assert.NotEmpty(t, rec.Events)
		for _, e := range rec.Events {
			assert.True(t, noon.Equal(e.Aside.Wall), "each action has its time")
		}
		assert.True(t, noon.Equal(c.Begun) && noon.Equal(c.Until))
	}
	h.press("dismiss")
	assert.True(t, at[*home.Screen](h))
	assert.Empty(t, h.a.desk.Settings.Now().Exam)
}

func TestTheDoorIsKept(t *testing.T) {
	file, _ := newPractical(t, nil)
	h := newHands(t, 1366, 768, Options{})
	h.frame(ui.Input{Files: []ui.File{{Name: "friday.txt", Data: file}}})
	h.settle()
	head, err := practical.Read("friday.txt", file)
	require.NoError(t, err)
	assert.Contains(t, h.labels(), "Practical "+head.ID+", signed by "+head.SignedBy, "to be compared with slips and keys")
	h.press("candidate")
	h.write("Not A Name!!")
	h.press("admit")
	assert.NotEmpty(t, h.notice())
	h.fill("candidate", "7")
	h.press("passphrase")
	h.write("guess")
	assert.NotContains(t, h.labels(), "guess", "what is typed is not shown")
	h.press("admit")
	assert.NotEmpty(t, h.notice())
	assert.True(t, at[*exam.Door](h))
}

func TestAPracticalGoesOnAfterTheMachineDied(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	h.press("begin")
	h.press("show fan")
	h.press("ask which")
	h.let(65 * time.Second)
	said, left := h.a.Status().Said, h.sat().Elapsed
	logged := fmt.Sprintf("practicals/%s/7-%d.jsonl", seat.Slug(h.head.ID), h.sat().Case)
	m.files[logged] = append(m.files[logged], `{"n":3,"at`...)

	again := newHands(t, 1366, 768, Options{Store: m})
	again.head = h.head
	require.True(t, at[*exam.Interrupted](again))
	again.press("passphrase")
	again.write("wrong")
	again.press("let on")
	require.True(t, at[*exam.Interrupted](again), "only the assessor lets it go on")
	again.press("passphrase")
	again.write("open sesame")
	again.press("let on")
	require.True(t, at[*chairside.Screen](again), again.notice())
	assert.Equal(t, said, again.a.Status().Said)
	assert.Equal(t, chart.Fan, again.visit().State().Chart)
	assert.InDelta(t, left.Seconds(), again.sat().Elapsed.Seconds(), 1.5, "the time that had been left")
	require.Len(t, again.record().Interruptions, 1)
	again.press("show arrow")
	assert.Len(t, again.visit().Events(), 3)
}

func TestAnAnswerThatCannotBeKeptIsNotShownInAPractical(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	h.press("begin")
	h.press("show fan")
	m.full = true
	h.press("ask which")
	assert.Empty(t, h.a.Status().Said)
	assert.NotEmpty(t, h.notice())
	m.full = false
	h.press("ask which")
	assert.NotEmpty(t, h.a.Status().Said)
	assert.Len(t, h.visit().Events(), 2)
}

func TestAClockThatJumpsIsNoted(t *testing.T) {
	now := noon
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	h.a.desk.Now = func() time.Time { return now.Add(h.at) }
	h.press("begin")
	h.let(3 * time.Second)
	assert.Empty(t, h.record().Jumps)
	now = now.Add(-10 * time.Minute)
	h.let(time.Second)
	require.Len(t, h.record().Jumps, 1)
	assert.InDelta(t, -600, h.record().Jumps[0].By.Seconds(), 1)
	assert.Less(t, h.sat().Elapsed, 10*time.Second, "the time is the monotonic one")
}

func TestEveryCandidateMeetsTheSameEyes(t *testing.T) {
	h, _ := admitted(t, Options{})
	h.press("begin")
	f := h.frameNow()
	assert.NotEqual(t, optics.Frame{}, f)
	for _, language := range assets.Languages() { // the title of a case may tell something
		h.a.desk.Change(func(s *settings.Settings) { s.Language = language })
		h.a.again = true
		h.settle()
		for _, c := range cases.Library()[:2] {
			assert.NotContains(t, h.labels(), c.Texts(language).Title)
		}
	}
}

// The time between cases is in the record, and where it counts the practical is over
// when it is up.
func TestTheTimeBetweenCasesRuns(t *testing.T) {
	h := admittedTo(t, Options{}, func(p *practical.Plan) { p.CountPauses = true })
	assert.Contains(t, h.labels(), "The time between cases counts too.")
	h.later(10 * time.Minute) // nobody has begun
	h.press("begin")
	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	require.True(t, at[*exam.Ready](h), h.notice())
	h.later(7*time.Minute + 2*time.Second)
	assert.Contains(t, h.labels(), "Time left in all: 0:5")
	h.later(time.Minute)
	require.True(t, at[*exam.Over](h), h.notice())
	assert.Equal(t, "The time for everything is up.", h.notice())
	assert.Contains(t, h.labels(), "The time is up: what was done is handed in, and 1 case was not begun.")
	assert.Len(t, h.record().Cases, 1)
	assert.InDelta(t, 8*60, h.record().Waited.Seconds(), 2)
}

// The machine dies after the first line of a log was begun, and before it was
// whole: the case is begun again.
func TestACaseWhoseLogWasNotBegunBegins(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	for i := range 2 {
		m.files[fmt.Sprintf("practicals/%s/7-%d.jsonl", seat.Slug(h.head.ID), i)] = []byte(`{"conoid"`)
	}
	h.press("begin")
	require.True(t, at[*chairside.Screen](h), h.notice())
	h.press("show fan")
	assert.Len(t, h.visit().Events(), 1)
}

// statesAll begins both cases of a practical and states at once what is there, up to its end.
func (h *hands) statesAll() {
	h.t.Helper()
	for range 2 {
		h.press("begin")
		h.press("end")
		h.press("acuity 6/6")
		h.press("end now")
	}
	require.True(h.t, at[*exam.Over](h), h.notice())
}

// A machine that dies before the result is on its disk would come to another code: neither it
// nor the file is handed out before.
func TestTheCodeWaitsForTheDisk(t *testing.T) {
	saved := 0
	o := Options{Store: newMemory(), Save: func(string, []byte) (string, error) { saved++; return "x", nil }}
	h, _ := admitted(t, o)
	h.store.late = true // which holds nothing else up
	h.statesAll()
	code := regexp.MustCompile(`[0-9A-Z]{4}(-[0-9A-Z]{4}){3}`)
	h.let(time.Minute)
	assert.Contains(t, h.labels(), h.say("bench.exam.keeping"))
	assert.NotRegexp(t, code, h.labels())
	assert.Zero(t, saved)
	_, ends := h.look("dismiss")
	assert.False(t, ends)

	h.store.late = false
	h.settle()
	assert.Regexp(t, code, h.labels())
	assert.Equal(t, 1, saved)
	h.store.late = true // what is written from now on is something else
	h.let(time.Second)
	assert.Regexp(t, code, h.labels())
	h.find("dismiss")
}

// The code that a candidate signed on paper stays the code.
func TestTheCodeStaysWhenTheMachineDiesAtTheEnd(t *testing.T) {
	long(t)
	m := newMemory()
	var results [][]byte
	o := Options{Store: m, Save: func(_ string, data []byte) (string, error) { results = append(results, data); return "x", nil }}
	h, file := admitted(t, o)
	h.statesAll()
	head, err := practical.Read("friday.txt", file)
	require.NoError(t, err)
	plan, err := head.Open("open sesame")
	require.NoError(t, err)
	rec, err := practical.ReadResult(plan, "result", results[0], h.keys.Key())
	require.NoError(t, err)

	again := newHands(t, 1366, 768, o)
	again.a.desk.Now = func() time.Time { return noon.Add(time.Hour) }
	assert.Contains(t, again.labels(), "Candidate 7 was through: everything is handed in")
	assert.NotContains(t, again.labels(), "interrupted", "nothing was")
	again.press("passphrase")
	again.write("open sesame")
	again.press("let on")
	require.True(t, at[*exam.Over](again), again.notice())
	assert.Contains(t, again.labels(), "All cases are handed in.")
	assert.Contains(t, again.labels(), rec.Code())
	again.press("save result")
	again.press("dismiss")

	again.head = head
	again.enter(file) // through the door once more
	require.True(t, at[*exam.Over](again), again.notice())
	assert.Contains(t, again.labels(), rec.Code())
	require.Len(t, results, 4)
	for _, r := range results {
		assert.Equal(t, results[0], r, "the same file each time")
	}
}

// A case that cannot be handed in because nothing can be kept is handed in as
// soon as it can.
func TestACaseIsHandedInWhenItCanBeKept(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	h.press("begin")
	m.full = true
	h.let(5*time.Minute + time.Second)
	require.True(t, at[*chairside.Screen](h))
	assert.NotEmpty(t, h.notice())
	m.full = false
	h.let(time.Second)
	assert.True(t, at[*exam.Ready](h))
}
