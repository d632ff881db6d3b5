package optics_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/optics"
)

func TestLens(t *testing.T) {
	for _, c := range []struct {
		lens       optics.Lens
		text, code string
		rx         optics.Rx
	}{
		{optics.SphereOf(0.5), "+0.50 sphere", "+0.50", optics.Rx{Sphere: 0.5}},
		{optics.SphereOf(-2), "−2.00 sphere", "-2.00", optics.Rx{Sphere: -2}},
		{optics.CylinderOf(-1, 35), "−1.00 cylinder axis 35", "-1.00x35", optics.Rx{0, -1, 35}},
		{optics.CylinderOf(1.25, 0), "+1.25 cylinder axis 180", "+1.25x180", optics.Rx{0, 1.25, 180}},
		{optics.Lens{Kind: optics.CylinderLens, Power: -1}, "−1.00 cylinder", "-1.00 cyl", optics.Rx{0, -1, 0}},
		{optics.Pinhole(), "pinhole", "pinhole", optics.Rx{}},
		{optics.Occluder(), "occluder", "occluder", optics.Rx{}},
		{optics.Lens{}, "no lens", "no lens", optics.Rx{}},
	} {
		assert.Equal(t, c.text, c.lens.String())
		assert.Equal(t, c.code, c.lens.Code())
		assert.Equal(t, c.rx, c.lens.Rx())
		for _, s := range []string{c.text, c.code} {
			got, err := optics.ParseLens(s)
			require.NoError(t, err, s)
			assert.Equal(t, c.lens, got, s)
		}
	}
}

func TestParseLens(t *testing.T) {
	for text, want := range map[string]optics.Lens{
		"-0.50 DS": optics.SphereOf(-0.5), "−0,50": optics.SphereOf(-0.5), "1": optics.SphereOf(1),
		"+1.00 sph": optics.SphereOf(1), "0.00": optics.SphereOf(0),
		"-1.00 x 35": optics.CylinderOf(-1, 35), "-1.00 DC axis 35°": optics.CylinderOf(-1, 35),
		"−1.00 cyl @ 180": optics.CylinderOf(-1, 180), "-1.00DCX5": optics.CylinderOf(-1, 5),
		"sph −0,50": optics.SphereOf(-0.5), "zyl −1,00 A 35°": optics.CylinderOf(-1, 35),
		"zyl -1,00": {Kind: optics.CylinderLens, Power: -1},
		" Pinhole ": optics.Pinhole(), "OCC": optics.Occluder(), "none": {}, "No  Lens": {},
	} {
		got, err := optics.ParseLens(text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, got, text)
		}
	}
}

func TestParseLensRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		pos  int
		why  string
	}{
		{"", 0, "optics.lens-wanted"},
		{"monocle", 0, "optics.lens-wanted"},
		{"1.00 cyl", 0, "optics.cylinder-sign"},
		{"-21 cyl", 0, "optics.large-cylinder"},
		{"-1.00 cyl x", 11, "optics.axis-wanted"},
		{"-1.00 x", 7, "optics.axis-wanted"},
		{"-1.00 x 0", 8, "optics.axis-zero"},
		{"-1.00 x 190", 8, "optics.axis-range"},
		{"1.00 x 35", 0, "optics.cylinder-sign"},
		{"-1.00 35", 6, "optics.axis-mark"},
		{"-1.00/35", 5, "optics.axis-mark"},
		{"+0.50/-1.00x35", 5, "optics.axis-mark"},
		{"+0.50 DS / -1.00 x 35", 9, "optics.sphere-ends"},
		{"+50", 0, "optics.large-sphere"},
		{"-21 x 90", 0, "optics.large-cylinder"},
		{"+", 0, "optics.number-wanted"},
		{"sph -1,00 A 35", 10, "optics.sphere-ends"},
	} {
		l, err := optics.ParseLens(c.text)
		var parseErr *optics.ParseError
		if !assert.ErrorAs(t, err, &parseErr, "%q was read as %v", c.text, l) {
			continue
		}
		assert.Zero(t, l)
		assert.Equal(t, c.pos, parseErr.Pos, "%q: %v", c.text, err)
		assert.Equal(t, c.why, parseErr.Why.ID, c.text)
	}
}

func TestExchangedCylinderKeepsItsAxis(t *testing.T) {
	assert.Equal(t, optics.CylinderOf(-1.25, 35), optics.CylinderOf(-1, 35).WithPower(-1.25))
	assert.Equal(t, optics.SphereOf(2), optics.SphereOf(1).WithPower(2))
	assert.Equal(t, optics.Pinhole(), optics.Pinhole().WithPower(2))
	assert.Equal(t, optics.Lens{}, optics.Lens{}.WithPower(2))
}

func TestCodeReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		power := rapid.Float64Range(-20, 20).Draw(t, "power")
		lenses := []optics.Lens{optics.SphereOf(power)}
		if power != 0 {
			lenses = append(lenses, optics.CylinderOf(power, drawAxis(t)))
		}
		for _, l := range lenses {
			got, err := optics.ParseLens(l.Code())
			require.NoError(t, err, l.Code())
			assert.Equal(t, l, got, l.Code())
		}
	})
}

func FuzzParseLens(f *testing.F) {
	for _, s := range []string{"+0.50", "-1.00x35", "−1.00 cylinder axis 35", "pinhole", "no lens", "-1.00 cyl", "pl", "1e9", "-.5 @ 7,5°", "\x80"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := optics.ParseLens(text)
		if err != nil {
			require.NotEmpty(t, err.Error())
			require.Zero(t, l)
			return
		}
		again, err := optics.ParseLens(l.Code())
		require.NoError(t, err, l.Code())
		require.Equal(t, l, again)
	})
}
