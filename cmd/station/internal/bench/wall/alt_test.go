package wall

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/bench/sight"
	"conoid/render/voice"
	"conoid/sim/chart"
)

// Who does not see the card is told what it is a picture of, and what is written on it,
// and no more than that: not how anything looks to the patient.
func TestTheCardInWords(t *testing.T) {
	open := View{Name: chart.Fan, Who: "Tobren", Sight: true, Curtain: 0.5, Seen: &sight.Picture{State: sight.Seen}}
	shut := open
	shut.Curtain = 1
	before := open
	before.Peeps.Before = true
	whole := View{Name: chart.Arrow, Sight: true, Curtain: 1, Peeps: Peeps{View: true}, Seen: &sight.Picture{State: sight.Blurred}}
	dark := open
	dark.Seen = &sight.Picture{State: sight.Dark}
	for _, c := range []struct {
		w      View
		en, de string
	}{
		{shut, "Picture of the chart “fan”, as it hangs.", "Bild der Tafel „Strahlenfigur“, wie sie hängt."},
		{open, "Picture of the chart “fan”, on the left as it hangs, on the right as Tobren sees it.",
			"Bild der Tafel „Strahlenfigur“, links wie sie hängt, rechts wie Tobren sie sieht."},
		{before, "Picture of the chart “fan”, on the left as it hangs, on the right as Tobren saw it before.",
			"Bild der Tafel „Strahlenfigur“, links wie sie hängt, rechts wie Tobren sie vorher sah."},
		{whole, "Picture of the chart “arrow”, as the patient sees it. Nothing is left but an even blur.",
			"Bild der Tafel „Pfeil“, wie der Patient sie sieht. Nur noch gleichmäßige Unschärfe."},
		{dark, "Picture of the chart “fan”, on the left as it hangs, on the right as Tobren sees it. No eye is open.",
			"Bild der Tafel „Strahlenfigur“, links wie sie hängt, rechts wie Tobren sie sieht. Beide Augen sind abgedeckt."},
	} {
		assert.Equal(t, c.en, c.w.alt(voice.In("en")))
		assert.Equal(t, c.de, c.w.alt(voice.In("de")))
	}
}
