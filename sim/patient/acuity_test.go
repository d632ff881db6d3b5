package patient

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/fact"
)

// logMAR is log10 of the denominator over the distance; a letter of a row of
// five counts 0.02 (Bailey and Lovie 1976). Decimal acuity is the inverse of
// the minimum angle of resolution in minutes of arc (ISO 8596).
func TestParseAcuity(t *testing.T) {
	for s, want := range map[string]float64{
		"6/6": 0, "6/4": -0.1761, "6/5": -0.0792, "6/7.5": 0.0969, "6/9": 0.1761, "6/12": 0.3010,
		"6/18": 0.4771, "6/24": 0.6021, "6/36": 0.7782, "6/60": 1,
		"20/20": 0, "20/40": 0.3010, "20/200": 1, "20/25": 0.0969,
		"6/6-2": 0.04, "6/6+2": -0.04, "6/9 -1": 0.1961, "6/9 \u2212 1": 0.1961, "6 / 6": 0, "20/20+1": -0.02,
		"6/7,5": 0.0969, " 6/6 ": 0,
		"0.8": 0.0969, "1.0": 0, "1": 0, "1,25": -0.0969, "0.1": 1, ".5": 0.3010,
		"0,8-2": 0.1369, "0,8 -2": 0.1369, "0,8 \u2212 2": 0.1369, "0,8 +1": 0.0769, "1,25+2": -0.1369,
		"0,8p": 0.1369, "0,8 p": 0.1369, "1,0P": 0.04, "6/6p": 0.04,
		"5/5": 0, "5/5-1": 0.02, "5/5p": 0.04, "5/7,5": 0.1761, "5/50": 1, "5/4": -0.0969,
		"0.1 logMAR": 0.1, "\u22120.1 logMAR": -0.1, "-0.1logmar": -0.1, "+0.3 LogMAR": 0.3, "0 log MAR": 0, "1 logmar": 1,
	} {
		got, err := ParseAcuity(s)
		require.NoError(t, err, s)
		assert.InDelta(t, want, got.LogMAR, 5e-5, s)
		assert.Equal(t, s, got.Written)
	}
}

func TestParseAcuityRefuses(t *testing.T) {
	for _, s := range []string{
		"", " ", "good", "6", "6/", "/6", "6/0", "6/6-", "6/6--2", "6/6-22", "6/x", "7/6", "6/1", "6/6000", "20/5",
		"0,8pp", "0,8p-1", "p", "0,8--2", "0,8-22", "5/", "5/1", "-0,8p", "0.1 logMAR p",
		"0", "0.0", "10", "-0.8", "3 logmar", "-1 logmar", "logmar", "6/6 6/6", "NaN", "Inf", "1e-1", "0x1", "6/" + strings.Repeat("9", 400),
	} {
		_, err := ParseAcuity(s)
		var told fact.Told
		require.ErrorAs(t, err, &told, s)
		assert.Contains(t, []string{"acuity.not-read", "acuity.range"}, told.Tell().ID)
		assert.Equal(t, map[string]any{"text": s}, told.Tell().Values)
	}
}

func TestFormatAcuity(t *testing.T) {
	for want, logMAR := range map[string]float64{
		"6/6": 0, "6/5": -0.08, "6/4": -0.18, "6/7.5": 0.1, "6/9": 0.18, "6/12": 0.3, "6/18": 0.48, "6/24": 0.6, "6/36": 0.78, "6/60": 1,
	} {
		assert.Equal(t, want, FormatAcuity(logMAR))
	}
	for _, d := range snellenSizes {
		s := FormatAcuity(math.Log10(d / 6))
		back, err := ParseAcuity(s)
		require.NoError(t, err)
		assert.InDelta(t, math.Log10(d/6), back.LogMAR, 1e-9, s)
	}
}

func FuzzParseAcuity(f *testing.F) {
	for _, s := range []string{"6/6-2", "20/20", "0.8", "0.1 logMAR", "\u22120,1 logmar", "6/0", "6/7.5 + 1", "....", "6//6"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := ParseAcuity(s)
		if err != nil {
			assert.Zero(t, v)
			assert.NotEmpty(t, err.Error())
			return
		}
		assert.Equal(t, s, v.Written)
		assert.GreaterOrEqual(t, v.LogMAR, -0.5)
		assert.LessOrEqual(t, v.LogMAR, 2.0)
		_, err = ParseAcuity(FormatAcuity(v.LogMAR))
		assert.NoError(t, err)
	})
}
