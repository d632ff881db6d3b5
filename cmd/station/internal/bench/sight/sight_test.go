package sight

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// bare is an eye of a pupil and an error alone, which a lens over it makes good.
type bare struct{ covered bool }

func (b bare) Sees(_ sitting.Side, f optics.Frame) (patient.Sight, bool) {
	left := optics.Rx{Sphere: 1 + f.Held.Power, Cyl: -0.5, Axis: 30}.Power()
	return patient.Sight{Pupil: retina.Pupil{Diameter: 3.5, Residual: left}}, !b.covered
}

func (bare) Accommodation() float64 { return 0 }

// line is work that is done when a test wants it.
type line struct {
	work   func()
	pauses int
}

func (l *line) View(f func()) {
	if l.work == nil {
		l.work = f
	}
}

func (l *line) Pause() { l.pauses++ }

func (l *line) do() {
	f := l.work
	l.work = nil
	f()
}

// A picture is made while the user goes on. Until it is there, nothing is shown for it, or the last one of
// the same chart and eye, which says that it is changing; and made in pieces it is the same as made in one.
func TestAPictureIsFollowedInPieces(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1)) // pieces are for those who have one processor
	st := sitting.State{Chart: chart.Fan}
	l, in, drawing := &line{}, bare{}, chart.Named(chart.Fan).Draw(chart.Hung{})
	var e, whole Eye
	follow := func() *Picture { return e.Follow(l, in, sitting.Right, st, drawing, WindowOf(st.Chart, drawing)) }
	same := func(p *Picture) {
		t.Helper()
		require.NotNil(t, p)
		assert.False(t, p.Changing)
		want := whole.Look(in, sitting.Right, st, drawing, WindowOf(st.Chart, drawing))
		assert.Equal(t, want.Image.Pix, p.Image.Pix, "to the last bit")
		assert.Equal(t, [3]float64{want.Mid.Y, want.Wide, want.High}, [3]float64{p.Mid.Y, p.Wide, p.High})
	}
	assert.Nil(t, follow(), "there is none so far")
	l.do()
	assert.Greater(t, l.pauses, 20)
	first := follow()
	same(first)
	assert.Nil(t, l.work, "nothing has changed")

	st.Frames[0].Held = optics.Lens{Kind: optics.SphereLens, Power: -0.5}
	p := follow()
	require.NotNil(t, p)
	assert.True(t, p.Changing)
	assert.Equal(t, first.Version, p.Version, "it is the last one")
	st.Frames[0].Held = optics.Lens{Kind: optics.SphereLens, Power: -1}
	follow()
	l.do()
	assert.True(t, follow().Changing, "the one before is not given up, and is not the newest")
	l.do()
	same(follow())

	st.Chart = chart.Sunburst
	assert.Nil(t, follow(), "never the picture of another chart")
	st.Chart, in = chart.Fan, bare{covered: true}
	assert.Nil(t, e.Follow(l, bare{}, sitting.Left, st, drawing, WindowOf(st.Chart, drawing)), "nor of another eye")
	st.Frames[0].Held = optics.Lens{Kind: optics.SphereLens, Power: -0.25}
	assert.Equal(t, Dark, follow().State, "which needs no work")
	in = bare{}
	assert.Nil(t, follow(), "an eye that is uncovered sees something else than it did")
}
