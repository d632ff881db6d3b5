package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/scoring/evidence"
	"conoid/sim/method"
	"conoid/sim/patient"
)

const (
	supported    = evidence.Supported
	weak         = evidence.Weak
	none         = evidence.None
	contradicted = evidence.Contradicted
)

// A quarter of what is left open, but never less than 3 degrees.
func TestAxisRoom(t *testing.T) {
	for bracket, want := range map[float64]float64{0: 3, 10: 3, 12: 3, 14: 3.5, 20: 5, 40: 10} {
		assert.Equal(t, want, axisRoom(bracket), "%v", bracket)
	}
}

// The limbs send on at 20 and back at 40: the fit is 30, and what lies between is borne
// out, as the answers send back to it from either side; without a dial it is weak, for
// along which focal line they do nothing tells. Where the arrow was sent away from, and
// beyond, it is contradicted.
func TestAxisByTheArrow(t *testing.T) {
	const l, r, a = patient.Left, patient.Right, patient.Alike
	for _, c := range []struct {
		stated string
		want   evidence.Support
	}{
		{"x30", supported}, {"x21", supported}, {"x39", supported},
		{"x40", contradicted}, {"x41", contradicted}, {"x20", contradicted}, {"x19", contradicted}, {"x120", contradicted},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00"+c.stated, dial(30), limbs(20, l), limbs(40, r))
		k := tr.axisClaim()
		assert.Equal(t, c.want, k.Support, c.stated)
		if c.want == supported {
			assert.Equal(t, weak, told(t, "-1.00/-2.00x30", "-1.00/-2.00"+c.stated, limbs(20, l), limbs(40, r)).axisClaim().Support, "without a dial")
		}
		require.NotNil(t, k.Fit)
		assert.InDelta(t, 30, *k.Fit, 0.5)
	}
	// Alike over 20 degrees on the other side is as good as an answer that sends back.
	for _, c := range []struct {
		moments []moment
		want    evidence.Support
	}{
		{[]moment{dial(40), limbs(25, l), limbs(30, a), limbs(40, a), limbs(60, a)}, supported},
		{[]moment{dial(40), limbs(25, l), limbs(30, a), limbs(40, a), limbs(59, a)}, weak},
		{[]moment{dial(40), limbs(20, a), limbs(40, a), limbs(60, a)}, weak},
		{[]moment{limbs(25, l)}, none}, // the fit is far away
	} {
		tr := told(t, "-1.00/-2.00x40", "-1.00/-2.00x40", c.moments...)
		assert.Equal(t, c.want, tr.axisClaim().Support, "%d answers", len(c.moments))
	}
}

// Alike at 30 alone leaves nothing open: 3 degrees of room, and as much again.
func TestRoomOfAnAxis(t *testing.T) {
	for stated, want := range map[string]evidence.Support{"x30": weak, "x36": weak, "x24": weak, "x37": none, "x23": none} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00"+stated, limbs(30, patient.Alike))
		assert.Equal(t, want, tr.axisClaim().Support, stated)
	}
}

func fitOf(t *testing.T, tr claiming) evidence.Fit {
	f, ok := evidence.OnCircle(fit(tr.onArrow()), nil)
	require.True(t, ok)
	return f
}

func TestLookedAround(t *testing.T) {
	const l, r, a = patient.Left, patient.Right, patient.Alike
	for _, c := range []struct {
		what string
		said map[int]patient.Kind
		want bool
	}{
		{"back from either side", map[int]patient.Kind{25: l, 35: r}, true},
		{"back from one, 20 degrees alike", map[int]patient.Kind{25: l, 50: a}, true},
		{"back from one, 19 degrees alike", map[int]patient.Kind{25: l, 49: a}, false},
		{"the other way round", map[int]patient.Kind{10: a, 35: r}, true},
		{"and not so far", map[int]patient.Kind{11: a, 35: r}, false},
		{"alike on both", map[int]patient.Kind{10: a, 50: a}, false},
		{"sent away", map[int]patient.Kind{25: r, 35: l}, false},
		{"back from 30 degrees", map[int]patient.Kind{180: l, 50: a}, true},
		{"and from 31", map[int]patient.Kind{179: l, 50: a}, false},
	} {
		var all []moment
		for at, k := range c.said {
			all = append(all, limbs(at, k))
		}
		assert.Equal(t, c.want, lookedAround(fitOf(t, told(t, "-1.00/-2.00x30", "", all...)), 30), c.what)
	}
}

