package cases

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// apprentice is the young hyperope of the library, who keeps up so much, in
// dioptres.
func apprentice(t *testing.T, latent float64) *Case {
	t.Helper()
	c, err := Find("rope-apprentice")
	require.NoError(t, err)
	c.Latent = &latent
	return c
}

func act(t *testing.T, s *sitting.Sitting, actions ...sitting.Action) sitting.Event {
	t.Helper()
	var e sitting.Event
	for _, a := range actions {
		var err error
		e, err = s.Do(a)
		require.NoError(t, err, "%+v", a)
	}
	return e
}

// alone leaves the tested eye of the apprentice with a sphere alone, 0 for none,
// before the fan.
func alone(t *testing.T, s *sitting.Sitting, sphere float64) {
	t.Helper()
	act(t, s, sitting.Action{Do: sitting.Cover, Eye: sitting.Left}, sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Front1)})
	switch sphere {
	case 2: // the objective result
	case 0:
		act(t, s, sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Back)})
	default:
		act(t, s, sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(sphere)})
	}
	act(t, s, sitting.Action{Do: sitting.Show, Chart: chart.Fan})
}

// fans counts what the apprentice says of the fan behind a sphere, in sittings of so
// many seeds: "right", "across" (90 degrees off), or the kind of the answer; and
// how often something else is said when asked again.
func fans(t *testing.T, base *sitting.Sitting, sphere float64, seeds int) (n map[string]int, other int) {
	t.Helper()
	axis := base.Setup().Eyes[0].Error.Axis
	n = map[string]int{}
	for seed := range seeds {
		s := base.Again(sitting.Seeded(uint64(seed + 1)))
		alone(t, s, sphere)
		ask := sitting.Action{Do: sitting.Ask, Question: patient.WhichLines}
		a, b := act(t, s, ask).Answer, act(t, s, ask).Answer
		what := string(a.Kind)
		if middle, ok := method.Middle(a.Lines); ok && a.Kind == patient.Lines {
			switch off := optics.AxisDifference(middle, axis); {
			case off >= -20 && off <= 20:
				what = "right"
			case off >= 70 || off <= -70:
				what = "across"
			}
		}
		n[what]++
		if a.Kind != b.Kind || !slices.Equal(a.Lines, b.Lines) {
			other++
		}
	}
	return n, other
}

// A young eye without fog looks now at one focal line, now at the other, so that
// what is said of the fan is worth nothing; the back line a quarter of a dioptre
// before the retina makes an end of it (common practice). Counts are of twenty, from
// eight times as many sittings: chance alone moves a count of twenty by two.
func TestAYoungEyeWithoutFogWavers(t *testing.T) {
	if testing.Short() {
		t.Skip("many sittings")
	}
	const seeds, times = 160, 8
	base := sitting.Start(apprentice(t, 0).Setup(), sitting.Seeded(1))
	for _, sphere := range []float64{0, 0.5, 1, 1.25} {
		n, other := fans(t, base, sphere, seeds)
		t.Logf("%+.2f: %v, another answer %d", sphere, n, other)
		within := func(what string, least, most float64) {
			t.Helper()
			count := math.Round(float64(n[what]) / times)
			assert.GreaterOrEqual(t, count, least, "%s behind %+.2f", what, sphere)
			assert.LessOrEqual(t, count, most, "%s behind %+.2f", what, sphere)
		}
		within("right", 3, 10)
		within("across", 3, 14)
		within(string(patient.Changing), 4, 9)
		assert.GreaterOrEqual(t, other, 10*times)
	}
	for _, latent := range []float64{0, 0.5} {
		base := sitting.Start(apprentice(t, latent).Setup(), sitting.Seeded(1))
		for _, sphere := range []float64{2.5, 2.75} {
			n, _ := fans(t, base, sphere, seeds)
			assert.GreaterOrEqual(t, n["right"], 19*times, "%+.2f, latent %v: %v", sphere, latent, n)
			assert.Zero(t, n[string(patient.Changing)])
		}
	}
}

// mostPlus is the most plus, in dioptres more than the error, with which the
// tested eye of the apprentice, as it accommodates now, reads within a line of its
// best.
func mostPlus(t *testing.T, s *sitting.Sitting, r *retina.Renderer) float64 {
	t.Helper()
	rx, best := s.Truth(sitting.Right).Error, s.Truth(sitting.Right).Best
	low, high := -1.0, 1.0
	for range 7 {
		d := (low + high) / 2
		f := optics.NewFrame(optics.UsualVertex)
		f.Lenses[optics.Back], f.Lenses[optics.Front1] = optics.SphereOf(rx.Sphere+d), optics.CylinderOf(rx.Cyl, rx.Axis)
		sight, open := s.Sees(sitting.Right, f)
		require.True(t, open)
		if sight.Look(r).Acuity() <= best+0.1 {
			low = d
		} else {
			high = d
		}
	}
	return (low + high) / 2
}

// A hyperope who keeps up 0.75 D takes less plus at once than after half a minute
// of fog, and reads worse behind the error; then as anybody.
func TestFogReleasesWhatIsKeptUp(t *testing.T) {
	r := retina.New(patient.Grid())
	read := func(latent float64, seconds int) (plus, logMAR float64) {
		s := sitting.Start(apprentice(t, latent).Setup(), sitting.Seeded(1))
		act(t, s, sitting.Action{Do: sitting.Cover, Eye: sitting.Left}, sitting.Action{Do: sitting.Show, Chart: chart.Letters})
		if seconds > 0 {
			act(t, s, sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(3.25)})
			for range seconds / 10 {
				act(t, s, sitting.Action{Do: sitting.Explain})
			}
		}
		plus = mostPlus(t, s, r)
		act(t, s, sitting.Action{Do: sitting.Exchange, Cell: sitting.In(optics.Front1), Lens: optics.CylinderOf(-1, 140)},
			sitting.Action{Do: sitting.Exchange, Lens: optics.SphereOf(2.25)})
		return plus, act(t, s, sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters}).Answer.LogMAR
	}
	plus, logMAR := read(0.75, 0)
	after, better := read(0.75, 40)
	t.Logf("at once %+.2f, after 40 s %+.2f; reads %.2f, %.2f", plus, after, logMAR, better)
	assert.InDelta(t, 0.575, after-plus, 0.175, "0.40 to 0.75 D")
	assert.Less(t, better, logMAR-0.1)
	free, _ := read(0, 40)
	assert.InDelta(t, free, after, 0.1, "what never lets go lies outside the error")
}
