package words

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// No word means two commands, or two of the words that may follow one, whatever
// the language; none is a name of its own already, and all can be written at once.
func TestFurtherNamesAreOfOneThing(t *testing.T) {
	for _, group := range []string{"command.names.", "command.words."} {
		own := map[string]bool{}
		for _, key := range assets.Keys(assets.English) {
			if name, is := strings.CutPrefix(key, group); is {
				own[name] = true
			}
		}
		means := map[string]string{}
		for _, language := range assets.Languages() {
			for _, key := range assets.Keys(language) {
				name, is := strings.CutPrefix(key, group)
				if !is {
					continue
				}
				for _, word := range assets.Words(language, key) {
					assert.Equal(t, strings.ToLower(word), word)
					assert.Len(t, strings.Fields(word), 1, word)
					assert.False(t, own[word], "%q is a word of its own already", word)
					assert.Empty(t, means[word], "%q cannot mean %q as well", word, name)
					means[word] = name
				}
			}
		}
		assert.NotEmpty(t, means)
	}
}

// Every command is read by each of its names as by its own.
func TestFurtherNamesAreRead(t *testing.T) {
	s := scene(t, "-0.50", "-1.00x35")
	s.Questions = []patient.Question{patient.WhichLimb, patient.WithLens, patient.OneOrTwo}
	for _, c := range commands() {
		for _, language := range assets.Languages() {
			for _, name := range assets.Words(language, "command.names."+c.name) {
				for _, example := range c.examples {
					want, err := Parse(example, s)
					require.NoError(t, err)
					line := voice.English.Capital(name) + strings.TrimPrefix(example, c.name)
					got, err := Parse(line, s)
					require.NoError(t, err, line)
					assert.Equal(t, want, got, line)
				}
			}
		}
	}
}

// A label can be typed as an hour, a thirtieth of it, in either language, and where dials have
// hours it is written so; axes of lenses are degrees everywhere. 7 o'clock is the other end of
// the line from 1.
func TestLabelsAreReadAsHours(t *testing.T) {
	s := scene(t, "-0.50", "-1.00x35")
	for line, want := range map[string]int{
		"arrow 1 o'clock": 30, "arrow to 12½ o’clock": 15, "arrow 1.5 o'clock": 45, "arrow 7 o'clock": 30, "arrow 6 o'clock": 180, "arrow 12 O'Clock": 180,
		"arrow 1 o'clock +7": 37, "arrow 1½ o’clock −7°": 38, "arrow 12 o'clock -1": 179, "Pfeil auf 1,5 Uhr": 45, "pfeil 6 uhr -1°": 179, "arrow 30": 30, "arrow 1": 1,
	} {
		got, err := Parse(line, s)
		require.NoError(t, err, line)
		assert.Equal(t, sitting.Action{Do: sitting.Point, Axis: want}, got, line)
	}
	for _, line := range []string{"arrow 0 o'clock", "arrow 13 o'clock", "arrow 1.2 o'clock", "arrow 1 o'clock 7", "arrow o'clock", "arrow 1 o'clock +7 +7", "turn 1 o'clock"} {
		_, err := Parse(line, s)
		assert.ErrorAs(t, err, new(*Unclear), line)
	}
	for _, v := range []voice.Voice{voice.English, voice.In("de")} {
		hours := v.By(chart.ByHour)
		for label := 1; label <= 180; label++ {
			point := sitting.Action{Do: sitting.Point, Axis: label}
			leads := sitting.Action{Do: sitting.Ask, Question: patient.WhichLines, Leading: strconv.Itoa(label)}
			for _, a := range []sitting.Action{point, leads} {
				line := Written(hours, a)
				assert.Contains(t, line, v.Text("label.hour", "hour", "")[1:])
				assert.NotContains(t, Written(v, a), v.Text("label.hour", "hour", "")[1:])
				got, err := Parse(line, s)
				require.NoError(t, err, line)
				assert.Equal(t, a, got, line)
			}
		}
	}
	hours := voice.English.By(chart.ByHour)
	assert.Equal(t, "turn 30", Written(hours, sitting.Action{Do: sitting.Turn, Axis: 30}))
	_, err := Parse("arrow", s)
	assert.Contains(t, hours.Error(err), "such as arrow 1 o’clock, or a turn, such as arrow +5")
	_, err = Parse("ask lines leading up", s)
	assert.Contains(t, hours.Error(err), "a label such as 1 o’clock")
	assert.Contains(t, voice.English.Error(err), "a label such as 30")
	rx := optics.Rx{Sphere: -1}
	end := sitting.Action{Do: sitting.End, Rx: &rx, Acuity: patient.Acuity{Written: "20/20-2", LogMAR: 0.04}}
	assert.Equal(t, Written(voice.English, end), Written(hours, end), "hours change nothing else")
}