// A dial that named 30 alone speaks for a line to either side, and against what is two
// lines away; when no line stands out through the cylinder it is enough.
func TestAxisByTheDial(t *testing.T) {
	for stated, want := range map[string]evidence.Support{
		"x30": weak, "x40": weak, "x20": weak, "x41": none, "x19": none, "x50": none, "x10": none, "x51": contradicted, "x9": contradicted,
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00"+stated, dial(30))
		assert.Equal(t, want, tr.axisClaim().Support, stated)
	}
	through := func(axis float64, said any) moment { return dial(said, wearing(0, -2, axis)) }
	for _, c := range []struct {
		what string
		more []moment
		want evidence.Support
	}{
		{"alike through it", []moment{through(30, patient.Alike)}, supported},
		{"3 degrees away", []moment{through(33, patient.Alike)}, supported},
		{"4 degrees away", []moment{through(34, patient.Alike)}, weak},
		{"a line at 45 degrees", []moment{through(30, 75)}, weak},
		{"20 degrees beside 45", []moment{through(30, 95)}, weak},
		{"21 degrees beside it", []moment{through(30, 96)}, supported},
		{"20 degrees on the near side", []moment{through(30, 55)}, weak},
		{"21 degrees", []moment{through(30, 54)}, supported},
		{"as often at 45 degrees as not", []moment{through(30, 75), through(30, patient.Alike)}, weak},
		{"less often", []moment{through(30, 75), through(30, patient.Alike), through(30, patient.Alike)}, supported},
		{"to one side and to the other", []moment{through(30, 75), through(30, 165)}, supported},
		{"twice to one side", []moment{through(30, 75), through(30, 75)}, weak},
		{"without fog", []moment{dial(patient.Alike, wearing(0, -2, 30), fogged(-0.07))}, weak},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", append([]moment{dial(30)}, c.more...)...)
		assert.Equal(t, c.want, tr.axisClaim().Support, c.what)
	}
}

// What the arrow bears out from one side is borne out when the dial through the
// cylinder agrees, within a line of its label or between what the limbs said.
func TestAxisByArrowAndDial(t *testing.T) {
	again := func(axis float64) moment { return dial(patient.Alike, wearing(0, -2, axis)) }
	for _, c := range []struct {
		stated string
		more   []moment
		want   evidence.Support
	}{
		{"x30", nil, weak},
		{"x30", []moment{again(30)}, supported},
		{"x40", []moment{again(40)}, supported},
		{"x41", []moment{again(41)}, weak}, // the arrow says 30, the dial 41
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00"+c.stated, append([]moment{dial(30), limbs(30, patient.Alike)}, c.more...)...)
		assert.Equal(t, c.want, tr.axisClaim().Support, "%s, %d more", c.stated, len(c.more))
	}
	for stated, want := range map[string]evidence.Support{"x39": supported, "x40": weak, "x50": supported} {
		axis := rx(t, "-1.00/-2.00"+stated).Axis
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00"+stated, dial(60), limbs(20, patient.Left), limbs(40, patient.Right), again(axis))
		assert.Equal(t, want, tr.axisClaim().Support, stated)
	}
}

// The blocks at 30: parallel is too weak, perpendicular too strong. Of two neighbours
// that reverse, the weaker is borne out; a power left out between two leaves it weak;
// what reversed them is contradicted.
func TestCylinderByTheBlocks(t *testing.T) {
	const p, x, a = patient.Parallel, patient.Perpendicular, patient.Alike
	at := func(cyl float64, k patient.Kind) moment { return blocks(cyl, 30, k) }
	for _, c := range []struct {
		what   string
		stated string
		all    []moment
		want   evidence.Support
	}{
		{"alike between", "-2.00", []moment{at(-1.75, p), at(-2, a), at(-2.25, x)}, supported},
		{"the weaker of two", "-2.00", []moment{at(-2, p), at(-2.25, x)}, supported},
		{"the stronger of two", "-2.25", []moment{at(-2, p), at(-2.25, x)}, contradicted},
		{"between a leap", "-2.00", []moment{at(-1.75, p), at(-2.25, x)}, weak},
		{"the weaker of a leap", "-1.75", []moment{at(-1.75, p), at(-2.25, x)}, contradicted},
		{"too weak all along", "-2.00", []moment{at(-1.75, p), at(-2, p)}, contradicted},
		{"alike from one side", "-2.00", []moment{at(-1.75, p), at(-2, a)}, weak},
		{"never asked about", "-2.25", []moment{at(-1.75, p), at(-2, p)}, none},
		{"asked about without fog", "-2.25", []moment{at(-1.75, p), at(-2, p), blocks(-2.25, 30, a, fogged(-0.5))}, weak},
		{"the weaker of two, and alike further on", "-1.00", []moment{at(-1, p), at(-1.25, x), at(-1.5, a), at(-1.75, x)}, supported},
		{"and of a leap", "-1.00", []moment{at(-1, p), at(-1.5, x), at(-1.75, a), at(-2, x)}, contradicted},
		{"nothing", "-2.00", nil, none},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/"+c.stated+"x30", c.all...)
		assert.Equal(t, c.want, tr.cylinderClaim().Support, c.what)
	}
}

