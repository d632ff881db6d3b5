package voice

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/assets"
	"conoid/sim/chart"
	"conoid/sim/patient"
)

func lines(angles ...float64) patient.Answer {
	return patient.Answer{Kind: patient.Lines, Lines: angles}
}

// With variant 0 the names are the first of their lists. Angles are in the
// patient's view: the line at 60 degrees points to one o'clock, and its label
// is the axis 30 (rule of 30: the lower hour times 30 is the axis of the minus
// cylinder, common practice).
func TestLinesAreNamed(t *testing.T) {
	for _, c := range []struct {
		chart  chart.Name
		labels chart.Labels
		angles []float64
		want   string
	}{
		{chart.Fan, chart.ByAxis, []float64{60}, "The one marked 30."},
		{chart.Fan, chart.ByAxis, []float64{90}, "The one marked 180."},
		{chart.Fan, chart.ByAxis, []float64{0}, "The one marked 90."},
		{chart.Fan, chart.ByAxis, []float64{50, 60}, "The ones marked 30 and 40."},
		{chart.Fan, chart.ByAxis, []float64{60, 50}, "The ones marked 30 and 40."},
		{chart.Fan, chart.ByAxis, []float64{40, 50, 60}, "The ones from 30 to 50."},
		{chart.Fan, chart.ByAxis, []float64{80, 90, 100}, "The ones from 170 to 10."},
		{chart.Fan, chart.ByAxis, []float64{170, 0, 10}, "The ones from 80 to 100."},
		{chart.Fan, chart.ByAxis, []float64{20, 30, 40, 50, 60, 70, 80, 90, 100, 110, 120, 130, 140}, "The ones from 130 to 70."},
		{chart.Sunburst, chart.ByAxis, []float64{55}, "The one halfway between 30 and 40."},
		{chart.Sunburst, chart.ByAxis, []float64{85}, "The one halfway between 180 and 10."},
		{chart.Sunburst, chart.ByAxis, []float64{55, 60}, "The one marked 30 and the one halfway between 30 and 40."},
		{chart.Sunburst, chart.ByAxis, []float64{50, 55, 60, 65}, "All from the one halfway between 20 and 30 to the one marked 40."},

		{chart.Clock, chart.ByHour, []float64{60}, "The one from one o’clock to seven o’clock."},
		{chart.Clock, chart.ByHour, []float64{90}, "The one from twelve o’clock to six o’clock."},
		{chart.Clock, chart.ByHour, []float64{0}, "The one from three o’clock to nine o’clock."},
		{chart.Clock, chart.ByHour, []float64{120}, "The one from five o’clock to eleven o’clock."},
		{chart.Clock, chart.ByHour, []float64{60, 90}, "The ones at twelve o’clock and one o’clock."},
		{chart.Clock, chart.ByHour, []float64{90, 120}, "The ones at five o’clock and six o’clock."},
		{chart.Clock, chart.ByHour, []float64{0, 30, 60}, "The ones from one o’clock to three o’clock."},
		{chart.Sunburst, chart.ByHour, []float64{45}, "The one at halfway between one and two o’clock."},

		{chart.Fan, chart.ByHour, []float64{60}, "The one at one o’clock."},
		{chart.Fan, chart.ByHour, []float64{150}, "The one at ten o’clock."},
		{chart.Fan, chart.ByHour, []float64{50}, "The one at just past one o’clock."},
		{chart.Fan, chart.ByHour, []float64{40}, "The one at just before two o’clock."},
		{chart.Fan, chart.ByHour, []float64{100}, "The one at just before twelve o’clock."},
		{chart.Fan, chart.ByHour, []float64{0}, "The one from three o’clock to nine o’clock."},
		{chart.Fan, chart.ByHour, []float64{80, 90, 100}, "The ones from just before twelve o’clock to just past twelve o’clock."},
		{chart.Fan, chart.ByHour, []float64{170, 0}, "The ones at three o’clock and just past nine o’clock."},
		{chart.Fan, chart.ByHour, []float64{170, 0, 10}, "The low ones at both ends, up to just before three o’clock and just past nine o’clock."},

		{chart.Fan, chart.NoLabels, []float64{60}, "The one like a clock hand at one o’clock."},
		{chart.Clock, chart.NoLabels, []float64{120}, "The one like a clock hand at five o’clock."},
		{chart.Fan, chart.NoLabels, []float64{60, 50, 40}, "The ones like clock hands from one o’clock to just before two o’clock."},
	} {
		assert.Equal(t, c.want, English.Answer(lines(c.angles...), c.labels, c.chart), "%v %v %v", c.chart, c.labels, c.angles)
	}
}

