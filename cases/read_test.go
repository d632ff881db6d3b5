package cases

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// plain is the shortest case that works.
const plain = `conoid = 2
title = "T"
[patient]
age = 34
[right]
error = "-1.00 / -2.00 x 30"
objective = "-0.75 / -1.75 x 35"
`

// with is the plain case with one line exchanged, or one added at the end.
func with(old, new string) string {
	if old == "" {
		return plain + new + "\n"
	}
	return strings.Replace(plain, old, new, 1)
}

const modes = "diameter 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 24 25 26 27"

// plainWords are facts as programmers have them.
func plainWords(f fact.Fact) string { return f.ID }

// told is the mistakes of a file, each with its place, for programmers.
func told(t require.TestingT, err error) string {
	var bad *Malformed
	require.ErrorAs(t, err, &bad)
	var lines []string
	for _, m := range bad.Mistakes {
		lines = append(lines, fmt.Sprintf("%d:%d: %v", m.Line, m.Column, m.Fact))
	}
	return strings.Join(lines, "\n")
}

// refused is what is told of the error in line 6 of the plain case: why, and the
// place within the text, come from optics.ParseRx.
func refused(rx string) string {
	_, err := optics.ParseRx(rx)
	var bad *optics.ParseError
	errors.As(err, &bad)
	return unread(fmt.Sprintf("6:%d", len(`error = "`)+1+bad.Pos), "right.error", err)
}

// unread is what is told of a value that another package could not read.
func unread(at, key string, cause error) string {
	return fmt.Sprintf("%s: case.not-read (cause %v, key %s)", at, cause, key)
}

func acuityOf(s string) error {
	_, err := patient.ParseAcuity(s)
	return err
}

