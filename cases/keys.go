package cases

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"sync"

	"github.com/pelletier/go-toml/v2/unstable"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// version is the version of the case file that this package reads and writes.
const version = 1

// section is a section of a case file.
type section struct {
	name string
	doc  string
	keys []key
	fine bool // written only when needed, and not in the template
	must bool // must be there
}

// schema is the case file: every section and key, in the order in which they
// are read and written.
var schema = sync.OnceValue(func() []section {
	return append([]section{
		{keys: topKeys(), must: true},
		{name: "patient", keys: patientKeys(), must: true, doc: "The person in the chair."},
		{name: "patient.manner", keys: mannerKeys(), fine: true},
		{name: "right", keys: eyeKeys(sitting.Right), doc: "The right eye. [left] takes the same keys. An eye that is left out is the mirror\nimage of the other one."},
		{name: "right.aberrations", keys: aberrationKeys(sitting.Right), fine: true},
		{name: "left", keys: eyeKeys(sitting.Left), fine: true},
		{name: "left.aberrations", keys: aberrationKeys(sitting.Left), fine: true},
		{name: "room", keys: roomKeys(), doc: "The room. This section may be left out."},
	}, markingSections()...)
})

func topKeys() []key {
	return []key{
		{
			path: "conoid", doc: "The version of this kind of file.", json: rule{"const": version},
			need: fmt.Sprintf("begin the file with conoid = %d", version),
			read: func(c *Case, e entry) *fault {
				_, f := e.whole(limits{version, version, ""})
				return f
			},
			write: func(*Case) (string, bool) { return strconv.Itoa(version), true },
		},
		needed(filled(words("title", 80, false, func(c *Case) *string { return &c.Title },
			"What the list of cases shows. Students see it: it must not give the answer away.")),
			`write a title, such as title = "The ferry clerk"`),
		{
			path: "level", json: integers(limits{1, Levels, ""}), doc: "How hard the case is, 1 to 4. Left out, it is 1 and 1 more for each difficulty\nthat the program finds in the case, up to 4.",
			read: func(c *Case, e entry) *fault {
				v, f := e.whole(limits{1, Levels, ""})
				c.Level = int(v)
				return f
			},
			write: func(c *Case) (string, bool) { return strconv.Itoa(c.Level), true },
		},
		words("story", 2000, true, func(c *Case) *string { return &c.Story }, "A few sentences about the person, for the student."),
	}
}

func patientKeys() []key {
	return []key{
		words("patient.name", 60, false, func(c *Case) *string { return &c.Name }, "An invented name. Never use a real person's name or data."),
		needed(number("patient.age", limits{5, 100, "years"}, func(c *Case) *float64 { return &c.Age }, "In years, 5 to 100."),
			"write the age in years under [patient], such as age = 34"),
		words("patient.symptoms", 300, false, func(c *Case) *string { return &c.Symptoms }, "What brings the person in, in the person's own words."),
		choice("patient.manner", mannerNames(), func(c *Case) string { return c.MannerName }, setManner,
			"How the person answers: "+either(mannerNames())+".\nA section [patient.manner] with like = \"everyday\" changes single numbers of it:\nnoise, difference, lapse, change, fatigue, suggestible, hesitation, settling."),
		choice("patient.tested", []string{"right", "left"}, func(c *Case) string { return string(c.Tested) },
			func(c *Case, s string) { c.Tested = sitting.Side(s) }, "The eye that is examined."),
	}
}

func mannerNames() []string { return slices.Sorted(maps.Keys(patient.Manners)) }

func setManner(c *Case, name string) { c.MannerName, c.Manner = name, patient.Manners[name] }

func mannerKeys() []key {
	like := choice("patient.manner.like", mannerNames(), func(c *Case) string { return c.MannerName }, setManner, "")
	like.write = func(c *Case) (string, bool) { return toText(c.MannerName), !readyMade(c) }
	return []key{
		like,
		trait("noise", 1, func(m *patient.Manner) *float64 { return &m.Noise }),
		trait("difference", 1, func(m *patient.Manner) *float64 { return &m.Difference }),
		trait("lapse", 0.5, func(m *patient.Manner) *float64 { return &m.Lapse }),
		trait("change", 1, func(m *patient.Manner) *float64 { return &m.Change }),
		trait("fatigue", 2, func(m *patient.Manner) *float64 { return &m.Fatigue }),
		trait("suggestible", 1, func(m *patient.Manner) *float64 { return &m.Suggestible }),
		trait("hesitation", 1, func(m *patient.Manner) *float64 { return &m.Hesitation }),
		trait("settling", 30, func(m *patient.Manner) *float64 { return &m.Settling }),
	}
}

// readyMade tells whether the person's manner is just what its name says.
func readyMade(c *Case) bool { return c.Manner == patient.Manners[c.MannerName] }

// trait is one number of a manner, 0 to most.
func trait(name string, most float64, field func(*patient.Manner) *float64) key {
	k := number("patient.manner."+name, limits{0, most, ""}, func(c *Case) *float64 { return field(&c.Manner) }, "")
	k.write = func(c *Case) (string, bool) {
		base := patient.Manners[c.MannerName]
		return toNumber(*field(&c.Manner)), *field(&c.Manner) != *field(&base)
	}
	return k
}

