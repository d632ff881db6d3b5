package words

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

func piece(t require.TestingT, code string) optics.Lens {
	l, err := optics.ParseLens(code)
	require.NoError(t, err)
	return l
}

// scene is a right eye under test behind lenses from the back cell outward.
func scene(t require.TestingT, lenses ...string) Scene {
	s := Scene{Tested: sitting.Right}
	s.Frames = [2]optics.Frame{optics.NewFrame(0.012), optics.NewFrame(0.012)}
	for i, code := range lenses {
		s.Frames[0].Lenses[i] = piece(t, code)
	}
	s.Pointer = 170
	return s
}

func size(v float64) *float64 { return &v }

// The commands, as clinicians write them, and the actions that they are. The
// frame holds -0.50 and -1.00x35; the arrow points to 170.
var readings = []struct {
	line string
	want sitting.Action
}{
	{"put +0.50", sitting.Action{Do: sitting.Put, Lens: optics.SphereOf(0.5)}},
	{"PUT -1.00x35", sitting.Action{Do: sitting.Put, Lens: optics.CylinderOf(-1, 35)}},
	{"put −1.00 cyl axis 35", sitting.Action{Do: sitting.Put, Lens: optics.CylinderOf(-1, 35)}},
	{"put pinhole in front 2", sitting.Action{Do: sitting.Put, Lens: optics.Pinhole(), Cell: sitting.In(optics.Front2)}},
	{"put pinhole in front 2 left", sitting.Action{Do: sitting.Put, Lens: optics.Pinhole(), Cell: sitting.In(optics.Front2), Eye: sitting.Left}},
	{"put +1.00 left in back", sitting.Action{Do: sitting.Put, Lens: optics.SphereOf(1), Cell: sitting.In(optics.Back), Eye: sitting.Left}},
	{"insert occluder Left", sitting.Action{Do: sitting.Put, Lens: optics.Occluder(), Eye: sitting.Left}},

	{"take -1.00x35", sitting.Action{Do: sitting.Take, Lens: optics.CylinderOf(-1, 35)}},
	{"take back", sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Back)}},
	{"take from front 1", sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Front1)}},
	{"take out the cyl", sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Front1)}},
	{"take sphere", sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Back)}},
	{"take", sitting.Action{Do: sitting.Take}},

	{"change sphere to +0.75", sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(0.75)}},
	{"exchange -0.75", sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(-0.75)}},
	{"change cyl to -1.25", sitting.Action{Do: sitting.Exchange, Lens: optics.Lens{Kind: optics.CylinderLens, Power: -1.25}}},
	{"change cylinder to −1,25", sitting.Action{Do: sitting.Exchange, Lens: optics.Lens{Kind: optics.CylinderLens, Power: -1.25}}},
	{"change -1.25x40 old first", sitting.Action{Do: sitting.Exchange, Lens: optics.CylinderOf(-1.25, 40), OldFirst: true}},
	{"change back to +1.00", sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(1), Cell: sitting.In(optics.Back)}},
	{"change front 1 to -0.50x90 left", sitting.Action{Do: sitting.Exchange, Lens: optics.CylinderOf(-0.5, 90), Cell: sitting.In(optics.Front1), Eye: sitting.Left}},

	{"add +0.25", sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(-0.25), Cell: sitting.In(optics.Back)}},
	{"add -0.25 to the sphere", sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(-0.75), Cell: sitting.In(optics.Back)}},
	{"add +0.50", sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Back)}},
	{"add -0.25 cyl", sitting.Action{Do: sitting.Exchange, Lens: optics.CylinderOf(-1.25, 35), Cell: sitting.In(optics.Front1)}},
	{"add −0.25 to the cylinder", sitting.Action{Do: sitting.Exchange, Lens: optics.CylinderOf(-1.25, 35), Cell: sitting.In(optics.Front1)}},
	{"add -0.25 old first", sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(-0.75), Cell: sitting.In(optics.Back), OldFirst: true}},
	{"add +1.00 cyl", sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Front1)}},
	{"add +0.25 left", sitting.Action{Do: sitting.Put, Lens: optics.SphereOf(0.25), Eye: sitting.Left}},

	{"turn 40", sitting.Action{Do: sitting.Turn, Axis: 40}},
	{"turn to 40", sitting.Action{Do: sitting.Turn, Axis: 40}},
	{"turn cyl to 40", sitting.Action{Do: sitting.Turn, Axis: 40}},
	{"turn +5", sitting.Action{Do: sitting.Turn, Axis: 40}},
	{"turn −40", sitting.Action{Do: sitting.Turn, Axis: 175}},
	{"turn front 1 to 40 left", sitting.Action{Do: sitting.Turn, Axis: 40, Cell: sitting.In(optics.Front1), Eye: sitting.Left}},

	{"hold +0.50", sitting.Action{Do: sitting.Hold, Lens: optics.SphereOf(0.5)}},
	{"hold up -0.25 left", sitting.Action{Do: sitting.Hold, Lens: optics.SphereOf(-0.25), Eye: sitting.Left}},
	{"lower", sitting.Action{Do: sitting.Lower}},
	{"cover left", sitting.Action{Do: sitting.Cover, Eye: sitting.Left}},
	{"cover the right eye", sitting.Action{Do: sitting.Cover, Eye: sitting.Right}},
	{"occlude", sitting.Action{Do: sitting.Cover, Eye: sitting.Left}},
	{"uncover left", sitting.Action{Do: sitting.Uncover, Eye: sitting.Left}},

	{"show fan", sitting.Action{Do: sitting.Show, Chart: chart.Fan}},
	{"show the Duochrome", sitting.Action{Do: sitting.Show, Chart: chart.Duochrome}},
	{"show letter 0.3", sitting.Action{Do: sitting.Show, Chart: chart.Letter, Size: size(0.3)}},
	{"show letter 6/12", sitting.Action{Do: sitting.Show, Chart: chart.Letter, Size: size(0.3)}},
	{"show letter 6/6", sitting.Action{Do: sitting.Show, Chart: chart.Letter, Size: size(0)}},
	{"arrow 30", sitting.Action{Do: sitting.Point, Axis: 30}},
	{"arrow to 30°", sitting.Action{Do: sitting.Point, Axis: 30}},
	{"point +20", sitting.Action{Do: sitting.Point, Axis: 10}},

	{"ask", sitting.Action{Do: sitting.Ask, Question: patient.WhichBlock}},
	{"ask lens", sitting.Action{Do: sitting.Ask, Question: patient.WithLens}},
	{"ask change", sitting.Action{Do: sitting.Ask, Question: patient.OneOrTwo}},
	{"ask leading parallel", sitting.Action{Do: sitting.Ask, Question: patient.WhichBlock, Leading: "parallel"}},
	{"ask leading right", sitting.Action{Do: sitting.Ask, Question: patient.WhichBlock, Leading: "perpendicular"}},
	{"ask which leading 030", sitting.Action{Do: sitting.Ask, Question: patient.WhichLines, Leading: "30"}},
	{"ask colours leading green", sitting.Action{Do: sitting.Ask, Question: patient.WhichColour, Leading: "green"}},
	{"ask lens leading better", sitting.Action{Do: sitting.Ask, Question: patient.WithLens, Leading: "better"}},
	{"ask change leading smaller", sitting.Action{Do: sitting.Ask, Question: patient.OneOrTwo, Leading: "smaller"}},
	{"ask row 6/9.5", sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters, Size: size(0.2)}},
	{"ask row 0.2", sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters, Size: size(0.2)}},
	{"ask row −0.1", sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters, Size: size(-0.1)}},
	{"explain", sitting.Action{Do: sitting.Explain}},

	{"note vision 6/12", sitting.Action{Do: sitting.Note, Field: "vision", Text: "6/12"}},
	{"note Fan Axis 30 or so", sitting.Action{Do: sitting.Note, Field: "fan axis", Text: "30 or so"}},
	{"state -1.00/-2.00x30 va 6/6", sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}, Acuity: patient.Acuity{Written: "6/6"}}},
	{"state −1.00 / −2.00 x 30", sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}}},
	{"end plano acuity 6/6 -2", sitting.Action{Do: sitting.End, Rx: &optics.Rx{}, Acuity: patient.Acuity{Written: "6/6 -2", LogMAR: 0.04}}},
}

