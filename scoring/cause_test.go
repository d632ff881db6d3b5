package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/patient"
)

// Where two faults spoil as many answers, the same one is named each time: the other eye
// before leading. One fit answer more, and neither explains what is missing.
func TestCauseOf(t *testing.T) {
	tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", limbs(20, patient.Left))
	faults := []fault{{Finding: Finding{ID: "leading-question"}}, {Finding: Finding{ID: "other-eye-open"}}}
	spoilt := []Heard{{Unfit: LedOn}, {Unfit: OtherEyeOpen}}
	for _, c := range []struct {
		heard []Heard
		want  string
	}{
		{spoilt, "other-eye-open"},
		{[]Heard{{Unfit: LedOn}}, "leading-question"},
		{append([]Heard{{}}, spoilt...), "axis-not-borne-out"},
	} {
		for range 20 {
			k := &Claim{Name: cases.AxisClaim, Support: evidence.None, Heard: c.heard}
			cause, _ := tr.causeOf(k, true, faults)
			assert.Equal(t, c.want, cause)
		}
	}
}
