package scoring

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
)

func rx(t require.TestingT, s string) optics.Rx {
	r, err := optics.ParseRx(s)
	require.NoError(t, err)
	return r
}

// Worked from the definition |SE| + |C|/2 (Holladay, from memory).
func TestDefocusEquivalent(t *testing.T) {
	for s, want := range map[string]float64{
		"plano":               0,
		"+0.25 DS":            0.25,
		"-0.25 DS":            0.25,
		"pl/-0.50x90":         0.50,
		"+0.25/-0.50x30":      0.25,
		"-0.25/+0.50x120":     0.25,
		"-1.00/-2.00x30":      3.00,
		"+1.00 / -2.00 x 145": 1.00,
	} {
		assert.InDelta(t, want, DefocusEquivalent(rx(t, s).Power()), 1e-12, s)
	}
}

// The residual of an axis error is 2 C sin t (Torgersen (2006)), so a cylinder
// that is turned by its tolerance leaves 0.25 D, SE zero.
func TestToleranceLeavesAQuarter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(0.13, 8).Draw(t, "cylinder")
		a := rapid.Float64Range(1, 180).Draw(t, "axis")
		truth := optics.Rx{Cyl: -c, Axis: a}
		stated := optics.Rx{Cyl: -c, Axis: optics.Axis(a + method.AxisTolerance(c))}
		left := stated.Power().Sub(truth.Power())
		require.InDelta(t, 0.25, 2*left.Astigmatism(), 1e-9)
		require.InDelta(t, 0, left.M, 1e-12)
		require.True(t, Compare(truth, stated).Axis.Within)
	})
}

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		truth, stated         string
		sphere, cylinder      float64
		off                   float64 // NaN for none
		within                bool
		equivalent            float64
		band                  Band
		overMinus, overPlus   bool
		residualM, residualJ0 float64
	}{
		// By hand: the left-over lens is the second less the first.
		{"-1.00/-2.00x30", "-1.00/-2.00x30", 0, 0, 0, true, 0, Close, false, false, 0, 0},
		{"-1.00/-2.00x180", "-1.25/-2.00x180", -0.25, 0, 0, true, 0.25, Close, false, false, -0.25, 0},
		{"-1.00/-2.00x180", "-1.50/-2.00x180", -0.50, 0, 0, true, 0.50, Fair, true, false, -0.50, 0},
		{"-1.00/-2.00x180", "-0.50/-2.00x180", 0.50, 0, 0, true, 0.50, Fair, false, false, 0.50, 0},
		{"-1.00/-2.00x180", "-0.25/-2.00x180", 0.75, 0, 0, true, 0.75, Wide, false, true, 0.75, 0},
		{"-1.00/-2.00x180", "-1.00/-1.50x180", 0, 0.50, 0, true, 0.50, Fair, false, false, 0.25, -0.25},
		{"plano", "+0.25/-0.50x180", 0.25, -0.50, math.NaN(), false, 0.25, Close, false, false, 0, 0.25},
		{"pl/-0.50x90", "plano", 0, 0.50, math.NaN(), false, 0.50, Fair, false, false, 0.25, 0.25},
		{"pl/-2.00x170", "pl/-2.00x10", 0, 0, 20, false, 2 * math.Sin(20*math.Pi/180), Wide, false, false, 0, 0},
		{"pl/-2.00x10", "pl/-2.00x170", 0, 0, -20, false, 2 * math.Sin(20*math.Pi/180), Wide, false, false, 0, 0},
		{"pl/-2.00x30", "-2.00/+2.00x120", 0, 0, 0, true, 0, Close, false, false, 0, 0},
		{"pl/-2.00x180", "pl/-2.00x90", 0, 0, 90, false, 2, Outside, false, false, 0, -2},
	} {
		d := Compare(rx(t, c.truth), rx(t, c.stated))
		name := c.truth + " against " + c.stated
		assert.InDelta(t, c.sphere, float64(d.SphereError), 1e-6, name)
		assert.InDelta(t, c.cylinder, float64(d.CylinderError), 1e-6, name)
		assert.InDelta(t, c.equivalent, float64(d.DefocusEquivalent), 1e-6, name)
		assert.InDelta(t, c.residualM, float64(d.Residual.M), 1e-6, name)
		assert.InDelta(t, c.residualJ0, float64(d.Residual.J0), 1e-6, name)
		assert.Equal(t, c.band, d.Band, name)
		assert.Equal(t, c.overMinus, d.OverMinus, name)
		assert.Equal(t, c.overPlus, d.OverPlus, name)
		if math.IsNaN(c.off) {
			assert.Nil(t, d.Axis, name)
			continue
		}
		if assert.NotNil(t, d.Axis, name) {
			assert.InDelta(t, c.off, float64(d.Axis.Error), 1e-6, name)
			assert.Equal(t, c.within, d.Axis.Within, name)
		}
	}
}

