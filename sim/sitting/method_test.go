package sitting

import (
	"math"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// examiner works by the book: the cylinder out, fog, the fan, the arrow, the
// blocks, and the fog taken off again. All of it is common practice.
type examiner struct {
	t *testing.T
	*Sitting
}

func (x examiner) do(a Action) Event {
	x.t.Helper()
	return do(x.t, x.Sitting, a)
}

func (x examiner) ask(q patient.Question) patient.Answer {
	x.t.Helper()
	return *x.do(Action{Do: Ask, Question: q}).Answer
}

func (x examiner) frame() optics.Frame { return x.State().Frames[x.Setup().Tested.Index()] }

// sphere puts a sphere into the back cell.
func (x examiner) sphere(d float64) {
	x.t.Helper()
	in := x.frame().Lenses[optics.Back].Power
	switch {
	case d == in:
	case in == 0:
		x.do(Action{Do: Put, Cell: In(optics.Back), Lens: optics.SphereOf(d)})
	case d == 0:
		x.do(Action{Do: Take, Cell: In(optics.Back)})
	default:
		x.do(Action{Do: Exchange, Cell: In(optics.Back), Lens: optics.SphereOf(d)})
	}
}

func (x examiner) addSphere(d float64) {
	x.t.Helper()
	x.sphere(x.frame().Lenses[optics.Back].Power + d)
}

// fog takes the cylinder out and adds plus until more of it only blurs the
// clearest line of the fan.
func (x examiner) fog() {
	x.do(Action{Do: Cover, Eye: x.Setup().Tested.Other()})
	x.addSphere(0.5)
	if x.frame().Lenses[optics.Front1] != (optics.Lens{}) {
		x.do(Action{Do: Take, Cell: In(optics.Front1)})
	}
	x.do(Action{Do: Show, Chart: chart.Fan})
	for range 8 {
		x.do(Action{Do: Explain}) // and time to relax
		x.do(Action{Do: Hold, Lens: piece("+0.50")})
		said := x.ask(patient.WithLens).Kind
		x.do(Action{Do: Lower})
		if said == patient.Worse {
			return
		}
		x.addSphere(0.25)
	}
	require.Fail(x.t, "no fog is enough")
}

// axis reads the fan and refines with the arrow: toward the blurred limb in
// smaller and smaller turns.
func (x examiner) axis() float64 {
	said := x.ask(patient.WhichLines)
	require.Equal(x.t, patient.Lines, said.Kind)
	var labels []float64
	for _, l := range said.Lines {
		labels = append(labels, chart.LabelOf(l))
	}
	at, ok := optics.MeanAxis(labels...)
	require.True(x.t, ok)
	at = optics.Axis(math.Round(at))
	x.do(Action{Do: Show, Chart: chart.Arrow})
	for _, turn := range []float64{8, 4, 2, 1} {
		var last patient.Kind
		for range 20 {
			x.do(Action{Do: Point, Axis: int(at)})
			said := x.ask(patient.WhichLimb).Kind
			if said != patient.Left && said != patient.Right || last != "" && said != last {
				break
			}
			if last = said; said == patient.Left { // the right limb is blurred: clockwise
				at = optics.Axis(at + turn)
			} else {
				at = optics.Axis(at - turn)
			}
		}
	}
	x.do(Action{Do: Point, Axis: int(at)})
	return at
}

// cylinder adds minus cylinder until the blocks reverse, and keeps the weaker
// of the two.
func (x examiner) cylinder(axis float64) {
	x.do(Action{Do: Show, Chart: chart.Blocks})
	if x.ask(patient.WhichBlock).Kind != patient.Parallel {
		return
	}
	x.do(Action{Do: Put, Cell: In(optics.Front1), Lens: optics.CylinderOf(-0.25, axis)})
	for x.ask(patient.WhichBlock).Kind == patient.Parallel {
		worn := x.frame().Lenses[optics.Front1].Power
		require.Greater(x.t, worn, -5.0, "the blocks never reverse")
		x.do(Action{Do: Exchange, Cell: In(optics.Front1), Lens: optics.CylinderOf(worn-0.25, axis)})
	}
	if x.ask(patient.WhichBlock).Kind == patient.Perpendicular {
		if worn := x.frame().Lenses[optics.Front1].Power + 0.25; worn < 0 {
			x.do(Action{Do: Exchange, Cell: In(optics.Front1), Lens: optics.CylinderOf(worn, axis)})
		} else {
			x.do(Action{Do: Take, Cell: In(optics.Front1)})
		}
	}
}

// unfog takes plus off until the duochrome turns to green, and gives the last
// quarter back.
func (x examiner) unfog() {
	x.do(Action{Do: Show, Chart: chart.Duochrome})
	for range 20 {
		if said := x.ask(patient.WhichColour).Kind; said != patient.RedClearer && said != patient.Blurred {
			x.addSphere(0.25)
			return
		}
		x.addSphere(-0.25)
	}
	require.Fail(x.t, "red stays the clearer")
}

// A careful examiner of people who answer without noise comes to the truth,
// within a lens of the set.
func TestTheMethodFindsTheTruth(t *testing.T) {
	young := person("noiseless", 9, "-1.00/-2.00x30", "-1.00", "-0.75/-1.75x35")
	young.Eyes[0].Eye.Aberrations = eye.Typical(1)
	old := person("noiseless", 1, "+1.00", "+2.25/-1.25x165", "+2.00/-0.75x10")
	old.Tested = Left
	mixed := person("noiseless", 5, "+0.50/-1.50x90", "plano", "+0.75/-1.00x80")
	for name, setup := range map[string]Setup{"young myope": young, "older hyperope": old, "mixed astigmatism": mixed} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			x := examiner{t, Start(setup, Seeded(1))}
			x.fog()
			axis := x.axis()
			x.cylinder(axis)
			x.unfog()
			found := x.frame().Prescription()
			x.do(Action{Do: End, Rx: &found})

			truth := setup.Eyes[setup.Tested.Index()].Error
			t.Logf("truth %v, found %v in %d steps", truth, found, x.Steps().Total())
			assert.InDelta(t, truth.Sphere, found.Sphere, 0.251)
			assert.InDelta(t, truth.Cyl, found.Cyl, 0.251)
			assert.LessOrEqual(t, math.Abs(optics.AxisDifference(truth.Axis, found.Axis)), 5.0)
			assert.LessOrEqual(t, found.Power().Sub(truth.Power()).Norm(), 0.25, "as blur strength")
			assert.LessOrEqual(t, x.AcuityWith(setup.Tested, found), x.Truth(setup.Tested).Best+0.1, "within a row of the best")
		})
	}
}
