package patient

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

// Behind its balance and the method's fog an eye sees both blocks alike, whichever
// way the arrow points; the same holds a quarter of a dioptre to either side of
// that fog, nearly.
func TestBalanceLevelsTheBlocks(t *testing.T) {
	skipInShort(t)
	t.Parallel()
	r, g := retina.New(Grid()), generator(21)
	for k := range 6 {
		e := fromNorms(g, 3+1.4*g.Float64())
		at, best := Balance(r, e)
		_, alone := Offset(r, e)
		assert.Equal(t, alone, best)
		assert.NotZero(t, at.Astigmatism())
		for _, fog := range []float64{0.25, 0.5, 0.75} {
			look := with(e, at.Add(optics.Sphere(fog))).Look(r)
			for _, label := range []float64{180, 45, 20, 110} {
				enough := 0.10 // half of what everyday people notice
				if fog == balanceFog && (label == 180 || label == 45) {
					enough = 0.01
				}
				assert.InDelta(t, 0, look.tilt(label), enough, "eye %d, fog %v, arrow at %v", k, fog, label)
			}
		}
	}
}

// The letters ask for it as well: acuity is no worse for the cylinder of the
// balance.
func TestBalanceCostsNoAcuity(t *testing.T) {
	skipInShort(t)
	t.Parallel()
	r, g := retina.New(Grid()), generator(22)
	for k := range 8 {
		e := fromNorms(g, 3+1.4*g.Float64())
		at, _ := Balance(r, e)
		e.Needs = optics.Power{}
		plain := Through(e, optics.Sphere(at.M), 0, 0).Look(r).Acuity()
		assert.LessOrEqual(t, Through(e, at, 0, 0).Look(r).Acuity(), plain+0.006, "eye %d", k)
	}
}

// A perfect eye is balanced where its astigmatism is none, and the balance does
// not hang on what the eye needs.
func TestBalanceOfAPerfectEye(t *testing.T) {
	skipInShort(t)
	r := standard()
	at, _ := Balance(r, bare(4))
	assert.Zero(t, at.Astigmatism())
	assert.Positive(t, at.M)
	e := eye.New(4, 30, eye.Typical(1))
	first, _ := Balance(r, e)
	second, _ := Balance(r, Focused(e, optics.Rx{Sphere: -3, Cyl: -2, Axis: 70}, first, backCell, sixMetres))
	assert.Equal(t, first, second)
}

// Checked by hand: tilts that fall by 2 and 1 for each dioptre of J0, and rise by 1
// and 3 for each of J45, vanish at (1, -2) from 4 and 7.
func TestNewton(t *testing.T) {
	tilt := func(j0, j45 float64) [2]float64 { return [2]float64{4 - 2*j0 + j45, 7 - j0 + 3*j45} }
	j0, j45 := newton(tilt(0, 0), tilt(balanceStep, 0), tilt(0, balanceStep))
	assert.InDelta(t, 0, math.Abs(tilt(j0, j45)[0])+math.Abs(tilt(j0, j45)[1]), 1e-9)
	j0, j45 = newton(tilt(0, 0), tilt(0, 0), tilt(0, 0))
	assert.Zero(t, [2]float64{j0, j45}, "nothing changes")
}
