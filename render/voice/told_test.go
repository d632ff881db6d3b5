package voice

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

func size(logMAR float64) *float64 { return &logMAR }

// behind is a frame with lenses from the back cell outward.
func behind(lenses ...optics.Lens) optics.Frame {
	f := optics.NewFrame(0.012)
	copy(f.Lenses[:], lenses)
	return f
}

func TestFrame(t *testing.T) {
	f := behind(optics.SphereOf(0.5), optics.CylinderOf(-1, 35))
	assert.Equal(t, "+0.50 sphere · −1.00 cylinder axis 35", English.Frame(f))
	assert.Equal(t, "sph +0,50 · zyl −1,00 A 35°", german.Frame(f))

	f.Lenses[optics.Front2], f.Held = optics.Pinhole(), optics.SphereOf(0.5)
	assert.Equal(t, "+0.50 sphere · −1.00 cylinder axis 35 · pinhole (front 2) · +0.50 sphere held up", English.Frame(f))
	assert.Equal(t, "sph +0,50 · zyl −1,00 A 35° · Lochblende (vorn 2) · sph +0,50 vorgehalten", german.Frame(f))

	assert.Equal(t, "no lenses", English.Frame(behind()))
	assert.Equal(t, "keine Gläser", german.Frame(behind()))
	cylinderBehind := behind(optics.CylinderOf(-1, 35), optics.SphereOf(0.5))
	assert.Equal(t, []string{"−1.00 cylinder axis 35 (back)", "+0.50 sphere (front 1)"}, English.Lenses(cylinderBehind))
}

// Weak lenses act as they are marked; 10 D at 5 mm before the back cell is worth
// 10.53 D there (effectivity, handbook formula).
func TestWorn(t *testing.T) {
	assert.Empty(t, English.Worn(behind(optics.SphereOf(0.5), optics.CylinderOf(-1, 35)), 6))
	strong := behind(optics.Lens{}, optics.SphereOf(10))
	assert.Equal(t, "Where they stand they act as +10.53 DS would in the back cell.", English.Worn(strong, math.Inf(1)))
	assert.Equal(t, "An ihrem Platz wirken sie wie sph +10,53 im hinteren Glashalter.", german.Worn(strong, math.Inf(1)))
}

// after is how things stand after an event: a right eye behind two lenses.
func after() sitting.State {
	return sitting.State{
		Frames:  [2]optics.Frame{behind(optics.SphereOf(0.5), optics.CylinderOf(-1, 35)), behind()},
		Chart:   chart.Arrow,
		Pointer: 170,
	}
}

var room = sitting.Room{Distance: 6, Vertex: 0.012}

// statedWith is an end point with an acuity as somebody typed it.
func statedWith(acuity string) sitting.Action {
	a, err := patient.ParseAcuity(acuity)
	if err != nil {
		panic(err)
	}
	return sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1}, Acuity: a}
}

