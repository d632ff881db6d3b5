package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/patient"
)

const (
	up   = method.More
	down = method.Less
)

// said of a value on a scale, one after the other.
func row(votes ...evidence.Vote) (out []Heard) {
	for i, v := range votes {
		v.Event = i + 1
		out = append(out, Heard{Vote: v})
	}
	return out
}

func vote(at float64, way method.Way) evidence.Vote { return evidence.Vote{At: at, Way: way} }

// A step is 0.25 here.
func TestFollowed(t *testing.T) {
	for _, c := range []struct {
		what    string
		heard   []Heard
		final   float64
		between bool
		want    []bool
	}{
		{"on", row(vote(1, up)), 1.25, false, []bool{true}},
		{"kept", row(vote(1, up)), 1, false, []bool{false}},
		{"back", row(vote(1, up)), 0.75, false, []bool{false}},
		{"neither allows anything", row(vote(1, method.Stay)), 3, false, nil},
		{"a look at a step on the other side", row(vote(1, up), vote(0.75, method.Stay)), 1.25, false, []bool{true}},
		{"and no further", row(vote(1, up), vote(0.75, method.Stay)), 1, false, []bool{false}},
		{"more than a step", row(vote(1, up), vote(0.74, method.Stay)), 1.25, false, []bool{false}},
		{"kept, for the next sends back", row(vote(1.25, down), vote(1, up)), 1, false, []bool{true, true}},
		{"kept, for one more than a step away does", row(vote(1.26, down), vote(1, up)), 1, false, []bool{true, false}},
		{"and after a look to the other side", row(vote(1.25, down), vote(1, up), vote(0.75, up)), 1, false, []bool{true, true, true}},
		{"the greater kept of two", row(vote(1, up), vote(1.25, down)), 1.25, false, []bool{true, false}},
		{"the greater kept, with between", row(vote(1, up), vote(1.25, down)), 1.25, true, []bool{true, true}},
		{"taken back oftener", row(vote(1, up), vote(2, method.Stay), vote(1, down), vote(1, down)), 0.5, false, []bool{true}},
		{"twice in a row is one answer", row(vote(1, up), vote(1, up)), 1.25, false, []bool{true}},
	} {
		var got []bool
		for _, f := range followed(cases.CylinderClaim, c.heard, &c.final, func(a, b float64) float64 { return a - b }, 0.25, c.between) {
			got = append(got, f.Heeded)
		}
		assert.Equal(t, c.want, got, c.what)
	}
	assert.Empty(t, followed(cases.CylinderClaim, row(vote(1, up)), nil, func(a, b float64) float64 { return a - b }, 0.25, false), "without an end point the last is not judged")
}

// The arrow may look a step, 10 degrees, to the other side, and what is more than 45
// degrees away is on no side.
func TestArrowIsFollowed(t *testing.T) {
	const l, a = patient.Left, patient.Alike
	for _, c := range []struct {
		stated string
		all    []moment
		want   bool
	}{
		{"x31", []moment{limbs(30, l)}, true},
		{"x29", []moment{limbs(30, l)}, false},
		{"x75", []moment{limbs(30, l)}, true},
		{"x76", []moment{limbs(30, l)}, false},
		{"x40", []moment{limbs(30, l), limbs(20, a)}, true},
		{"x40", []moment{limbs(30, l), limbs(19, a)}, false},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00"+c.stated, c.all...)
		all := following(tr).heeding(nil)
		require.Len(t, all, 1)
		assert.Equal(t, c.want, all[0].Heeded, "%s, %d", c.stated, len(c.all))
	}
}

// Cylinders stand in quarters to 4.00 D and in halves beyond.
func TestCylinderStep(t *testing.T) {
	for power, want := range map[float64]float64{-1: 0.25, -3.75: 0.25, -4: 0.50, -4.5: 0.50} {
		tr := told(t, "-1.00/-2.00x30", "", blocks(power, 30, patient.Parallel))
		assert.Equal(t, want, following(tr).cylinderStep(), "%v", power)
	}
}