func TestMistakesAreFoundWhereTheyStand(t *testing.T) {
	for name, c := range map[string]struct{ file, want string }{
		"unknown key":                 {with("title", "titel"), "2:1: case.no-key (allowed [conoid title level story language author tags aims notes], key titel, meant case.did-you-mean (word title), where case.at-the-top)"},
		"unknown key in a section":    {with("age = 34", "age = 34\n  colour = 3"), "5:3: case.no-key (allowed [name age symptoms manner tested spectacles-years], key colour, meant , where case.in-section (section patient))"},
		"unknown section":             {with("", "[rigth]\npupil = 3\n[rigth.deep]\nx = 1"), "8:2: case.fixed (line [right], what case.other-section (section rigth))"},
		"text for a number":           {with("34", `"34"`), `4:7: case.as (line age = 34, what case.type (is case.is.text (text "34"), key patient.age, write case.write.number (range case.range-of (least 5, most 100, unit years))))`},
		"number for text":             {with(`"T"`, `7`), `2:9: case.as (line title = "7", what case.type (is case.is.number (number 7), key title, write case.write.text))`},
		"list for text":               {with(`"T"`, `["T"]`), "2:9: case.type (is case.is.list, key title, write case.write.text)"},
		"date for a number":           {with("34", `2001-01-01`), "4:7: case.type (is case.is.date, key patient.age, write case.write.number (range case.range-of (least 5, most 100, unit years)))"},
		"text for yes or no":          {with("", "[room]\nplus-cylinders = \"yes\""), `9:18: case.as (line plus-cylinders = true, what case.type (is case.is.text (text "yes"), key room.plus-cylinders, write case.write.yes-no))`},
		"age out of range":            {with("34", "400"), "4:7: case.out-of-range (allowed case.range-of (least 5, most 100, unit years), key patient.age, value 400)"},
		"not a number":                {with("34", "nan"), "4:7: case.out-of-range (allowed case.range-of (least 5, most 100, unit years), key patient.age, value nan)"},
		"infinite":                    {with("34", "-inf"), "4:7: case.out-of-range (allowed case.range-of (least 5, most 100, unit years), key patient.age, value -inf)"},
		"too large to be read":        {with("34", "1e999"), "4:7: case.out-of-range (allowed case.range-of (least 5, most 100, unit years), key patient.age, value 1e999)"},
		"axis 200":                    {with("x 30", "x 200"), refused("-1.00 / -2.00 x 200")},
		"pupil 0":                     {with("", "pupil = 0"), "8:9: case.out-of-range (allowed case.range-of (least 2, most 8, unit millimetres), key right.pupil, value 0)"},
		"cylinder without axis":       {with("-2.00 x 30", "-2.00"), refused("-1.00 / -2.00")},
		"neural of no acuity":         {with("", "neural = \"blurred\""), "8:10: case.not-read (cause acuity.not-read (text blurred), key right.neural)"},
		"neural below 6/24":           {with("", "neural = \"6/25\""), "8:10: case.neural (key right.neural, value \"6/25\", worst 0.60206)"},
		"too much haze":               {with("", "haze = 0.81"), "8:8: case.out-of-range (allowed case.range (least 0, most 0.8), key right.haze, value 0.81)"},
		"amplitude below zero":        {with("", "amplitude = -0.5"), "8:13: case.out-of-range (allowed case.range-of (least 0, most 20, unit dioptres), key right.amplitude, value -0.5)"},
		"sphere out of range":         {with("-1.00 / -2.00 x 30", "-20.25 DS"), "6:9: case.rx-range (cylinder 8, key right.error, rx −20.25 DS, sphere 20)"},
		"cylinder out of range":       {with("-1.00 / -2.00 x 30", "+1.00 / +8.25 x 90"), "6:9: case.rx-range (cylinder 8, key right.error, rx +9.25 / −8.25 x 180, sphere 20)"},
		"prescription as a number":    {with(`"-1.00 / -2.00 x 30"`, "-1.00"), `6:9: case.as (line error = "-1.00", what case.type (is case.is.number (number -1.00), key right.error, write case.write.rx))`},
		"level":                       {with(`title`, "level = 5\ntitle"), "2:9: case.out-of-range (allowed case.range (least 1, most 4), key level, value 5)"},
		"level in parts":              {with(`title`, "level = 1.5\ntitle"), "2:9: case.type (is case.is.number (number 1.5), key level, write case.write.whole (range case.range (least 1, most 4)))"},
		"manner":                      {with("age = 34", "age = 34\nmanner = \"kene\""), `5:10: case.choice (allowed ["everyday" "keen" "noiseless" "obliging" "scattered"], key patient.manner, meant case.did-you-mean (word keen), value "kene")`},
		"a trait of the manner":       {with("", "[patient.manner]\nlapse = 0.6"), "9:9: case.out-of-range (allowed case.range (least 0, most 0.5), key patient.manner.lapse, value 0.6)"},
		"tested":                      {with("age = 34", "age = 34\ntested = \"both\""), `5:10: case.choice (allowed ["right" "left"], key patient.tested, meant , value "both")`},
		"aberrations":                 {with("", `aberrations = "typic"`), `8:15: case.aberrations (allowed ["none" "typical"], key right.aberrations, meant case.did-you-mean (word typical), value "typic")`},
		"seed of aberrations":         {with("", `aberrations = 0`), "8:15: case.out-of-range (allowed case.range (least 1, most 9.007199254740992e+15), key right.aberrations, value 0)"},
		"a half seed":                 {with("", `aberrations = 0.5`), `8:15: case.type (is case.is.number (number 0.5), key right.aberrations, write case.write.aberrations (options ["none" "typical"]))`},
		"an unknown mode":             {with("", `aberrations = { diameter = 6, 28 = 0.1 }`), "8:31: case.no-key (allowed [" + modes + "], key 28, meant , where case.in-section (section right.aberrations))"},
		"a mode without diameter":     {with("", "[right.aberrations]\n12 = 0.1"), "8:2: case.missing (how case.need.diameter, key right.aberrations.diameter)"},
		"labels":                      {with("", "[room]\nlabels = \"hour\""), `9:10: case.choice (allowed ["axis" "hours" "none"], key room.labels, meant case.did-you-mean (word hours), value "hour")`},
		"distance":                    {with("", "[room]\ndistance = 0.5"), "9:12: case.out-of-range (allowed case.range-of (least 1, most 20, unit metres), key room.distance, value 0.5)"},
		"vertex in metres":            {with("", "[room]\nvertex = 0.012"), "9:10: case.out-of-range (allowed case.range-of (least 5, most 25, unit millimetres), key room.vertex, value 0.012)"},
		"acuity":                      {with("", `unaided = "good"`), unread("8:11", "right.unaided", acuityOf("good"))},
		"a long title":                {with(`"T"`, `"`+strings.Repeat("é", 81)+`"`), "2:9: case.long (key title, most 80, n 81)"},
		"an empty title":              {with(`"T"`, `"  "`), "2:9: case.empty (key title)"},
		"a control character":         {with(`"T"`, `"\u0007"`), "2:9: case.character (code U+0007, key title)"},
		"twice":                       {with("age = 34", "age = 34\nage = 35"), "5:1: case.twice (key patient.age, line 4)"},
		"a section twice":             {with("", "[patient]"), "8:2: case.section-twice (line 3, section patient)"},
		"a list of sections":          {with("[right]", "[[right]]"), "5:3: case.sections (section right)"},
		"accommodation":               {with("", "[patient.accommodation]\nsteadiness = 0.4"), "9:14: case.out-of-range (allowed case.range (least 0.5, most 2), key patient.accommodation.steadiness, value 0.4)"},
		"a trait that goes both ways": {with("", "[patient.manner]\ndominance = -1.1"), "9:13: case.out-of-range (allowed case.range (least -1, most 1), key patient.manner.dominance, value -1.1)"},
		"a value that is a section":   {with("age = 34", "age = 34\nmanner = \"keen\"\n[patient.manner]\nnoise = 0.1"), "6:2: case.value-before (line 5, section patient.manner)"},
		"columns count characters":    {with("", `aberrations = { "é" = 1, x = 2 }`), "8:1: case.missing (how case.need.diameter, key right.aberrations.diameter)\n8:17: case.no-key (allowed [" + modes + "], key é, meant , where case.in-section (section right.aberrations))\n8:26: case.no-key (allowed [" + modes + "], key x, meant , where case.in-section (section right.aberrations))"},
		"no age":                      {with("age = 34", ""), "3:2: case.missing (how case.need.age, key patient.age)"},
		"no version":                  {with("conoid = 2\n", ""), "1:1: case.missing (how case.need.version (key conoid, version 2), key conoid)"},
		"version in parts":            {with("conoid = 2\n", "conoid = 2.5\n"), "1:10: case.type (is case.is.number (number 2.5), key conoid, write case.write.version (version 2))"},
		"version as text":             {with("conoid = 2\n", "conoid = \"1\"\n"), `1:10: case.type (is case.is.text (text "1"), key conoid, write case.write.version (version 2))`},
		"a text in no language":       {with("", "[texts]\ntitle = \"x\""), "9:1: case.misplaced (keys [title], sections [[texts.en] [texts.de]], where case.in-section (section texts))"},
		"an unknown language":         {with("", "[texts.dee]\ntitle = \"x\""), "8:2: case.fixed (line [texts.de], what case.other-section (section texts.dee))"},
		"an unknown text":             {with("", "[texts.de]\ntitel = \"x\""), "9:1: case.no-key (allowed [title story symptoms], key titel, meant case.did-you-mean (word title), where case.in-section (section texts.de))"},
		"a number for a translation":  {with("[patient]", "texts.de.title = 3\n[patient]"), `3:18: case.as (line title = "3", what case.type (is case.is.number (number 3), key texts.de.title, write case.write.text))`},
		"no title":                    {with("title = \"T\"\n", ""), "1:1: case.missing (how case.need.title, key title)"},
		"no objective":                {with("objective = \"-0.75 / -1.75 x 35\"\n", ""), "5:2: case.missing (how case.need.objective (section right), key right.objective)"},
		"no tested eye":               {with("age = 34", "age = 34\ntested = \"left\""), "5:10: case.no-tested-eye (section left)"},
		"no error in the other eye":   {with("", "[left]"), "8:2: case.missing (how case.need.error (section left), key left.error)"},
		"text without quotation":      {with(`"T"`, `T`), `2:9: case.fixed (line title = "T", what case.unquoted (key title))`},
		"no end of a text":            {with(`"T"`, `"T`), `2:9: case.fixed (line title = "T", what case.open (key title))`},
		"a key without a value":       {with(`34`, ``), "4:7: case.no-value (key age)"},
		"a header that is not ended":  {with(`[right]`, `[right`), "5:2: case.fixed (line [right], what case.header)"},
		"a value for a section":       {"room = 3\n" + plain, "1:1: case.value-for-section (section room)"},
		"a value in parts":            {with("age = 34", "age = { years = 34 }"), "4:1: case.section-for-value (key patient.age)"},
		"a header in a value":         {with("", "[right.pupil]\nx = 1\n[right]"), "8:2: case.section-for-value (key right.pupil)\n10:2: case.section-twice (line 5, section right)"},
		"a binary file":               {"\x00\x01", "1:1: case.kind (how case.kind-how, kind case.kind.binary)"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Read("quay.toml", []byte(c.file))
			assert.Equal(t, c.want, told(t, err), name)
		})
	}
}

