package chairside

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/chair"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// worn is a brief of a left eye that comes with -1.75 / -0.75 x 50.
func worn() chair.Brief {
	rx := optics.Rx{Sphere: -1.75, Cyl: -0.75, Axis: 50}
	return chair.Brief{Tested: sitting.Left, Objective: [2]optics.Rx{{}, rx}}
}

// done does actions on a bench, and gives what was told.
func done(t *testing.T, b chair.Brief, acts ...sitting.Action) (bench *sitting.Bench, told []chair.Told) {
	bench = sitting.NewBench(b.Tested, b.Objective, b.Room)
	for _, a := range acts {
		a, err := bench.Do(a)
		require.NoError(t, err)
		told = append(told, chair.Told{Event: sitting.Event{Action: a}, After: bench.State()})
	}
	return bench, told
}

func in(c optics.Cell) sitting.Place { return sitting.In(c) }

// Whatever was done to the lenses last, its reverse makes the frame what it was.
func TestTheLastLensIsPutBack(t *testing.T) {
	turn := func(axis int) sitting.Action {
		return sitting.Action{Do: sitting.Turn, Cell: in(optics.Front1), Axis: axis}
	}
	explain := sitting.Action{Do: sitting.Explain}
	for name, acts := range map[string][]sitting.Action{
		"taken out": {{Do: sitting.Take, Cell: in(optics.Back)}},
		"put in":    {{Do: sitting.Put, Cell: in(optics.Front2), Lens: optics.SphereOf(0.5)}},
		"exchanged": {{Do: sitting.Exchange, Cell: in(optics.Front1), Lens: optics.CylinderOf(-1, 50)}},
		"turned":    {turn(60)},
		"turned on": {turn(55), turn(60), turn(61)},
		"and talk":  {turn(60), explain},
		"other eye": {{Do: sitting.Exchange, Cell: in(optics.Back), Lens: optics.SphereOf(-2)}, {Do: sitting.Put, Eye: sitting.Right, Cell: in(optics.Back), Lens: optics.SphereOf(1)}},
	} {
		b := worn()
		bench, told := done(t, b, acts...)
		was := sitting.NewBench(b.Tested, b.Objective, b.Room).State().Frames[1]
		require.NotEqual(t, was, bench.State().Frames[1], name)
		act, ok := reverse(b, told)
		require.True(t, ok, name)
		_, err := bench.Do(act)
		require.NoError(t, err, name)
		assert.Equal(t, was, bench.State().Frames[1], name)
	}
}

// Two turns that something parts are two changes; putting back can be put back; and where
// nothing was changed, or only held up, there is nothing to put back.
func TestWhatIsPutBack(t *testing.T) {
	b := worn()
	turn := func(axis int) sitting.Action {
		return sitting.Action{Do: sitting.Turn, Cell: in(optics.Front1), Axis: axis}
	}
	explain := sitting.Action{Do: sitting.Explain}
	_, told := done(t, b, turn(60), explain, turn(70))
	act, _ := reverse(b, told)
	assert.Equal(t, 60, act.Axis)

	_, told = done(t, b, sitting.Action{Do: sitting.Take, Cell: in(optics.Back)}, sitting.Action{Do: sitting.Put, Cell: in(optics.Back), Lens: optics.SphereOf(-1.75)})
	act, _ = reverse(b, told)
	assert.Equal(t, sitting.Take, act.Do)

	for _, acts := range [][]sitting.Action{nil, {explain}, {{Do: sitting.Hold, Lens: optics.SphereOf(0.5)}}, {turn(60), turn(50)}} {
		_, told = done(t, b, acts...)
		_, ok := reverse(b, told)
		assert.False(t, ok)
	}
}
