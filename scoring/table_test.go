package scoring

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/optics"
)

func example(t *testing.T) *Mark {
	stated := 0.1
	return &Mark{
		Difference:   Compare(rx(t, "-1.00/-2.00x30"), rx(t, "-1.50/-1.75x35")),
		Acuity:       0.08,
		BestAcuity:   -0.08,
		StatedAcuity: &stated,
		Steps:        Steps{Lens: 12, Chart: 1, Question: 20, Total: 33},
		Seconds:      380,
		Caution:      Caution,
	}
}

// The numbers are worked by hand from the definitions; the lens left over is
// −0.375 D of spherical equivalent and a cylinder of 0.41 D.
const wantTable = `The end point is within 1.00 D of the truth, with too much minus and the axis further off than this cylinder allows.

                              Truth   End point       Difference
Sphere (D)                    −1.00       −1.50            −0.50
Cylinder (D)                  −2.00       −1.75            +0.25
Axis (°)                         30          35               +5   beyond the 3.6 that this cylinder allows
Spherical equivalent (D)      −2.00       −2.37            −0.37   too much minus: a young eye would have to accommodate all day
Acuity                          6/5       6/7.5   1.6 lines less   written down as 6/7.5

Left over: 0.58 D of defocus equivalent (M −0.37, J0 −0.20, J45 −0.04).
Taken: 12 lens changes, 1 chart change, 20 questions (33 steps), in 6 min 20 s of the patient's time.

A simulation for training: it measures nobody. Refraction of people is for licensed practice under local rules.
`

func TestTable(t *testing.T) {
	var b strings.Builder
	require.NoError(t, example(t).WriteTable(&b))
	assert.Equal(t, wantTable, b.String())
}

func TestVerdict(t *testing.T) {
	for _, c := range []struct{ truth, stated, want string }{
		{"-1.00/-2.00x30", "-3.00/+2.00x120", "The end point is right: nothing is left over."},
		{"-1.00/-2.00x30", "-1.00/-1.75x30", "The end point is within 0.25 D of the truth."},
		{"-1.00", "-1.50", "The end point is within 0.50 D of the truth, with too much minus."},
		{"-1.00", "+1.50", "The end point is more than 1.00 D off the truth, with too much plus."},
		{"-1.00", "-1.00/-0.25x10", "The end point is within 0.25 D of the truth, with a cylinder where none is needed."},
		{"-1.00/-1.00x10", "-1.00", "The end point is within 1.00 D of the truth, with no cylinder where one is needed."},
		{"-1.00/-1.00x10", "-1.00/-1.00x20", "The end point is within 0.25 D of the truth, with the axis further off than this cylinder allows."},
	} {
		d := Compare(rx(t, c.truth), rx(t, c.stated))
		assert.Equal(t, c.want, d.Verdict(), "%s against %s", c.truth, c.stated)
	}
}

func TestTableTellsWhenAMarkIsBroken(t *testing.T) {
	m := &Mark{Difference: Compare(optics.Rx{}, optics.Rx{})}
	m.Truth = "nonsense"
	var b strings.Builder
	require.ErrorContains(t, m.WriteTable(&b), "truth of the mark")
	assert.Empty(t, b.String())
}

type full struct{}

var errFull = errors.New("full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestTableReportsAFailedWrite(t *testing.T) {
	assert.ErrorIs(t, example(t).WriteTable(full{}), errFull)
}