// What is taken back is said, and then what holds.
func TestAChangeOfMindIsHeard(t *testing.T) {
	a := patient.Answer{Kind: patient.Right, First: patient.Left}
	assert.Equal(t, "The left one. No, wait. The right one.", English.Answer(a, chart.ByAxis, chart.Arrow))
	assert.Equal(t, "Die linke. Nein, warten Sie. Die rechte.", In("de").Answer(a, chart.ByAxis, chart.Arrow))
	a = patient.Answer{Kind: patient.Perpendicular, First: patient.Alike}
	assert.Equal(t, "Both blocks look the same. No, wait. The right block, with the bars across the arrow.", English.Answer(a, chart.ByAxis, chart.Blocks))
}

// The hours that a patient says must be those printed at the ends of that
// line on the chart; on the mirrored clock 1 and 11 change places.
func TestHoursAreThoseOnTheChart(t *testing.T) {
	spoken := map[string]string{}
	for i, name := range assets.Words(assets.English, "say.hours.names") {
		spoken[strconv.Itoa((i+11)%12+1)] = name + " o’clock"
	}
	c := chart.Named(chart.Clock).Draw(chart.Hung{Labels: chart.ByHour})
	require.Len(t, c.Labels, 12)
	for _, l := range chart.Named(chart.Clock).Marks(chart.Hung{}) {
		said := strings.ToLower(English.Answer(lines(l.Angle), chart.ByHour, chart.Clock))
		named := 0
		for _, printed := range c.Labels {
			across := printed.At.X*l.Centre.Y - printed.At.Y*l.Centre.X
			if across < 1e-6 && across > -1e-6 {
				assert.Contains(t, said, spoken[printed.Text])
				named++
			}
		}
		assert.Equal(t, 2, named)
	}
}

// The blocks are named by the side that they hang on.
func TestParallelBlockIsOnTheLeft(t *testing.T) {
	parallel, perpendicular := chart.BlockLines(30)
	require.Less(t, parallel.Centre.X, perpendicular.Centre.X)
	for v := range uint32(12) {
		assert.Regexp(t, `(?i)left.*(along|with|arrow’s way)|(along|with).*left`, English.Answer(patient.Answer{Kind: patient.Parallel, Variant: v}, chart.ByAxis, chart.Blocks))
		assert.Regexp(t, `(?i)right.*(across|crossways)|across.*right`, English.Answer(patient.Answer{Kind: patient.Perpendicular, Variant: v}, chart.ByAxis, chart.Blocks))
	}
}

func TestLettersAreReadOut(t *testing.T) {
	row := func(said string) patient.RowRead { return patient.RowRead{Shown: "HVZDE", Said: said} }
	read := func(rows ...patient.RowRead) patient.Answer { return patient.Answer{Kind: patient.Read, Rows: rows} }

	assert.Equal(t, "H, V, Z.", English.Answer(read(row("HVZ")), chart.ByAxis, chart.Letters))
	assert.Equal(t, "H, something, Z.", English.Answer(read(row("H.Z")), chart.ByAxis, chart.Letters))
	assert.Equal(t, "H, V, Z. Next, D, E, one I can’t get. I can’t read any of those.",
		English.Answer(read(row("HVZ"), row("DE."), row("...")), chart.ByAxis, chart.Letters))
	assert.Equal(t, "I can’t make out a thing up there.", English.Answer(read(row(".....")), chart.ByAxis, chart.Letters))
	assert.Equal(t, "That’s H.", English.Answer(read(row("H")), chart.ByAxis, chart.Letter))
	assert.Equal(t, "I can’t make out that one.", English.Answer(read(row(".")), chart.ByAxis, chart.Letter))
}

var kinds = []patient.Kind{
	patient.Lines, patient.Alike, patient.Blurred, patient.Unsure, patient.Changing, patient.Left, patient.Right,
	patient.Parallel, patient.Perpendicular, patient.RedClearer, patient.GreenClearer, patient.Read,
	patient.Better, patient.Worse, patient.Smaller, patient.Same, patient.Again,
}