// Arrow or cylinder go to the label of the dial, within a line and a half: 15 degrees.
func TestDialIsFollowed(t *testing.T) {
	for _, c := range []struct {
		next moment
		want bool
	}{
		{limbs(45, patient.Alike), true}, {limbs(15, patient.Alike), true}, {limbs(46, patient.Alike), false}, {limbs(14, patient.Alike), false},
		{blocks(-1, 45, patient.Alike), true}, {blocks(-1, 46, patient.Alike), false}, {answered(patient.ReadLetters, 0.1), false},
	} {
		all := following{told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", dial(30), c.next).hearing}.dialFollowed()
		require.Len(t, all, 1)
		assert.Equal(t, c.want, all[0].Heeded, "%+v", c.next.Action)
	}
	assert.Empty(t, following{told(t, "-1.00/-2.00x30", "", dial(30)).hearing}.dialFollowed(), "nothing came after it")
}

// When more plus does not blur the dial the sphere must change, by more than a
// sixteenth, before the arrow or the blocks are asked about.
func TestFogIsFollowed(t *testing.T) {
	check := func(k patient.Kind) moment { return answered(patient.WithLens, k, on(chart.Fan), holding(0.5)) }
	for _, c := range []struct {
		what string
		k    patient.Kind
		next []moment
		want []bool
	}{
		{"worse", patient.Worse, []moment{limbs(30, patient.Alike)}, nil},
		{"nothing changed", patient.Same, []moment{limbs(30, patient.Alike)}, []bool{false}},
		{"a sixteenth", patient.Same, []moment{limbs(30, patient.Alike, fogged(0.56))}, []bool{false}},
		{"more", patient.Same, []moment{limbs(30, patient.Alike, fogged(0.57))}, []bool{true}},
		{"less", patient.Better, []moment{dial(30, fogged(0.25)), limbs(30, patient.Alike)}, []bool{true}},
		{"too late", patient.Same, []moment{limbs(30, patient.Alike), limbs(30, patient.Alike, fogged(1))}, []bool{false}},
	} {
		var got []bool
		for _, f := range (following{told(t, "-1.00/-2.00x30", "", append([]moment{check(c.k)}, c.next...)...).hearing}).fogFollowed() {
			got = append(got, f.Heeded)
		}
		assert.Equal(t, c.want, got, c.what)
	}
}

func TestSphereIsFollowed(t *testing.T) {
	c := Claim{Name: cases.SphereClaim, Heard: row(vote(0.125, down), vote(-0.125, up), vote(0.25, up), vote(-0.25, down), vote(0.5, method.Stay))}
	got := map[float64]bool{}
	for _, f := range sphereFollowed(c) {
		got[f.From] = f.Heeded
	}
	assert.Equal(t, map[float64]bool{0.125: true, -0.125: true, 0.25: false, -0.25: false}, got)
}

// judged are so many answers, of which some were heeded.
func judged(heeded, n int) (out []Followed) {
	for i := range n {
		out = append(out, Followed{Claim: cases.CylinderClaim, Events: []int{i + 1}, Heeded: i < heeded})
	}
	return out
}

// Twice the share less one, and for fewer than six answers in proportion: 5 of 6 are
// 2 x 5/6 - 1, and 5 of 5 are 5/6.
func TestBeyondChance(t *testing.T) {
	for _, c := range []struct {
		heeded, n int
		want      float64
	}{{0, 0, 0}, {1, 1, 1.0 / 6}, {5, 5, 5.0 / 6}, {6, 6, 1}, {7, 7, 1}, {5, 6, 2.0 / 3}, {3, 6, 0}, {1, 6, 0}, {3, 4, 0.5 * 4 / 6}, {9, 12, 0.5}} {
		assert.InDelta(t, c.want, beyondChance(judged(c.heeded, c.n), enoughAnswers), 1e-12, "%+v", c)
	}
}

// The arrow is turned to and fro over an axis of 30 that is borne out, some times by more
// than a step to the wrong side. With 6 of 9
// answers heeded the share beyond chance is 0.33, and with 5 of 8 it is 0.25, too little
// to count as more than weak.
func TestWhoDoesNotListenHasNothingBorneOut(t *testing.T) {
	for _, c := range []struct {
		labels []int
		beyond float64
		points float64
	}{
		{[]int{24, 10, 25, 11, 26, 12, 40, 20}, 0.333333, 20},
		{[]int{24, 10, 25, 11, 26, 12, 40}, 0.25, 10},
	} {
		all := []moment{dial(30)}
		for _, label := range c.labels {
			k := patient.Left
			if label > 30 {
				k = patient.Right
			}
			all = append(all, limbs(label, k))
		}
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", all...)
		var r Report
		r.mark(tr.trace, cases.DefaultScheme())
		require.Equal(t, supported, r.Claims[0].Support)
		assert.InDelta(t, c.beyond, float64(r.Beyond), 1e-6)
		assert.EqualValues(t, c.points, r.Parts[0].Points)
	}
}

// An axis more than 45 degrees from what was heard, or a cylinder more than 0.75 D, was not
// moved there by answers.
func TestFarOff(t *testing.T) {
	for _, c := range []struct {
		name        cases.Claim
		fit, stated float64
		want        bool
	}{
		{cases.AxisClaim, 30, 75, false}, {cases.AxisClaim, 30, 76, true}, {cases.AxisClaim, 30, 165, false}, {cases.AxisClaim, 30, 164, true},
		{cases.CylinderClaim, 1, 1.75, false}, {cases.CylinderClaim, 1, 1.76, true}, {cases.CylinderClaim, 1, 0.24, true}, {cases.SphereClaim, 3, 0, false},
	} {
		assert.Equal(t, c.want, (&Claim{Name: c.name, Fit: &c.fit, Stated: &c.stated}).farOff(), "%+v", c)
	}
	assert.False(t, (&Claim{Name: cases.AxisClaim}).farOff())
}

// What stands in the frame at the end may be a band from what is stated: 5 degrees at
// 2.00 D, and quarters.
func TestNeverWorn(t *testing.T) {
	for _, c := range []struct {
		sphere, cyl, axis float64
		want              []bool // axis, cylinder, sphere
	}{
		{-1, -2, 30, []bool{false, false, false}},
		{-1, -2, 35, []bool{false, false, false}},
		{-1, -2, 36, []bool{true, false, false}},
		{-1.125, -1.75, 30, []bool{false, false, false}},
		{-1.13, -1.74, 30, []bool{false, true, false}},
		{-0.75, -2, 30, []bool{false, false, false}},
		{-0.74, -2, 30, []bool{false, false, true}},
		{-1.26, -2, 30, []bool{false, false, true}},
		{-2, 0, 0, []bool{false, true, false}},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", answered(patient.ReadLetters, 0.0, wearing(c.sphere, c.cyl, c.axis)))
		var got []bool
		for _, name := range []cases.Claim{cases.AxisClaim, cases.CylinderClaim, cases.SphereClaim} {
			got = append(got, following(tr).neverWorn(name))
		}
		assert.Equal(t, c.want, got, "%+v", c)
	}
}

// Of the sphere an answer that all others overrule is not judged, unless it was followed.
func TestOverruledAboutTheSphere(t *testing.T) {
	fit := 0.0
	for _, c := range []struct {
		at   float64
		way  method.Way
		want []bool
	}{
		{0.125, down, []bool{true}}, {-0.125, up, []bool{true}}, // borne out, and stated
		{-0.125, down, nil}, {0.125, up, nil}, // the fit is on the other side
	} {
		var got []bool
		for _, f := range sphereFollowed(Claim{Name: cases.SphereClaim, Fit: &fit, Heard: row(vote(c.at, c.way))}) {
			got = append(got, f.Heeded)
		}
		assert.Equal(t, c.want, got, "%+v", c)
	}
	far := 0.5
	got := sphereFollowed(Claim{Name: cases.SphereClaim, Fit: &far, Heard: row(vote(0.125, up))})
	require.Len(t, got, 1)
	assert.False(t, got[0].Heeded, "borne out, and not stated")
}

// Where no cylinder is borne out three answers are enough; where none was stated and
// nothing says so, or one was, six are.
func TestEnoughAnswers(t *testing.T) {
	const a = patient.Alike
	none := []moment{dial(a), dial(a, fogged(0.75))}
	assert.Equal(t, 3, enough(told(t, "-1.00 DS", "-1.00 DS", none...).claimed().claims))
	assert.Equal(t, 6, enough(told(t, "-1.00 DS", "-1.00 DS", dial(a)).claimed().claims))
	assert.Equal(t, 6, enough(told(t, "-1.00 DS", "-1.00/-0.50x30", none...).claimed().claims))
	assert.Equal(t, 1.0, beyondChance(judged(3, 3), enoughWithoutCylinder))
	assert.InDelta(t, 2.0/3, beyondChance(judged(2, 2), enoughWithoutCylinder), 1e-12)
}