// Parallel at 1.75 and perpendicular at 2.25 with 2.00 alike between: the fit is 2.00,
// and the room around it half a step and a tenth of the spread, 0.125 + 0.012 D.
func TestRoomOfACylinder(t *testing.T) {
	const p, x, a = patient.Parallel, patient.Perpendicular, patient.Alike
	all := []moment{blocks(-1.75, 30, p), blocks(-2, 30, a), blocks(-2.25, 30, x)}
	for power, want := range map[float64]evidence.Support{2.135: supported, 2.14: weak, 1.865: supported, 1.86: weak} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", all...)
		tr.end.Rx.Cyl = -power
		assert.Equal(t, want, tr.cylinderClaim().Support, "%v", power)
	}
}

// Worked out apart, by a finer search: parallel at 1.00 and 1.25, perpendicular at 1.50
// come to 1.387 with a spread of 0.12 D, to 1.377 with 0.072 and 1.407 with 0.168.
// From one side alone the fit goes a step on.
func TestFitOfACylinder(t *testing.T) {
	for want, all := range map[float64][]moment{
		1.387: {blocks(-1, 30, patient.Parallel), blocks(-1.25, 30, patient.Parallel), blocks(-1.5, 30, patient.Perpendicular)},
		1.25:  {blocks(-1, 30, patient.Parallel)},
	} {
		c := told(t, "-1.00/-2.00x30", "-1.00/-1.00x30", all...).cylinderClaim()
		require.NotNil(t, c.Fit)
		assert.InDelta(t, want, *c.Fit, 0.004)
	}
}

// No cylinder is borne out by no line through two spheres, or through one through which
// more plus blurs; by the weakest cylinder that reverses the blocks, or by blocks that
// are twice alike without any, and not more often otherwise.
func TestNoCylinder(t *testing.T) {
	const x, a, p = patient.Perpendicular, patient.Alike, patient.Parallel
	bare := func(k patient.Kind) moment { return blocks(0, 30, k) }
	weakest := blocks(-0.25, 30, x)
	blurs := answered(patient.WithLens, patient.Worse, on("fan"), holding(0.5))
	for _, c := range []struct {
		what string
		all  []moment
		want evidence.Support
	}{
		{"nothing", nil, none},
		{"no line", []moment{dial(a)}, weak},
		{"no line twice", []moment{dial(a), dial(a)}, weak},
		{"no line through two spheres", []moment{dial(a), dial(a, fogged(0.75))}, supported},
		{"through one that blurs", []moment{dial(a), blurs}, supported},
		{"a line after two spheres", []moment{dial(a), dial(a, fogged(0.75)), dial(30)}, contradicted},
		{"a line first", []moment{dial(30), dial(a), dial(a, fogged(0.75))}, supported},
		{"two spheres without fog", []moment{dial(a, fogged(-0.5)), dial(a, fogged(-0.75))}, none},
		{"alike without any, once", []moment{bare(a)}, weak},
		{"alike without any, twice", []moment{bare(a), bare(a)}, supported},
		{"and too weak as often", []moment{bare(a), bare(p)}, weak},
		{"too weak and too strong", []moment{bare(p), bare(x)}, weak},
		{"twice alike, twice too weak", []moment{bare(a), bare(p), bare(p), bare(a)}, supported},
		{"oftener too weak", []moment{bare(a), bare(p), bare(p), bare(a), bare(p)}, contradicted},
		{"the weakest reverses", []moment{weakest}, supported},
		{"the second reverses, and the weakest was not asked about", []moment{blocks(-0.5, 30, x)}, weak},
	} {
		tr := told(t, "-1.00 DS", "-1.00 DS", c.all...)
		assert.Equal(t, c.want, tr.cylinderClaim().Support, c.what)
	}
}

// The limbs are alike all around: in more than two places over 60 degrees, and at most
// one place in four is otherwise.
func TestFlat(t *testing.T) {
	const a, l = patient.Alike, patient.Left
	for _, c := range []struct {
		what string
		all  []moment
		want bool
	}{
		{"60 degrees", []moment{limbs(30, a), limbs(60, a), limbs(90, a)}, true},
		{"59 degrees", []moment{limbs(30, a), limbs(60, a), limbs(89, a)}, false},
		{"two places", []moment{limbs(30, a), limbs(90, a)}, false},
		{"one otherwise of four", []moment{limbs(30, a), limbs(60, a), limbs(90, a), limbs(100, l)}, true},
		{"two of five", []moment{limbs(30, a), limbs(60, a), limbs(90, a), limbs(100, l), limbs(95, l)}, false},
		{"two of seven", []moment{limbs(30, a), limbs(60, a), limbs(70, a), limbs(80, a), limbs(90, a), limbs(100, l), limbs(95, l)}, false},
		{"two of eight", []moment{limbs(30, a), limbs(50, a), limbs(60, a), limbs(70, a), limbs(80, a), limbs(90, a), limbs(100, l), limbs(95, l)}, true},
	} {
		assert.Equal(t, c.want, told(t, "-1.00 DS", "-1.00 DS", c.all...).flat(), c.what)
	}
}