func TestAllMistakesInOneGo(t *testing.T) {
	_, err := Read("quay.toml", []byte(`conoid = 2
titel = "x"
level = 9
[patient]
age = "34"
name = unquoted
[rihgt]
error = 1
[right]
error = "-1.00 / -2.00"
pupil = 0
[room
labels = "hour"
[room]
vertex = nan
`))
	var bad *Malformed
	require.ErrorAs(t, err, &bad)
	var places []string
	for _, m := range bad.Mistakes {
		places = append(places, fmt.Sprintf("%d:%d", m.Line, m.Column))
	}
	assert.Equal(t, []string{"2:1", "3:9", "5:7", "6:8", "7:2", "9:2", "10:23", "11:9", "12:2", "13:10", "14:2", "15:10"}, places)
}

func TestAnotherVersionIsUnsupportedAndNotMalformed(t *testing.T) {
	for _, v := range []string{"0", "1", "3", "-1", "0x10", "99999999999999999999"} {
		_, err := Read("quay.toml", []byte("# other\nconoid = "+v+"\nweather = 3\n"))
		var other *Unsupported
		require.ErrorAs(t, err, &other, v)
		want := fact.New("case.version", "version", v, "reads", fact.Count(version))
		assert.Equal(t, &Unsupported{"quay.toml", Mistake{2, 10, want}}, other)
		var bad *Malformed
		assert.False(t, errors.As(err, &bad))
	}
}

