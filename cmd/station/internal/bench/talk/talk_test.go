package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/internal/chair"
	"conoid/render/voice"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Rows that were read stand in columns: row, shown, said, how many.
func TestRowsThatWereReadHaveCells(t *testing.T) {
	a := patient.Answer{Kind: patient.Read, LogMAR: 0.26, Rows: []patient.RowRead{
		{LogMAR: 0.3, Shown: "HNVRE", Said: "HNVRE"}, {LogMAR: 0.2, Shown: "ZFNEV", Said: "ZF"},
	}}
	told := chair.Told{Event: sitting.Event{Action: sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters}, Answer: &a}}
	for _, v := range []voice.Voice{voice.English, voice.In("de")} {
		var sizes []int
		for _, l := range Of(v, chair.Brief{}, []chair.Told{told}).Entries[0] {
			sizes = append(sizes, len(l.Cells))
		}
		assert.Equal(t, []int{0, 0, 4, 4, 1}, sizes)
	}
}

// An answer tells behind which lenses it was given, a held cylinder with its axis.
func TestAnAnswerTellsItsLenses(t *testing.T) {
	told := chair.Told{Event: sitting.Event{Action: sitting.Action{Do: sitting.Ask, Question: patient.WithLens}, Answer: &patient.Answer{Kind: patient.Better}}}
	b := chair.Brief{Tested: sitting.Left}
	f := &told.After.Frames[sitting.Left.Index()]
	f.Lenses[optics.Back] = optics.SphereOf(-1.25)
	assert.Contains(t, Of(voice.English, b, []chair.Told{told}).Last.Behind, "−1.25")
	f.Held = optics.CylinderOf(-0.5, 30)
	behind := Of(voice.English, b, []chair.Told{told, told}).Last.Behind
	for _, part := range []string{"answer 2", "−1.25", "−0.50", "30", "held up"} {
		assert.Contains(t, behind, part)
	}
}
