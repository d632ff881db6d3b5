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

const home = "https://exams.example.org"

// clerk is a made-up sitting.
func clerk() *exchange.Sitting {
	return &exchange.Sitting{
		Candidate: "4821", Registration: "0b9e7a52-3d5c-4a0b-8a2f-5d1c7f3e6a90",
		Case: exchange.Case{ID: "x", Title: "X", Hash: "5f2a"}, Eye: sitting.Right,
		Stated: true, EndPoint: optics.Rx{Sphere: -1.5, Cyl: -0.75, Axis: 170}, HasAcuity: true, Acuity: -0.08,
		Points: 17, Most: 20, Steps: 41, Started: time.Date(2026, 1, 15, 11, 20, 17, 0, time.UTC), Duration: 11 * time.Minute,
	}
}

// What leaves for other systems says in the language of whoever writes it that
// nobody was measured.
func TestOtherSystemsAreToldThatNobodyWasMeasured(t *testing.T) {
	s := clerk()
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

// What a receiver would refuse is told in words: which document, where and why.
// What the validator itself says stays as it is.
func TestWhatAReceiverWouldRefuseIsTold(t *testing.T) {
	said, err := exchange.Statements(clerk(), home, exchange.Words{Language: "en", Say: voice.English.Say})
	require.NoError(t, err)
	refused := func(score exchange.Score) error {
		said[2].Result.Score = &score
		_, err := exchange.EncodeStatements(said)
		return err
	}
	beyond, outside := refused(exchange.Score{Scaled: 1.2, Raw: 17, Max: 20}), refused(exchange.Score{Scaled: 1, Raw: 21, Max: 20})
	for language, want := range map[string][2]string{
		"en": {
			"xAPI statement 3 would be refused by whoever receives it, and is not written; at #/result/score/scaled: maximum: got 1.2, want 1",
			"xAPI statement 3 would be refused by whoever receives it, and is not written; at #/result/score: of a score, min has to be below max, and raw from min to max",
		},
		"de": {
			"xAPI-Statement 3 würde vom Empfänger abgelehnt und wird nicht geschrieben; bei #/result/score/scaled: maximum: got 1.2, want 1",
			"xAPI-Statement 3 würde vom Empfänger abgelehnt und wird nicht geschrieben; bei #/result/score: bei einer Bewertung muss min unter max liegen und raw zwischen beiden, die Grenzen eingeschlossen",
		},
	} {
		assert.Equal(t, want, [2]string{voice.In(language).Error(beyond), voice.In(language).Error(outside)})
	}
}
