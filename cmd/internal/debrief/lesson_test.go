package debrief_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/debrief"
	"conoid/cmd/internal/debrief/debrieftest"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

const byHand = "../../../scoring/testdata/sittings"

// lesson is the lesson of a finding in a sitting that was marked by hand, looked at.
func lesson(t *testing.T, name, finding string) (*debrief.Debrief, *debrief.Lesson) {
	t.Helper()
	d := debrieftest.Of(t, byHand, name)
	for _, l := range d.Lessons() {
		if l.Finding.ID == finding {
			require.NoError(t, d.Look(l, nil))
			return d, l
		}
	}
	t.Fatalf("%s has no lesson %s", name, finding)
	return nil, nil
}

// What would have been is what the finding says should have been: the cylinder
// out, or turned to the axis that was heard, or the weaker one of two; the sphere
// that was heard, or the one of the usual fog. All else is as it was.
func TestWhatWouldHaveBeenIsWhatTheFindingSays(t *testing.T) {
	_, l := lesson(t, "cylinder-left-in", "cylinder-left-in")
	assert.Equal(t, 6, l.N)
	assert.Equal(t, optics.CylinderLens, l.Was.Frame.Lenses[optics.Front1].Kind)
	without := l.Was.Frame
	without.Lenses[optics.Front1] = optics.Lens{}
	assert.Equal(t, without, l.Would.Frame)

	_, l = lesson(t, "along-the-line", "axis-along-line")
	assert.Equal(t, 90.0, l.Was.Frame.Lenses[optics.Front1].Axis)
	assert.Equal(t, 175.0, l.Would.Frame.Lenses[optics.Front1].Axis)
	assert.Equal(t, 175, l.Would.Pointer)

	_, l = lesson(t, "reversing-cylinder", "reversing-cylinder-kept")
	was, would := l.Was.Frame.Prescription(), l.Would.Frame.Prescription()
	assert.Equal(t, -4.5, was.Cyl)
	assert.Equal(t, -4.0, would.Cyl, "the set goes on in halves there")
	assert.Equal(t, was.Sphere, would.Sphere)

	_, l = lesson(t, "turned-the-wrong-way", "arrow-turned-wrong")
	assert.Equal(t, l.Was.Frame, l.Would.Frame)
	assert.NotEqual(t, l.Was.Pointer, l.Would.Pointer)

	_, l = lesson(t, "wrong-eye", "wrong-eye")
	assert.Contains(t, l.Instead, sitting.Action{Do: sitting.Cover, Eye: sitting.Right})

	d, l := lesson(t, "too-much-fog", "fog-too-much")
	fog := float64(d.Report.Path[l.N-1].Fog)
	more := l.Would.Frame.Prescription().Sphere - l.Was.Frame.Prescription().Sphere
	assert.InDelta(t, method.UsualFog, fog+more, method.SphereStep/2)
}

// A lesson without such a picture has none, and the end point is where it shows if
// that is what it is about.
func TestALessonWithoutAPicture(t *testing.T) {
	_, l := lesson(t, "letters-made-up", "acuity-made-up")
	assert.Equal(t, 37, l.N)
	assert.Nil(t, l.Instead)
	assert.Nil(t, l.Was)
	assert.Nil(t, l.Would)
	_, l = lesson(t, "lenses-in-the-wrong-order", "minus-first")
	assert.Equal(t, 4, l.N)
	assert.Nil(t, l.Was)
}

// Lessons are the findings that cost points, at most three, the dearest first;
// each is at an event of its sitting, and two views of it have one size. What was
// done before can be done again.
func TestLessonsOfAllSittingsMarkedByHand(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long")
	}
	pictures := 0
	for _, name := range debrieftest.Names(t, byHand) {
		d := debrieftest.Of(t, byHand, name)
		lessons := d.Lessons()
		assert.LessOrEqual(t, len(lessons), 3, name)
		for i, l := range lessons {
			assert.Positive(t, float64(l.Finding.Cost), name)
			assert.Equal(t, d.Report.Findings[i].ID, l.Finding.ID, name)
			require.True(t, l.N >= 1 && l.N <= len(d.Report.Path), "%s: %s", name, l.Finding.ID)
			before := d.Before(l)
			assert.Len(t, before, l.N-1, name)
			assert.False(t, slices.ContainsFunc(before, func(a sitting.Action) bool { return a.Do == sitting.End }), name)
			require.NoError(t, d.Look(l, func() {}), name)
			require.Equal(t, l.Was == nil, l.Would == nil, name)
			require.Equal(t, l.Was == nil, l.Instead == nil, name)
			if l.Was == nil {
				continue
			}
			pictures++
			assert.Equal(t, l.Was.Image.Rect, l.Would.Image.Rect, name)
			assert.Equal(t, l.Was.Chart, l.Would.Chart, name)
			assert.NotEqual(t, l.Was.Image.Pix, l.Would.Image.Pix, "%s: %s", name, l.Finding.ID)
		}
	}
	assert.Greater(t, pictures, 50)
}