// Whatever the answer, what is said is a sentence of its own; a question only
// where it asks to be shown something again.
func TestEveryAnswerIsASentence(t *testing.T) {
	charts := append(chart.Names(), chart.NoChart)
	rapid.Check(t, func(t *rapid.T) {
		a := patient.Answer{
			Kind:    rapid.SampledFrom(kinds).Draw(t, "kind"),
			Variant: rapid.Uint32().Draw(t, "variant"),
		}
		if a.Kind != patient.Again {
			a.First = rapid.SampledFrom(append([]patient.Kind{"", "", ""}, kinds[:len(kinds)-1]...)).Draw(t, "taken back")
		}
		first := 5 * rapid.IntRange(0, 35).Draw(t, "first")
		for i := range rapid.IntRange(0, 8).Draw(t, "lines") {
			a.Lines = append(a.Lines, float64((first+5*i)%180))
		}
		for range rapid.IntRange(0, 4).Draw(t, "rows") {
			a.Rows = append(a.Rows, patient.RowRead{Said: rapid.StringMatching(`[CDEFHKNPRUVZ.]{0,5}`).Draw(t, "said")})
		}
		labels := chart.Labels(rapid.IntRange(0, 2).Draw(t, "labels"))
		name := rapid.SampledFrom(charts).Draw(t, "chart")

		said := English.Answer(a, labels, name)
		require.Regexp(t, `^[\p{Lu}0-9].*[.?]$`, said)
		require.Equal(t, a.Kind == patient.Again, strings.HasSuffix(said, "?"), said)
		require.NotRegexp(t, `[{}]|[,.] ?[,.]|  | [,.]`, said)
		require.Equal(t, said, English.Answer(a, labels, name), "the same answer in the same words")
	})
}

// A patient does not know the trade’s words.
func TestPatientSpeaksPlainly(t *testing.T) {
	for _, key := range assets.Keys(assets.English) {
		if !strings.HasPrefix(key, "say.") || strings.HasPrefix(key, "say.ask.") {
			continue
		}
		for _, w := range assets.Words(assets.English, key) {
			assert.NotRegexp(t, regexp.MustCompile(`(?i)axis|dioptre|cylinder|sphere|parallel|perpendicular|meridian`), w, key)
		}
	}
}

func TestEveryKindAndQuestionHasWords(t *testing.T) {
	for _, k := range kinds {
		if key, ok := keys[k]; ok {
			assert.NotEmpty(t, assets.Words(assets.English, "say."+key), "%s", k)
		}
	}
	for _, name := range append(chart.Names(), chart.NoChart) {
		assert.NotEmpty(t, assets.Words(assets.English, "say.alike."+judged(name)), "%s", name)
		assert.NotEmpty(t, assets.Words(assets.English, "say.blurred."+judged(name)), "%s", name)
	}
}

func TestAsk(t *testing.T) {
	questions := []patient.Question{
		patient.WhichLines, patient.WhichLimb, patient.WhichBlock, patient.ReadLetters,
		patient.WhichColour, patient.WithLens, patient.OneOrTwo,
	}
	for _, q := range questions {
		assert.NotEmpty(t, assets.Words(assets.English, "say.ask."+string(q)), "%s", q)
		neutral, led := English.Examiner().Ask(q, ""), English.Examiner().Ask(q, "better")
		assert.NotEqual(t, neutral, led)
		for _, s := range []string{neutral, led} {
			assert.True(t, unicode.IsUpper([]rune(s)[0]), s)
			assert.True(t, strings.HasSuffix(s, "?") || s == English.Examiner().Ask(patient.ReadLetters, ""), s)
		}
	}
	assert.Equal(t, "Isn’t the left side the clearer?", English.Examiner().Ask(patient.WhichLimb, "left"))
	assert.Equal(t, "Isn’t the line at 30 the clearest?", English.Examiner().Ask(patient.WhichLines, "30"))
	assert.Equal(t, "Isn’t that the same?", English.Examiner().Ask(patient.OneOrTwo, "same"))
	// A question that does not lead names every answer that can be given.
	assert.Regexp(t, "left.*right.*alike", English.Examiner().Ask(patient.WhichLimb, ""))
	assert.Regexp(t, "red.*green.*alike", English.Examiner().Ask(patient.WhichColour, ""))
}