func TestParse(t *testing.T) {
	s := scene(t, "-0.50", "-1.00x35")
	s.Questions = []patient.Question{patient.WhichBlock, patient.WithLens, patient.OneOrTwo}
	for _, r := range readings {
		got, err := Parse(r.line, s)
		require.NoError(t, err, r.line)
		assert.Equal(t, r.want, got, r.line)
	}
}

// A line that cannot be read says what to write instead.
func TestUnclear(t *testing.T) {
	for line, want := range map[string]string{
		"":                             "nothing was written",
		"dance":                        `“dance” is not a command: write help`,
		"expl":                         "did you mean explain?",
		"put":                          "which lens?",
		"take cyl left":                "no cylinder in the frame",
		"change cyl to 0":              "write take cyl",
		"change":                       "for which lens?",
		"add":                          "how much?",
		"add 0":                        "how much?",
		"add much":                     "how much?",
		"add -0.25 cyl left":           "put one with its axis, such as put -0.25x35",
		"add -0.25 cyl in front 3":     "the front 3 cell holds no cylinder",
		"turn":                         "to which axis?",
		"turn 0":                       "to which axis?",
		"turn wide":                    "to which axis?",
		"hold":                         "which lens?",
		"cover both":                   "which eye?",
		"show":                         "which chart? Choose from fan, clock",
		"show film":                    `no chart “film”`,
		"show fan 6/6":                 "only a single letter has a size",
		"show letter huge":             "not a size of letters",
		"arrow":                        "where to?",
		"arrow north":                  "where to?",
		"ask":                          "show one before you ask",
		"ask nicely":                   `no question “nicely”`,
		"ask row":                      "which row?",
		"ask limbs leading up":         `cannot lead to “up”: it can lead to alike, left and right`,
		"ask which leading 200":        "it can lead to alike, and to a label such as 30",
		"ask read leading E":           "letters cannot be asked for by leading",
		"ask row nine":                 "not a size of letters",
		"ask leading":                  "which answer do you lead to?",
		"note":                         "the record card has vision",
		"note fan axis":                "what is to be noted?",
		"state":                        "what stands in the frame would be: state -0.50/-1.00x35",
		"state -1.00/-2.00x30 va good": "not an acuity",
	} {
		_, err := Parse(line, scene(t, "-0.50", "-1.00x35"))
		checkUnclear(t, err, line, want)
	}
	_, err := Parse("take cyl", scene(t, "-0.50", "-1.00x35", "-0.50x90"))
	checkUnclear(t, err, "take cyl", "name its cell, such as take front 1")
	_, err = Parse("take sphere", scene(t, "-0.50", "-1.00"))
	checkUnclear(t, err, "take sphere", "more than one sphere")
	_, err = Parse("add -0.25 cyl", scene(t, "-0.50", "-1.00x35", "-0.50x90"))
	checkUnclear(t, err, "add -0.25 cyl", "name its cell, such as add -0.25 cyl in front 1")
	_, err = Usage(voice.English, "dance")
	checkUnclear(t, err, "dance", "no help on")
}

