package scoring

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// foundBy is a sitting by hand in which the answers go best with -1.00 / -2.00 x 30, and
// the card has something else.
func foundBy(t *testing.T, card, stated string, moments ...moment) claiming {
	tr := told(t, "-1.00/-2.00x30", stated, moments...)
	tr.objective = rx(t, card).MinusCyl()
	return tr.claimed()
}

// around are the answers about an axis of 30, and cylinders about -2.00.
func around() []moment {
	const l, r, a, p, x = patient.Left, patient.Right, patient.Alike, patient.Parallel, patient.Perpendicular
	return []moment{
		dial(30), limbs(20, l), limbs(30, a), limbs(40, r),
		blocks(-1.75, 30, p), blocks(-2, 30, a), blocks(-2.25, 30, x),
	}
}

// letters are read through an end point of -1.00 / -2.00 x 30, or one that differs in
// sphere: with a quarter more plus something is lost, with less nothing is gained.
func letters(sphere float64) []moment {
	read := func(d, logMAR float64) moment {
		return answered(patient.ReadLetters, logMAR, wearing(sphere+d, -2, 30))
	}
	return []moment{read(-0.25, 0), read(0, 0), read(0.25, 0.1)}
}

// What goes best with the answers does not depend on the card, nor on what was stated:
// whoever states it is as far from the card as the answers, and whoever copies the card
// is nowhere.
func TestFromCard(t *testing.T) {
	all := append(around(), letters(-1)...)
	tr := foundBy(t, "-0.50/-1.00x10", "-1.00/-2.00x30", all...)
	f := tr.fromCard(tr.claims)
	require.NotNil(t, f)
	want := optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}.Power().Sub(optics.Rx{Sphere: -0.5, Cyl: -1, Axis: 10}.Power())
	assert.Equal(t, vector(want), f.Stated)
	off := f.Heard.Power().Sub(want)
	assert.InDelta(t, 0, off.J0, 0.02)
	assert.InDelta(t, 0, off.J45, 0.02)
	assert.InDelta(t, 0, off.M, 0.13, "letters tell an eighth")

	same := foundBy(t, "-1.00/-2.00x30", "-1.00/-2.00x30", all...)
	assert.Equal(t, Residual{}, same.fromCard(same.claims).Stated)
	other := foundBy(t, "-0.50/-1.00x10", "-1.00/-2.00x100", append(around(), letters(-1)...)...)
	assert.Nil(t, other.fromCard(other.claims), "letters through another cylinder than was stated say nothing of its sphere")
}

// Each claim has to be heard.
func TestNothingFromTheCardUnheard(t *testing.T) {
	whole := append(around(), letters(-1)...)
	for what, all := range map[string][]moment{
		"no axis":     whole[4:],
		"no cylinder": append(append([]moment{}, whole[:4]...), letters(-1)...),
		"no sphere":   around(),
		"nothing":     nil,
	} {
		tr := foundBy(t, "-0.50/-1.00x10", "-1.00/-2.00x30", all...)
		assert.Nil(t, tr.fromCard(tr.claims), what)
	}
	broken := foundBy(t, "-0.50/-1.00x10", "", whole...)
	assert.Nil(t, broken.fromCard(broken.claims), "no end point")
}

// Who states no cylinder has heard of its axis all the same; and that there is none is
// a value, too.
func TestNoCylinderFromTheCard(t *testing.T) {
	read := func(d, logMAR float64) moment { return answered(patient.ReadLetters, logMAR, wearing(-2+d, 0, 0)) }
	plain := []moment{read(-0.25, 0), read(0, 0), read(0.25, 0.1)}

	deaf := foundBy(t, "-0.50/-1.00x10", "-2.00 DS", append(around(), plain...)...)
	f := deaf.fromCard(deaf.claims)
	require.NotNil(t, f)
	p := f.Heard.Power().Add(optics.Rx{Sphere: -0.5, Cyl: -1, Axis: 10}.Power())
	assert.InDelta(t, 1, math.Hypot(p.J0, p.J45), 0.02, "half of two dioptres")

	none := foundBy(t, "-0.50/-1.00x10", "-2.00 DS", append([]moment{dial(patient.Alike), dial(patient.Alike, fogged(0.75))}, plain...)...)
	f = none.fromCard(none.claims)
	require.NotNil(t, f)
	assert.Equal(t, f.Stated.J0, f.Heard.J0)
	assert.Equal(t, f.Stated.J45, f.Heard.J45)

	once := foundBy(t, "-0.50/-1.00x10", "-2.00 DS", append([]moment{dial(patient.Alike)}, plain...)...)
	assert.Nil(t, once.fromCard(once.claims), "which was not borne out")
}

// A sphere that the answers find with more plus than was stated is heard with more plus.
func TestASphereThatWasHeardAndNotStated(t *testing.T) {
	tr := foundBy(t, "-1.50/-2.00x30", "-1.50/-2.00x30", append(around(), letters(-1)...)...)
	f := tr.fromCard(tr.claims)
	require.NotNil(t, f)
	assert.Equal(t, Residual{}, f.Stated)
	assert.InDelta(t, 0.5, float64(f.Heard.M), 0.13)
}

// Where even no cylinder is called too strong the fit lies a step beyond: none is what
// was heard, and no plus cylinder.
func TestLessThanNoCylinder(t *testing.T) {
	const x = patient.Perpendicular
	strong := []moment{dial(30), limbs(20, patient.Left), limbs(40, patient.Right), blocks(0, 30, x), blocks(-0.25, 30, x), blocks(-0.50, 30, x)}
	read := func(d, logMAR float64) moment {
		return answered(patient.ReadLetters, logMAR, wearing(-1+d, -0.5, 30))
	}
	tr := foundBy(t, "-1.00/-0.50x30", "-1.00/-0.50x30", append(strong, read(-0.25, 0), read(0, 0), read(0.25, 0.1))...)
	require.Negative(t, *tr.claim("cylinder").Fit)
	f := tr.fromCard(tr.claims)
	require.NotNil(t, f)
	p := f.Heard.Power().Add(optics.Rx{Sphere: -1, Cyl: -0.5, Axis: 30}.Power())
	assert.InDelta(t, 0, p.Astigmatism(), 1e-5)
}