func TestAFileThatIsTooLarge(t *testing.T) {
	_, err := Read("quay.toml", make([]byte, maxSize+1))
	assert.Equal(t, "1:1: case.size (most 65536, size 65537)", told(t, err))
	_, err = Read("quay.toml", []byte(plain+strings.Repeat("#", maxSize-len(plain))))
	assert.NoError(t, err)
}

func TestWhatAFileLeavesOut(t *testing.T) {
	c, err := Read("folder/quay.toml", []byte("\ufeff"+strings.ReplaceAll(plain, "\n", "\r\n")))
	require.NoError(t, err)
	assert.Equal(t, "quay", c.ID)
	assert.Equal(t, sitting.Right, c.Tested)
	assert.Equal(t, "everyday", c.MannerName)
	assert.Equal(t, patient.Manners()["everyday"], c.Manner)
	assert.Equal(t, Room{Distance: 6, Vertex: 12, Labels: chart.ByAxis}, c.Room)
	assert.Equal(t, 1, c.Level)
	assert.Equal(t, Typical, c.Eyes[0].Aberrations.From)
	assert.Equal(t, optics.Rx{Sphere: -1, Cyl: -2, Axis: 150}, c.Eyes[1].Error, "the other eye is the mirror image")
	assert.Equal(t, optics.Rx{Sphere: -0.75, Cyl: -1.75, Axis: 145}, c.Eyes[1].Objective)

	c, err = Read("quay.toml", []byte(with("", "[left]\nerror = \"+0.30 / -0.60 x 12\"")))
	require.NoError(t, err)
	assert.Equal(t, optics.Rx{Sphere: 0.25, Cyl: -0.5, Axis: 12}, c.Eyes[1].Objective)
}

