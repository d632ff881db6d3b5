package cases

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/optics"
)

func TestLibraryHasItsKinds(t *testing.T) {
	lib := Library()
	require.Len(t, lib, 12)
	tested := func(is func(c *Case, e *Eye) bool) func(*Case) bool {
		return func(c *Case) bool { return is(c, c.Of(c.Tested)) }
	}
	axis := func(near float64) func(*Case) bool {
		return tested(func(_ *Case, e *Eye) bool {
			d := optics.AxisDifference(near, e.Error.Axis)
			return e.Error.Cyl < 0 && d >= -30 && d <= 30
		})
	}
	both := func(m optics.Rx) (least, most float64) { return m.Sphere + m.Cyl, m.Sphere }
	for kind, is := range map[string]func(*Case) bool{
		"low":              tested(func(_ *Case, e *Eye) bool { return e.Error.Cyl < 0 && e.Error.Cyl > -1 }),
		"high":             tested(func(_ *Case, e *Eye) bool { return e.Error.Cyl <= -3 }),
		"with the rule":    axis(180),
		"against the rule": axis(90),
		"oblique":          tested(func(_ *Case, e *Eye) bool { return e.Error.Cyl < 0 && oblique(e.Error.Axis) }),
		"myopic":           tested(func(_ *Case, e *Eye) bool { _, most := both(e.Error); return most < 0 && e.Error.Cyl < 0 }),
		"hyperopic":        tested(func(_ *Case, e *Eye) bool { least, _ := both(e.Error); return least > 0 && e.Error.Cyl < 0 }),
		"mixed":            tested(func(_ *Case, e *Eye) bool { least, most := both(e.Error); return least < 0 && most > 0 }),
		"young accommodator": tested(func(c *Case, e *Eye) bool {
			return c.Age < 20 && e.Error.SE() > 0 && e.Error.Cyl < 0 && made{c}.amplitude(e) > 10
		}),
		"presbyope with a small pupil":       tested(func(c *Case, e *Eye) bool { return c.Age > 60 && made{c}.pupil(e) <= 2.5 }),
		"unreliable answers":                 func(c *Case) bool { return c.Manner.Lapse >= 0.05 },
		"suggestible":                        func(c *Case) bool { return c.Manner.Suggestible >= 0.3 },
		"objective 1.00 D too low":           tested(func(_ *Case, e *Eye) bool { return e.Objective.Cyl-e.Error.Cyl == 1 }),
		"no astigmatism, though there seems": tested(func(_ *Case, e *Eye) bool { return e.Error.Cyl == 0 && e.Objective.Cyl < 0 }),
		"left eye":                           func(c *Case) bool { return c.Tested == "left" },
	} {
		found := false
		for _, c := range lib {
			found = found || is(c)
		}
		assert.True(t, found, kind)
	}
}

func TestLibraryIsInOrder(t *testing.T) {
	files, err := fs.Glob(library, "library/*.toml")
	require.NoError(t, err)
	assert.Len(t, files, len(libraryOrder), "a file that is not in the order of the library")
	ids, titles, names := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for i, c := range Library() {
		assert.Equal(t, 1+i/3, c.Level, c.ID)
		assert.Equal(t, c.grade(), c.Level, "%s: %v", c.ID, c.Difficulties())
		assert.Equal(t, libraryOrder[i], c.ID)
		assert.NotEmpty(t, c.Story, c.ID)
		assert.NotEmpty(t, c.Symptoms, c.ID)
		assert.NotEqual(t, c.Texts("de"), c.Texts("en"), c.ID)
		assert.Empty(t, checkTexts(c), c.ID)
		assert.Regexp(t, `^conoid = 2\ntitle = `, string(Write(c)))
		ids[c.ID], titles[c.Title], names[c.Name] = true, true, true
		again, err := Read(c.ID+".toml", Write(c))
		require.NoError(t, err)
		assert.Equal(t, c, again)
	}
	assert.Len(t, ids, 12)
	assert.Len(t, titles, 12)
	assert.Len(t, names, 12)
}

// No card of the library gives its answer away: each objective result is off in one
// claim, and in seven cases both it and the card are in two.
func TestLibraryCardsLeaveSomethingToFind(t *testing.T) {
	two := 0
	for _, c := range Library() {
		e := c.Of(c.Tested)
		found, card := misses(e.Objective, e.Error), c.CardMisses()
		t.Logf("%-16s objective %v, card %v, best sphere %+.2f for %+.3f", c.ID, found, card, c.BestSphere(c.Tested), e.Error.SE())
		assert.NotEmpty(t, found, c.ID)
		assert.NotEmpty(t, card, c.ID)
		assert.Empty(t, notMadeUp(c), c.ID)
		lens := optics.SphereOf(c.BestSphere(c.Tested))
		assert.NoError(t, optics.TrialSet{}.Check(lens), c.ID)
		if len(found) >= 2 && len(card) >= 2 {
			two++
		}
	}
	assert.GreaterOrEqual(t, two, 7)
}

func TestLibraryBelongsToTheCaller(t *testing.T) {
	Library()[0].Eyes[0].Aberrations.From = None
	assert.Equal(t, Drawn, Library()[0].Eyes[0].Aberrations.From)
}

func TestFind(t *testing.T) {
	for given, want := range map[string]string{
		"ferry-clerk": "ferry-clerk", "Ferry-Clerk ": "ferry-clerk", "crane": "crane-driver", "fi": "fish-auctioneer",
		"1": "ferry-clerk", "12": "band-drummer",
	} {
		c, err := Find(given)
		require.NoError(t, err, given)
		assert.Equal(t, want, c.ID)
	}
	all := strings.Join(libraryOrder, " ")
	for given, want := range map[string]string{
		"13":         "case.no-number (most 12, n 13)",
		"0":          "case.no-number (most 12, n 0)",
		"fery-clerk": `case.none (id "fery-clerk", library [` + all + `], meant case.did-you-mean (word ferry-clerk))`,
		"":           `case.none (id "", library [` + all + `], meant )`,
		"mayor":      `case.none (id "mayor", library [` + all + `], meant )`,
		"f":          `case.several (found [ferry-clerk fish-auctioneer], id "f")`,
	} {
		_, err := Find(given)
		assert.EqualError(t, err, want)
	}
}
