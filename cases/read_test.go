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
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// plain is the shortest case that works.
const plain = `conoid = 1
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

const modes = "diameter, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27"

// refused is what is said of the error in line 6 of the plain case: the words
// and the place within the text are those of optics.ParseRx.
func refused(rx string) string {
	_, err := optics.ParseRx(rx)
	var bad *optics.ParseError
	errors.As(err, &bad)
	return fmt.Sprintf("6:%d: right.error: %v", len(`error = "`)+1+bad.Pos, bad)
}

func TestMistakesAreFoundWhereTheyStand(t *testing.T) {
	for name, c := range map[string]struct{ file, want string }{
		"unknown key":                {with("title", "titel"), `2:1: there is no key titel at the top of the file; allowed are conoid, title, level, story; did you mean "title"?`},
		"unknown key in a section":   {with("age = 34", "age = 34\n  colour = 3"), `5:3: there is no key colour in [patient]; allowed are name, age, symptoms, manner, tested`},
		"unknown section":            {with("", "[rigth]\npupil = 3\n[rigth.deep]\nx = 1"), `8:2: there is no section rigth; allowed are patient, patient.manner, right, right.aberrations, left, left.aberrations, room, marking, marking.procedure; did you mean "right"?`},
		"text for a number":          {with("34", `"34"`), `4:7: patient.age is the text "34"; write a number without quotation marks, 5 to 100 years`},
		"number for text":            {with(`"T"`, `7`), `2:9: title is the number 7; write text between quotation marks`},
		"list for text":              {with(`"T"`, `["T"]`), `2:9: title is a list; write text between quotation marks`},
		"date for a number":          {with("34", `2001-01-01`), `4:7: patient.age is a date or a time; write a number without quotation marks, 5 to 100 years`},
		"text for yes or no":         {with("", "[room]\nplus-cylinders = \"yes\""), `9:18: room.plus-cylinders is the text "yes"; write true or false, without quotation marks`},
		"age out of range":           {with("34", "400"), `4:7: patient.age is 400; allowed is 5 to 100 years`},
		"not a number":               {with("34", "nan"), `4:7: patient.age is nan; allowed is 5 to 100 years`},
		"infinite":                   {with("34", "-inf"), `4:7: patient.age is −inf; allowed is 5 to 100 years`},
		"too large to be read":       {with("34", "1e999"), `4:7: patient.age is 1e999; allowed is 5 to 100 years`},
		"axis 200":                   {with("x 30", "x 200"), refused("-1.00 / -2.00 x 200")},
		"pupil 0":                    {with("", "pupil = 0"), `8:9: right.pupil is 0; allowed is 2 to 8 mm`},
		"cylinder without axis":      {with("-2.00 x 30", "-2.00"), refused("-1.00 / -2.00")},
		"amplitude below zero":       {with("", "amplitude = -0.5"), `8:13: right.amplitude is −0.5; allowed is 0 to 20 D`},
		"sphere out of range":        {with("-1.00 / -2.00 x 30", "-20.25 DS"), `6:9: right.error is −20.25 DS; allowed are spheres to ±20 D and cylinders to 8 D`},
		"cylinder out of range":      {with("-1.00 / -2.00 x 30", "+1.00 / +8.25 x 90"), `6:9: right.error is +9.25 / −8.25 x 180; allowed are spheres to ±20 D and cylinders to 8 D`},
		"prescription as a number":   {with(`"-1.00 / -2.00 x 30"`, "-1.00"), `6:9: right.error is the number -1.00; write a prescription between quotation marks, such as "-1.00 / -2.00 x 30"`},
		"level":                      {with(`title`, "level = 5\ntitle"), `2:9: level is 5; allowed is 1 to 4`},
		"level in parts":             {with(`title`, "level = 1.5\ntitle"), `2:9: level is the number 1.5; write a whole number, 1 to 4`},
		"manner":                     {with("age = 34", "age = 34\nmanner = \"kene\""), `5:10: patient.manner is "kene"; allowed is "everyday", "keen", "noiseless", "obliging" or "scattered"; did you mean "keen"?`},
		"a trait of the manner":      {with("", "[patient.manner]\nlapse = 0.6"), `9:9: patient.manner.lapse is 0.6; allowed is 0 to 0.5`},
		"tested":                     {with("age = 34", "age = 34\ntested = \"both\""), `5:10: patient.tested is "both"; allowed is "right" or "left"`},
		"aberrations":                {with("", `aberrations = "typic"`), `8:15: right.aberrations is "typic"; allowed is "none" or "typical", or a whole number; did you mean "typical"?`},
		"seed of aberrations":        {with("", `aberrations = 0`), `8:15: right.aberrations is 0; allowed is 1 to 9007199254740992`},
		"a half seed":                {with("", `aberrations = 0.5`), `8:15: right.aberrations is the number 0.5; write "none" or "typical", or a whole number`},
		"an unknown mode":            {with("", `aberrations = { diameter = 6, 28 = 0.1 }`), `8:31: there is no key 28 in [right.aberrations]; allowed are ` + modes},
		"a mode without diameter":    {with("", "[right.aberrations]\n12 = 0.1"), `8:2: right.aberrations.diameter is missing; write the pupil's diameter in mm that the coefficients are meant for, such as diameter = 6`},
		"labels":                     {with("", "[room]\nlabels = \"hour\""), `9:10: room.labels is "hour"; allowed is "axis", "hours" or "none"; did you mean "hours"?`},
		"distance":                   {with("", "[room]\ndistance = 0.5"), `9:12: room.distance is 0.5; allowed is 1 to 20 m`},
		"vertex in metres":           {with("", "[room]\nvertex = 0.012"), `9:10: room.vertex is 0.012; allowed is 5 to 25 mm`},
		"acuity":                     {with("", `unaided = "good"`), `8:11: right.unaided: "good" is not an acuity: write 6/6, 6/6-2, 20/20, a decimal such as 0.8, or 0.1 logMAR`},
		"a long title":               {with(`"T"`, `"`+strings.Repeat("é", 81)+`"`), `2:9: title has 81 characters; allowed are 80`},
		"an empty title":             {with(`"T"`, `"  "`), `2:9: title is empty; write a few words`},
		"a control character":        {with(`"T"`, `"\u0007"`), `2:9: title has the character U+0007 in it; allowed are characters that can be printed`},
		"twice":                      {with("age = 34", "age = 34\nage = 35"), `5:1: patient.age is given twice; it stands in line 4 already`},
		"a section twice":            {with("", "[patient]"), `8:2: patient is given twice; it stands in line 3 already`},
		"a list of sections":         {with("[right]", "[[right]]"), "5:3: [[right]] makes a list of sections; write [right]"},
		"a value that is a section":  {with("age = 34", "age = 34\nmanner = \"keen\"\n[patient.manner]\nnoise = 0.1"), `6:2: patient.manner is given twice; it stands in line 5 already`},
		"columns count characters":   {with("", `aberrations = { "é" = 1, x = 2 }`), "8:1: right.aberrations.diameter is missing; write the pupil's diameter in mm that the coefficients are meant for, such as diameter = 6\n8:17: there is no key é in [right.aberrations]; allowed are " + modes + "\n8:26: there is no key x in [right.aberrations]; allowed are " + modes},
		"no age":                     {with("age = 34", ""), `3:2: patient.age is missing; write the age in years under [patient], such as age = 34`},
		"no version":                 {with("conoid = 1\n", ""), `1:1: conoid is missing; begin the file with conoid = 1`},
		"version nought":             {with("conoid = 1\n", "conoid = 0\n"), `1:10: conoid is 0; allowed is 1`},
		"no title":                   {with("title = \"T\"\n", ""), `1:1: title is missing; write a title, such as title = "The ferry clerk"`},
		"no objective":               {with("objective = \"-0.75 / -1.75 x 35\"\n", ""), `5:2: right.objective is missing; write the objective result under [right], such as objective = "-0.75 / -1.75 x 35"`},
		"no tested eye":              {with("age = 34", "age = 34\ntested = \"left\""), `1:1: the section [left] is missing; the tested eye needs its error and its objective result`},
		"no error in the other eye":  {with("", "[left]"), `8:2: left.error is missing; write the hidden truth under [left], such as error = "-1.00 / -2.00 x 30"`},
		"text without quotation":     {with(`"T"`, `T`), `2:9: not TOML: unexpected character U+0054 'T' at start of value`},
		"no end of a text":           {with(`"T"`, `"T`), `2:11: not TOML: basic strings cannot have new lines`},
		"a key without a value":      {with(`34`, ``), `4:7: not TOML: unexpected character U+000A at start of value`},
		"a header that is not ended": {with(`[right]`, `[right`), `5:7: not TOML: expected ']' to close table name`},
		"a value for a section":      {"room = 3\n" + plain, `1:1: room is a section, and takes no single value; write [room]`},
		"a value in parts":           {with("age = 34", "age = { years = 34 }"), `4:1: patient.age is a section; it takes a single value`},
		"a header in a value":        {with("", "[right.pupil]\nx = 1\n[right]"), "8:2: right.pupil is a section; it takes a single value\n10:2: right is given twice; it stands in line 5 already"},
		"a binary file":              {"\x00\x01", "1:1: not TOML: invalid character at start of key: U+0000"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Read("quay.toml", []byte(c.file))
			var bad *Malformed
			require.ErrorAs(t, err, &bad)
			assert.Equal(t, "quay.toml:"+strings.ReplaceAll(c.want, "\n", "\nquay.toml:"), err.Error())
		})
	}
}

