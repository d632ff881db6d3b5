package cases

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/fact"
)

// What a tutor may not have meant is said, and nothing where all is well; each rule has a
// neighbour that it leaves alone.
func TestUnmeant(t *testing.T) {
	now := time.Date(2030, 1, 7, 9, 0, 0, 0, time.UTC)
	for rules, want := range map[string][]string{
		``:                                     nil,
		`charts = ["fan", "arrow", "letters"]`: {"assignment.unmeant.chart"},
		"begin = \"sphere\"\ncharts = [\"letters\"]":                                    nil,
		"begin = \"blocks\"\ncharts = [\"letters\"]":                                    {"assignment.unmeant.chart"},
		"begin = \"arrow\"\ncharts = [\"arrow\", \"blocks\"]":                           {"assignment.unmeant.chart"},
		"begin = \"fan\"\ncharts = [\"arrow\", \"blocks\", \"letters\"]":                {"assignment.unmeant.chart"},
		"begin = \"sphere\"\ncharts = [\"letters\"]\nquestions = [\"read\", \"limbs\"]": {"assignment.unmeant.question"},
		"begin = \"sphere\"\ncharts = [\"letters\"]\nquestions = [\"read\", \"lens\"]":  nil,
		"begin = \"sphere\"\ncharts = [\"letters\"]\nquestions = [\"lens\"]":            {"assignment.unmeant.unasked"},
		`closes = "2030-01-07 09:00"`:                                                   {"assignment.unmeant.closed"},
		`closes = "2030-01-07 09:01"`:                                                   nil,
		`attempts = 1`:                                                                  nil,
		`attempts = 2`:                                                                  {"assignment.unmeant.shown"},
		"attempts = 2\nshows = \"marks\"":                                               nil,
		"attempts = 2\nshows = \"nothing\"":                                             nil,
	} {
		a, err := ReadAssignment("a.toml", []byte("conoid-assignment = 1\ntitle = \"A\"\ncases = [\"ferry-clerk\"]\n"+rules))
		require.NoError(t, err, rules)
		var got []string
		for _, f := range a.Unmeant(now) {
			got = append(got, f.ID)
		}
		assert.Equal(t, want, got, strings.ReplaceAll(rules, "\n", "; "))
	}
}

// A student should have twice the expert's time.
func TestHurried(t *testing.T) {
	a := &Assignment{Limit: 10 * time.Minute}
	assert.Empty(t, a.Hurried("The clerk", fact.Seconds(300)))
	assert.Equal(t, "assignment.unmeant.hurried", a.Hurried("The clerk", fact.Seconds(301))[0].ID)
	assert.Empty(t, (&Assignment{}).Hurried("The clerk", fact.Seconds(301)), "no limit")
}
