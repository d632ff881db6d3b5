package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
	"conoid/sim/sitting"
)

func TestCheckFile(t *testing.T) {
	for name, c := range map[string]struct {
		file string
		want []string
	}{
		"nothing": {plain, nil},
		"far objective": {
			with("-0.75 / -1.75 x 35", "+0.50 DS"),
			[]string{"The objective result +0.50 DS is 3.50 D (defocus equivalent) from the error −1.00 / −2.00 x 30: no objective method goes so far wrong.",
				"From this objective result the usual fog of +0.50 D leaves the back focal line 2.00 D in front of the retina: all lines may look alike."},
		},
		"a trap": {
			with("-0.75 / -1.75 x 35", "-1.00 / -2.00 x 70"),
			[]string{"The objective result −1.00 / −2.00 x 70 is 1.29 D (defocus equivalent) from the error −1.00 / −2.00 x 30."},
		},
		"faint cylinder": {
			with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "-1.00 / -0.25 x 180\"\nobjective = \"-1.00 DS"),
			[]string{"A cylinder of −0.25 D hardly shows on a dial."},
		},
		"beyond the trial set": {
			with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "+20.00 / -7.00 x 180\"\nobjective = \"+20.00 / -6.00 x 180"),
			[]string{"The trial set's spheres, −20.00 to +20.00 D, do not reach the error with its fog.",
				"The trial set's strongest cylinder is −6.00 D, and the error has −7.00 D."},
		},
		"an objective result that is not in the trial set": {
			with("-0.75 / -1.75 x 35", "-0.80 / -1.75 x 32.5"),
			[]string{"The objective result −0.80 / −1.75 x 33, which is in the frame at the start, cannot be made up: the set has no sphere of −0.80: the nearest are −1.00 and −0.75.",
				"The objective result −0.80 / −1.75 x 33, which is in the frame at the start, cannot be made up: axis 32.5 cannot be set: an axis is a whole degree, 1 to 180."},
		},
		"fog behind the retina": {
			with("-0.75 / -1.75 x 35", "-1.75 / -1.50 x 30"),
			[]string{"From this objective result the usual fog of +0.50 D leaves the back focal line 0.25 D behind the retina: the student has to notice, and add more."},
		},
		"too little fog": {
			with("-0.75 / -1.75 x 35", "-1.50 / -1.75 x 30"),
			[]string{"From this objective result the usual fog of +0.50 D leaves the back focal line only 0.00 D in front of the retina: the student has to notice, and add more."},
		},
		"level": {
			with("title", "level = 3\ntitle"),
			[]string{"The case says level 3; by its difficulties (none) it is level 1."},
		},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, checkFile(mustRead(t, c.file))) })
	}
}

func TestBestSphere(t *testing.T) {
	for rx, want := range map[optics.Rx]float64{
		{Sphere: -1, Cyl: -1.5, Axis: 30}:     -1.75,
		{Sphere: -1, Cyl: -1.25, Axis: 30}:    -1.5,
		{Sphere: 0.25, Cyl: -0.25, Axis: 180}: 0.25,
		{Sphere: 2.3}:                         2.25,
	} {
		assert.Equal(t, want, bestSphere(rx), "%v", rx)
	}
}

// Elliott, Clinical Procedures in Primary Eye Care, ch. 4: a myope of
// about 1.00 D reads 6/12. The bounds are a line to either side.
func TestCard(t *testing.T) {
	c := mustRead(t, with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "-1.00 DS\"\nbest-sphere = \"6/5\"\nobjective = \"-1.00 DS"))
	card := c.Card(sitting.Right)
	assert.InDelta(t, 0.30, card.Unaided, 0.1)
	assert.Equal(t, -1.0, card.Sphere)
	assert.InDelta(t, -0.079, card.BestSphere, 0.001, "6/5, as the case says")
}

func TestCompareCard(t *testing.T) {
	seen := Card{Unaided: 0.3, BestSphere: 0}
	e := &Eye{Unaided: "6/60", BestSphere: "6/7.5"}
	assert.Equal(t, []string{"The record card says 6/60 without a lens for the left eye; the simulation sees 6/12."}, compareCard(e, sitting.Left, seen))
	e = &Eye{BestSphere: "6/9"}
	assert.Equal(t, []string{"The record card says 6/9 with the best sphere for the right eye; the simulation sees 6/6."}, compareCard(e, sitting.Right, seen))
	assert.Empty(t, compareCard(&Eye{Unaided: "6/12"}, sitting.Right, seen))
	assert.Empty(t, checkCard(mustRead(t, plain)), "nothing is written, nothing is compared")
}

func TestDifficulties(t *testing.T) {
	assert.Empty(t, mustRead(t, plain).Difficulties(), "an axis of 30 is still with the rule")
	for what, file := range map[string]string{
		"an oblique axis":                       with("x 30\"\nobjective = \"-0.75 / -1.75 x 35", "x 31\"\nobjective = \"-0.75 / -1.75 x 35"),
		"a cylinder that hardly shows, or none": with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "-1.00 DS\"\nobjective = \"-1.00 DS"),
		"a large cylinder":                      with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "-1.00 / -3.25 x 30\"\nobjective = \"-1.00 / -3.00 x 30"),
		"a hyperope who can accommodate":        with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "+1.50 / -2.00 x 30\"\nobjective = \"+1.50 / -2.00 x 30"),
		"a small pupil":                         with("", "pupil = 2.9"),
		"answers that cannot be relied on":      with("age = 34", "age = 34\nmanner = \"scattered\""),
		"an objective result that misleads":     with("-1.75 x 35", "-1.00 x 30"),
	} {
		assert.Equal(t, []string{what}, mustRead(t, file).Difficulties())
	}
	assert.Empty(t, mustRead(t, with("-0.75 / -1.75 x 35", "-0.75 / -1.50 x 30")).Difficulties())
}
