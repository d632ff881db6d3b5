package bench

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/replay"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

func TestFilesAreReadOrRefused(t *testing.T) {
	h := newHands(t, 1366, 768, Options{})
	h.frame(ui.Input{Files: []ui.File{{Name: "mine.toml", Data: cases.Template(voice.English.Say)}}})
	h.settle()
	require.True(t, h.front())
	h.press("examine")
	assert.Equal(t, "mine", h.visit().Notes.ID)
	h.press("menu")
	h.press("leave")
	h.frame(ui.Input{Files: []ui.File{{Name: "wrong.toml", Data: []byte("title = 3\n")}}})
	h.settle()
	assert.Contains(t, strings.ToLower(h.notice()), "wrong.toml, line 1")
}

func TestARandomEyeIsTheSameForTheSameNumber(t *testing.T) {
	var hashes []string
	for range 2 {
		h := newHands(t, 1366, 768, Options{})
		h.press("someone")
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
	running := h.visit().Notes.Clock
	assert.Greater(t, running.Seconds(), 3.0)
	h.press("menu")
	paused := h.visit().Notes.Clock
	let(500)
	assert.InDelta(t, paused.Seconds(), h.visit().Notes.Clock.Seconds(), 0.1)
}

func TestKeysDoWhatTheButtonsDo(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	h.write("+")
	assert.Equal(t, optics.SphereOf(-0.75), h.frameNow().Lenses[optics.Back])
	h.write("]")
	assert.Equal(t, optics.CylinderOf(-1.25, 170), h.frameNow().Lenses[optics.Front1])
	h.write("o")
	assert.True(t, h.visit().State().Covered[1])
	h.write("fa")
	assert.NotEmpty(t, h.a.Status().Said)
	h.write("c")
	h.press("note vision")
	h.write("fan")
	h.key(ui.Escape)
	assert.Equal(t, "fan", h.visit().State().Card["vision"], "what is typed on the card is no key, and is kept")
	h.write("e")
	assert.True(t, h.front())
	assert.Equal(t, fmt.Sprint(h.visit().Steps().Total()), "4")
}

func TestAFinishedSittingIsSteppedThroughAndLeftForAnotherWay(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	h.guided(h.press)
	events := h.log().Events
	h.press("replay")
	r := on[*replay.Screen](h).Sitting()
	assert.Empty(t, r.Talk())
	_, steps, _ := r.Step()
	assert.Equal(t, sitting.StepsAfter(events)[len(events)-1], steps, "as many as are counted")
	where := func(id string, n int) {
		assert.Contains(t, h.labels(), voice.English.Text(id, "n", fact.Count(n), "all", fact.Count(steps)))
	}
	where("bench.replay.begins", 0)
	for i := 1; i <= 12; i++ {
		h.press("forward")
		n, _ := r.At()
		require.Equal(t, i, n)
	}
	where("bench.replay.at", sitting.StepsAfter(events)[11])
	for _, high := range []float64{625, 768, 1080} { // the conoid of each step, and what was said, however little room there is
		h.h = high
		h.settle()
		assert.Contains(t, h.labels(), "image:Conoid", high)
		assert.Contains(t, h.labels(), voice.English.Text("bench.talk.sofar"), high)
	}
	h.h = 768
	h.settle()
	chart := r.State()
	h.press("forward")
	h.press("back")
	assert.Equal(t, chart, r.State(), "back is where it was")
	assert.Equal(t, events[:12], r.Events(), "the same answers again")
	h.press("show duochrome")
	assert.Contains(t, h.notice(), "replay")
	assert.Len(t, h.log().Events, len(events), "a replay changes nothing")

	h.press("branch")
	require.True(t, at[*chairside.Screen](h))
	assert.Equal(t, bare(events[:12]), bare(h.visit().Events()))
	h.press("show duochrome")
	assert.Len(t, h.visit().Events(), 13)
	assert.True(t, h.visit().Notes.Branch)
}

// At each answer the replay says what the report says of it, and at the end what all
// say of the claims, and nothing ahead of its time.
func TestAReplayTellsWhatTheAnswersSay(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	h.press("guided")
	h.guided(h.press)
	h.press("replay")
	r := on[*replay.Screen](h).Sitting()
	rep, err := r.Review()
	require.NoError(t, err)
	shown := func(text string) bool {
		return slices.ContainsFunc(h.a.desk.UI.Things(), func(th ui.Thing) bool { return th.Label == text })
	}
	answers := 0
	_, all := r.At()
	for n := 1; n <= all; n++ {
		lines := report.Replayed(voice.English, rep, n)
		for _, line := range lines {
			if line != "By itself it says nothing of axis, cylinder or sphere." && n == all {
				assert.False(t, shown(line), "%d: %s", n, line)
			}
		}
		h.press("forward")
		for _, line := range lines {
			assert.True(t, shown(line), "%d: %s", n, line)
			answers++
		}
	}
	assert.Greater(t, answers, 10)
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
	assert.Empty(t, h.a.desk.History.All())
	h.frame(ui.Input{Files: []ui.File{{Name: home.ExportName, Data: saved}}})
	h.settle()
	require.Len(t, h.a.desk.History.All(), 1)
	_, err := h.a.desk.Seats.Replay(h.a.desk.History.All()[0].Log)
	require.NoError(t, err, "the log came back as well")
}

func TestTheWeakestKindIsProposed(t *testing.T) {
	lib := cases.Library()
	assert.Equal(t, lib[0], history.Proposed(lib, nil), "the easiest at first")
	var kind cases.Difficulty
	var with *cases.Case
	for _, c := range lib[1:] {
		if d := c.Difficulties(); len(d) > 0 {
			kind, with = d[0], c
			break
		}
	}
	list := []history.Reached{
		{ID: "x", Left: 0.1, Steps: 30, Kinds: nil},
		{ID: "y", Left: 0.9, Steps: 30, Kinds: []cases.Difficulty{kind}},
	}
	assert.Equal(t, kind, history.Kinds(list)[0].Name)
	assert.Equal(t, with, history.Proposed(lib, list))
	list = append(list, history.Reached{ID: with.ID, Case: with.Hash(), Left: 0.2, Kinds: with.Difficulties()})
	assert.NotEqual(t, with, history.Proposed(lib, list), "what went well is not proposed again")
}

// author is who made a case: their lock, and the key to it.
func author(t *testing.T) (lock cases.Lock, key string) {
	key, recipient, err := cases.NewKeys()
	require.NoError(t, err)
	lock, err = cases.LockFor(recipient)
	require.NoError(t, err)
	return lock, key
}

func TestASealedCaseIsOpenedAndStaysSealed(t *testing.T) {
	lock, err := cases.LockWith("open sesame")
	require.NoError(t, err)
	authors, key := author(t)
	file, err := cases.Seal("mine.toml", cases.Template(voice.English.Say), lock, authors)
	require.NoError(t, err)
	m := newMemory()
	h := newHands(t, 1366, 768, Options{Store: m})
	h.frame(ui.Input{Files: []ui.File{{Name: "mine" + cases.SealedEnding, Data: file}}})
	h.settle()
	h.press("passphrase")
	h.write("open says me")
	h.press("open case")
	assert.NotEmpty(t, h.notice())
	h.key(ui.Escape)
	h.frame(ui.Input{Files: []ui.File{{Name: "mine" + cases.SealedEnding, Data: file}}})
	h.settle()
	h.press("passphrase")
	h.write("open sesame")
	h.press("open case")
	_, there := h.look("drill fan")
	assert.False(t, there, "a drill would put in what is to be found")
	h.press("examine cues")
	require.True(t, at[*chairside.Screen](h), h.notice())
	h.press("show fan")
	h.press("ask which")
	for _, hidden := range []string{"curtain", "view", "before", "image:", "conoid"} {
		assert.NotContains(t, h.labels(), hidden+" ", "it tells the error of a sealed case")
	}
	for name, data := range m.files {
		assert.NotContains(t, string(data), "error =", name)
	}

	theirs := newHands(t, 1366, 768, Options{Store: newMemory()})
	theirs.frame(ui.Input{Files: []ui.File{{Name: "mine" + cases.SealedEnding, Data: file}}})
	theirs.settle()
	theirs.press("passphrase")
	theirs.write(key)
	theirs.press("open case")
	assert.Contains(t, theirs.labels(), "examine ", "its author needs no passphrase")

	again := newHands(t, 1366, 768, Options{Store: m})
	again.press("passphrase")
	again.write("open sesame")
	again.press("open case")
	require.True(t, at[*chairside.Screen](again), again.notice())
	assert.Equal(t, chart.Fan, again.visit().State().Chart)
}