// German lines, and the actions that they are.
func TestGermanIsRead(t *testing.T) {
	s := scene(t, "-0.50", "-1.00x35")
	s.Questions = []patient.Question{patient.WhichBlock}
	for line, want := range map[string]sitting.Action{
		"setze +0,50":                   {Do: sitting.Put, Lens: optics.SphereOf(0.5)},
		"setze Lochblende vorn 2":       {Do: sitting.Put, Lens: optics.Pinhole(), Cell: sitting.In(optics.Front2)},
		"nimm den Zylinder heraus":      {Do: sitting.Take, Cell: sitting.In(optics.Front1)},
		"nimm hinten":                   {Do: sitting.Take, Cell: sitting.In(optics.Back)},
		"tausche Sphäre gegen +0,75":    {Do: sitting.Exchange, Lens: optics.SphereOf(0.75)},
		"tausche Zylinder auf -1,25":    {Do: sitting.Exchange, Lens: optics.Lens{Kind: optics.CylinderLens, Power: -1.25}},
		"tausche -0,75 alt zuerst":      {Do: sitting.Exchange, Lens: optics.SphereOf(-0.75), OldFirst: true},
		"gib +0,25":                     {Do: sitting.Exchange, Lens: optics.SphereOf(-0.25), Cell: sitting.In(optics.Back)},
		"gib -0,25 zyl":                 {Do: sitting.Exchange, Lens: optics.CylinderOf(-1.25, 35), Cell: sitting.In(optics.Front1)},
		"drehe Zylinder auf 40":         {Do: sitting.Turn, Axis: 40},
		"halte +0,50 vor":               {Do: sitting.Hold, Lens: optics.SphereOf(0.5)},
		"weg":                           {Do: sitting.Lower},
		"decke das linke Auge":          {Do: sitting.Cover, Eye: sitting.Left},
		"öffne rechts":                  {Do: sitting.Uncover, Eye: sitting.Right},
		"zeige Strahlenfigur":           {Do: sitting.Show, Chart: chart.Fan},
		"zeige den Rot-Grün-Test":       {Do: sitting.Show, Chart: chart.Duochrome},
		"zeige Buchstabe 0,5":           {Do: sitting.Show, Chart: chart.Letter, Size: size(0.3)},
		"Pfeil auf 30":                  {Do: sitting.Point, Axis: 30},
		"frage":                         {Do: sitting.Ask, Question: patient.WhichBlock},
		"frage Schenkel":                {Do: sitting.Ask, Question: patient.WhichLimb},
		"frage Zeile 0,8":               {Do: sitting.Ask, Question: patient.ReadLetters, Size: size(0.1)},
		"frage Zeile 5/5":               {Do: sitting.Ask, Question: patient.ReadLetters, Size: size(0)},
		"frage Glas suggestiv kleiner":  {Do: sitting.Ask, Question: patient.WithLens, Leading: "smaller"},
		"frage Blöcke suggestiv rechts": {Do: sitting.Ask, Question: patient.WhichBlock, Leading: "perpendicular"},
		"erkläre":                       {Do: sitting.Explain},
		"setze zyl −1,00 A 35°":         {Do: sitting.Put, Lens: optics.CylinderOf(-1, 35)},
		"nimm zyl −1,00 A 35°":          {Do: sitting.Take, Lens: optics.CylinderOf(-1, 35)},
		"tausche gegen zyl −1,25 A 40°": {Do: sitting.Exchange, Lens: optics.CylinderOf(-1.25, 40)},
		"Ergebnis sph −1,00 zyl −2,00 A 30° Visus 1,0p": {Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}, Acuity: acuity("1,0p")},
		"notiere Visus 0,8p":                          {Do: sitting.Note, Field: "vision", Text: "0,8p"},
		"notiere bestes sphärisches Glas links -1,50": {Do: sitting.Note, Field: "best sphere", Text: "links -1,50"},
		"Ergebnis -1,00/-2,00x30 Visus 0,8 -2":        {Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}, Acuity: acuity("0,8 -2")},
	} {
		got, err := Parse(line, s)
		require.NoError(t, err, line)
		assert.Equal(t, want, got, line)
	}
}

// A bare number is logMAR, as ever; with a decimal comma it is an acuity.
func TestRowByPointAndByComma(t *testing.T) {
	for text, want := range map[string]float64{
		"0.8": 0.8, "0,8": 0.1, "1,0": 0, "1.0": 1, "1": 1, "-0,1": -0.1, "0,8 logMAR": 0.8,
	} {
		got, err := row([]string{text})
		require.NoError(t, err, text)
		assert.InDelta(t, want, *got, 1e-9, text)
	}
}

func TestName(t *testing.T) {
	assert.Equal(t, "help", Name("Hilfe"))
	assert.Equal(t, "show", Name("SHOW"))
	assert.Equal(t, "dance", Name("Dance"))
}

func acuity(written string) patient.Acuity {
	a, err := patient.ParseAcuity(written)
	if err != nil {
		panic(err)
	}
	return a
}
