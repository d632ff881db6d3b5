package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/optics"
)

func parsed(t *testing.T, s string) optics.Rx {
	rx, err := optics.ParseRx(s)
	require.NoError(t, err)
	return rx
}

// Checked by hand, a row on either side of each band. The turns that leave 0.25 D are
// 14.5 degrees for 0.50 D and 7.2 for 1.00 D (Torgersen (2006), on ANSI Z80.1); those of 2.00 D
// and 0.25 D, 3.6 and 30, are beyond the bounds of the band.
func TestMisses(t *testing.T) {
	for _, c := range []struct {
		truth, found string
		want         []Claim
	}{
		{"-1.00 / -2.00 x 30", "-1.00 / -2.00 x 30", nil},
		{"-1.00 / -2.00 x 30", "-3.00 / +2.00 x 120", nil},
		{"-1.00 / -2.00 x 30", "-0.75 / -2.00 x 30", nil},
		{"-1.00 / -2.00 x 30", "-0.62 / -2.00 x 30", []Claim{SphereClaim}},
		{"-1.00 / -2.00 x 30", "-1.25 / -2.00 x 30", nil},
		{"-1.00 / -2.00 x 30", "-1.38 / -2.00 x 30", []Claim{SphereClaim}},
		{"-1.00 / -2.00 x 30", "-1.12 / -1.75 x 30", nil},
		{"-1.00 / -2.00 x 30", "-1.25 / -1.50 x 30", []Claim{CylinderClaim}},
		{"-1.00 / -2.00 x 30", "-0.75 / -2.50 x 30", []Claim{CylinderClaim}},
		{"-1.00 / -2.00 x 30", "-1.00 / -2.00 x 35", nil},
		{"-1.00 / -2.00 x 30", "-1.00 / -2.00 x 36", []Claim{AxisClaim}},
		{"-1.00 / -2.00 x 178", "-1.00 / -2.00 x 3", nil},
		{"-1.00 / -1.00 x 30", "-1.00 / -1.00 x 37", nil},
		{"-1.00 / -1.00 x 30", "-1.00 / -1.00 x 22", []Claim{AxisClaim}},
		{"-1.00 / -0.50 x 30", "-1.00 / -0.50 x 44", nil},
		{"-1.00 / -0.50 x 30", "-1.00 / -0.50 x 45", []Claim{AxisClaim}},
		{"-1.00 / -0.25 x 30", "-1.00 / -0.25 x 45", nil},
		{"-1.00 / -0.25 x 30", "-1.00 / -0.25 x 46", []Claim{AxisClaim}},
		{"-1.00 / -0.25 x 180", "-1.00 DS", []Claim{AxisClaim}},
		{"-1.00 DS", "-1.00 / -0.25 x 30", nil},
		{"-1.00 DS", "-0.75 / -0.50 x 30", []Claim{CylinderClaim}},
		{"-1.00 / -2.00 x 30", "-0.50 / -1.25 x 40", []Claim{AxisClaim, CylinderClaim, SphereClaim}},
	} {
		assert.Equal(t, c.want, misses(parsed(t, c.found), parsed(t, c.truth)), "%s for %s", c.found, c.truth)
	}
}

// The sphere is missed by the card when neither of the two that stand on it is right.
func TestCardMisses(t *testing.T) {
	for _, c := range []struct {
		objective, lens string
		want            []Claim
	}{
		{"-1.00 / -2.00 x 30", "-2.75", nil},
		{"-0.50 / -2.00 x 30", "-2.25", nil},
		{"-0.50 / -2.00 x 30", "-2.3", []Claim{SphereClaim}},
		{"-0.50 / -2.00 x 30", "-1.75", nil},
		{"-0.50 / -2.00 x 30", "-1.7", []Claim{SphereClaim}},
		{"-0.50 / -1.50 x 40", "-2.00", []Claim{AxisClaim, CylinderClaim}},
	} {
		file := with("-0.75 / -1.75 x 35\"", c.objective+"\"\nbest-sphere-lens = "+c.lens)
		assert.Equal(t, c.want, mustRead(t, file).CardMisses(), "%s, %s", c.objective, c.lens)
	}
}

func TestCheckCopied(t *testing.T) {
	for _, c := range []struct {
		objective       string
		check, assessed []string
	}{
		{"-1.00 / -2.00 x 30", []string{"case.mind.copied"}, []string{"case.mind.copied"}},
		{"-1.00 / -2.00 x 40", nil, []string{"case.mind.copied-but-one (claim axis)"}},
		{"-1.25 / -1.50 x 40", nil, nil},
	} {
		k := mustRead(t, with("-0.75 / -1.75 x 35\"", c.objective+"\"\nbest-sphere-lens = -2"))
		assert.Equal(t, c.check, listed(CheckCopied(k, false)), c.objective)
		assert.Equal(t, c.assessed, listed(CheckCopied(k, true)), c.objective)
		for _, want := range c.check {
			assert.Contains(t, listed(Check(k)), want)
		}
	}
}
