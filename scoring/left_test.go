package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Behind the lenses of the exact end point nothing is left, whoever tells it: what
// practice shows of the eye, the way of the debrief and the mark, though the cylinder
// stands 5 mm before the sphere and its 4.00 D are worth 3.92 D there.
func TestNothingIsLeftBehindTheExactEndPoint(t *testing.T) {
	most := 0.0
	for _, c := range cases.Library() {
		s := sitting.Start(c.Setup(), sitting.Seeded(1))
		truth := s.Truth(c.Tested).Error.MinusCyl()
		for cell := range s.State().Frames[c.Tested.Index()].Lenses {
			if s.State().Frames[c.Tested.Index()].Lenses[cell].Kind != optics.NoLens {
				do(t, s, sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Cell(cell))})
			}
		}
		do(t, s, sitting.Action{Do: sitting.Put, Cell: sitting.In(optics.Back), Lens: optics.SphereOf(truth.Sphere)})
		if truth.Cyl != 0 {
			do(t, s, sitting.Action{Do: sitting.Put, Cell: sitting.In(optics.Front1), Lens: optics.CylinderOf(truth.Cyl, truth.Axis)})
		}
		do(t, s, sitting.Action{Do: sitting.End, Rx: &truth, Acuity: patient.Acuity{Written: "6/6"}})
		f := s.State().Frames[c.Tested.Index()]
		seen, open := s.Sees(c.Tested, f)
		require.True(t, open)
		assert.InDelta(t, 0, seen.Left.Sub(optics.Sphere(s.Accommodation())).Norm(), 1e-9, c.ID)

		r, err := Review(c, s, Par{})
		require.NoError(t, err)
		assert.Zero(t, r.Path[len(r.Path)-1].Residual, c.ID)
		assert.Zero(t, r.Path[len(r.Path)-1].Front.Power, c.ID)
		assert.Equal(t, truth.Round(0.01), r.Path[len(r.Path)-1].Worn, c.ID)
		m, err := Of(s)
		require.NoError(t, err)
		assert.Zero(t, m.DefocusEquivalent, c.ID)

		tr, err := traceOf(s)
		require.NoError(t, err)
		most = max(most, 2*tr.against(f).Astigmatism())
	}
	assert.Greater(t, most, 0.06, "the few millimetres would be told as two lines")
}
