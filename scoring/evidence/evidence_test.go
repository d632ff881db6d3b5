package evidence_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/scoring/evidence"
	"conoid/sim/method"
	"conoid/sim/optics"
)

// votes are written "+" for more, "-" for less and "=" for neither, by place.
func votes(places []float64, said ...string) (out []evidence.Vote) {
	ways := map[rune]method.Way{'+': method.More, '-': method.Less, '=': method.Stay}
	for i, at := range places {
		for _, r := range said[i] {
			out = append(out, evidence.Vote{Event: len(out) + 1, At: at, Way: ways[r]})
		}
	}
	return out
}

func TestMostOfAViewDecide(t *testing.T) {
	for said, way := range map[string]method.Way{
		"+": method.More, "-": method.Less, "=": method.Stay,
		"+-": method.Stay, "+=": method.Stay, "-=": method.Stay,
		"++-": method.More, "--+": method.Less, "+==": method.Stay, "+-=": method.Stay, "++==": method.Stay, "--=": method.Less,
	} {
		v := evidence.Views(votes([]float64{1}, said))
		require.Len(t, v, 1)
		assert.Equal(t, way, v[0].Way, said)
		assert.Len(t, v[0].Votes, len(said))
	}
}

func TestFitOnALine(t *testing.T) {
	for _, c := range []struct {
		places []float64
		said   []string
		at     float64
		closed bool
	}{
		{[]float64{1, 1.25}, []string{"+", "-"}, 1.125, true},
		{[]float64{1, 1.25, 1.5}, []string{"+", "=", "-"}, 1.25, true},
		{[]float64{1, 1.25, 1.5, 1.75}, []string{"+", "=", "=", "-"}, 1.375, true},
		{[]float64{1, 1.5, 2}, []string{"+", "=", "-"}, 1.5, true},
		// an odd answer among several does not decide
		{[]float64{0.5, 0.75, 1, 1.25, 1.5, 1.75}, []string{"+", "-", "+", "+", "-", "-"}, 1.3, true},
		{[]float64{1, 1.25}, []string{"+", "+"}, 1.5, false},
		{[]float64{1, 1.25}, []string{"-", "-"}, 0.75, false},
	} {
		f, ok := evidence.OnLine(votes(c.places, c.said...), 0.12, 0.25)
		require.True(t, ok)
		assert.InDelta(t, c.at, f.At, 0.05, "%v", c.said)
		_, closed := f.Bracket()
		assert.Equal(t, c.closed, closed, "%v", c.said)
	}
	_, ok := evidence.OnLine(nil, 0.12, 0.25)
	assert.False(t, ok)
}

func TestFitOnTheCircle(t *testing.T) {
	label := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		places []float64
		said   []string
		region *float64
		at     float64
		width  float64
	}{
		{[]float64{80, 100}, []string{"+", "-"}, nil, 90, 20},
		{[]float64{80, 90, 100}, []string{"+", "=", "-"}, nil, 90, 20},
		{[]float64{175, 5}, []string{"+", "-"}, nil, 180, 10},
		{[]float64{170, 180, 10, 20}, []string{"+", "+", "=", "-"}, nil, 10, 20},
		{[]float64{90}, []string{"="}, label(90), 90, math.NaN()},
		{[]float64{90}, []string{"="}, label(180), 180, math.NaN()},
		{[]float64{115, 125, 135, 145, 155}, []string{"-", "=", "=", "=", "="}, label(125), 134, math.NaN()}, // one odd answer; along the other focal line it would be 56
	} {
		f, ok := evidence.OnCircle(votes(c.places, c.said...), c.region)
		require.True(t, ok)
		assert.InDelta(t, 0, optics.AxisDifference(c.at, f.At), 1, "%v: %v", c.places, f.At)
		width, closed := f.Bracket()
		assert.Equal(t, !math.IsNaN(c.width), closed, "%v", c.places)
		if closed {
			assert.InDelta(t, c.width, width, 1e-9, "%v", c.places)
		}
	}
}

// Where the label of the dial and the arrow pull in two ways, the fit lies where both
// pull alike: the slope of the arrow's likelihood, 0.96 p(1-p)/(0.02+0.96p) x 12 cos 2d
// in radians with p = 1/(1+exp(-6 sin 2d)), against the distance to the label over the
// square of 40 degrees. An arrow at 90 that sends on comes to 104.6 with the label at
// 90 itself, and to 89.1 with one at 60 when its limbs are alike (worked out apart).
// The fit goes no further than 45 degrees from the label: of the two focal lines at
// which the limbs of an arrow at 180 are alike, that is the one it is nearer to.
func TestTheLabelPullsBesideTheArrow(t *testing.T) {
	for _, c := range []struct {
		said          string
		label, at, by float64
	}{
		{"+", 90, 104.6, 0.5},
		{"=", 60, 89.1, 0.5},
		{"-", 90, 75.4, 0.5},
	} {
		f, ok := evidence.OnCircle(votes([]float64{90}, c.said), &c.label)
		require.True(t, ok)
		assert.InDelta(t, c.at, f.At, c.by, "%s beside a label at %v", c.said, c.label)
	}
	for label, at := range map[float64]float64{90: 135, 100: 145} {
		f, ok := evidence.OnCircle(votes([]float64{120, 130, 140}, "+", "+", "+"), &label)
		require.True(t, ok)
		assert.InDelta(t, at, f.At, 1, "beside a label at %v", label)
	}
	label := 44.0
	f, _ := evidence.OnCircle(votes([]float64{180}, "="), &label)
	assert.InDelta(t, 1.3, f.At, 0.5)
	label = 46
	f, _ = evidence.OnCircle(votes([]float64{180}, "="), &label)
	assert.InDelta(t, 88.7, f.At, 0.5)
}

