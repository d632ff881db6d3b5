package cases

import (
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// version is the version of the case file that this package reads and writes,
// and versionKey the key that says it.
const (
	version    = 2
	versionKey = "conoid"
)

// section is a section of a case file.
type section struct {
	name  string
	about string // the ID of its explanation; empty for none
	keys  []key
	must  bool // must be there

	language string // of the texts in it; empty: that of the file

	fine    bool // written only when needed, and not in the template
	offered bool // but there after all, as comments
}

// explained is what the section is for.
func (s section) explained() fact.Fact {
	return fact.New("case.section."+s.about, "findings", strings.Join(findings, ", "), "language", tongue(s.language))
}

// schema is the case file: every section and key, in the order in which they
// are read and written.
var schema = sync.OnceValue(func() []section {
	out := []section{
		{keys: topKeys(), must: true},
		{name: "patient", about: "patient", keys: patientKeys(), must: true},
		{name: "patient.manner", about: "manner", keys: mannerKeys(), fine: true, offered: true},
		{name: "patient.accommodation", about: "accommodation", keys: focusingKeys(), fine: true},
		{name: "right", about: "eye", keys: eyeKeys(sitting.Right)},
		{name: "right.aberrations", keys: aberrationKeys(sitting.Right), fine: true},
		{name: "left", keys: eyeKeys(sitting.Left), fine: true},
		{name: "left.aberrations", keys: aberrationKeys(sitting.Left), fine: true},
		{name: "room", about: "room", keys: roomKeys()},
	}
	return slices.Concat(out, textSections(), feedbackSections(), markingSections())
})

func topKeys() []key {
	return []key{
		{
			path: versionKey, about: "version", json: rule{"const": version},
			need:  fact.New("case.need.version", "key", versionKey, "version", fact.Count(version)),
			read:  func(_ *Case, e entry) *fault { return e.version(version) },
			write: func(*Case) (string, bool) { return strconv.Itoa(version), true },
		},
		needed(filled(free("title", "title", mostTitle, false, func(c *Case) *string { return &c.Title })), fact.New("case.need.title")),
		{
			path: "level", about: "level", json: integers(limits{1, Levels, pure}),
			read: func(c *Case, e entry) *fault {
				v, f := e.whole(limits{1, Levels, pure})
				c.Level = int(v)
				return f
			},
			write: func(c *Case) (string, bool) { return strconv.Itoa(c.Level), true },
		},
		free("story", "story", mostStory, true, func(c *Case) *string { return &c.Story }),
		offeredChoice("language", "language", languages, func(c *Case) string { return c.Language }, func(c *Case, s string) { c.Language = s }),
		shownAs(free("author", "author", mostAuthor, false, func(c *Case) *string { return &c.Author }), `"…"`),
		shownAs(free("tags", "tags", mostTags, false, func(c *Case) *string { return &c.Tags }), `"fog, first term"`),
		shownAs(free("aims", "aims", mostAims, true, func(c *Case) *string { return &c.Aims }), `"…"`),
		shownAs(free("notes", "notes", mostNotes, true, func(c *Case) *string { return &c.Notes }), `"…"`),
	}
}

func patientKeys() []key {
	return []key{
		free("patient.name", "name", 60, false, func(c *Case) *string { return &c.Name }),
		needed(number("patient.age", "age", limits{5, 100, years}, func(c *Case) *float64 { return &c.Age }), fact.New("case.need.age")),
		free("patient.symptoms", "symptoms", mostSymptoms, false, func(c *Case) *string { return &c.Symptoms }),
		choice("patient.manner", "manner", mannerNames(), func(c *Case) string { return c.MannerName }, setManner),
		choice("patient.tested", "tested", []string{"right", "left"}, func(c *Case) string { return string(c.Tested) },
			func(c *Case, s string) { c.Tested = sitting.Side(s) }),
		optional("patient.spectacles-years", "spectacles-years", limits{0, mostWorn, years}, func(c *Case) **float64 { return &c.SpectaclesYears }, "4"),
	}
}

func mannerNames() []string { return slices.Sorted(maps.Keys(patient.Manners())) }

func setManner(c *Case, name string) { c.MannerName, c.Manner = name, patient.Manners()[name] }

func mannerKeys() []key {
	like := choice("patient.manner.like", "trait.like", mannerNames(), func(c *Case) string { return c.MannerName }, setManner)
	like.write = func(c *Case) (string, bool) { return toText(c.MannerName), !readyMade(c) }
	return []key{
		like,
		trait("noise", 1, func(m *patient.Manner) *float64 { return &m.Noise }),
		trait("difference", 1, func(m *patient.Manner) *float64 { return &m.Difference }),
		leaning("dominance", func(m *patient.Manner) *float64 { return &m.Dominance }),
		trait("lapse", 0.5, func(m *patient.Manner) *float64 { return &m.Lapse }),
		trait("change", 1, func(m *patient.Manner) *float64 { return &m.Change }),
		trait("fatigue", 2, func(m *patient.Manner) *float64 { return &m.Fatigue }),
		ofManner("settling", limits{0, 30, seconds}, func(m *patient.Manner) *float64 { return &m.Settling }),
		trait("weariness", 1, func(m *patient.Manner) *float64 { return &m.Weariness }),
		trait("suggestible", 1, func(m *patient.Manner) *float64 { return &m.Suggestible }),
		trait("hesitation", 1, func(m *patient.Manner) *float64 { return &m.Hesitation }),
		trait("wavering", 0.5, func(m *patient.Manner) *float64 { return &m.Wavering }),
		trait("asks-again", 0.5, func(m *patient.Manner) *float64 { return &m.AsksAgain }),
		trait("slowness", 2, func(m *patient.Manner) *float64 { return &m.Slowness }),
		trait("attention", 1, func(m *patient.Manner) *float64 { return &m.Attention }),
	}
}

// readyMade reports whether the person's manner is just what its name says.
func readyMade(c *Case) bool { return c.Manner == patient.Manners()[c.MannerName] }

// trait is one number of a manner, 0 to most.
func trait(name string, most float64, field func(*patient.Manner) *float64) key {
	return ofManner(name, limits{0, most, pure}, field)
}

// leaning is one that goes either way, -1 to 1.
func leaning(name string, field func(*patient.Manner) *float64) key {
	return ofManner(name, limits{-1, 1, pure}, field)
}

func ofManner(name string, l limits, field func(*patient.Manner) *float64) key {
	k := number("patient.manner."+name, "trait."+name, l, func(c *Case) *float64 { return field(&c.Manner) })
	k.levels = howMuch(name, l, field)
	k.write = func(c *Case) (string, bool) {
		base := patient.Manners()[c.MannerName]
		return toNumber(*field(&c.Manner)), *field(&c.Manner) != *field(&base)
	}
	return k
}

// howMuch is what of a trait is little, usual and much: the least and the most
// of it among the ready-made manners of people, or its limits where they are alike.
func howMuch(name string, l limits, field func(*patient.Manner) *float64) fact.Fact {
	low, high := l.most, l.least
	var usual float64
	for manner, m := range patient.Manners() {
		v := *field(&m)
		switch manner {
		case "noiseless": // no person is
			continue
		case "everyday":
			usual = v
		}
		low, high = min(low, v), max(high, v)
	}
	if low == high {
		low, high = l.least, l.most
	}
	return fact.New("case.levels", "about", fact.New("case.key.trait."+name), "low", fact.Number(low), "few", fact.New("case.low."+name), "usual", fact.Number(usual),
		"high", fact.Number(high), "many", fact.New("case.high."+name))
}

func focusingKeys() []key {
	at, about := "patient.accommodation.", "accommodation."
	of := func(name string, l limits, field func(*patient.Focusing) *float64) key {
		k := number(at+name, about+name, l, func(c *Case) *float64 { return field(&c.Focusing) })
		k.write = func(c *Case) (string, bool) {
			usual := patient.UsualFocusing()
			return toNumber(*field(&c.Focusing)), *field(&c.Focusing) != *field(&usual)
		}
		return k
	}
	return []key{
		of("tonic", limits{0, 2, dioptres}, func(f *patient.Focusing) *float64 { return &f.Tonic }),
		optional(at+"latent", about+"latent", limits{0, 2, dioptres}, func(c *Case) **float64 { return &c.Latent }, "0.5"),
		of("spasm", limits{0, 6, dioptres}, func(f *patient.Focusing) *float64 { return &f.Spasm }),
		of("release", limits{0, 1, pure}, func(f *patient.Focusing) *float64 { return &f.Release }),
		of("regard", limits{0, 1, pure}, func(f *patient.Focusing) *float64 { return &f.Regard }),
		of("steadiness", limits{0.5, 2, pure}, func(f *patient.Focusing) *float64 { return &f.Steadiness }),
	}
}

func eyeKeys(side sitting.Side) []key {
	of := func(c *Case) *Eye { return c.Of(side) }
	at := string(side) + "."
	return []key{
		needed(prescription(at+"error", "error", func(c *Case) *optics.Rx { return &of(c).Error }),
			fact.New("case.need.error", "section", string(side))),
		neededIfTested(prescription(at+"objective", "objective", func(c *Case) *optics.Rx { return &of(c).Objective }),
			fact.New("case.need.objective", "section", string(side))),
		offeredChoice(at+"objective-by", "objective-by", instruments(), func(c *Case) string { return string(of(c).ObjectiveBy) },
			func(c *Case, s string) { of(c).ObjectiveBy = Instrument(s) }),
		optional(at+"objective-spread", "objective-spread", limits{0.05, 3, dioptres}, func(c *Case) **float64 { return &of(c).ObjectiveSpread }, "0.5"),
		optionalRx(at+"spectacles", "spectacles", func(c *Case) **optics.Rx { return &of(c).Spectacles }, `"-0.50 / -0.75 x 10"`),
		optional(at+"pupil", "pupil", limits{eye.MinPupil, eye.MaxPupil, millimetres}, func(c *Case) **float64 { return &of(c).Pupil }, "4.0"),
		aberrations(at+"aberrations", func(c *Case) *Aberrations { return &of(c).Aberrations }),
		optional(at+"amplitude", "amplitude", limits{0, 20, dioptres}, func(c *Case) **float64 { return &of(c).Amplitude }, "7.0"),
		reduced(acuity(at+"neural", "neural", func(c *Case) *string { return &of(c).Neural }, `"6/12"`)),
		notNone(number(at+"haze", "haze", limits{0, mostHaze, pure}, func(c *Case) *float64 { return &of(c).Haze }), "0.3"),
		acuity(at+"unaided", "unaided", func(c *Case) *string { return &of(c).Unaided }, `"6/18"`),
		acuity(at+"best-sphere", "best-sphere", func(c *Case) *string { return &of(c).BestSphere }, `"6/9"`),
		optional(at+"best-sphere-lens", "best-sphere-lens", limits{-maxSphere, maxSphere, dioptres}, func(c *Case) **float64 { return &of(c).BestSphereLens }, "-1.75"),
	}
}

// mostWorn is the greatest age of spectacles, in years. The project's choice.
const mostWorn = 60

// mostHaze is the greatest share of light that the media of an eye may scatter
// beyond what its age does.
const mostHaze = 0.8

// reduced is the acuity of an eye that can still be refracted by a dial.
func reduced(k key) key {
	read := k.read
	k.read = func(c *Case, e entry) *fault {
		if f := read(c, e); f != nil {
			return f
		}
		if a, _ := patient.ParseAcuity(e.text); a.LogMAR > patient.CoarsestAcuity+1e-9 {
			return e.fault(fact.New("case.neural", "key", e.path, "value", shown(e.text), "worst", fact.Row(patient.CoarsestAcuity)))
		}
		return nil
	}
	return k
}

// notNone is a number that is written only where it is not 0; the template shows
// the example.
func notNone(k key, example string) key {
	write := k.write
	k.example = example
	k.write = func(c *Case) (string, bool) {
		s, _ := write(c)
		return s, s != "0"
	}
	return k
}

// neededIfTested is needed where the eye is the one that is tested.
func neededIfTested(k key, how fact.Fact) key {
	k.need, k.tested = how, true
	return k
}

// aberrations is the source of an eye's aberrations: a word, or the seed of a draw.
func aberrations(path string, field func(*Case) *Aberrations) key {
	sources := []string{string(None), string(Typical)}
	seeds := limits{1, 1 << 53, pure}
	return key{
		path:  path,
		about: "aberrations", options: sources,
		json: rule{"anyOf": []rule{{"enum": sources}, integers(seeds)}},
		read: func(c *Case, e entry) *fault {
			switch {
			case e.kind == isWhole:
				seed, f := e.whole(seeds)
				*field(c) = Aberrations{From: Drawn, Seed: seed}
				return f
			case e.kind != isText:
				return e.wrongType(fact.New("case.write.aberrations", "options", quoted(sources)))
			case !slices.Contains(sources, e.text):
				return e.fault(fact.New("case.aberrations", "key", e.path, "value", shown(e.text), "allowed", quoted(sources), "meant", didYouMean(e.text, sources)))
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
	diameter := number(path+"diameter", "", limits{eye.MinPupil, eye.MaxPupil, millimetres}, func(c *Case) *float64 { return &given(c).Diameter })
	keys := []key{needed(onlyGiven(diameter, side), fact.New("case.need.diameter"))}
	for j := eye.Index(3, -3); j <= eye.MaxIndex; j++ {
		k := number(path+strconv.Itoa(j), "", limits{-2, 2, micrometres}, func(c *Case) *float64 { return &given(c).Coefficients[j] })
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
		number("room.distance", "distance", limits{1, 20, metres}, func(c *Case) *float64 { return &c.Room.Distance }),
		number("room.vertex", "vertex", limits{5, 25, millimetres}, func(c *Case) *float64 { return &c.Room.Vertex }),
		choice("room.labels", "labels", labelNames(), func(c *Case) string { return c.Room.Labels.String() },
			func(c *Case, s string) { c.Room.Labels, _ = chart.ParseLabels(s) }),
		optional("room.light", "light", limits{1, 2000, candelas}, func(c *Case) **float64 { return &c.Room.Light }, "120"),
		yesNo("room.plus-cylinders", "plus-cylinders", func(c *Case) *bool { return &c.Room.PlusCylinders }),
	}
}

func labelNames() []string {
	return []string{chart.ByAxis.String(), chart.ByHour.String(), chart.NoLabels.String()}
}
