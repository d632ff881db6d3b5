package patient

import (
	"math/rand/v2"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

// bare is an eye without aberrations, directionality or scatter.
func bare(pupil float64) eye.Eye { return eye.Eye{Pupil: pupil, Age: 30} }

// fromNorms is an eye with aberrations taken from the norms, without scatter.
func fromNorms(r *rand.Rand, pupil float64) eye.Eye {
	e := eye.New(pupil, 30, eye.Draw(r))
	e.Veil = 0
	return e
}

// with is the sight of an eye whose residual error, in dioptres, is given.
func with(e eye.Eye, residual optics.Power) Sight {
	e.Needs = optics.Power{}
	return Through(e, residual, 0, 0)
}

func standard() *retina.Renderer { return retina.New(retina.Standard()) }

// between is the residual error of an eye that lacks a minus cylinder of so
// many dioptres at an axis, when the back line lies fog dioptres in front of
// the retina.
func between(fog, cylinder, axis float64) optics.Power {
	return optics.Sphere(fog).Sub(optics.Rx{Cyl: -cylinder, Axis: axis}.Power())
}

func generator(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 1)) }

// fanLines are the orientations of the fan by angle, from the level one on.
func fanLines() []chart.Line { return chart.Named(chart.Fan).Marks(chart.Hung{}) }

// skipInShort leaves out a test of many looks. Short tests are run once more with
// the race detector, which makes each look twenty times as long and finds the same
// in one.
func skipInShort(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("many looks")
	}
}