// Something lost with up to half a dioptre more plus, and nothing gained with as much less.
func TestBesideSphere(t *testing.T) {
	at := func(where float64, way method.Way) Heard { return Heard{Vote: evidence.Vote{At: where, Way: way}} }
	const lost, ungained = method.Less, method.More
	for _, c := range []struct {
		less, more Heard
		want       bool
	}{
		{at(-0.125, ungained), at(0.125, lost), true},
		{at(-0.50, ungained), at(0.50, lost), true},
		{at(-0.51, ungained), at(0.50, lost), false},
		{at(-0.50, ungained), at(0.51, lost), false},
		{at(-0.125, lost), at(0.125, lost), false},
		{at(-0.125, ungained), at(0.125, ungained), false},
	} {
		assert.Equal(t, c.want, besideSphere([]Heard{c.less, c.more}), "%+v", c)
	}
	spoilt := at(0.125, lost)
	spoilt.Unfit = LedOn
	assert.False(t, besideSphere([]Heard{at(-0.125, ungained), spoilt}))
}

// More plus worse sends down, and less plus no better sends up. Worked out apart, by a
// finer search: with a spread of 0.20 D, and from views each sending to what lies
// between, the fits are those below; with 0.12 or 0.28 D they would be 0.04 D away.
// The sphere may lie 0.375 D from them, or farther while the answers are at most exp(1.75)
// times less likely with it; then what was heard from both sides is weak. Heard from one
// side alone they leave what is within 0.50 D weak.
func TestSphereByTheAnswers(t *testing.T) {
	for _, c := range []struct {
		up   []float64
		down float64
		fit  float64
		want evidence.Support
	}{
		{[]float64{-0.125, 0.125}, 0.375, 0.299, supported},
		{[]float64{-0.125, 0.125}, 0.50, 0.355, supported},
		{[]float64{-0.125, 0.19}, 0.50, 0.380, supported},
		{[]float64{-0.125, 0.125, 0.20}, 0.50, 0.453, supported}, // less likely by exp(1.735)
		{[]float64{-0.125, 0.125, 0.21}, 0.50, 0.455, weak},      // and by exp(1.758)
		{nil, 0.74, 0.49, weak},
		{nil, 0.76, 0.51, none},
		{[]float64{-0.125}, 0.51, 0.193, weak},        // nothing lost with half a dioptre more
		{[]float64{0.125}, 0.375, 0.25, contradicted}, // the next quarter was no worse
		{[]float64{0.14}, 0.36, 0.25, weak},           // which was not asked about
		{[]float64{0.06}, 0.18, 0.12, weak},           // or is as near
		{[]float64{0.06}, 0.20, 0.13, contradicted},
	} {
		all := []moment{answered(patient.ReadLetters, 0.0, wearing(-1, -2, 30))}
		for _, at := range c.up {
			all = append(all, answered(patient.WithLens, patient.Same, wearing(-1+at-0.125, -2, 30), holding(0.25)))
		}
		all = append(all, answered(patient.WithLens, patient.Worse, wearing(-1+c.down-0.125, -2, 30), holding(0.25)))
		k := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", all...).sphereClaim()
		require.NotNil(t, k.Fit)
		assert.InDelta(t, c.fit, *k.Fit, 0.006)
		assert.Equal(t, c.want, k.Support, "%+v", c)
		k = told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", all[1:]...).sphereClaim()
		assert.NotEqual(t, supported, k.Support, "no letters were read through it")
	}
	// What was read, and not through the end point, says nothing of it.
	read := answered(patient.ReadLetters, 0.0, wearing(-0.75, -2, 30))
	worse := answered(patient.WithLens, patient.Worse, wearing(-0.75, -2, 30), holding(0.25))
	assert.Equal(t, none, told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", read, worse).sphereClaim().Support)
	assert.Equal(t, weak, told(t, "-1.00/-2.00x30", "-0.75/-2.00x30", read, worse).sphereClaim().Support)
	// From one side alone the fit goes a step on.
	one := answered(patient.WithLens, patient.Same, wearing(-1, -2, 30), holding(0.25))
	k := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", one).sphereClaim()
	assert.InDelta(t, 0.375, *k.Fit, 0.006)
}
