package guide_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/internal/guide"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// A whole sitting as the guide has it, in a room whose dials have the hours: what leads to
// the arrow, what is done with it, what hangs on the wall and what is answered speak of
// hours, and the axis of the lens is in degrees, with the way from one to the other.
func TestAGuidedSittingByTheHours(t *testing.T) {
	c, err := cases.Find("ferry-clerk")
	require.NoError(t, err)
	c.Room.Labels = chart.ByHour
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	said := map[string]*strings.Builder{}
	for _, language := range assets.Languages() {
		said[language] = &strings.Builder{}
	}
	tell := func(text func(v voice.Voice) string) {
		for language, b := range said {
			b.WriteString(text(voice.In(language).By(chart.ByHour)) + "\n")
		}
	}
	over := false
	for range 80 {
		a := guide.Next(viewOf(s))
		tell(func(v voice.Voice) string { return v.Say(a.Text) })
		for _, do := range a.Do {
			e, err := s.Do(do)
			require.NoError(t, err)
			tell(func(v voice.Voice) string { return v.Examiner().Action(do) })
			tell(func(v voice.Voice) string { return v.Done(e, s.State(), s.Setup().Room) })
			if e.Answer != nil {
				tell(func(v voice.Voice) string { return v.Answer(*e.Answer, chart.ByHour, s.State().Chart) })
			}
		}
		if _, over = s.EndPoint(s.Setup().Tested); over {
			break
		}
	}
	require.True(t, over)
	for language, want := range map[string][]string{
		"en": {"The clearest lines are about \\d+½? o’clock( [+−]\\d°)? \\(30 times the lower hour is the axis, here \\d+\\)", "Turn the arrow to \\d+½? o’clock",
			"The arrow points to \\d+½? o’clock", "The hour (grows|shrinks)", "The arrow stands at \\d+½? o’clock.*: 30 times that is the axis, \\d+"},
		"de": {"bei \\d+½? Uhr( [+−]\\d°)? \\(30 × die kleinere Stunde ist die Achse, hier \\d+\\)", "Pfeil auf \\d+½? Uhr.* drehen",
			"Der Pfeil zeigt auf \\d+½? Uhr", "die Stunde wird (größer|kleiner)", "Der Pfeil steht auf \\d+½? Uhr.*: 30 × das ist die Achse, \\d+"},
	} {
		text := said[language].String()
		for _, line := range want {
			assert.Regexp(t, line, text, language)
		}
		assert.NotRegexp(t, `(arrow to|points to|pointing to|arrow at|Pfeil auf|zeigt auf|gerichtet auf) \d+[ .,:]*\n|The number (grows|shrinks)|Gradzahl`, text, language)
	}
}