func TestWhatAFileSays(t *testing.T) {
	c, err := Read("quay.toml", []byte(`
conoid = 2
title = "  A   title "
level = 3
story = """
One
line.

And another."""
patient = { name = "Ulla", age = 7.5, tested = "left", symptoms = "None.", manner = { like = "keen", fatigue = 1, dominance = -0.5 }, accommodation = { latent = 0.5, spasm = 1.5 } }
right.error = "plano"
[left]
error = "-3.00 / +2.00 x 120"
objective = '-1,00/-2,00x30'
pupil = 0x4
aberrations = 1_7
amplitude = 0
unaided = "6/18"
best-sphere = "0.8"
best-sphere-lens = 0
[right.aberrations]
diameter = 5
12 = -0.05
[room]
distance = 3
vertex = 14.5
labels = "hours"
plus-cylinders = true
`))
	require.NoError(t, err)
	four, nought, half := 4.0, 0.0, 0.5
	focusing := patient.UsualFocusing()
	focusing.Spasm = 1.5
	manner := patient.Manners()["keen"]
	manner.Fatigue, manner.Dominance = 1, -0.5
	given := make([]float64, 28)
	given[12] = -0.05
	assert.Equal(t, &Case{
		ID: "quay", Title: "A title", Level: 3, Story: "One line.\n\nAnd another.",
		Name: "Ulla", Age: 7.5, Symptoms: "None.", MannerName: "keen", Manner: manner, Focusing: focusing, Latent: &half, Tested: sitting.Left,
		Eyes: [2]Eye{
			{Aberrations: Aberrations{From: Given, Given: eye.Aberrations{Coefficients: given, Diameter: 5}}},
			{
				Error: optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}, Objective: optics.Rx{Sphere: -1, Cyl: -2, Axis: 30},
				Pupil: &four, Amplitude: &nought, Aberrations: Aberrations{From: Drawn, Seed: 17}, Unaided: "6/18", BestSphere: "0.8", BestSphereLens: &nought,
			},
		},
		Room: Room{Distance: 3, Vertex: 14.5, Labels: chart.ByHour, PlusCylinders: true},
	}, c)
	again, err := Read("quay.toml", Write(c))
	require.NoError(t, err)
	assert.Equal(t, c, again)
}

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rx := rapid.Custom(func(t *rapid.T) optics.Rx {
			power := rapid.Float64Range(-4, 4)
			return optics.Power{M: power.Draw(t, "M"), J0: power.Draw(t, "J0") / 2, J45: power.Draw(t, "J45") / 2}.Rx()
		})
		maybe := func(least, most float64) *rapid.Generator[*float64] {
			return rapid.Ptr(rapid.Float64Range(least, most), true)
		}
		c := blank("quay.toml")
		c.Title = "“A \\ title”"
		c.Story = rapid.StringMatching(`[a-z"\\é]{1,20}(\n\n[a-z"\\é]{1,20})?`).Draw(t, "story")
		if de := rapid.StringMatching(`[a-z"\\é]{0,9}`).Draw(t, "German"); de != "" {
			c.Translations = map[string]Texts{"de": {Symptoms: de}}
		}
		c.Age, c.Level = rapid.Float64Range(5, 100).Draw(t, "age"), rapid.IntRange(1, Levels).Draw(t, "level")
		setManner(c, rapid.SampledFrom(mannerNames()).Draw(t, "manner"))
		if rapid.Bool().Draw(t, "its own") {
			c.Manner.Noise, c.Manner.Fatigue = rapid.Float64Range(0, 1).Draw(t, "noise"), rapid.Float64Range(0, 2).Draw(t, "fatigue")
		}
		c.Focusing.Tonic, c.Focusing.Regard = rapid.Float64Range(0, 2).Draw(t, "tonic"), rapid.Float64Range(0, 1).Draw(t, "regard")
		c.Focusing.Steadiness, c.Latent = rapid.Float64Range(0.5, 2).Draw(t, "steadiness"), maybe(0, 2).Draw(t, "latent")
		c.Tested = rapid.SampledFrom([]sitting.Side{sitting.Right, sitting.Left}).Draw(t, "tested")
		for i := range c.Eyes {
			e := &c.Eyes[i]
			e.Error, e.Objective = rx.Draw(t, "error"), rx.Draw(t, "objective")
			e.Pupil, e.Amplitude = maybe(2, 8).Draw(t, "pupil"), maybe(0, 20).Draw(t, "amplitude")
			e.BestSphereLens = maybe(-20, 20).Draw(t, "best sphere")
			e.Spectacles, e.ObjectiveSpread = rapid.Ptr(rx, true).Draw(t, "spectacles"), maybe(0.05, 3).Draw(t, "spread")
			e.ObjectiveBy = Instrument(rapid.SampledFrom(append(instruments(), "")).Draw(t, "instrument"))
			e.Neural, e.Haze = rapid.SampledFrom([]string{"", "6/24", "0.5"}).Draw(t, "neural"), rapid.SampledFrom([]float64{0, 0.25, 0.8}).Draw(t, "haze")
			e.Aberrations.From = rapid.SampledFrom([]Source{None, Typical, Drawn, Given}).Draw(t, "from")
			switch e.Aberrations.From {
			case Drawn:
				e.Aberrations.Seed = rapid.Uint64Range(1, 1<<53).Draw(t, "seed")
			case Given:
				e.Aberrations.Given = eye.Aberrations{Diameter: rapid.Float64Range(2, 8).Draw(t, "diameter"), Coefficients: make([]float64, eye.MaxIndex+1)}
				e.Aberrations.Given.Coefficients[rapid.IntRange(6, 27).Draw(t, "mode")] = rapid.Float64Range(-2, 2).Draw(t, "coefficient")
			}
		}
		c.Room = Room{rapid.Float64Range(1, 20).Draw(t, "distance"), rapid.Float64Range(5, 25).Draw(t, "vertex"), chart.Labels(rapid.IntRange(0, 2).Draw(t, "labels")), rapid.Bool().Draw(t, "plus"), maybe(1, 2000).Draw(t, "light")}
		c.SpectaclesYears = maybe(0, mostWorn).Draw(t, "years")
		c.Language = rapid.SampledFrom([]string{"", "en", "de"}).Draw(t, "language")
		words := rapid.StringMatching(`[a-z"\\é]{0,9}`)
		c.Author, c.Tags, c.Aims, c.Notes = words.Draw(t, "author"), words.Draw(t, "tags"), words.Draw(t, "aims"), words.Draw(t, "notes")
		if said := words.Draw(t, "feedback"); said != "" {
			c.Feedback = map[string]map[string]string{rapid.SampledFrom([]string{"", "de"}).Draw(t, "in"): {rapid.SampledFrom(findings).Draw(t, "finding"): said}}
		}
		again, err := Read("quay.toml", Write(c))
		require.NoError(t, err, "%s", Write(c))
		require.Equal(t, c, again)
	})
}

