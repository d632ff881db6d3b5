package population

import (
	"context"
	"math"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// Works is how well the method works on a person, by what comes of its charts
// where everything is right.
type Works struct {
	Cylinder float64 // mean cylinder that the expert finds, less the true one, dioptres
	Check    float64 // share of looks in which the blocks stay alike with LittlePlus held up
	Blocks   float64 // by how much the noiseless balance of the blocks misses the true cylinder, dioptres, in the usual fogs
	Arrow    float64 // by how much that of the arrow misses the true axis, degrees
}

// The bounds within which the method works on a person: of the mean cylinder, the
// balance of the blocks and that of the arrow on either side, and of the least
// share of checks; for people whose answers are scattered those of the answers
// are wider. The arrow's is for cylinders of 1.00 D and more. The project's choice.
const (
	CylinderBound, ScatteredCylinder = 0.12, 0.20
	CheckBound, ScatteredCheck       = 0.85, 0.75
	BlocksBound                      = 0.12
	ArrowBound                       = 3.0
)

// usualFogs are how far in front of the retina the back line stands, in dioptres,
// for the noiseless balance.
var usualFogs = []float64{0.25, 0.50, 0.75}

// How is how well the method works on the person of a sitting, whom the expert
// examines so many times.
func How(s *sitting.Sitting, sittings int) (Works, error) {
	setup := s.Setup()
	truth := setup.Eyes[setup.Tested.Index()].Error
	found, err := Repeat(context.Background(), s, nil, sittings, func(int) {})
	if err != nil {
		return Works{}, err
	}
	w := Works{Cylinder: found.Mean.MinusCyl().Cyl - truth.MinusCyl().Cyl}
	w.Check, err = checked(s, 40)
	if err != nil || truth.Cyl == 0 {
		return w, err
	}
	b := newBalances(setup)
	for _, fog := range usualFogs {
		w.Blocks = max(w.Blocks, b.blocks(fog))
		w.Arrow = max(w.Arrow, b.arrow(fog))
	}
	return w, nil
}

// checked is the share of so many looks in which the blocks stay alike when
// LittlePlus is held up behind the true cylinder and the usual fog.
func checked(s *sitting.Sitting, looks int) (share float64, err error) {
	setup := s.Setup()
	side := setup.Tested
	truth, objective := setup.Eyes[side.Index()].Error.MinusCyl(), setup.Eyes[side.Index()].Objective.MinusCyl()
	actions := []sitting.Action{{Do: sitting.Cover, Eye: side.Other()}, {Do: sitting.Explain}}
	actions = append(actions, into(optics.Back, objective.Sphere, optics.SphereOf(quarter(truth.Sphere)+method.UsualFog))...)
	actions = append(actions, into(optics.Front1, objective.Cyl, optics.CylinderOf(truth.Cyl, truth.Axis))...)
	actions = append(actions,
		sitting.Action{Do: sitting.Show, Chart: chart.Blocks},
		sitting.Action{Do: sitting.Point, Axis: int(optics.Axis(math.Round(truth.Axis)))},
		sitting.Action{Do: sitting.Hold, Lens: optics.SphereOf(method.LittlePlus)},
	)
	for range 4 { // who is asked something else meanwhile gets used to the lens
		actions = append(actions, sitting.Action{Do: sitting.Ask, Question: patient.WithLens})
	}
	actions = append(actions, sitting.Action{Do: sitting.Ask, Question: patient.WhichBlock})
	for i := range looks {
		s = s.Again(sitting.Seeded(uint64(1000 + i)))
		var last sitting.Event
		for _, a := range actions {
			if last, err = s.Do(a); err != nil {
				return 0, err
			}
		}
		if last.Answer.Kind == patient.Alike || last.Answer.Kind == patient.Unsure {
			share += 1 / float64(looks)
		}
	}
	return share, nil
}

// quarter is the nearest power that the set has.
func quarter(d float64) float64 { return math.Round(d*4) / 4 }

// into are the actions that bring a lens into a cell where there was one of a
// power; 0 is none.
func into(cell optics.Cell, was float64, lens optics.Lens) []sitting.Action {
	a := sitting.Action{Cell: sitting.In(cell), Lens: lens}
	switch {
	case lens.Power == 0 && was == 0:
		return nil
	case lens.Power == 0:
		a.Do, a.Lens = sitting.Take, optics.Lens{}
	case was == 0:
		a.Do = sitting.Put
	default:
		a.Do = sitting.Exchange
	}
	return []sitting.Action{a}
}

// balances finds where one eye, relaxed and noiseless, sees the marks alike.
type balances struct {
	sitting.EyeSetup
	renderer *retina.Renderer
	balance  optics.Power
}

func newBalances(s sitting.Setup) balances {
	b := balances{EyeSetup: s.Eyes[s.Tested.Index()], renderer: retina.New(patient.Grid())}
	b.balance, _ = patient.Balance(b.renderer, b.Eye)
	b.Eye.Needs = optics.Power{}
	return b
}

// tilt is how much clearer a mark feels than another when so much of the true
// cylinder, in dioptres, is in place, and the back line fogged.
func (b balances) tilt(fog, in float64, first, second chart.Line) float64 {
	left := optics.Rx{Sphere: fog, Cyl: in - b.Error.Cyl, Axis: b.Error.Axis}.Power()
	look := []*patient.Look{patient.Through(b.Eye, b.balance.Add(left), 0, 0).Look(b.renderer)}
	return patient.Mean(look, []chart.Line{first}) - patient.Mean(look, []chart.Line{second})
}

// blocks is how far from the true cylinder, in dioptres, the one is with which the
// blocks are alike; no further than 0.60 D.
func (b balances) blocks(fog float64) float64 {
	along, across := chart.BlockLines(b.Error.Axis)
	return math.Abs(halved(0.6, func(lacks float64) float64 { return b.tilt(fog, b.Error.Cyl+lacks, along, across) }))
}

// arrow is how far from the true axis, in degrees, the label is at which the limbs are
// alike with the cylinder out; no further than 20.
func (b balances) arrow(fog float64) float64 {
	return math.Abs(halved(20, func(off float64) float64 {
		left, right := chart.ArrowLimbs(b.Error.Axis + off)
		return b.tilt(fog, 0, right, left)
	}))
}

// halved is where a function that rises from below zero to above it between
// -reach and reach crosses it.
func halved(reach float64, f func(float64) float64) float64 {
	low, high := -reach, reach
	for range 14 {
		if mid := (low + high) / 2; f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