func TestDone(t *testing.T) {
	for _, c := range []struct {
		do     sitting.Action
		en, de string
	}{
		{sitting.Action{Do: sitting.Put, Eye: sitting.Right}, "Right eye: +0.50 sphere · −1.00 cylinder axis 35.", "Rechtes Auge: sph +0,50 · zyl −1,00 A 35°."},
		{sitting.Action{Do: sitting.Take, Eye: sitting.Left}, "Left eye: no lenses.", "Linkes Auge: keine Gläser."},
		{sitting.Action{Do: sitting.Cover, Eye: sitting.Left}, "The left eye is covered.", "Das linke Auge ist abgedeckt."},
		{sitting.Action{Do: sitting.Uncover, Eye: sitting.Right}, "The right eye is open.", "Das rechte Auge ist frei."},
		{sitting.Action{Do: sitting.Show}, "On the wall: the arrow, pointing to 170.", "An der Wand: der Pfeil, auf 170 gerichtet."},
		{sitting.Action{Do: sitting.Point}, "The arrow points to 170.", "Der Pfeil zeigt auf 170."},
		{sitting.Action{Do: sitting.Explain}, "You explain what is wanted: to say what is seen, and that there are no wrong answers.", "Sie erklären die Aufgabe: Gefragt ist nur, was man sieht; falsche Antworten gibt es nicht."},
		{sitting.Action{Do: sitting.Note, Field: "fan axis", Text: "30"}, "On the card: fan axis: 30.", "Auf der Karteikarte: Achse aus der Strahlenfigur: 30."},
		{sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}}, "End point: −1.00 / −2.00 x 30.", "Ergebnis: sph −1,00 zyl −2,00 A 30°."},
		{sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1}, Acuity: patient.Acuity{Written: "6/6-2", LogMAR: 0.04}}, "End point: −1.00 DS, 6/6−2.", "Ergebnis: sph −1,00, Visus 1,0 −2."},
		{statedWith("6/4.8"), "End point: −1.00 DS, 6/4.8.", "Ergebnis: sph −1,00, Visus 1,25."},
		{statedWith("0,8p"), "End point: −1.00 DS, 6/7.5−2.", "Ergebnis: sph −1,00, Visus 0,8p."},
		{statedWith("0.7"), "End point: −1.00 DS, 6/9.5+2.", "Ergebnis: sph −1,00, Visus 0,7."},
		{statedWith("6/9"), "End point: −1.00 DS, 6/9.", "Ergebnis: sph −1,00, Visus 0,63 +1."},
		{statedWith("0.10 logMAR"), "End point: −1.00 DS, 6/7.5.", "Ergebnis: sph −1,00, Visus 0,8."},
		{sitting.Action{Do: sitting.Ask}, "", ""},
	} {
		e := sitting.Event{Action: c.do}
		assert.Equal(t, c.en, English.Done(e, after(), room), "%v", c.do.Do)
		assert.Equal(t, c.de, german.Done(e, after(), room), "%v", c.do.Do)
	}
	strong := after()
	strong.Frames[0].Lenses = [optics.Cells]optics.Lens{optics.Front1: optics.SphereOf(10)}
	assert.Contains(t, English.Done(sitting.Event{Action: sitting.Action{Do: sitting.Put, Eye: sitting.Right}}, strong, room), ". Where they stand they act as")
}

func TestWall(t *testing.T) {
	for _, c := range []struct {
		chart  chart.Name
		labels chart.Labels
		en, de string
	}{
		{chart.NoChart, chart.ByAxis, "nothing", "nichts"},
		{chart.Fan, chart.ByAxis, "the fan, its lines marked with the axis of the minus cylinder", "die Strahlenfigur, die Linien mit der Achse des Minuszylinders beschriftet"},
		{chart.Clock, chart.ByHour, "the clock dial, its lines marked with the hours", "das Zifferblatt, die Linien mit den Stunden beschriftet"},
		{chart.Sunburst, chart.NoLabels, "the sunburst, its lines not marked", "der Strahlenkranz, die Linien unbeschriftet"},
		{chart.Arrow, chart.ByAxis, "the arrow, pointing to 170", "der Pfeil, auf 170 gerichtet"},
		{chart.Blocks, chart.ByAxis, "the two blocks, with the arrow at 170: the bars of the left block run with it, those of the right block across it", "die Blöcke, mit dem Pfeil auf 170: Die Balken des linken Blocks verlaufen in Pfeilrichtung, die des rechten quer dazu"},
		{chart.Letters, chart.ByAxis, "the letter chart, rows from 6/60 down", "die Buchstabentafel, Zeilen ab 0,1"},
		{chart.Letter, chart.ByAxis, "a single letter of 6/12 (0.3 logMAR)", "ein einzelner Buchstabe: 0,5 (0,3 logMAR)"},
		{chart.Duochrome, chart.ByAxis, "the duochrome, red on the left and green on the right", "der Rot-Grün-Test, links Rot und rechts Grün"},
	} {
		st := after()
		st.Chart, st.Size = c.chart, 0.3
		assert.Equal(t, c.en, English.Wall(st, c.labels))
		assert.Equal(t, c.de, german.Wall(st, c.labels))
	}
}

