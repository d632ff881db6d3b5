package report_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/render/voice"
	"conoid/render/voice/voicetest"
	"conoid/scoring/exchange"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// What leaves for other systems says in the language of whoever writes it that
// nobody was measured.
func TestOtherSystemsAreToldThatNobodyWasMeasured(t *testing.T) {
	s := &exchange.Sitting{
		Candidate: "4821", Registration: "0b9e7a52-3d5c-4a0b-8a2f-5d1c7f3e6a90",
		Case: exchange.Case{ID: "x", Title: "X", Hash: "5f2a"}, Eye: sitting.Right,
		Stated: true, EndPoint: optics.Rx{Sphere: -1.5, Cyl: -0.75, Axis: 170}, HasAcuity: true, Acuity: -0.08,
		Points: 17, Most: 20, Steps: 41, Started: time.Date(2026, 1, 15, 11, 20, 17, 0, time.UTC), Duration: 11 * time.Minute,
	}
	const home = "https://exams.example.org"
	for language, want := range map[string]string{
		"en": "Refraction, right eye: −1.50 / −0.75 x 170. X: Simulated patient, test data for training: not a measurement of anybody",
		"de": "Refraktion, rechtes Auge: sph −1,50 zyl −0,75 A 170°. X: Simulierter Patient, Testdaten zum Üben: keine Messung an einem Menschen",
	} {
		v := voice.In(language)
		words := exchange.Words{Language: language, Say: v.Say}
		for _, write := range []func(*exchange.Sitting, string, exchange.Words) ([]byte, error){exchange.Observation, exchange.VisionPrescription} {
			data, err := write(s, home, words)
			require.NoError(t, err)
			assert.Contains(t, string(data), want)
			var resource map[string]any
			require.NoError(t, json.Unmarshal(data, &resource))
			if language != "en" {
				assert.Empty(t, voicetest.English(resource["text"].(map[string]any)["div"].(string), language))
			}
		}
		said, err := exchange.Statements(s, home, words)
		require.NoError(t, err)
		for _, statement := range said {
			assert.Equal(t, v.Text("exchange.caution"), statement.Object.Definition.Description[language])
			assert.Equal(t, language, statement.Context.Language)
			assert.NotEmpty(t, statement.Verb.Display[language])
		}
		_, err = exchange.EncodeStatements(said)
		require.NoError(t, err)
	}
}