// checkUnclear checks what is said of a line in English, that German says
// something else, and that every command that is proposed instead can be read.
func checkUnclear(t *testing.T, err error, line, want string) {
	t.Helper()
	var u *Unclear
	require.ErrorAs(t, err, &u, line)
	said, german := voice.English.Error(err), voice.In("de").Error(err)
	assert.Contains(t, said, want, line)
	assert.NotRegexp(t, `command\.|field\.|[{}]`, said+german, line)
	assert.NotEqual(t, said, german, line)
	s := scene(t, "-0.50", "-1.00x35")
	s.Questions = []patient.Question{patient.WhichLimb}
	for name, value := range u.Reason.Values {
		switch name {
		case "example", "axis", "turn", "label", "ask":
			value = []fact.Command{value.(fact.Command)}
		case "examples":
		default:
			continue
		}
		for _, example := range value.([]fact.Command) {
			want, err := Parse(string(example), s)
			assert.NoError(t, err, "%q proposes %q", line, example)
			got, err := Parse(voice.In("de").Value(example), s)
			assert.NoError(t, err, "%q proposes %q", line, voice.In("de").Value(example))
			want.Text = got.Text // of a note: an acuity, as the language has it
			assert.Equal(t, lessAcuity(want), lessAcuity(got), voice.In("de").Value(example))
		}
	}
}

