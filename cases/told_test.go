package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// The ways to write a lens are common practice (no source).
func TestTextsThatTellTheError(t *testing.T) {
	rx := optics.Rx{Sphere: -1.25, Cyl: -1.5, Axis: 35}
	for text, want := range map[string]string{
		"-1.50 x 35":                              "-1.50 x 35",
		"−1,50 × 35°":                             "−1,50 × 35",
		"she has -1.25/-1.50x35":                  "-1.25/-1.50",
		"sph -1,25 zyl -1,50 A 35":                "-1,25 zyl -1,50",
		"S –1,25  C –1,5 Achse 35":                "–1,25  C –1,5",
		"-2.75 +1.50 x 125":                       "-2.75 +1.50", // with a plus cylinder
		"cyl. +1.5 axis 125":                      "+1.5 axis 125",
		"A cylinder of 1.50 troubles him.":        "1.50",
		"ein Zylinder von 1,5":                    "1,5",
		"Sphäre 1,25":                             "1,25",
		"about 1.25 D short-sighted":              "1.25",
		"kurzsichtig mit 1,25 dpt":                "1,25",
		"1.5 dioptres":                            "1.5",
		"Axis 35":                                 "35",
		"die Achsenlage 35":                       "35",
		"lines at 35° are clear":                  "35",
		"bei 35 Grad":                             "35",
		"glasses of −1.25, long lost":             "−1.25",
		"The quay":                                "",
		"":                                        "",
		"35 years at sea, 2 boats and 1 dog":      "",
		"he is 35, and reads 6/12":                "",
		"a 35 year old, at 35 Mill Lane":          "",
		"it's 1.25 m, or 5 x 35 jars":             "",
		"1.50 m from the window, 125 jars":        "",
		"for 1.25 hours":                          "",
		"-1.00 x 30":                              "",
		"+1.25 D":                                 "", // which is not the error
		"cyl 1.75":                                "",
		"axis 36":                                 "",
		"1.50 stone. 35 of them, twice":           "",
		"the tide of 13.5, then 135 steps at 350": "",
	} {
		assert.Equal(t, want, tellsOf(text, rx), text)
	}
	assert.Empty(t, tellsOf("axis 180, plano", optics.Rx{}))
	assert.Equal(t, "180", tellsOf("axis 180", optics.Rx{Cyl: -1, Axis: 180}))
}

func TestWhatTellsTheErrorIsNamed(t *testing.T) {
	c := mustRead(t, plain)
	assert.Empty(t, CheckTold(c))
	e := c.Of(c.Tested)
	c.Title, c.Symptoms = "The quay", "Since -1.00 x 30 all is fine."
	c.Translations = map[string]Texts{"de": {Title: "Der Kai, Achse 30"}}
	e.Error = optics.Rx{Sphere: -2, Cyl: -1, Axis: 30}
	e.Objective = e.Error
	assert.Equal(t, []fact.Fact{
		fact.New("case.told.objective", "objective", e.Objective),
		fact.New("case.told", "where", fact.New("case.told.symptoms"), "text", "-1.00 x 30", "eye", sitting.Right, "error", e.Error),
		fact.New("case.told", "where", fact.New("case.told.title"), "text", "30", "eye", sitting.Right, "error", e.Error),
	}, CheckTold(c))
	assert.Contains(t, Check(c), fact.New("case.told.objective", "objective", e.Objective))

	// The other eye is hidden as well.
	fellow := c.Of(c.Tested.Other())
	c.Title, c.Symptoms, c.Translations, e.Objective = "The quay", "", nil, optics.Rx{}
	c.Story, fellow.Error = "-3.75 D on the left", optics.Rx{Sphere: -3.75}
	assert.Equal(t, []fact.Fact{
		fact.New("case.told", "where", fact.New("case.told.story"), "text", "-3.75", "eye", c.Tested.Other(), "error", fellow.Error),
	}, CheckTold(c))
}

// An assignment tells in its texts, in all languages, and in the names of files; each of its
// cases counts, but those that nobody has opened.
func TestWhatAnAssignmentTells(t *testing.T) {
	c := mustRead(t, plain)
	e := c.Of(c.Tested)
	e.Error = optics.Rx{Sphere: -2, Cyl: -1, Axis: 30}
	a := &Assignment{Title: "Week 30", Aims: "You find axis 31.", Cases: []Listed{{File: "-1.25.toml"}, {File: "ferry-clerk"}}}
	assert.Empty(t, a.CheckTold([]*Case{c, nil}, "en"))
	tells := func(where, text string) fact.Fact {
		return fact.New("assignment.told", "where", fact.New("assignment.told."+where), "text", text, "title", c.Title, "eye", c.Tested, "error", e.Error)
	}
	a.Title, a.Aims, a.Cases[0].File = "Week 1: axis 30", "You find a cylinder of 1.00 D.", "deep/cyl-1.00.toml"
	a.Translations = map[string]Lesson{"de": {Title: "Woche 1: Achse 30"}}
	assert.Equal(t, []fact.Fact{tells("title", "30"), tells("aims", "1.00"), tells("title", "30"), tells("file", "-1.00")}, a.CheckTold([]*Case{nil, c}, "en"))
	assert.Empty(t, a.CheckTold([]*Case{nil, nil}, "en"))
}

// Nobody of ours tells.
func TestNobodyOfTheLibraryOrOfDrawsTells(t *testing.T) {
	all := Library()
	for seed := range uint64(300) {
		all = append(all, Draw(seed, 0))
	}
	for _, c := range all {
		for _, w := range CheckTold(c) {
			assert.Equal(t, "case.told.objective", w.ID, c.Title) // by chance: a drawn card can be right
		}
	}
}

func FuzzTellsOf(f *testing.F) {
	f.Add("sph -1,25 zyl −1,50 A 35°", -1.25, -1.5, 35.0)
	f.Fuzz(func(t *testing.T, text string, sphere, cyl, axis float64) {
		assert.Contains(t, text, tellsOf(text, optics.Rx{Sphere: sphere, Cyl: cyl, Axis: axis}))
	})
}