func TestAllMistakesInOneGo(t *testing.T) {
	_, err := Read("quay.toml", []byte(`conoid = 1
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
	assert.Equal(t, []string{"2:1", "3:9", "5:7", "6:8", "7:2", "10:23", "11:9", "12:6", "15:10"}, places)
}

func TestANewerFileIsUnsupportedAndNotMalformed(t *testing.T) {
	_, err := Read("quay.toml", []byte("# new\nconoid = 2\nweather = 3\n"))
	var newer *Unsupported
	require.ErrorAs(t, err, &newer)
	assert.Equal(t, "quay.toml:2:10: the file is of version 2; this program reads version 1", err.Error())
	var bad *Malformed
	assert.False(t, errors.As(err, &bad))
}

func TestAFileThatIsTooLarge(t *testing.T) {
	_, err := Read("quay.toml", make([]byte, maxSize+1))
	assert.EqualError(t, err, "quay.toml:1:1: the file has 65537 bytes; allowed are 65536")
}

func TestWhatAFileLeavesOut(t *testing.T) {
	c, err := Read("folder/quay.toml", []byte("\ufeff"+strings.ReplaceAll(plain, "\n", "\r\n")))
	require.NoError(t, err)
	assert.Equal(t, "quay", c.ID)
	assert.Equal(t, sitting.Right, c.Tested)
	assert.Equal(t, "everyday", c.MannerName)
	assert.Equal(t, patient.Manners["everyday"], c.Manner)
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
conoid = 1
title = "  A   title "
level = 3
story = """
One
line.

And another."""
patient = { name = "Ulla", age = 7.5, tested = "left", symptoms = "None.", manner = { like = "keen", fatigue = 1 } }
right.error = "plano"
[left]
error = "-3.00 / +2.00 x 120"
objective = '-1,00/-2,00x30'
pupil = 0x4
aberrations = 1_7
amplitude = 0
unaided = "6/18"
best-sphere = "0.8"
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
	four, nought := 4.0, 0.0
	manner := patient.Manners["keen"]
	manner.Fatigue = 1
	given := make([]float64, 28)
	given[12] = -0.05
	assert.Equal(t, &Case{
		ID: "quay", Title: "A title", Level: 3, Story: "One line.\n\nAnd another.",
		Name: "Ulla", Age: 7.5, Symptoms: "None.", MannerName: "keen", Manner: manner, Tested: sitting.Left,
		Eyes: [2]Eye{
			{Aberrations: Aberrations{From: Given, Given: eye.Aberrations{Coefficients: given, Diameter: 5}}},
			{
				Error: optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}, Objective: optics.Rx{Sphere: -1, Cyl: -2, Axis: 30},
				Pupil: &four, Amplitude: &nought, Aberrations: Aberrations{From: Drawn, Seed: 17}, Unaided: "6/18", BestSphere: "0.8",
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
		c.Age, c.Level = rapid.Float64Range(5, 100).Draw(t, "age"), rapid.IntRange(1, Levels).Draw(t, "level")
		setManner(c, rapid.SampledFrom(mannerNames()).Draw(t, "manner"))
		if rapid.Bool().Draw(t, "its own") {
			c.Manner.Noise, c.Manner.Fatigue = rapid.Float64Range(0, 1).Draw(t, "noise"), rapid.Float64Range(0, 2).Draw(t, "fatigue")
		}
		c.Tested = rapid.SampledFrom([]sitting.Side{sitting.Right, sitting.Left}).Draw(t, "tested")
		for i := range c.Eyes {
			e := &c.Eyes[i]
			e.Error, e.Objective = rx.Draw(t, "error"), rx.Draw(t, "objective")
			e.Pupil, e.Amplitude = maybe(2, 8).Draw(t, "pupil"), maybe(0, 20).Draw(t, "amplitude")
			e.Aberrations.From = rapid.SampledFrom([]Source{None, Typical, Drawn, Given}).Draw(t, "from")
			switch e.Aberrations.From {
			case Drawn:
				e.Aberrations.Seed = rapid.Uint64Range(1, 1<<53).Draw(t, "seed")
			case Given:
				e.Aberrations.Given = eye.Aberrations{Diameter: rapid.Float64Range(2, 8).Draw(t, "diameter"), Coefficients: make([]float64, eye.MaxIndex+1)}
				e.Aberrations.Given.Coefficients[rapid.IntRange(6, 27).Draw(t, "mode")] = rapid.Float64Range(-2, 2).Draw(t, "coefficient")
			}
		}
		c.Room = Room{rapid.Float64Range(1, 20).Draw(t, "distance"), rapid.Float64Range(5, 25).Draw(t, "vertex"), chart.Labels(rapid.IntRange(0, 2).Draw(t, "labels")), rapid.Bool().Draw(t, "plus")}
		again, err := Read("quay.toml", Write(c))
		require.NoError(t, err, "%s", Write(c))
		require.Equal(t, c, again)
	})
}

func TestTemplateExplainsEveryKey(t *testing.T) {
	c, err := Read("new.toml", Template())
	require.NoError(t, err)
	assert.Equal(t, "A new case", c.Title)
	assert.Empty(t, checkFile(c), "the template is a case that a tutor need not be warned of")
	for _, s := range schema() {
		for _, k := range s.keys {
			if s.fine {
				continue
			}
			assert.Regexp(t, `(?m)^# [^\n]+\n(# )?`+s.short(k)+` = `, string(Template()), k.path)
		}
	}
	for _, line := range strings.Split(string(Template()), "\n") {
		assert.LessOrEqual(t, len(line), 92, line)
	}

	uncommented := strings.NewReplacer("# pupil =", "pupil =", "# amplitude =", "amplitude =", "# unaided =", "unaided =", "# best-sphere =", "best-sphere =").Replace(string(Template()))
	c, err = Read("new.toml", []byte(uncommented))
	require.NoError(t, err, "the examples of what is left out can be used as they stand")
	assert.Equal(t, 4.0, *c.Eyes[0].Pupil)
	assert.Equal(t, "6/18", c.Eyes[0].Unaided)
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(plain))
	f.Add(Template())
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
