package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/patient"
)

// An axis that lies 70 degrees or more from the label of the clearest line lies along the
// line; one within 10 degrees of the mirror image, and 20 or more from the label, is mirrored.
func TestWrongAxis(t *testing.T) {
	for _, c := range []struct {
		heard  int
		stated string
		id     string
		form   string
	}{
		{30, "x100", "axis-along-line", ""}, {30, "x99", "", ""}, {30, "x140", "axis-along-line", "or-mirrored"}, {30, "x141", "axis-mirrored", ""}, {180, "x70", "axis-along-line", ""}, {180, "x69", "", ""},
		{60, "x110", "axis-mirrored", ""}, {60, "x109", "", ""}, {20, "x170", "axis-mirrored", ""}, {20, "x171", "", ""},
		{170, "x10", "axis-mirrored", ""}, {170, "x9", "", ""},
		{45, "x135", "axis-along-line", "or-mirrored"}, {30, "x30", "", ""},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00"+c.stated, dial(c.heard)).claimed()
		f, ok := axisWork{tr.trace}.wrongAxis()
		assert.Equal(t, c.id != "", ok, "%+v", c)
		assert.Equal(t, c.id, f.ID, "%+v", c)
		assert.Equal(t, c.form, f.Form, "%+v", c)
	}
}

// A cylinder that was tried 70 degrees from the label lies along the line, too.
func TestPutAlong(t *testing.T) {
	for axis, want := range map[float64]bool{99: false, 100: true, 120: true, 140: true, 141: false} {
		tr := told(t, "-1.00/-2.00x30", "-1.00 DS", dial(30), blocks(-1, axis, patient.Alike)).claimed()
		_, ok := axisWork{tr.trace}.putAlong()
		assert.Equal(t, want, ok, "%v", axis)
	}
}

// Turned to the clearer limb: once and nothing else, or twice and as often as rightly.
func TestAstray(t *testing.T) {
	for _, c := range []struct {
		wrong, right int
		want         bool
	}{{0, 0, false}, {1, 0, true}, {1, 1, false}, {2, 2, true}, {2, 3, false}, {3, 2, true}} {
		assert.Equal(t, c.want, axisWork{}.astray(make([]int, c.wrong), c.right), "%+v", c)
	}
}

// The blocks were settled on another axis than was heard by more than the band, which is
// 5 degrees at 2.00 D, and less than 45.
func TestUnsettledBlocks(t *testing.T) {
	for _, c := range []struct {
		axis float64
		k    patient.Kind
		want bool
	}{{35, patient.Alike, false}, {36, patient.Alike, true}, {74, patient.Alike, true}, {75, patient.Alike, false}, {36, patient.Parallel, false}} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x36", dial(30), blocks(-2, c.axis, c.k)).claimed()
		assert.Equal(t, c.want, axisWork{tr.trace}.unsettledBlocks(c.axis), "%+v", c)
	}
}

// The dial through the cylinder told of it when its lines stood within 20 degrees of 45
// from the axis.
func TestUnsettledWasTold(t *testing.T) {
	for line, want := range map[int]string{85: "told", 105: "told", 106: "", 65: "told", 64: ""} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x40", dial(30), blocks(-2, 40, patient.Alike), dial(line, wearing(0, -2, 40))).claimed()
		assert.Equal(t, want, axisWork{tr.trace}.unsettled(40).Form, "%v", line)
	}
}
