package chair_test

import (
	"bytes"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/chair/chairtest"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

var noon = time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC)

func visit(t *testing.T) (*chair.Visit, *chairtest.Slow) {
	c, h := clerk(t)
	l, err := chair.Begin(c, h, &chairtest.Disk{}, nil)
	require.NoError(t, err)
	slow := &chairtest.Slow{Local: l}
	return chair.Attend(slow, chair.Notes{}), slow
}

// Lenses and charts of what is on its way show at once; letters, answers, time
// and steps wait, and are in order when they come.
func TestALateAnswer(t *testing.T) {
	v, slow := visit(t)
	v.Do(work[0], noon)
	v.Do(sitting.Action{Do: sitting.Put, Lens: optics.SphereOf(1), Cell: sitting.In(optics.Front2)}, noon)
	v.Do(work[1], noon)
	v.Do(work[2], noon)
	news, err := v.Hear()
	require.NoError(t, err)
	assert.Empty(t, news)
	assert.True(t, v.Busy())
	require.Len(t, v.Pending(), 4)
	assert.Equal(t, work[0], v.Pending()[0].Action)

	st := v.State()
	tested := v.Brief().Tested
	assert.True(t, st.Covered[tested.Other().Index()])
	assert.Equal(t, optics.SphereOf(1), st.Frames[tested.Index()].Lenses[optics.Front2])
	assert.Equal(t, chart.Letters, st.Chart)
	assert.Empty(t, st.Rows, "letters are not foreseen")
	assert.Zero(t, st.Seconds)
	assert.Zero(t, v.Steps())
	assert.Empty(t, v.Talk())

	slow.Arrive()
	slow.Arrive()
	news, err = v.Hear()
	require.NoError(t, err)
	require.Len(t, news, 2)
	assert.Equal(t, optics.Lens{}, news[0].After.Frames[tested.Index()].Lenses[optics.Front2], "as it stood after the first")
	assert.True(t, v.Busy())
	slow.Arrive()
	slow.Arrive()
	news, err = v.Hear()
	require.NoError(t, err)
	require.Len(t, news, 2)
	assert.NotNil(t, news[1].Event.Answer)
	assert.False(t, v.Busy())
	assert.Len(t, v.Talk(), 4)
	assert.NotEmpty(t, v.State().Rows)
	assert.Positive(t, v.State().Seconds)
}

// What came to nothing is told, once, and what came after it too; the lens goes
// back.
func TestALostAction(t *testing.T) {
	v, slow := visit(t)
	put := sitting.Action{Do: sitting.Put, Lens: optics.SphereOf(1), Cell: sitting.In(optics.Front2)}
	v.Predict("alike")
	v.Open("card")
	v.Do(put, noon)
	v.Do(work[0], noon)
	gone := errors.New("the line is cut")
	slow.Lose(gone)
	slow.Arrive()
	news, err := v.Hear()
	require.ErrorIs(t, err, gone)
	assert.Empty(t, news)
	assert.Equal(t, optics.Lens{}, v.State().Frames[v.Brief().Tested.Index()].Lenses[optics.Front2])
	news, err = v.Hear()
	require.NoError(t, err)
	require.Len(t, news, 1)
	assert.Equal(t, sitting.Cover, news[0].Event.Action.Do)
	assert.Equal(t, &sitting.Aside{Wall: noon}, news[0].Event.Aside, "it was sent before the other was lost")
	assert.False(t, v.Busy())
	v.Open("hours")
	v.Do(put, noon)
	slow.Arrive()
	news, err = v.Hear()
	require.NoError(t, err)
	assert.Equal(t, []string{"card", "hours"}, news[0].Event.Aside.Opened, "it was looked up all the same")
	assert.Empty(t, news[0].Event.Aside.Predicted)
}

