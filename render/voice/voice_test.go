package voice

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

var german = Voice{Language: "de"}

func TestValues(t *testing.T) {
	for _, c := range []struct {
		value  any
		en, de string
	}{
		{fact.Power(-1.25), "−1.25", "−1,25"},
		{fact.Power(0.125), "+0.12", "+0,12"}, // as people write eighths
		{fact.Power(0.376), "+0.38", "+0,38"},
		{fact.Power(-0.001), "0.00", "0,00"},
		{fact.Amount(-0.5), "0.50", "0,50"},
		{fact.Degrees(35), "35", "35"},
		{fact.Turn(5), "+5", "+5"},
		{fact.Turn(-5), "−5", "−5"},
		{fact.Count(3), "3", "3"},
		{fact.Number(2.5), "2.5", "2,5"},
		{fact.Points(34.5), "34.5", "34,5"},
		{fact.Points(34.999), "35", "35"},
		{fact.Row(0), "6/6", "1,0"},
		{fact.Row(0.1), "6/7.5", "0,8"},
		{fact.Row(1), "6/60", "0,1"},
		{fact.LogMAR(0.14), "6/7.5−2", "0,8 −2"},
		{fact.LogMAR(0.08), "6/7.5+1", "0,8 +1"},
		{fact.Seconds(59.4), "59 s", "59 s"},
		{fact.Seconds(245), "4 min 5 s", "4 min 5 s"},
		{245 * time.Second, "4:05", "4:05"},
		{time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC), "2026-11-25", "25.11.2026"},
		{fact.Events{1, 4}, "1, 4", "1, 4"},
		{fact.Events{1, 2, 3, 4, 5, 6, 7, 8, 9}, "1, 2, 3, 4, 5, 6, 7, 8, …", "1, 2, 3, 4, 5, 6, 7, 8, …"},
		{optics.Rx{Sphere: -1, Cyl: -1.25, Axis: 180}, "−1.00 / −1.25 x 180", "sph −1,00 zyl −1,25 A 180°"},
		{optics.Rx{Cyl: -1, Axis: 0}, "plano / −1.00 x 180", "plan zyl −1,00 A 180°"},
		{optics.Rx{Sphere: 0.5}, "+0.50 DS", "sph +0,50"},
		{optics.Rx{}, "plano", "plan"},
		{optics.SphereOf(0.5), "+0.50 sphere", "sph +0,50"},
		{optics.CylinderOf(-1, 35), "−1.00 cylinder axis 35", "zyl −1,00 A 35°"},
		{[]string{"a", "b", "c"}, "a, b and c", "a, b und c"},
		{[]string{"a"}, "a", "a"},
		{[]fact.Power{1, -1}, "+1.00 and −1.00", "+1,00 und −1,00"},
	} {
		assert.Equal(t, c.en, English.Value(c.value), "%T", c.value)
		assert.Equal(t, c.de, german.Value(c.value), "%T", c.value)
	}
}

func TestTemplates(t *testing.T) {
	say := func(template string, pairs ...any) string {
		return English.fill(template, fact.New("x", pairs...).Values)
	}
	assert.Equal(t, "1 step", say("{n:step|steps}", "n", fact.Count(1)))
	assert.Equal(t, "0 steps", say("{n:step|steps}", "n", 0))
	assert.Equal(t, "2 steps of 5", say("{n:step|steps} of {all}", "n", 2, "all", 5))
	assert.Equal(t, "show a, b or c", say("show {all/or}", "all", []string{"a", "b", "c"}))
	assert.Equal(t, "a {hole}", say("a {hole}"), "what is missing is seen")
}

func TestErrors(t *testing.T) {
	err := fact.Because(fs.ErrNotExist, "list.and", "before", "x")
	assert.Equal(t, "x and {last}", English.Error(err))
	assert.Equal(t, "there is no such file", English.Error(fmt.Errorf("open x: %w", fs.ErrNotExist)))
	assert.Equal(t, "diese Datei gibt es nicht", german.Error(&fs.PathError{Op: "open", Path: "x", Err: fs.ErrNotExist}))
	assert.Equal(t, "+1.00 sphere\nplano", English.Error(errors.Join(fact.Refuse("lens.sphere", "power", fact.Power(1)), fact.Refuse("rx.plano"))))
	assert.Equal(t, "odd", English.Error(errors.New("odd")))
	assert.Equal(t, "no.words (n 3)", English.Text("no.words", "n", 3))
}

func TestSentences(t *testing.T) {
	assert.Equal(t, "No chart is shown.", English.Sentence("no chart is shown"))
	assert.Equal(t, "Über 5.", german.Sentence("über 5"))
	assert.Equal(t, "Really?", English.Sentence("really?"))
	assert.Empty(t, English.Sentence(""))
}

func TestOneVoiceForEachLanguage(t *testing.T) {
	assert.Equal(t, german, In("de"))
	assert.Equal(t, English, In("xx"))
}

// What is written of a refraction or a lens can be written back to the program.
func TestNotationIsReadBack(t *testing.T) {
	quarters := func(t *rapid.T, most int, name string) float64 {
		return float64(rapid.IntRange(-4*most, 4*most).Draw(t, name)) / 4
	}
	rapid.Check(t, func(t *rapid.T) {
		rx := optics.Rx{Sphere: quarters(t, 20, "sphere"), Cyl: quarters(t, 6, "cyl")}
		if rx.Cyl != 0 {
			rx.Axis = float64(rapid.IntRange(1, 180).Draw(t, "axis"))
		}
		lenses := []optics.Lens{optics.SphereOf(rx.Sphere)}
		if rx.Cyl != 0 {
			lenses = append(lenses, optics.CylinderOf(rx.Cyl, rx.Axis), optics.Lens{Kind: optics.CylinderLens, Power: rx.Cyl})
		}
		for _, v := range []Voice{English, german} {
			got, err := optics.ParseRx(v.Value(rx))
			require.NoError(t, err, v.Value(rx))
			require.Equal(t, rx, got, v.Value(rx))
			for _, l := range lenses {
				got, err := optics.ParseLens(v.Value(l))
				require.NoError(t, err, v.Value(l))
				require.Equal(t, l, got, v.Value(l))
			}
		}
	})
}

// A moment has the name of its month, a day the order that its language has it in.
func TestMoments(t *testing.T) {
	at := fact.Moment{Time: time.Date(2031, 3, 4, 9, 5, 0, 0, time.UTC)}
	assert.Equal(t, "4 March 2031, 09:05", English.Value(at))
	assert.Equal(t, "4. März 2031, 09:05 Uhr", In("de").Value(at))
	for _, l := range []string{"en", "de"} {
		assert.Len(t, strings.Fields(In(l).Text("style.months")), 12)
	}
	data, err := json.Marshal(at)
	require.NoError(t, err)
	assert.Equal(t, `"2031-03-04 09:05"`, string(data))
}
