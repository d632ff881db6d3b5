package classes

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

// Each candidate has a slip, with sixteen boxes for the code that the machine shows.
func TestSlips(t *testing.T) {
	for _, language := range assets.Languages() {
		for numbers, n := range map[string]int{"A1 A2 <B>": 3, "": openSlips} {
			var page bytes.Buffer
			p := &practical.Plan{ID: "ABCD-EFGH", Title: "Friday & more", Candidates: strings.Fields(numbers)}
			require.NoError(t, Slips(&page, voice.In(language), p))
			text := page.String()
			assert.Equal(t, n, strings.Count(text, `<section class="slip">`), language)
			assert.Equal(t, 16*n, strings.Count(text, "<i></i>"), "4 x 4 letters")
			assert.Equal(t, 2*n, strings.Count(text, `<div class="line"></div><div class="what">`), "who signs")
			assert.Contains(t, text, "Friday &amp; more")
			assert.Contains(t, text, voice.In(language).Text("practical.slips.passphrase"))
			assert.NotContains(t, text, "<B>")
			assert.NotContains(t, text, "http", "nothing is fetched")
			_, body, _ := strings.Cut(text, "<body>")
			assert.Empty(t, unsaid.FindAllString(body, -1), language)
			for _, c := range p.Candidates[:min(2, len(p.Candidates))] {
				assert.True(t, HasSlip(page.Bytes(), c))
				assert.False(t, HasSlip(page.Bytes(), c[:1]), "it stands in the page otherwise")
			}
		}
	}
}