func TestQuestion(t *testing.T) {
	row := sitting.Action{Question: patient.ReadLetters, Size: size(0.1)}
	assert.Equal(t, "Please read the row of 6/7.5.", English.Examiner().Question(row, chart.Letters))
	assert.Equal(t, "Bitte lesen Sie die Zeile 0,8 vor.", german.Examiner().Question(row, chart.Letters))
	letter := sitting.Action{Question: patient.ReadLetters}
	assert.Equal(t, "Please read the letter.", English.Examiner().Question(letter, chart.Letter))
	assert.Equal(t, "Bitte lesen Sie den Buchstaben vor.", german.Examiner().Question(letter, chart.Letter))
	for _, v := range []Voice{English, german} {
		leading := sitting.Action{Question: patient.WhichLimb, Leading: "left"}
		assert.Equal(t, v.Examiner().Ask(patient.WhichLimb, "left"), v.Examiner().Question(leading, chart.Arrow))
	}
}

func TestRows(t *testing.T) {
	a := patient.Answer{Kind: patient.Read, LogMAR: 0.26, Rows: []patient.RowRead{
		{LogMAR: 0.3, Shown: "HVCZN", Said: "HVCZN"}, {LogMAR: 0.2, Shown: "DEFHK", Said: "DF..K"},
	}}
	assert.Equal(t, []string{
		"6/12   HVCZN   read HVCZN   5 of 5",
		"6/9.5  DEFHK   read DF..K   2 of 5",
		"That makes 6/12+2 (0.26 logMAR).",
	}, English.Rows(a))
	assert.Equal(t, []string{
		"0,5    HVCZN   gelesen HVCZN   5 von 5",
		"0,63   DEFHK   gelesen DF..K   2 von 5",
		"Das ergibt 0,5 +2 (0,26 logMAR).",
	}, german.Rows(a))
	assert.Empty(t, English.Rows(patient.Answer{Kind: patient.Alike}))

	a.Rows = []patient.RowRead{{LogMAR: 0.3, Shown: "H", Said: "N"}}
	assert.Equal(t, []string{"6/12   H   read N   0 of 1"}, English.Rows(a), "one letter is no acuity")
}

func TestAcuityWithItsLogMAR(t *testing.T) {
	assert.Equal(t, "6/7.5−2 (0.14 logMAR)", style{English}.measured(0.14))
	assert.Equal(t, "0,8 −2 (0,14 logMAR)", style{german}.measured(0.14))
	assert.Equal(t, "6/4.8 (−0.10 logMAR)", style{English}.measured(-0.1))
	assert.Equal(t, "6/4.8 (−0.1 logMAR)", style{English}.size(-0.1))
	assert.Equal(t, "1,0 (0,0 logMAR)", style{german}.size(-1e-9))
}

// The words for an acuity are read back as the same acuity.
func TestAcuityIsReadBack(t *testing.T) {
	for letters := -15; letters <= 40; letters++ {
		want := float64(letters) * 0.02
		text, _, _ := strings.Cut(style{English}.measured(want), " ")
		got, err := patient.ParseAcuity(text)
		require.NoError(t, err, text)
		// Custom writes 6/18 for 18.97: log10(18.97/18) = 0.0228.
		assert.InDelta(t, want, got.LogMAR, 0.0229, text)
	}
}

