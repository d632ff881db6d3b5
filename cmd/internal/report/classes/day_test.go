package classes

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

// What the assessor did on the day stands in the page and in the table, with when and
// why, in every language.
func TestWhatTheAssessorDidOnTheDay(t *testing.T) {
	c := aClass(t)
	nine := c.Made
	s := c.Sheets[2]
	s.BegunAs = "K9"
	s.Cases[0].Ended = practical.ByAssessor
	s.Interruptions = []practical.Interruption{{From: nine, At: nine.Add(time.Minute), Allowed: nine.Add(time.Minute), Reason: "=fire alarm"}}
	for _, do := range []practical.Rule{practical.Granted, practical.Renumbered, practical.Noted, practical.Left, practical.Carried, practical.TakenUp, practical.Closed} {
		s.Rulings = append(s.Rulings, practical.Ruling{Do: do, At: nine, Reason: "it was so", Time: 90 * time.Second, From: "K9", To: "K3"})
	}
	var page bytes.Buffer
	require.NoError(t, Page(&page, voice.English, c))
	said := []string{"The time stood still from 09:00 to 09:01: =fire alarm.", "1 min 30 s more granted at 09:00: it was so.",
		"The number was corrected from K9 to K3 at 09:00: it was so.", "Noted at 09:00: it was so.", "Set down unfinished at 09:00: it was so.", "Carried to another machine at 09:00: it was so.",
		"Gone on with at 09:00, after it was carried.", "Closed by the assessor at 09:00: it was so."}
	for _, x := range append(said, "Begun as K9, with the order and the luck of that number.", "Case 1: no end point.") {
		assert.Contains(t, page.String(), x)
	}
	assert.NotContains(t, page.String(), "Interrupted at 09:00, went on at 09:01.  The time", "it is told once")
	for _, language := range assets.Languages() {
		v := voice.In(language)
		assert.Len(t, rulings(v, s), 8)
		assert.Empty(t, unsaid.FindAllString(strings.Join(rulings(v, s), "\n"), -1), language)
		var table bytes.Buffer
		require.NoError(t, CSV(&table, v, c))
		rows, err := csv.NewReader(&table).ReadAll()
		require.NoError(t, err)
		assert.Equal(t, []string{"1.5", "0"}, []string{rows[3][30], rows[2][30]}, "minutes granted")
		if language == "en" {
			for _, x := range said {
				assert.Contains(t, rows[3][31], x)
			}
		}
		assert.Empty(t, rows[2][31])
	}
}