func eyeKeys(side sitting.Side) []key {
	of := func(c *Case) *Eye { return c.Of(side) }
	at := string(side) + "."
	return []key{
		needed(prescription(at+"error", func(c *Case) *optics.Rx { return &of(c).Error },
			"The hidden truth: the correction in the back cell for a chart at 6 m. A plus\ncylinder is allowed; it is written with a minus cylinder."),
			fmt.Sprintf(`write the hidden truth under [%s], such as error = "-1.00 / -2.00 x 30"`, side)),
		neededIfTested(prescription(at+"objective", func(c *Case) *optics.Rx { return &of(c).Objective },
			"The objective result that the student starts from: it is in the frame at the\nbeginning. Only the eye that is not tested may go without."),
			fmt.Sprintf(`write the objective result under [%s], such as objective = "-0.75 / -1.75 x 35"`, side)),
		optional(at+"pupil", limits{eye.MinPupil, eye.MaxPupil, "mm"}, func(c *Case) **float64 { return &of(c).Pupil }, "4.0",
			"The pupil's diameter in mm, 2 to 8. Left out, it follows from the age and the light."),
		aberrations(at+"aberrations", func(c *Case) *Aberrations { return &of(c).Aberrations }),
		optional(at+"amplitude", limits{0, 20, "D"}, func(c *Case) **float64 { return &of(c).Amplitude }, "7.0",
			"The amplitude of accommodation in dioptres, 0 to 20. Left out, it is the mean for the age."),
		acuity(at+"unaided", func(c *Case) *string { return &of(c).Unaided }, `"6/18"`,
			"The acuity on the record card without a lens. Left out, the card shows what the\nsimulation finds."),
		acuity(at+"best-sphere", func(c *Case) *string { return &of(c).BestSphere }, `"6/9"`,
			"The acuity on the record card with the best sphere."),
	}
}

// neededIfTested is needed where the eye is the one that is tested.
func neededIfTested(k key, how string) key {
	k.need, k.tested = how, true
	return k
}

// aberrations is the source of an eye's aberrations: a word, or the seed of a draw.
func aberrations(path string, field func(*Case) *Aberrations) key {
	sources := []string{string(None), string(Typical)}
	seeds := limits{1, 1 << 53, ""}
	return key{
		path: path,
		json: rule{"anyOf": []rule{{"enum": sources}, integers(seeds)}},
		doc:  "The higher-order aberrations: \"typical\", \"none\", or a whole number from 1, the\nseed that draws them from the norms. A section [" + path + "] with the\npupil's diameter in mm and coefficients in micrometres by OSA index (such as\n12 = 0.05) gives them one by one.",
		read: func(c *Case, e entry) *fault {
			switch {
			case e.kind == unstable.Integer:
				seed, f := e.whole(seeds)
				*field(c) = Aberrations{From: Drawn, Seed: seed}
				return f
			case e.kind != unstable.String:
				return e.wrongType(either(sources) + ", or a whole number")
			case !slices.Contains(sources, e.text):
				return e.fault("%s is %s; allowed is %s, or a whole number%s", e.path, shown(e.text), either(sources), didYouMean(e.text, sources))
			}
			*field(c) = Aberrations{From: Source(e.text)}
			return nil
		},
		write: func(c *Case) (string, bool) {
			a := field(c)
			if a.From == Drawn {
				return strconv.FormatUint(a.Seed, 10), true
			}
			return toText(string(a.From)), a.From != Given
		},
	}
}

func aberrationKeys(side sitting.Side) []key {
	path := string(side) + ".aberrations."
	given := func(c *Case) *eye.Aberrations {
		a := &c.Of(side).Aberrations
		if a.From != Given {
			*a = Aberrations{From: Given, Given: eye.Aberrations{Coefficients: make([]float64, eye.MaxIndex+1)}}
		}
		return &a.Given
	}
	keys := []key{needed(onlyGiven(number(path+"diameter", limits{eye.MinPupil, eye.MaxPupil, "mm"}, func(c *Case) *float64 { return &given(c).Diameter }, ""), side),
		"write the pupil's diameter in mm that the coefficients are meant for, such as diameter = 6")}
	for j := eye.Index(3, -3); j <= eye.MaxIndex; j++ {
		k := number(fmt.Sprintf("%s%d", path, j), limits{-2, 2, "micrometres"}, func(c *Case) *float64 { return &given(c).Coefficients[j] }, "")
		keys = append(keys, onlyGiven(k, side))
	}
	return keys
}

// onlyGiven writes a key of given aberrations only where there are some.
func onlyGiven(k key, side sitting.Side) key {
	write := k.write
	k.write = func(c *Case) (string, bool) {
		if c.Of(side).Aberrations.From != Given {
			return "", false
		}
		s, _ := write(c)
		return s, s != "0"
	}
	return k
}

func roomKeys() []key {
	return []key{
		number("room.distance", limits{1, 20, "m"}, func(c *Case) *float64 { return &c.Room.Distance }, "From the chart to the eye in metres, 1 to 20."),
		number("room.vertex", limits{5, 25, "mm"}, func(c *Case) *float64 { return &c.Room.Vertex }, "From the eye to the back cell of the trial frame in mm, 5 to 25."),
		choice("room.labels", labelNames(), func(c *Case) string { return c.Room.Labels.String() },
			func(c *Case, s string) { c.Room.Labels, _ = chart.ParseLabels(s) },
			"What the dials are labelled with: the axis of the minus cylinder (\"axis\"), the\n\"hours\" of a clock, or \"none\"."),
		yesNo("room.plus-cylinders", func(c *Case) *bool { return &c.Room.PlusCylinders }, "Whether the trial set has plus cylinders as well."),
	}
}

func labelNames() []string {
	return []string{chart.ByAxis.String(), chart.ByHour.String(), chart.NoLabels.String()}
}