func TestActionOnAButton(t *testing.T) {
	for _, c := range []struct {
		do     sitting.Action
		en, de string
	}{
		{sitting.Action{Do: sitting.Put, Lens: optics.CylinderOf(-1, 35)}, "Put −1.00 cylinder axis 35 in", "Einsetzen: zyl −1,00 A 35°"},
		{sitting.Action{Do: sitting.Take, Lens: optics.SphereOf(0.5)}, "Take out: +0.50 sphere", "Herausnehmen: sph +0,50"},
		{sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Front1)}, "Take out: front 1", "Herausnehmen: vorn 1"},
		{sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(0.75)}, "Change to +0.75 sphere", "Tauschen gegen sph +0,75"},
		{sitting.Action{Do: sitting.Turn, Axis: 35}, "Turn the cylinder to 35", "Zylinder auf 35 drehen"},
		{sitting.Action{Do: sitting.Hold, Lens: optics.SphereOf(0.5)}, "Hold up +0.50 sphere", "Vorhalten: sph +0,50"},
		{sitting.Action{Do: sitting.Lower}, "Lower the lens", "Vorhalteglas wegnehmen"},
		{sitting.Action{Do: sitting.Cover, Eye: sitting.Left}, "Cover the left eye", "Das linke Auge abdecken"},
		{sitting.Action{Do: sitting.Uncover, Eye: sitting.Left}, "Uncover the left eye", "Das linke Auge freigeben"},
		{sitting.Action{Do: sitting.Show, Chart: chart.Arrow}, "Show the arrow", "Den Pfeil zeigen"},
		{sitting.Action{Do: sitting.Show, Chart: chart.Letter, Size: size(0.3)}, "Show a single letter of 6/12", "Einen einzelnen Buchstaben zeigen: 0,5"},
		{sitting.Action{Do: sitting.Point, Axis: 30}, "Turn the arrow to 30", "Pfeil auf 30 drehen"},
		{sitting.Action{Do: sitting.Ask, Question: patient.WithLens}, "Ask: With or without this lens?", "Fragen: Mit oder ohne dieses Glas?"},
		{sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters, Size: size(0.1)}, "Ask: Read the row of 6/7.5", "Fragen: Zeile 0,8 vorlesen lassen"},
		{sitting.Action{Do: sitting.Explain}, "Explain the task", "Die Aufgabe erklären"},
		{sitting.Action{Do: sitting.Note, Field: "vision", Text: "6/12"}, "Write down vision: 6/12", "Eintragen: Visus: 6/12"},
		{sitting.Action{Do: sitting.End}, "State the end point", "Ergebnis angeben"},
	} {
		assert.Equal(t, c.en, English.Examiner().Action(c.do))
		assert.Equal(t, c.de, german.Examiner().Action(c.do))
	}
}

// Everything that there is to be named has its words in every language, filled
// in to the end.
func TestEverythingHasItsName(t *testing.T) {
	for _, v := range []Voice{English, german} {
		check := func(text string) {
			assert.NotRegexp(t, `told\.|chart\.|cell\.|field\.|eye\.|\{`, text, v.Language)
		}
		for _, name := range chart.Names() {
			check(v.Examiner().Action(sitting.Action{Do: sitting.Show, Chart: name}))
			check(v.Text("told.do.show", "chart", name))
			for _, form := range []string{"nom", "acc", "dat", "tile"} {
				check(style{v}.value(name, form))
			}
			for _, labels := range []chart.Labels{chart.ByAxis, chart.ByHour, chart.NoLabels} {
				st := after()
				st.Chart = name
				check(v.Wall(st, labels))
			}
		}
		for _, q := range []patient.Question{patient.WhichLines, patient.WhichLimb, patient.WhichBlock, patient.ReadLetters, patient.WhichColour, patient.WithLens, patient.OneOrTwo} {
			check(v.Examiner().Asking(sitting.Action{Question: q}))
		}
		for _, field := range sitting.Fields() {
			check(v.Value(field))
		}
		for cell := range optics.Cell(optics.Cells) {
			check(v.Value(cell))
		}
		for _, k := range []patient.Kind{patient.Alike, patient.Left, patient.Right, patient.Parallel, patient.Perpendicular, patient.RedClearer, patient.GreenClearer, patient.Better, patient.Worse, patient.Smaller, patient.Same} {
			check(v.Examiner().Expected(string(k)))
		}
	}
	assert.Equal(t, "line 30", English.Examiner().Expected("30"))
	assert.Equal(t, "Linie 30", german.Examiner().Expected("30"))
}