func anyRx(t *rapid.T, name string) optics.Rx {
	r := optics.Rx{
		Sphere: float64(rapid.IntRange(-80, 80).Draw(t, name+" sphere")) / 4,
		Cyl:    float64(rapid.IntRange(-24, 24).Draw(t, name+" cylinder")) / 4,
	}
	if r.Cyl != 0 {
		r.Axis = float64(rapid.IntRange(1, 180).Draw(t, name+" axis"))
	}
	return r
}

// The form in which a lens is written must not matter (Taylor and others
// (2011), Eye 25:1333).
func TestFormDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		truth, stated := anyRx(t, "truth"), anyRx(t, "stated")
		want := Compare(truth, stated)
		require.Equal(t, want, Compare(truth, stated.Transpose()))
		require.Equal(t, want, Compare(truth.Transpose(), stated))
	})
}

func TestNothingLeftMeansTheSameLens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		truth, stated := anyRx(t, "truth"), anyRx(t, "stated")
		require.Zero(t, Compare(truth, truth.Transpose()).DefocusEquivalent)
		require.Zero(t, Compare(truth, truth).Residual)
		if d := Compare(truth, stated); truth.MinusCyl() != stated.MinusCyl() {
			require.Positive(t, d.DefocusEquivalent)
		}
	})
}

func TestAxisErrorIsTheShortWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := float64(rapid.IntRange(1, 180).Draw(t, "truth"))
		b := float64(rapid.IntRange(1, 180).Draw(t, "stated"))
		with := func(axis float64) optics.Rx { return optics.Rx{Cyl: -1, Axis: axis} }
		e := Compare(with(a), with(b)).Axis
		require.LessOrEqual(t, math.Abs(float64(e.Error)), 90.0)
		require.InDelta(t, 0, math.Remainder(b-a-float64(e.Error), 180), 1e-6)
		// Adding half a turn to either axis is no turn at all.
		require.Equal(t, e, Compare(with(a+180), with(b)).Axis)
		require.Equal(t, e, Compare(with(a), with(b+180)).Axis)
	})
}

func TestDifferenceAsJSON(t *testing.T) {
	got, err := json.Marshal(Compare(rx(t, "-1.00/-2.00x30"), rx(t, "-1.25/-1.75x33")))
	require.NoError(t, err)
	var m map[string]any
	require.NoError(t, json.Unmarshal(got, &m))
	assert.Equal(t, "-1.00 / -2.00 x 30", m["truth"])
	assert.Equal(t, "-1.25 / -1.75 x 33", m["endPoint"])
	assert.Equal(t, -0.25, m["sphereError"])
	assert.Equal(t, 0.25, m["cylinderError"])
	assert.Equal(t, map[string]any{"error": 3.0, "tolerance": method.AxisTolerance(2), "within": true}, m["axis"])

	got, err = json.Marshal(Compare(optics.Rx{}, optics.Rx{Sphere: 1}))
	require.NoError(t, err)
	assert.NotContains(t, string(got), `"axis"`)
}

// The verdict names the band, and each fault that there is.
func TestVerdict(t *testing.T) {
	within := func(limit float64) fact.Fact { return fact.New("verdict.within", "limit", fact.Amount(limit)) }
	with := func(verdict fact.Fact, faults ...string) fact.Fact {
		var all []fact.Fact
		for _, id := range faults {
			all = append(all, fact.New("fault."+id))
		}
		return fact.New("verdict.with", "verdict", verdict, "faults", all)
	}
	for _, c := range []struct {
		truth, stated string
		want          fact.Fact
	}{
		{"-1.00/-2.00x30", "-3.00/+2.00x120", fact.New("verdict.right")},
		{"-1.00/-2.00x30", "-1.00/-1.75x30", within(0.25)},
		{"-1.00", "-1.50", with(within(0.50), "minus")},
		{"-1.00", "+1.50", with(fact.New("verdict.beyond", "limit", fact.Amount(1)), "plus")},
		{"-1.00", "-1.00/-0.25x10", with(within(0.25), "needless-cylinder")},
		{"-1.00/-1.00x10", "-1.00", with(within(1), "no-cylinder")},
		{"-1.00/-1.00x10", "-1.00/-1.00x20", with(within(0.25), "axis")},
		{"-1.00/-2.00x30", "-1.50/-1.75x35", with(within(1), "minus", "axis")},
	} {
		d := Compare(rx(t, c.truth), rx(t, c.stated))
		assert.Equal(t, c.want, d.Verdict(), "%s against %s", c.truth, c.stated)
	}
}