// The bench ahead of the patient knows what will be refused, and which letters
// still hang.
func TestWhatShowsAheadOfThePatient(t *testing.T) {
	v, slow := visit(t)
	small := 0.1
	v.Do(sitting.Action{Do: sitting.Show, Chart: chart.Letter}, noon)
	slow.Arrive()
	letter := v.State().Rows
	require.Len(t, letter, 1)
	cover := sitting.Action{Do: sitting.Cover, Eye: sitting.Left}
	v.Do(cover, noon)
	v.Do(cover, noon) // will be refused
	v.Do(sitting.Action{Do: sitting.Note, Field: sitting.FogField, Text: "+1.00"}, noon)
	st := v.State()
	assert.True(t, st.Covered[1])
	assert.Equal(t, letter, st.Rows)
	assert.Empty(t, st.Card)
	v.Do(sitting.Action{Do: sitting.Show, Chart: chart.Letter, Size: &small}, noon)
	assert.Equal(t, small, v.State().Size)
	assert.Empty(t, v.State().Rows, "another size has another letter")
	v.Do(sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1}}, noon)
	v.Do(sitting.Action{Do: sitting.Uncover, Eye: sitting.Left}, noon)
	assert.True(t, v.State().Covered[1], "nothing goes after the end")
	assert.False(t, v.Over(), "which has not come yet")
	for range 6 {
		slow.Arrive()
	}
	assert.True(t, v.Over())
	ahead := v.State()
	assert.Equal(t, slow.Local.State(), ahead)
}

func TestWaitingForAnAnswer(t *testing.T) {
	v, slow := visit(t)
	p := v.Do(work[0], noon)
	_, _, ready := p.Ready()
	assert.False(t, ready)
	go slow.Arrive()
	told, err := p.Wait()
	require.NoError(t, err)
	assert.Equal(t, 1, told.Event.N)
}

func TestTheGuideSeesWhatTheStudentSees(t *testing.T) {
	v, slow := visit(t)
	assert.Equal(t, 1, v.Next().Stage)
	assert.Zero(t, v.Notes.Hints)
	assert.Equal(t, v.Next(), v.Hint())
	assert.Equal(t, 1, v.Notes.Hints)
	v.Do(work[0], noon)
	slow.Arrive()
	assert.Equal(t, 2, v.Next().Stage)
}

// What went on around an action is in the log, with the words that were said.
func TestAsidesAreKept(t *testing.T) {
	c, h := clerk(t)
	d := &chairtest.Disk{}
	l, err := chair.Begin(c, h, d, nil)
	require.NoError(t, err)
	l.Speak(func(t chair.Told) []string { return []string{string(t.Event.Answer.Kind), string(t.After.Chart)} })
	v := chair.Attend(l, chair.Notes{})
	v.Do(work[1], noon)
	v.Hint()
	v.Predict("alike")
	v.Do(work[2], noon.Add(time.Second))
	v.Do(work[0], noon.Add(2*time.Second))
	rec, err := sitting.ReadLog(bytes.NewReader(d.Data))
	require.NoError(t, err)
	require.Len(t, rec.Events, 3)
	assert.Equal(t, &sitting.Aside{Wall: noon}, rec.Events[0].Aside)
	assert.Equal(t, &sitting.Aside{Wall: noon.Add(time.Second), Hint: true, Predicted: "alike", Words: []string{"read", "letters"}}, rec.Events[1].Aside)
	assert.Equal(t, &sitting.Aside{Wall: noon.Add(2 * time.Second)}, rec.Events[2].Aside)
	again, err := chair.Resume(c, rec, nil, nil)
	require.NoError(t, err)
	assert.Equal(t, rec.Events[1].Aside, again.Events()[1].Aside)
	assert.Equal(t, rec.Events[1].Aside, again.Talk()[1].Event.Aside)
}

// The clock is worth keeping every five seconds of use.
func TestTheClock(t *testing.T) {
	c, h := clerk(t)
	l, err := chair.Begin(c, h, nil, nil)
	require.NoError(t, err)
	v := chair.Attend(l, chair.Notes{Clock: time.Minute})
	assert.False(t, v.Tick(4999*time.Millisecond))
	assert.True(t, v.Tick(time.Millisecond))
	assert.False(t, v.Tick(time.Second))
	assert.Equal(t, 66*time.Second, v.Notes.Clock)
}