func TestTemplateExplainsEveryKey(t *testing.T) {
	c, err := Read("new.toml", Template(plainWords))
	require.NoError(t, err)
	assert.Equal(t, "case.new.title", c.Title)
	assert.Empty(t, checkFile(c), "the template is a case that a tutor need not be warned of")
	assert.Empty(t, CheckCopied(c, false))
	for _, s := range schema() {
		for _, k := range s.keys {
			if s.fine {
				continue
			}
			assert.Regexp(t, `(?m)^# [^\n]+\n(# )?`+s.short(k)+` = `, string(Template(plainWords)), k.path)
		}
	}
	for _, line := range strings.Split(string(Template(plainWords)), "\n") {
		assert.LessOrEqual(t, len(line), 92, line)
	}

	uncommented := strings.NewReplacer("# pupil =", "pupil =", "# amplitude =", "amplitude =", "# neural =", "neural =", "# haze =", "haze =", "# unaided =", "unaided =", "# best-sphere =", "best-sphere =", "# best-sphere-lens =", "best-sphere-lens =").Replace(string(Template(plainWords)))
	c, err = Read("new.toml", []byte(uncommented))
	require.NoError(t, err, "the examples of what is left out can be used as they stand")
	assert.Equal(t, 4.0, *c.Eyes[0].Pupil)
	assert.Equal(t, "6/18", c.Eyes[0].Unaided)
	assert.Equal(t, -1.75, *c.Eyes[0].BestSphereLens)
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(plain))
	f.Add(Template(plainWords))
	f.Add([]byte(with("", "aberrations = { diameter = 6, 7 = 0.1 }")))
	f.Add([]byte(with("", "\"patient.age\" = 3\n[patient.manner]\nnoise = 0.3")))
	f.Add([]byte("[a\n[[b]]\nc = [1, {d = 2}]\ne = \"\"\"x\n"))
	f.Add([]byte("patient = {age = 3, age = 4}\npatient.age = 5\n[patient]\n"))
	for _, id := range libraryOrder {
		data, err := os.ReadFile("library/" + id + ".toml")
		require.NoError(f, err)
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := Read("fuzz.toml", data)
		if err != nil {
			var bad *Malformed
			var newer *Unsupported
			if errors.As(err, &bad) {
				require.NotEmpty(t, bad.Mistakes)
				for _, m := range bad.Mistakes {
					require.Positive(t, m.Line)
					require.Positive(t, m.Column)
				}
				return
			}
			require.ErrorAs(t, err, &newer)
			return
		}
		again, err := Read("fuzz.toml", Write(c))
		require.NoError(t, err, "%s", Write(c))
		require.Equal(t, c, again)
		require.Equal(t, c.Hash(), again.Hash())
	})
}
