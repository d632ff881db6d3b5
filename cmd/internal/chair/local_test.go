package chair_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/chair/chairtest"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// work is a little of every kind, with a refusal in the middle.
var work = []sitting.Action{
	{Do: sitting.Cover, Eye: sitting.Left},
	{Do: sitting.Show, Chart: chart.Letters},
	{Do: sitting.Ask, Question: patient.ReadLetters},
	{Do: sitting.Cover, Eye: sitting.Left}, // is covered: refused
	{Do: sitting.Put, Lens: optics.SphereOf(1), Cell: sitting.In(optics.Front2)},
	{Do: sitting.Show, Chart: chart.Fan},
	{Do: sitting.Ask, Question: patient.WhichLines},
	{Do: sitting.Ask, Question: patient.WhichLines},
	{Do: sitting.Note, Field: "fog", Text: "+1.00"},
}

func clerk(t *testing.T) (*cases.Case, sitting.Header) {
	c, err := cases.Find("ferry-clerk")
	require.NoError(t, err)
	return c, sitting.Header{Case: c.Hash(), Title: c.Title}.Seeded(7)
}

func asJSON(t *testing.T, x any) string {
	data, err := json.Marshal(x)
	require.NoError(t, err)
	return string(data)
}

// do does what is asked and gives back what was said.
func do(t *testing.T, c chair.Chair, a sitting.Action) (chair.Told, error) {
	t.Helper()
	told, err, ready := c.Do(a, sitting.Aside{}).Ready()
	require.True(t, ready, "a chair in this process decides at once")
	return told, err
}

// agree checks that the log says what has happened.
func agree(t *testing.T, l *chair.Local, d *chairtest.Disk) {
	t.Helper()
	rec, err := sitting.ReadLog(bytes.NewReader(d.Data))
	require.NoError(t, err)
	assert.Equal(t, asJSON(t, l.Events()), asJSON(t, rec.Events))
}

// undisturbed is what the work comes to when nothing fails.
func undisturbed(t *testing.T) *chair.Local {
	c, h := clerk(t)
	l, err := chair.Begin(c, h, nil, nil)
	require.NoError(t, err)
	for _, a := range work {
		_, _ = do(t, l, a)
	}
	require.Len(t, l.Events(), len(work)-1)
	return l
}

// Whichever write fails, and however, the log and the sitting agree, nothing was
// said, and the same action done again has the same answer as if nothing had
// failed.
func TestWhateverFailsToBeKeptHasNotHappened(t *testing.T) {
	want := undisturbed(t)
	c, h := clerk(t)
	for fails := 2; fails <= len(work); fails++ { // the first writes the header
		for _, how := range []chairtest.Fault{chairtest.Nothing, chairtest.Half, chairtest.Whole} {
			t.Run(fmt.Sprint(fails, how), func(t *testing.T) {
				n := 0 // of Append
				d := &chairtest.Disk{Fails: func(_ int, cuts bool) chairtest.Fault {
					if !cuts {
						n++
					}
					if n == fails && !cuts {
						return how
					}
					return chairtest.Works
				}}
				l, err := chair.Begin(c, h, d, nil)
				require.NoError(t, err)
				lost := 0
				for _, a := range work {
					before, talk := asJSON(t, l.State()), len(l.Talk())
					steps := l.Steps()
					told, err := do(t, l, a)
					if f, is := err.(*fact.Error); is && f.ID == "chair.not-kept" {
						lost++
						assert.Zero(t, told)
						require.ErrorIs(t, err, chairtest.ErrDisk)
						assert.Equal(t, before, asJSON(t, l.State()))
						assert.Equal(t, steps, l.Steps())
						assert.Len(t, l.Talk(), talk)
						agree(t, l, d)
						_, err = do(t, l, a)
						require.NoError(t, err, "it can be done after all")
					}
					agree(t, l, d)
				}
				assert.Equal(t, 1, lost)
				assert.Equal(t, asJSON(t, want.Talk()), asJSON(t, l.Talk()))
			})
		}
	}
}

// What a failed write has left, and could not be cut off at once, is cut off
// before the next line, or there is no next line.
func TestATornLineIsCutOffBeforeTheNext(t *testing.T) {
	c, h := clerk(t)
	for _, how := range []chairtest.Fault{chairtest.Half, chairtest.Whole} {
		broken := false
		d := &chairtest.Disk{Fails: func(_ int, cuts bool) chairtest.Fault {
			switch {
			case broken && cuts:
				return chairtest.Nothing
			case broken:
				return how
			}
			return chairtest.Works
		}}
		l, err := chair.Begin(c, h, d, nil)
		require.NoError(t, err)
		_, err = do(t, l, work[0])
		require.NoError(t, err)
		whole := len(d.Data)
		broken = true
		for range 3 {
			_, err = do(t, l, work[1])
			require.Error(t, err)
			assert.Len(t, l.Events(), 1)
		}
		torn := len(d.Data)
		require.Greater(t, torn, whole)
		_, err = do(t, l, work[3])
		require.Error(t, err, "a refusal")
		assert.Len(t, d.Data, torn, "nothing is written behind it")
		broken = false
		_, err = do(t, l, work[1])
		require.NoError(t, err)
		agree(t, l, d)
	}
}

