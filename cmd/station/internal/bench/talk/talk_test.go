package talk

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/internal/chair"
	"conoid/render/voice"
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
