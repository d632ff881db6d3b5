package patient

import (
	"math"
	"math/rand/v2"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var noiseless = Manners()["noiseless"]

// sharpEyed notices small differences and makes no mistakes.
var sharpEyed = Manner{Difference: 0.05}

// limbs asks for the limbs of an arrow.
func limbs(look *Look, label float64) Kind {
	l, r := chart.ArrowLimbs(label)
	return noiseless.Limbs(Moment{}, Once(look), l, r).Kind
}

// turnedWell reports whether turning the arrow toward the more blurred limb, as
// the method asks (common practice, for an arrow whose tip points outward),
// brings its label nearer to the axis. To turn to the right is clockwise as
// the patient sees it; the labels rise in that sense.
func turnedWell(said Kind, label, axis float64) bool {
	wanted := optics.AxisDifference(label, axis)
	switch said {
	case Left: // the right limb is the blurred one
		return wanted > 0
	case Right:
		return wanted < 0
	}
	return false
}

// shareTurnedWell is how many of 2n arrows are turned the right way: for n
// eyes with 0.75 to 3 D of astigmatism whose back line lies half a dioptre
// before the retina, 5 to 20 degrees off the axis to either side.
func shareTurnedWell(t *testing.T, n int, seed uint64, draw func(*rand.Rand) eye.Eye) float64 {
	r, g := standard(), generator(seed)
	well := 0
	for range n {
		axis := optics.Axis(180 * g.Float64())
		cylinder := 0.75 + 2.25*g.Float64()
		off := 5 + 15*g.Float64()
		look := with(draw(g), between(0.5, cylinder, axis)).Look(r)
		for _, o := range []float64{-off, off} {
			label := optics.Axis(axis + o)
			if turnedWell(limbs(look, label), label, axis) {
				well++
			} else {
				t.Logf("missed: %.2f D at %.0f, arrow %.1f off", cylinder, axis, o)
			}
		}
	}
	return float64(well) / float64(2*n)
}

func TestArrowTurnsTowardTheBlurredLimb(t *testing.T) {
	t.Run("without aberrations", func(t *testing.T) {
		t.Parallel()
		share := shareTurnedWell(t, 50, 4, func(*rand.Rand) eye.Eye { return bare(4) })
		assert.Equal(t, 1.0, share)
	})
	t.Run("with drawn aberrations", func(t *testing.T) {
		t.Parallel()
		share := shareTurnedWell(t, 50, 5, func(g *rand.Rand) eye.Eye { return fromNorms(g, 4) })
		t.Logf("turned well: %.0f%%", 100*share)
		assert.GreaterOrEqual(t, share, 0.95)
	})
}

// blocks is how much clearer the parallel bars feel than the perpendicular.
func blocks(look *Look, label float64) (difference float64) { return look.tilt(label) }

func TestBlocksTellTooLittleFromTooMuchCylinder(t *testing.T) {
	t.Parallel()
	r := standard()
	for _, axis := range []float64{10, 45, 90, 123, 180} {
		a, b := chart.BlockLines(axis)
		ask := func(m Manner, fog, lacking float64) Kind {
			look := with(bare(4), between(fog, lacking, axis)).Look(r)
			return m.Blocks(Moment{}, Once(look), a, b).Kind
		}
		for _, lacking := range []float64{0.25, 0.5, 1} {
			assert.Equal(t, Parallel, ask(noiseless, 0.5, lacking), "axis %v, %v D too little", axis, lacking)
		}
		// Too much cylinder pushes the front line behind the back one.
		for _, surplus := range []float64{0.25, 0.5} {
			assert.Equal(t, Perpendicular, ask(noiseless, 0.5, -surplus), "axis %v, %v D too much", axis, surplus)
		}
		assert.Equal(t, Alike, ask(sharpEyed, 0.5, 0), "axis %v, corrected", axis)
		assert.Equal(t, Alike, ask(sharpEyed, 1, 0), "axis %v, corrected, 0.50 D more fog", axis)
	}
}

// Aberrations add an astigmatism of their own, so that the balance of the
// blocks is not just at zero; but it tips by a quarter of a dioptre either way.
func TestBlocksBalanceBetweenNeighbouringCylinders(t *testing.T) {
	t.Parallel()
	r, g := standard(), generator(6)
	for k := range 5 {
		e, axis := fromNorms(g, 4), optics.Axis(math.Round(180*g.Float64()))
		last := math.Inf(-1)
		var at []float64
		for _, lacking := range []float64{-0.5, -0.25, 0, 0.25, 0.5} {
			d := blocks(with(e, between(0.5, lacking, axis)).Look(r), axis)
			at = append(at, d)
			assert.Greater(t, d, last, "eye %d: more cylinder favours the perpendicular bars", k)
			last = d
		}
		assert.Negative(t, at[0], "eye %d, 0.50 D too much: %v", k, at)
		assert.Positive(t, at[4], "eye %d, 0.50 D too little: %v", k, at)
	}
}

// Of two open eyes a person goes by the better image.
func TestTheBetterEyeAnswers(t *testing.T) {
	r := standard()
	sharp, blurred := fogged(30).Look(r), with(bare(4), between(2.5, 2, 120)).Look(r)
	lines := fanLines()
	alone := noiseless.Lines(Moment{}, Once(sharp), lines)
	require.Equal(t, Lines, alone.Kind)
	assert.Equal(t, alone, noiseless.Lines(Moment{}, Once(sharp, blurred), lines))
	assert.Equal(t, alone, noiseless.Lines(Moment{}, Once(blurred, sharp), lines))
	assert.NotEqual(t, alone.Lines, noiseless.Lines(Moment{}, Once(blurred), lines).Lines)
}

// Of two images that are about as clear a person goes by the dominant eye's, by
// as much as Dominance; of one open eye by that.
func TestTheDominantEyeAnswers(t *testing.T) {
	r, lines := standard(), fanLines()
	right, left := with(bare(4), between(0.5, 1, 30)).Look(r), with(bare(4), between(0.5, 1, 120)).Look(r)
	by := Best([]*Look{left}, lines) - Best([]*Look{right}, lines) // how much clearer the left eye's is
	answer := func(dominance float64, eyes ...*Look) Answer {
		return Manner{Dominance: dominance}.Lines(Moment{}, Once(eyes...), lines)
	}
	ofRight, ofLeft := answer(0, right), answer(0, left)
	require.NotEqual(t, ofRight.Lines, ofLeft.Lines)
	require.Less(t, math.Abs(by), 0.2, "about alike")
	assert.Equal(t, ofRight, answer(by+0.01, right, left))
	assert.Equal(t, ofLeft, answer(by-0.01, right, left))
	assert.Equal(t, ofRight, answer(1, right, left))
	assert.Equal(t, ofLeft, answer(-1, right, left))
	assert.Equal(t, ofLeft, answer(1, left), "the only one that is open")
	assert.Equal(t, ofRight, answer(-1, right))

	dull := with(bare(4), between(2.5, 2, 120)).Look(r)
	assert.Equal(t, ofRight, answer(-0.2, right, dull), "what is plainly clearer wins")
	a, b := chart.BlockLines(30)
	ask := func(dominance float64) Kind {
		return Manner{Dominance: dominance}.Blocks(Moment{}, Once(right, left), a, b).Kind
	}
	assert.Equal(t, Parallel, ask(0.5))
	assert.Equal(t, Perpendicular, ask(-0.5))
}

func TestNoOpenEyeSeesNothing(t *testing.T) {
	l, r := chart.ArrowLimbs(30)
	for _, m := range Manners() {
		assert.Equal(t, Blurred, m.Lines(Moment{}, nil, fanLines()).Kind)
		assert.Equal(t, Blurred, m.Limbs(Moment{}, nil, l, r).Kind)
		assert.Equal(t, Blurred, m.Blocks(Moment{}, nil, l, r).Kind)
		assert.Equal(t, Blurred, m.Colours(Moment{}, nil, l, r).Kind)
		assert.Equal(t, Blurred, m.ReadRow(Moment{}, nil, RowRead{1, "HKNUZ", ""}).Kind)
		assert.Equal(t, Blurred, m.ReadDown(Moment{}, nil, []RowRead{{1, "HKNUZ", ""}}).Kind)
	}
}

// Red light is focused furthest back: an eye with plus to spare sees the red
// half clearer, one that lacks plus and cannot accommodate the green (common
// practice).
func TestDuochrome(t *testing.T) {
	t.Parallel()
	r := standard()
	red, green := chart.DuochromeLines()
	for name, e := range map[string]eye.Eye{"bare": bare(4), "typical": {Pupil: 4, Age: 30, Aberrations: eye.Typical(1)}} {
		ask := func(plus float64) Kind {
			return noiseless.Colours(Moment{}, Once(with(e, optics.Sphere(plus)).Look(r)), red, green).Kind
		}
		assert.Equal(t, RedClearer, ask(0.5), name)
		assert.Equal(t, GreenClearer, ask(-0.5), name)
	}
}

// Without astigmatism all lines are alike, sharp or fogged. In 1.00 D of fog all of
// the fan is a grey but for its level lines, which have paper on one side.
func TestLinesAlikeWithoutAstigmatism(t *testing.T) {
	r := standard()
	for _, fog := range []float64{0, 0.5, 0.75} {
		look := with(bare(4), optics.Sphere(fog)).Look(r)
		assert.Equal(t, Alike, sharpEyed.Lines(Moment{}, Once(look), fanLines()).Kind, "fog %v", fog)
	}
	drowned := with(bare(4), optics.Sphere(8)).Look(r)
	assert.Equal(t, Blurred, sharpEyed.Lines(Moment{}, Once(drowned), fanLines()).Kind)
}

// The lines called clearest are those next to the best that are not noticeably
// worse, also over the ends of the list, where the last is the neighbour of
// the first.
func TestGroup(t *testing.T) {
	for name, c := range map[string]struct {
		felt     []float64
		first, n int
	}{
		"one":             {[]float64{0, 0, 9, 0}, 2, 1},
		"two":             {[]float64{0, 8.5, 9, 0}, 1, 2},
		"around the end":  {[]float64{9, 0, 0, 8.5}, 3, 2},
		"another far off": {[]float64{9, 0, 9, 0, 0}, 0, 1},
	} {
		first, n := group(c.felt, 1)
		assert.Equal(t, c.n, n, name)
		assert.Equal(t, c.first, first, name)
	}
	_, n := group([]float64{9, 9, 9, 9}, 1)
	assert.Equal(t, 4, n, "all around")
}
