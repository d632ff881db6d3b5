package bench

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/debrief/debrieftest"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/result"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/sim/sitting"
)

// finished shows what a sitting came to that was marked by hand.
func finished(t *testing.T, o Options, name string) *hands {
	t.Helper()
	c, seed, actions := debrieftest.Actions(t, "../../../../scoring/testdata/sittings", name)
	h := newHands(t, 1366, 768, o)
	p, err := h.a.desk.Seats.Begin(c, seat.How{Seed: &seed, Branch: actions})
	require.NoError(t, err)
	p.Visit().Notes.Branch = false // as if each action had been pressed
	require.NoError(t, p.Keep())
	h.a.follow(desk.Result{Practice: p})
	h.settle()
	return h
}

// Who tries again sits before the same patient with the same luck, at the moment
// before the mistake, in a new sitting that remembers where it came from. Its marks
// say so, and the progress does without it.
func TestAMistakeIsTriedAgainWhereItWasMade(t *testing.T) {
	long(t)
	h := finished(t, Options{}, "cylinder-left-in")
	first := h.a.desk.History.All()
	require.Len(t, first, 1)
	before := h.store.files[first[0].Log+".jsonl"]
	assert.NotContains(t, h.labels(), h.a.desk.Voice().Text("debrief.tried", "n", 5))

	h.press("try 1")
	require.True(t, at[*chairside.Screen](h), h.notice())
	assert.Contains(t, h.notice(), "from step 5")
	checkLayout(t, h, "a new try")
	notes := h.visit().Notes
	assert.True(t, notes.Branch)
	assert.Equal(t, 5, notes.Given)
	assert.Equal(t, first[0].Log, notes.From)
	log, err := sitting.ReadLog(bytes.NewReader(h.store.files[h.a.desk.Seats.Unfinished()[0].Name+".jsonl"]))
	require.NoError(t, err)
	assert.Equal(t, &sitting.Try{Of: strings.TrimPrefix(first[0].Log, "sittings/"), Step: 5}, log.Header.Try)
	_, _, actions := debrieftest.Actions(t, "../../../../scoring/testdata/sittings", "cylinder-left-in")
	events := h.visit().Events()
	require.Len(t, events, 5)
	for _, e := range events {
		assert.Nil(t, e.Aside, "what is taken over has no time of day")
	}

	h.do(actions[5]) // the same question, with nothing changed, has the same answer
	again := h.visit().Events()
	whole := h.replayed(first[0].Log)
	assert.Equal(t, bare(whole[:6]), bare(again))
	assert.Equal(t, before, h.store.files[first[0].Log+".jsonl"], "the first sitting stays as it was")

	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	require.True(t, at[*result.Screen](h), h.notice())
	assert.Contains(t, h.labels(), h.a.desk.Voice().Text("debrief.tried", "n", 5))
	all := h.a.desk.History.All()
	require.Len(t, all, 2)
	assert.True(t, all[1].Branch)
	best, ok := h.a.desk.History.Best(all[0].ID)
	require.True(t, ok)
	assert.Equal(t, all[0].Log, best.Log)
}

// replayed are the events of a sitting that is kept.
func (h *hands) replayed(name string) []sitting.Event {
	h.t.Helper()
	r, err := h.a.desk.Seats.Replay(name)
	require.NoError(h.t, err)
	_, all := r.At()
	require.NoError(h.t, r.To(all))
	return r.Events()
}

// The page that is saved of such a sitting says so too.
func TestTheSavedPageOfATrySaysSo(t *testing.T) {
	long(t)
	var saved []byte
	h := finished(t, Options{Save: func(_ string, data []byte) (string, error) { saved = data; return "x", nil }}, "cylinder-left-in")
	h.press("save debrief")
	assert.NotContains(t, string(saved), "Tried again")
	h.press("try 2")
	h.press("end")
	h.press("end now")
	h.press("save debrief")
	assert.Contains(t, string(saved), "Tried again from step 35")
}

// A press on "All marks" comes to what lies below the fold, and all of the screen
// before this one was is still there.
func TestAllMarksAreBelowTheFold(t *testing.T) {
	long(t)
	h := finished(t, Options{Save: func(string, []byte) (string, error) { return "x", nil }}, "cylinder-left-in")
	at := func(id string) float64 { return h.find(id).Rect.Y }
	top := at("home")
	h.press("marks")
	for _, th := range h.a.desk.UI.Things() {
		if th.ID == "home" {
			assert.Less(t, th.Rect.Y, top-100)
		}
		if th.ID == "again" {
			assert.True(t, th.Clip.Contains(th.Rect.Centre()))
		}
	}
	h.press("save log")
	assert.Contains(t, h.notice(), "x")
	h.press("again")
	require.True(t, onBench(h))
	assert.False(t, h.visit().Notes.Branch)
	assert.Empty(t, h.visit().Events())
}

func onBench(h *hands) bool { return at[*chairside.Screen](h) }
