package expert

import (
	"sync/atomic"
	"testing"

	"conoid/sim/sitting"
)

// BenchmarkSitting runs whole sittings of the expert with an everyday person,
// letters and all, on all processors. In "new" each sitting has a person whose
// eyes are worked out afresh; in "again" the same person comes back, and
// answers with other noise.
func BenchmarkSitting(b *testing.B) {
	setup := person("-1.00/-1.50x60", "-1.00/-1.25x60", "everyday", 5)
	examine := func(b *testing.B, s *sitting.Sitting) {
		if _, err := Examine(s, BriefOf(setup)); err != nil {
			b.Error(err)
		}
	}
	b.Run("new", func(b *testing.B) {
		var seed atomic.Uint64
		b.RunParallel(func(pb *testing.PB) {
			for pb.Next() {
				examine(b, sitting.Start(setup, sitting.Seeded(seed.Add(1))))
			}
		})
		b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "sittings/s")
	})
	b.Run("again", func(b *testing.B) {
		var seed atomic.Uint64
		b.RunParallel(func(pb *testing.PB) {
			s := sitting.Start(setup, sitting.Seeded(seed.Add(1)))
			for pb.Next() {
				s = s.Again(sitting.Seeded(seed.Add(1)))
				examine(b, s)
			}
		})
		b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "sittings/s")
	})
}
