package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/scoring/evidence"
	"conoid/sim/method"
	"conoid/sim/patient"
)

func through(axis float64, said any, changes ...func(*moment)) moment {
	return dial(said, append([]func(*moment){wearing(0, -2, axis)}, changes...)...)
}

// A dial through the cylinder speaks of its axis once that was asked about with the
// cylinder out; lines along it or across it are about the power.
func TestOnDialThrough(t *testing.T) {
	for _, c := range []struct {
		what string
		all  []moment
		want []method.Way
	}{
		{"toward the line", []moment{dial(30), through(30, 75)}, []method.Way{method.More}},
		{"to the other side", []moment{limbs(30, patient.Alike), through(30, 165)}, []method.Way{method.Less}},
		{"alike", []moment{dial(30), through(30, patient.Alike)}, []method.Way{method.Stay}},
		{"along it", []moment{dial(30), through(30, 30)}, nil},
		{"nothing can be told", []moment{dial(30), through(30, patient.Unsure)}, nil},
		{"before the axis was asked about", []moment{through(30, 75), dial(30)}, nil},
		{"after it was, without fog", []moment{dial(30, fogged(-0.5)), through(30, 75)}, nil},
	} {
		var got []method.Way
		for _, h := range told(t, "-1.00/-2.00x30", "", c.all...).onDialThrough() {
			got = append(got, h.Way)
		}
		assert.Equal(t, c.want, got, c.what)
	}
}

// It counts for nothing about the axis, and the reason is another before it was asked about.
func TestWhyADialThroughTheCylinderIsUnfit(t *testing.T) {
	after := told(t, "-1.00/-2.00x30", "", dial(30), through(30, 30)).onDial()
	assert.Equal(t, AboutPower, after[1].Unfit)
	before := told(t, "-1.00/-2.00x30", "", through(30, 75), dial(30)).onDial()
	assert.Equal(t, ThroughLens, before[0].Unfit)
	assert.Len(t, told(t, "-1.00/-2.00x30", "", dial(30), through(30, 75)).onDial(), 1, "it says something of the axis")
}

// Lines that send back from either side, a line of the fan away at most, bracket the axis.
func TestDialBrackets(t *testing.T) {
	for _, c := range []struct {
		below, above float64
		want         bool
	}{{25, 35, true}, {20, 40, true}, {19, 35, false}, {25, 41, false}} {
		below, above := through(c.below, int(c.below)+45), through(c.above, int(c.above)-45+180)
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", dial(50), below, above)
		assert.Equal(t, c.want, tr.dialBrackets(), "%+v", c)
		want := none
		if c.want {
			want = supported
		}
		assert.Equal(t, want, tr.axisClaim().Support, "%+v: two lines away from the label", c)
	}
}

// Where the dial was asked and no line stood out, blocks that ask for more tell along
// which focal line the axis lies; where it was not asked, nothing does.
func TestBlocksTellTheFocalLine(t *testing.T) {
	sides := []moment{limbs(20, patient.Left), limbs(40, patient.Right)}
	for _, c := range []struct {
		what string
		more []moment
		want evidence.Support
	}{
		{"no dial", []moment{blocks(-1, 30, patient.Parallel)}, weak},
		{"no line", []moment{dial(patient.Alike)}, weak},
		{"no line, and too weak", []moment{dial(patient.Alike), blocks(-1, 30, patient.Parallel)}, supported},
		{"no line, and too strong", []moment{dial(patient.Alike), blocks(-1, 30, patient.Perpendicular)}, weak},
		{"no line without fog", []moment{dial(patient.Alike, fogged(-0.5)), blocks(-1, 30, patient.Parallel)}, weak},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", append(sides, c.more...)...)
		assert.Equal(t, c.want, tr.axisClaim().Support, c.what)
	}
}

// The label of a dial that was led is nothing by itself.
func TestLedDialAlone(t *testing.T) {
	assert.Equal(t, none, told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", dial(30, led)).axisClaim().Support)
}

// Blocks at an axis 10 degrees from what was stated count, at 20 they leave the power weak at
// most, and beyond they say nothing.
func TestBlocksAtAnotherAxis(t *testing.T) {
	for _, c := range []struct {
		axis float64
		want evidence.Support
	}{{40, supported}, {41, weak}, {50, weak}, {51, none}, {20, supported}, {19, weak}, {10, weak}, {9, none}} {
		var all []moment
		for _, k := range []struct {
			cyl  float64
			kind patient.Kind
		}{{-1.75, patient.Parallel}, {-2, patient.Alike}, {-2.25, patient.Perpendicular}} {
			all = append(all, blocks(k.cyl, c.axis, k.kind))
		}
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", all...)
		assert.Equal(t, c.want, tr.cylinderClaim().Support, "%v", c.axis)
		tr = told(t, "-1.00/-2.00x30", "-1.00/-1.00x30", all...)
		if c.want != supported {
			assert.Equal(t, none, tr.cylinderClaim().Support, "and contradict nothing")
		}
	}
}

// What all rounds contradict is weak when the last one bears it out: that after the axis
// was looked for once more.
func TestLastRound(t *testing.T) {
	const p, x, a = patient.Parallel, patient.Perpendicular, patient.Alike
	first := []moment{blocks(-1.5, 30, x), blocks(-1.25, 30, a), blocks(-1, 30, p), blocks(-1, 30, p)}
	last := []moment{blocks(-1, 30, a), blocks(-0.75, 30, p), blocks(-1.25, 30, x)}
	once := append(append([]moment{}, first...), last...)
	twice := append(append(append([]moment{}, first...), limbs(30, a)), last...)
	assert.Equal(t, contradicted, told(t, "-1.00/-1.00x30", "-1.00/-1.00x30", once...).cylinderClaim().Support)
	assert.Equal(t, weak, told(t, "-1.00/-1.00x30", "-1.00/-1.00x30", twice...).cylinderClaim().Support)
}