// kept are actions as a log holds them.
var kept = []sitting.Action{
	{Do: sitting.Put, Eye: sitting.Right, Cell: sitting.In(optics.Front2), Lens: optics.Pinhole()},
	{Do: sitting.Take, Eye: sitting.Left, Cell: sitting.In(optics.Back)},
	{Do: sitting.Exchange, Eye: sitting.Right, Cell: sitting.In(optics.Front1), Lens: optics.CylinderOf(-1.25, 35)},
	{Do: sitting.Turn, Eye: sitting.Right, Cell: sitting.In(optics.Front1), Axis: 40},
	{Do: sitting.Hold, Eye: sitting.Right, Lens: optics.SphereOf(0.5)},
	{Do: sitting.Lower, Eye: sitting.Right},
	{Do: sitting.Cover, Eye: sitting.Left},
	{Do: sitting.Show, Chart: chart.Letter, Size: size(-0.1)},
	{Do: sitting.Show, Chart: chart.Arrow},
	{Do: sitting.Point, Axis: 30},
	{Do: sitting.Ask, Question: patient.WhichColour},
	{Do: sitting.Ask, Question: patient.ReadLetters, Size: size(0.2)},
	{Do: sitting.Ask, Question: patient.WhichLines, Leading: "30"},
	{Do: sitting.Explain},
	{Do: sitting.Note, Field: "best sphere", Text: "-1.50"},
	{Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}, Acuity: patient.Acuity{Written: "6/6-2", LogMAR: 0.04}},
	{Do: sitting.Exchange, Lens: optics.SphereOf(0.75)},
	{Do: sitting.Exchange, Lens: optics.CylinderOf(-1.25, 35)},
	{Do: sitting.Exchange, Lens: optics.Pinhole()},
	{Do: sitting.Exchange, Lens: optics.Lens{Kind: optics.CylinderLens, Power: -1.25}, OldFirst: true},
}

// What the log holds can be written down and read again, in every language.
func TestWrittenIsReadAgain(t *testing.T) {
	for _, a := range kept {
		got, err := Parse(Written(voice.English, a), scene(t, "-0.50", "-1.00x35"))
		require.NoError(t, err, Written(voice.English, a))
		assert.Equal(t, a, got)
		checkWritten(t, a)
	}
}

func TestWrittenIsReadAgainWhateverIsDone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { checkWritten(t, anyAction(t)) })
}

// checkWritten checks that an action as each language writes it is read as that
// action. The acuity of an end point may differ by less than a letter.
func checkWritten(t require.TestingT, a sitting.Action) {
	s := scene(t, "-0.50", "-1.00x35")
	for _, v := range []voice.Voice{voice.English, voice.In("de")} {
		line := Written(v, a)
		got, err := Parse(line, s)
		require.NoError(t, err, line)
		require.Equal(t, lessAcuity(a), lessAcuity(got), line)
		require.InDelta(t, a.Acuity.LogMAR, got.Acuity.LogMAR, 0.0199, line)
		if v != voice.English {
			require.Empty(t, regexp.MustCompile(`\d\.\d`).FindString(strings.TrimSuffix(line, a.Text)), line)
		}
	}
}

func lessAcuity(a sitting.Action) sitting.Action {
	a.Acuity = patient.Acuity{}
	return a
}

// anyAction is some action as a log may hold it.
func anyAction(t *rapid.T) sitting.Action {
	pick := func(name string, n int) int { return rapid.IntRange(0, n-1).Draw(t, name) }
	power := func(name string) float64 {
		return float64(rapid.IntRange(1, 48).Draw(t, name)) / 8 * float64(1-2*pick("sign", 2))
	}
	axis := 1 + pick("axis", 180)
	pieces := []optics.Lens{optics.SphereOf(power("sphere")), optics.CylinderOf(power("cylinder"), float64(axis)), optics.Pinhole(), optics.Occluder()}
	l := pieces[pick("lens", len(pieces))]
	eye := []sitting.Side{sitting.Right, sitting.Left}[pick("eye", 2)]
	cell := sitting.In(optics.Cell(pick("cell", int(optics.Front3)+1)))
	row := chart.RowSizes()[pick("row", len(chart.RowSizes()))]
	switch verbs := []sitting.Verb{sitting.Put, sitting.Take, sitting.Exchange, sitting.Turn, sitting.Hold, sitting.Lower, sitting.Cover, sitting.Uncover,
		sitting.Show, sitting.Point, sitting.Ask, sitting.Explain, sitting.Note, sitting.End}; verbs[pick("verb", len(verbs))] {
	case sitting.Put:
		return sitting.Action{Do: sitting.Put, Eye: eye, Cell: cell, Lens: l}
	case sitting.Take:
		return sitting.Action{Do: sitting.Take, Eye: eye, Cell: cell}
	case sitting.Exchange:
		return sitting.Action{Do: sitting.Exchange, Eye: eye, Cell: cell, Lens: l, OldFirst: pick("old first", 2) == 1}
	case sitting.Turn:
		return sitting.Action{Do: sitting.Turn, Eye: eye, Cell: cell, Axis: axis}
	case sitting.Hold:
		return sitting.Action{Do: sitting.Hold, Eye: eye, Lens: l}
	case sitting.Lower:
		return sitting.Action{Do: sitting.Lower, Eye: eye}
	case sitting.Cover:
		return sitting.Action{Do: sitting.Cover, Eye: eye}
	case sitting.Uncover:
		return sitting.Action{Do: sitting.Uncover, Eye: eye}
	case sitting.Show:
		a := sitting.Action{Do: sitting.Show, Chart: chart.Names()[pick("chart", len(chart.Names()))]}
		if chart.Named(a.Chart).Sized {
			a.Size = &row
		}
		return a
	case sitting.Point:
		return sitting.Action{Do: sitting.Point, Axis: axis}
	case sitting.Note:
		return sitting.Action{Do: sitting.Note, Field: sitting.Fields()[pick("field", len(sitting.Fields()))], Text: "6/9.5 from 30"}
	case sitting.End:
		rx := optics.Rx{Sphere: power("sphere"), Cyl: power("cylinder"), Axis: float64(axis)}
		return sitting.Action{Do: sitting.End, Rx: &rx, Acuity: []patient.Acuity{{}, patient.FractionOf(row), patient.AcuityOf(row)}[pick("acuity", 3)]}
	case sitting.Ask:
		questions := []patient.Question{patient.WhichLines, patient.WhichLimb, patient.WhichBlock, patient.WhichColour, patient.WithLens, patient.OneOrTwo}
		a := sitting.Action{Do: sitting.Ask, Question: questions[pick("question", len(questions))]}
		answers := slices.Sorted(maps.Values(leads[a.Question]))
		if n := pick("answer", len(answers)+1); n > 0 {
			a.Leading = string(answers[n-1])
		}
		if pick("letters", 2) == 1 {
			return sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters, Size: &row}
		}
		return a
	}
	return sitting.Action{Do: sitting.Explain}
}

