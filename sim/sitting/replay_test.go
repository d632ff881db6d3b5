package sitting

import (
	"bytes"
	"slices"
	"testing"
	"time"

	"conoid/sim/patient"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What went on around the events is in the chain, comes back with them, and is
// no matter of the replay.
func TestAsides(t *testing.T) {
	t.Parallel()
	s := Start(nobody("plano"), Seeded(1))
	assert.Equal(t, Event{}, s.Annotate(Aside{Hint: true}), "before any event")
	wall := time.Date(2031, 5, 4, 12, 30, 15, 250e6, time.FixedZone("", 3600))
	bare := do(t, s, Action{Do: Cover, Eye: Left})
	assert.Nil(t, bare.Aside)
	full := s.Annotate(Aside{Wall: wall, Predicted: "left", Opened: []string{"card", "hint"}, Hint: true, Words: []string{"The left one."}})
	assert.True(t, full.Aside.Wall.Equal(wall))
	bare.Aside = full.Aside
	assert.Equal(t, bare, full)
	do(t, s, Action{Do: Explain})
	assert.Contains(t, asJSON(t, full), `"aside":{"wall":"2031-05-04T11:30:15.25Z","predicted":"left","opened":["card","hint"],"hint":true,"words":["The left one."]}`)
	assert.NotContains(t, asJSON(t, s.Events()[1]), "aside")

	data := written(s.Events())
	rec, err := read(data)
	require.NoError(t, err)
	assert.Equal(t, s.Events(), rec.Events)
	again, err := Replay(nobody("plano"), rec)
	require.NoError(t, err)
	assert.Equal(t, s.Events(), again.Events())
	broken(t, bytes.Replace(data, []byte("The left"), []byte("The lefd"), 1), 2)

	other := *full.Aside
	other.Words = []string{"Neither."}
	rec.Events[0].Aside = &other
	again, err = Replay(nobody("plano"), rec)
	require.NoError(t, err, "it is not compared")
	assert.Equal(t, &other, again.Events()[0].Aside)
	rec.Events[0].At++
	_, err = Replay(nobody("plano"), rec)
	var mismatch *Mismatch
	require.ErrorAs(t, err, &mismatch, "all else is")
	assert.Equal(t, 1, mismatch.N)
}

func TestReplay(t *testing.T) {
	t.Parallel()
	s, data := logged()
	rec, err := read(data)
	require.NoError(t, err)
	again, err := Replay(routineSetup(), rec)
	require.NoError(t, err)
	assert.Equal(t, asJSON(t, s.Events()), asJSON(t, again.Events()))
	assert.Equal(t, s.State(), again.State())
	assert.Equal(t, s.Steps(), again.Steps())
	end, ok := again.EndPoint(Right)
	require.True(t, ok)
	assert.Equal(t, rx("-0.50/-1.50x30"), end.Rx)
}

// An answer that was altered is found out, even when the chain of hashes was
// made anew over it: the case gives another.
func TestReplayFindsAlteredAnswers(t *testing.T) {
	t.Parallel()
	s, _ := logged()
	events := s.Events()
	at := slices.IndexFunc(events, func(e Event) bool { return e.Action.Question == patient.WhichLimb })
	answer := *events[at].Answer
	answer.Kind = map[patient.Kind]patient.Kind{patient.Left: patient.Right}[answer.Kind]
	if answer.Kind == "" {
		answer.Kind = patient.Left
	}
	events[at].Answer = &answer
	rec, err := read(written(events))
	require.NoError(t, err, "the chain is whole")
	_, err = Replay(routineSetup(), rec)
	var mismatch *Mismatch
	require.ErrorAs(t, err, &mismatch)
	assert.Equal(t, at+1, mismatch.N)
	assert.Contains(t, mismatch.Got, string(answer.Kind))
	assert.NotEqual(t, mismatch.Want, mismatch.Got)
}

func TestReplayOfWhatCannotHaveHappened(t *testing.T) {
	t.Parallel()
	setup := nobody("plano")
	replay := func(actions ...Action) error {
		rec := &Record{Header: header}
		for i, a := range actions {
			rec.Events = append(rec.Events, Event{N: i + 1, Action: a})
		}
		_, err := Replay(setup, rec)
		return err
	}
	var refusal *Refusal
	require.ErrorAs(t, replay(Action{Do: Lower}), &refusal)
	var mismatch *Mismatch
	require.ErrorAs(t, replay(Action{Do: Cover, Eye: Left}), &mismatch, "the time is wrong")
	assert.Equal(t, 1, mismatch.N)
	assert.Contains(t, mismatch.Error(), "n 1")
}
