package cases

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/fact"
	"conoid/sim/patient"
)

// The manner of a new case can be taken up as it is explained: without the line
// above and the signs before its own, it is the same person.
func TestTheOfferedMannerIsTheUsualOne(t *testing.T) {
	lines := strings.Split(string(Template(plainWords)), "\n")
	offered, taken := false, 0
	for i, line := range lines {
		offered = (offered || line == "# [patient.manner]") && !strings.HasPrefix(line, "[")
		if offered && regexp.MustCompile(`^# (\[|[a-z-]+ = )`).MatchString(line) {
			lines[i] = line[2:]
			taken++
		}
		if strings.HasPrefix(line, "manner = ") {
			lines[i] = ""
		}
	}
	text := strings.Join(lines, "\n")
	assert.Equal(t, len(mannerKeys())+1, taken, "the section, and every key of it")
	c, err := Read("new.toml", []byte(text))
	require.NoError(t, err)
	assert.Equal(t, patient.Manners()["everyday"], c.Manner)
}

// What is low, usual and high of a trait lies in its range, and the page for
// tutors says the same as the new case.
func TestLevelsOfTraits(t *testing.T) {
	page, err := os.ReadFile("TUTORS.md")
	require.NoError(t, err)
	n := 0
	for _, k := range mannerKeys()[1:] {
		n++
		level := func(name string) float64 { return float64(k.levels.Values[name].(fact.Number)) }
		least, most := k.json["minimum"].(float64), k.json["maximum"].(float64)
		assert.True(t, least <= level("low") && level("low") <= level("usual") && level("usual") <= level("high") && level("high") <= most, k.path)
		assert.Less(t, level("low"), level("high"), k.path)
		shown := func(name string) string { return strings.Replace(toNumber(level(name)), "-", "−", 1) }
		row := regexp.MustCompile("(?m)^\\| `" + strings.TrimPrefix(k.path, "patient.manner.") + "` .*$").FindString(string(page))
		assert.Contains(t, row, "| "+shown("low")+": ", k.path)
		assert.Contains(t, row, " | "+shown("usual")+" | "+shown("high")+": ", k.path)
	}
	assert.Equal(t, 14, n)
}
