package optics_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

// Notations that people write; common practice.
var written = []struct {
	text string
	want optics.Rx
}{
	{"-1.75 / -0.50 x 165", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75/-0.50x165", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75 -0.50 x 165", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75-0.50x165", optics.Rx{-1.75, -0.5, 165}},
	{"−1.75 / −0.50 x 165", optics.Rx{-1.75, -0.5, 165}},
	{"–1.75/–0.50×165°", optics.Rx{-1.75, -0.5, 165}},
	{"- 1.75 / - 0.50 X 165", optics.Rx{-1.75, -0.5, 165}},
	{" -1.75 DS / -0.50 DC x 165 ", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75DS/-0.50DCx165", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75 sph -0.50 cyl axis 165", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75 D -0.50 D ax 165 deg", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75/-0.50*165", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75/-0.50@165", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75/-0.50/165", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75 -0.50 165", optics.Rx{-1.75, -0.5, 165}},
	{"-1,75 / -0,50 x 165", optics.Rx{-1.75, -0.5, 165}},
	{"-1.75/-0.5x005", optics.Rx{-1.75, -0.5, 5}},
	{"+1.50/+0.75x90", optics.Rx{1.5, 0.75, 90}},
	{"1.50/-0.75x90", optics.Rx{1.5, -0.75, 90}},
	{"+.50 DS", optics.Rx{Sphere: 0.5}},
	{"+0.50 DS", optics.Rx{Sphere: 0.5}},
	{"-1,75", optics.Rx{Sphere: -1.75}},
	{"-2", optics.Rx{Sphere: -2}},
	{"-1.75 / 0.00", optics.Rx{Sphere: -1.75}},
	{"pl", optics.Rx{}},
	{"Plano", optics.Rx{}},
	{"0", optics.Rx{}},
	{"-0.00", optics.Rx{}},
	{"∞", optics.Rx{}},
	{"pl/-1.00x180", optics.Rx{0, -1, 180}},
	{"plano / -1.00 x 180", optics.Rx{0, -1, 180}},
	{"∞ -1.00 x 180", optics.Rx{0, -1, 180}},
	{"0.00/-1.00x180", optics.Rx{0, -1, 180}},
	{"-1.00 DC x 180", optics.Rx{0, -1, 180}},
	{"+1.00/-2.00x22.5", optics.Rx{1, -2, 22.5}},
	{"+40/-20x1", optics.Rx{40, -20, 1}},
	{"sph −1,75 zyl −0,50 A 165°", optics.Rx{-1.75, -0.5, 165}},
	{"Sph -1,75 dpt Zyl -0,50 dpt Achse 165", optics.Rx{-1.75, -0.5, 165}},
	{"sph-1,75 zyl-0,50 a165", optics.Rx{-1.75, -0.5, 165}},
	{"sph +0,50", optics.Rx{Sphere: 0.5}},
	{"plan", optics.Rx{}},
	{"plan zyl −1,00 A 180°", optics.Rx{0, -1, 180}},
	{"sph plan zyl -1,00 A 180", optics.Rx{0, -1, 180}},
	{"zyl −1,00 A 180°", optics.Rx{0, -1, 180}},
}

func TestParseRx(t *testing.T) {
	for _, c := range written {
		got, err := optics.ParseRx(c.text)
		if assert.NoError(t, err, c.text) {
			assert.Equal(t, c.want, got, c.text)
		}
	}
}

// refused lists texts with the byte offset where the fault lies and the ID of what
// the reader must be told.
var refused = []struct {
	text string
	pos  int
	why  string
}{
	{"", 0, "optics.power-missing"},
	{"   ", 3, "optics.power-missing"},
	{"banana", 0, "optics.power-wanted"},
	{"NaN", 0, "optics.power-wanted"},
	{"+Inf", 0, "optics.number-wanted"},
	{"1e3", 1, "optics.power-wanted"},
	{"--1.75", 0, "optics.number-wanted"},
	{"-1.75 / -0.50 x 0", 16, "optics.axis-zero"},
	{"-1.75 / -0.50 x 000", 16, "optics.axis-zero"},
	{"-1.75 / -0.50 x 181", 16, "optics.axis-range"},
	{"-1.75 / -0.50 x -5", 16, "optics.axis-sign"},
	{"-1.75 / -0.50 x", 15, "optics.axis-wanted"},
	{"-1.75 / -0.50", 13, "optics.axis-missing"},
	{"-1.75 / 0.50 x 165", 8, "optics.cylinder-sign"},
	{"-1.75 x 165", 6, "optics.axis-alone"},
	{"-1.75 / x 165", 8, "optics.axis-alone"},
	{"-1.75 / 0.00 x 90", 8, "optics.no-cylinder"},
	{"-1.75 /", 7, "optics.power-missing"},
	{"-1.75 DS -0.50 DS", 9, "optics.second-sphere"},
	{"-1.75 / -0.50 x 165 extra", 20, "optics.nothing-more"},
	{"-1.75 / -0.50 x x 165", 16, "optics.axis-wanted"},
	{"-41", 0, "optics.large-sphere"},
	{"+1.00 / -20.25 x 90", 8, "optics.large-cylinder"},
	{"-175 / -0.50 x 165", 0, "optics.large-sphere"},
	{"-1,75 / -0.50 x 165", 10, "optics.mixed"},
	{"-1,75,-0,50 x 165", 5, "optics.power-wanted"},
	{"-1.75 / -0.50.5", 13, "optics.two-points"},
	{"-0.50 DC", 8, "optics.axis-missing"},
	{strings.Repeat("9", 400), 0, "optics.large-sphere"},
	{"\xff\xfe", 0, "optics.power-wanted"},
	{"sph", 3, "optics.power-missing"},
	{"sph x", 4, "optics.power-wanted"},
	{"sph -1,00 sph -0,50", 14, "optics.second-sphere"},
	{"sph -1,00 zyl", 13, "optics.power-missing"},
	{"zyl -0,50", 9, "optics.axis-missing"},
	{"zyl 0,50 A 90", 4, "optics.cylinder-sign"},
}

func TestParseRxRefuses(t *testing.T) {
	for _, c := range refused {
		rx, err := optics.ParseRx(c.text)
		var parseErr *optics.ParseError
		if !assert.ErrorAs(t, err, &parseErr, "%q was read as %v", c.text, rx) {
			continue
		}
		assert.Zero(t, rx)
		assert.Equal(t, c.text, parseErr.Input)
		assert.Equal(t, c.pos, parseErr.Pos, "%q: %v", c.text, err)
		assert.Equal(t, c.why, parseErr.Why.ID, c.text)
	}
}

func TestParseErrorShowsTextAndPlace(t *testing.T) {
	_, err := optics.ParseRx("−1.75 / −0.50 x 0")
	var told fact.Told
	require.ErrorAs(t, err, &told)
	assert.Equal(t, fact.New("optics.not-read", "text", "−1.75 / −0.50 x 0", "at", fact.Count(17), "why", fact.New("optics.axis-zero")), told.Tell())
	for n, id := range map[int]string{60: "optics.not-read", 61: "optics.not-read-long"} {
		_, err = optics.ParseRx(strings.Repeat("−", n))
		require.ErrorAs(t, err, &told)
		assert.Equal(t, id, told.Tell().ID)
		assert.Equal(t, strings.Repeat("−", 60), told.Tell().Values["text"])
	}
	_, err = optics.ParseRx("\xff")
	require.ErrorAs(t, err, &told)
	assert.Equal(t, "\uFFFD", told.Tell().Values["text"], "what is no text can be told too")
}

func TestParseDioptre(t *testing.T) {
	for text, want := range map[string]float64{
		"+0.50": 0.5, "−0,25": -0.25, "-0.25": -0.25, "pl": 0, "plano": 0, "0": 0, "1": 1, "+1.25 D": 1.25, "+2.00DS": 2, ".5": 0.5,
	} {
		got, err := optics.ParseDioptre(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	zero, err := optics.ParseDioptre("-0.00")
	require.NoError(t, err)
	assert.False(t, math.Signbit(zero), "no minus zero")
	for _, text := range []string{"", "x", "+", "0.50 0.25", "-1.75/-0.50x165", "41", "NaN", "1,000.5", "+1.00 x 90"} {
		got, err := optics.ParseDioptre(text)
		assert.Error(t, err, text)
		assert.Zero(t, got)
	}
}

func TestPrintedRxReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rx := drawRx(t)
		for _, text := range []string{rx.String(), rx.ASCII()} {
			got, err := optics.ParseRx(text)
			require.NoError(t, err, text)
			assert.Equal(t, rx, got, text)
		}
	})
}

// ASCII keeps every bit, also of what no trial set holds.
func TestASCIIKeepsEveryBit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rx := drawPower(t).Scale(0.3).Rx()
		got, err := optics.ParseRx(rx.ASCII())
		require.NoError(t, err, rx.ASCII())
		assert.Equal(t, rx, got)
	})
}

// Whatever is read is a lens that can be printed and read again as the same.
func FuzzParseRx(f *testing.F) {
	for _, c := range written {
		f.Add(c.text)
	}
	for _, c := range refused {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		rx, err := optics.ParseRx(text)
		if err != nil {
			require.NotEmpty(t, err.Error())
			require.Zero(t, rx)
			return
		}
		again, err := optics.ParseRx(rx.ASCII())
		require.NoError(t, err, rx.ASCII())
		require.Equal(t, rx, again)

		printed, err := optics.ParseRx(rx.String())
		require.NoError(t, err, rx.String())
		require.Equal(t, rx.String(), printed.String(), "printing rounds once only")
		require.InDelta(t, rx.Sphere, printed.Sphere, printed2)
		require.InDelta(t, rx.Cyl, printed.Cyl, printed2)
	})
}