func TestComplete(t *testing.T) {
	s := scene(t, "-0.50", "-1.00x35")
	s.Chart = chart.Letters
	s.Questions = []patient.Question{patient.ReadLetters, patient.WithLens}
	for line, want := range map[string][]string{
		"sh":           {"show"},
		"qu":           {"quit"},
		"show l":       {"show letter", "show letters"},
		"take -":       {"take -0.50", "take -1.00x35"},
		"ask ":         {"ask leading", "ask lens", "ask read", "ask row"},
		"note fan":     {"note fan axis"},
		"state ":       {"state -0.50/-1.00x35"},
		"change cyl ":  {"change cyl to"},
		"tausche Zyl ": {"tausche Zyl to"},
		"zeige l":      {"zeige letter", "zeige letters"},
		"put +0.50 in": nil,
		"nonsense x":   nil,
	} {
		assert.Equal(t, want, Complete(line, s, "quit", "frame"), line)
	}
}

func TestUsageHasEveryCommand(t *testing.T) {
	all, err := Usage(voice.English, "")
	require.NoError(t, err)
	s := scene(t, "-0.50", "-1.00x35")
	s.Questions = []patient.Question{patient.WhichLimb, patient.WithLens, patient.OneOrTwo}
	for _, c := range commands() {
		assert.Contains(t, all, c.name)
		for _, v := range []voice.Voice{voice.English, voice.In("de")} {
			text, err := Usage(v, c.name)
			require.NoError(t, err)
			assert.NotRegexp(t, `command\.|[{}]`, text)
			for _, example := range c.examples {
				example = v.Value(fact.Command(example))
				_, err := Parse(example, s)
				assert.NoError(t, err, "the example %q", example)
				assert.Contains(t, text, example)
			}
		}
	}
	text, err := Usage(voice.English, "exchange")
	require.NoError(t, err)
	assert.Equal(t, "change: put one lens in another’s place. For example:\n  change sphere to +0.75\n  change cyl to -1.00\n  change -0.50 old first\nAlso: exchange and swap.\n", text)
	text, err = Usage(voice.In("de"), "zeige")
	require.NoError(t, err)
	assert.Equal(t, "zeige: eine Tafel zeigen. Zum Beispiel:\n  zeige strahlenfigur\n  zeige buchstaben\n  zeige buchstabe 0,5\nAuch: zeige und zeigen.\n", text)
}

func FuzzParse(f *testing.F) {
	for _, r := range readings {
		f.Add(r.line)
	}
	f.Add("note İ vision")
	f.Add("turn front 1 to")
	f.Add("state va va")
	f.Fuzz(func(t *testing.T, line string) {
		a, err := Parse(line, scene(t, "-0.50", "-1.00x35"))
		if err == nil && a.Do == "" {
			t.Fatalf("%q was read as no action", line)
		}
		Complete(line, scene(t, "-0.50", "-1.00x35"))
	})
}