func TestALogThatCannotBeBegun(t *testing.T) {
	c, h := clerk(t)
	_, err := chair.Begin(c, h, &chairtest.Disk{Fails: func(int, bool) chairtest.Fault { return chairtest.Half }}, nil)
	require.ErrorIs(t, err, chairtest.ErrDisk)
	require.ErrorContains(t, err, "chair.not-begun")
}

// A sitting goes on where its log ends, with the same answers as if it had not
// been broken off.
func TestResume(t *testing.T) {
	want := undisturbed(t)
	c, h := clerk(t)
	for n := range work {
		d := &chairtest.Disk{}
		l, err := chair.Begin(c, h, d, nil)
		require.NoError(t, err)
		for _, a := range work[:n] {
			_, _ = do(t, l, a)
		}
		d.Data = append(d.Data, `{"n":9,"torn`...)
		rec, err := sitting.ReadLog(bytes.NewReader(d.Data))
		require.NoError(t, err)
		require.True(t, rec.Torn)
		l, err = chair.Resume(c, rec, d, nil)
		require.NoError(t, err)
		agree(t, l, d)
		for _, a := range work[n:] {
			_, _ = do(t, l, a)
		}
		agree(t, l, d)
		assert.Equal(t, asJSON(t, want.Talk()), asJSON(t, l.Talk()))
	}
}

func TestResumeWithAnotherCase(t *testing.T) {
	c, h := clerk(t)
	h.Case = "0123"
	_, err := chair.Resume(c, &sitting.Record{Header: h}, nil, nil)
	require.ErrorContains(t, err, "chair.other-case")
}

func TestResumeWithWhatThePatientDidNotSay(t *testing.T) {
	c, h := clerk(t)
	events := undisturbed(t).Events()
	events[2].Answer = &patient.Answer{Kind: patient.Unsure}
	_, err := chair.Resume(c, &sitting.Record{Header: h, Events: events}, nil, nil)
	var mismatch *sitting.Mismatch
	require.ErrorAs(t, err, &mismatch)
}

func TestALogThatCannotBeContinued(t *testing.T) {
	c, h := clerk(t)
	d := &chairtest.Disk{Fails: func(int, bool) chairtest.Fault { return chairtest.Nothing }}
	_, err := chair.Resume(c, &sitting.Record{Header: h, Torn: true}, d, nil)
	require.ErrorContains(t, err, "chair.not-continued")
}

func TestEndPointOfTheTestedEye(t *testing.T) {
	l := undisturbed(t)
	require.False(t, chair.Over(l))
	_, err := do(t, l, sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -0.5, Axis: 90}})
	require.NoError(t, err)
	assert.True(t, chair.Over(l))
	_, stated := l.EndPoint(l.Brief().Tested.Other())
	assert.False(t, stated)
}

// The brief and the card are what the record says; the truth is not in it.
func TestBriefHasNoTruth(t *testing.T) {
	c, _ := clerk(t)
	l := undisturbed(t)
	b := l.Brief()
	assert.Equal(t, c.Title, b.Title)
	assert.Equal(t, c.Texts("de"), b.In("de"))
	assert.NotEqual(t, b.In("de"), b.In("en"))
	assert.Equal(t, b.Texts, b.In("en"))
	assert.Equal(t, c.Tested, b.Tested)
	assert.Equal(t, c.Of(sitting.Right).Objective.MinusCyl(), b.Objective[0])
	assert.Equal(t, c.Card(c.Tested), l.Card())
	for _, side := range []sitting.Side{sitting.Right, sitting.Left} {
		c.Of(side).Error.Sphere += 5
	}
	assert.Equal(t, b, chair.BriefOf(c))
}

// The same patient again says the same.
func TestAgain(t *testing.T) {
	l := undisturbed(t)
	s, err := l.Again(l.Events())
	require.NoError(t, err)
	assert.Equal(t, asJSON(t, l.Events()), asJSON(t, s.Events()))
	s, err = l.Again(nil)
	require.NoError(t, err)
	assert.Empty(t, s.Events())
	assert.Len(t, l.Events(), len(work)-1)
}

// On one processor, as in a browser, an answer stops many times on its way, and is the
// one that comes without a stop.
func TestAnAnswerStopsOnItsWay(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	c, err := cases.Find("ferry-clerk")
	require.NoError(t, err)
	h := sitting.Header{Case: c.Hash(), Title: c.Title}.Seeded(7)
	stops := 0
	asked := func(within func()) sitting.Event {
		l, err := chair.Begin(c, h, nil, nil)
		require.NoError(t, err)
		if within != nil {
			l.PauseWithin(within)
		}
		_, err = l.Do(sitting.Action{Do: sitting.Show, Chart: chart.Arrow}, sitting.Aside{}).Wait()
		require.NoError(t, err)
		told, err := l.Do(sitting.Action{Do: sitting.Ask, Question: patient.WhichLimb}, sitting.Aside{}).Wait()
		require.NoError(t, err)
		return told.Event
	}
	assert.Equal(t, asked(nil), asked(func() { stops++ }))
	assert.Greater(t, stops, 50)
}