// Found by a finer search of the sum of the likelihoods, worked out apart: a spread
// so much narrower or wider would move the fit.
func TestTheSpreadMovesTheFit(t *testing.T) {
	for spread, at := range map[float64]float64{0.072: 1.377, 0.12: 1.387, 0.168: 1.407} {
		f, ok := evidence.OnLine(votes([]float64{1, 1.25, 1.5}, "+", "+", "-"), spread, 0.25)
		require.True(t, ok)
		assert.InDelta(t, at, f.At, 0.004, "%v", spread)
	}
}

// From one side alone the fit goes as far as it may reach.
func TestReachEndsTheFit(t *testing.T) {
	for _, reach := range []float64{0.125, 0.25, 0.5} {
		f, ok := evidence.OnLine(votes([]float64{1}, "+"), 0.12, reach)
		require.True(t, ok)
		assert.InDelta(t, 1+reach, f.At, 0.004, "%v", reach)
	}
}

// Turning everything turns the fit with it.
func TestFitOnTheCircleTurnsWithItsVotes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		by := float64(rapid.IntRange(0, 179).Draw(t, "by"))
		a, _ := evidence.OnCircle(votes([]float64{70, 85, 100}, "+", "+", "-"), nil)
		b, _ := evidence.OnCircle(votes([]float64{optics.Axis(70 + by), optics.Axis(85 + by), optics.Axis(100 + by)}, "+", "+", "-"), nil)
		assert.InDelta(t, 0, optics.AxisDifference(optics.Axis(a.At+by), b.At), 0.5+1e-9)
	})
}

func TestSupport(t *testing.T) {
	bracketed, _ := evidence.OnLine(votes([]float64{1, 1.25, 1.5}, "+", "=", "-"), 0.12, 0.25)
	oneSided, _ := evidence.OnLine(votes([]float64{1, 1.25}, "+", "="), 0.12, 0.25)
	tooWeak, _ := evidence.OnLine(votes([]float64{1, 1.25}, "+", "+"), 0.12, 0.25)
	alike, _ := evidence.OnLine(votes([]float64{1}, "="), 0.12, 0.25)
	for _, c := range []struct {
		what   string
		fit    evidence.Fit
		stated float64
		want   evidence.Support
	}{
		{"the fit", bracketed, 1.25, evidence.Supported},
		{"just within the room", bracketed, 1.25 + 0.125, evidence.Supported},
		{"at the end of the room", bracketed, 1.25 + 0.124, evidence.Supported},
		{"just beyond the end", bracketed, 1.25 + 0.127, evidence.Weak},
		{"just beyond it, before anything sends away", bracketed, 1.25 + 0.14, evidence.Weak},
		{"where it was too strong", bracketed, 1.5, evidence.Contradicted},
		{"beyond", bracketed, 2, evidence.Contradicted},
		{"where it was too weak", bracketed, 1, evidence.Contradicted},
		{"alike, from one side", oneSided, 1.25, evidence.Weak},
		{"too weak on that side", oneSided, 1, evidence.Contradicted},
		{"too weak by all that was said", tooWeak, 1.25, evidence.Contradicted},
		{"alike alone", alike, 1, evidence.Weak},
		{"within twice the room", alike, 1.24, evidence.Weak},
		{"and beyond", alike, 1.26, evidence.None},
	} {
		assert.Equal(t, c.want, c.fit.Support(c.stated-c.fit.At, 0.125), c.what)
	}
}

// With a view that sends up at 0 and one that sends down at 1, with a spread of 1,
// the fit is 0.5, and the sum of both is twice ln(0.02+0.96/(1+exp(-0.5))), -0.9640. At
// 0 or 1 it is ln 0.5 + ln(0.02+0.96/(1+exp(-1))), 0.0552 less (worked out apart).
func TestBehind(t *testing.T) {
	f, ok := evidence.OnLine(votes([]float64{0, 1}, "+", "-"), 1, 0.25)
	require.True(t, ok)
	require.InDelta(t, 0.5, f.At, 0.02)
	for off, want := range map[float64]float64{0: 0, 0.5: 0.0552, -0.5: 0.0552, 1: 0.2143} {
		assert.InDelta(t, want, f.Behind(off), 0.004, "%v", off)
	}
}

func TestBeyond(t *testing.T) {
	order := []evidence.Support{evidence.Contradicted, evidence.None, evidence.Weak, evidence.Supported}
	for i, a := range order {
		for j, b := range order {
			assert.Equal(t, i > j, a.Beyond(b), "%s, %s", a, b)
		}
	}
}
