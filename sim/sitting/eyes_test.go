package sitting

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// A young eye with both focal lines behind the retina is asked in as many as four
// looks, each with its own accommodation; a fogged one, and one that cannot
// accommodate, in a single look, which is kept.
func TestLooksOfAQuestion(t *testing.T) {
	t.Parallel()
	looks := func(amplitude float64, found string) int {
		s := Start(person("noiseless", amplitude, "+2.00/-1.00x30", "+2.00", found), Seeded(1))
		do(t, s, Action{Do: Cover, Eye: Left}, Action{Do: Show, Chart: chart.Fan}, Action{Do: Explain}, Action{Do: Explain})
		before := s.seen.len()
		do(t, s, Action{Do: Ask, Question: patient.WhichLines})
		return s.seen.len() - before
	}
	young := looks(8, "plano")
	assert.Greater(t, young, 1)
	assert.LessOrEqual(t, young, 4)
	assert.Equal(t, 1, looks(8, "+2.50"))
	assert.Equal(t, 1, looks(0, "plano"))
}

// What practice shows of accommodation is what the last glance left, and stays
// there until something is done.
func TestAccommodationBetweenQuestions(t *testing.T) {
	t.Parallel()
	s := Start(person("noiseless", 8, "+2.00/-1.00x30", "+2.00", "plano"), Seeded(1))
	do(t, s, Action{Do: Cover, Eye: Left}, Action{Do: Show, Chart: chart.Fan})
	d := s.wanted()
	seen := map[float64]bool{}
	for range 6 {
		do(t, s, Action{Do: Ask, Question: patient.WhichLines})
		a := s.Accommodation()
		assert.Equal(t, a, s.Accommodation())
		assert.InDelta(t, d.At(s.effort.Regard), a, 0.03, "it has come to rest where the eye looks")
		assert.GreaterOrEqual(t, a, d.Front-0.03)
		assert.LessOrEqual(t, a, d.Back+0.03)
		sight, _ := s.Sees(Right, s.State().Frames[0])
		assert.InDelta(t, s.sight(Right, s.bench.state.Frames, 0).Left.M+a, sight.Left.M, 1e-9, "and so is the picture")
		do(t, s, Action{Do: Explain})
		assert.InDelta(t, a, s.Accommodation(), 0.03)
		seen[a] = true
	}
	assert.Greater(t, len(seen), 3, "now here, now there")
}

// The tonus is a state of the eyes: it falls behind fog, comes back with having to
// accommodate, and another sitting begins with all of it.
func TestTonusOfASitting(t *testing.T) {
	t.Parallel()
	setup := person("noiseless", 8, "+2.00", "+2.00", "+2.00")
	setup.Focusing.Latent = 1
	s := Start(setup, Seeded(1))
	const all = 0.6
	assert.InDelta(t, all, s.Accommodation(), 0.01)
	do(t, s, Action{Do: Cover, Eye: Left}, Action{Do: Show, Chart: chart.Letters}, Action{Do: Explain}, Action{Do: Explain})
	assert.InDelta(t, all, s.Accommodation(), 0.01, "the error itself is no fog")
	do(t, s, Action{Do: Exchange, Lens: piece("+2.50")}, Action{Do: Explain}, Action{Do: Explain}, Action{Do: Explain}, Action{Do: Explain})
	assert.Less(t, s.Accommodation(), 0.05)
	do(t, s, Action{Do: Exchange, Lens: piece("+2.00")}, Action{Do: Explain})
	assert.Less(t, s.Accommodation(), 0.05, "it stays away")
	do(t, s, Action{Do: Exchange, Lens: optics.SphereOf(0.5)}, Action{Do: Explain}, Action{Do: Explain})
	do(t, s, Action{Do: Exchange, Lens: piece("+2.00")}, Action{Do: Explain})
	assert.InDelta(t, all, s.Accommodation(), 0.1, "after use it is back")
	assert.InDelta(t, all, s.Again(Seeded(2)).Accommodation(), 0.01)
}
