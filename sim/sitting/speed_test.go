package sitting

import (
	"testing"
	"time"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// usual is a person with the eyes of most.
func usual() Setup {
	setup := person("everyday", 5, "-3.00/-1.50x60", "-3.00/-1.50x60", "-3.00/-1.25x60")
	for i := range setup.Eyes {
		setup.Eyes[i].Eye = eye.Eye{Pupil: 5, Age: 30, Aberrations: eye.Typical(1), Rho: eye.TypicalRho}
	}
	return setup
}

// BenchmarkStart seats a person whose eyes were never looked through: what goes
// by before the first answer.
func BenchmarkStart(b *testing.B) {
	setup := usual()
	for b.Loop() {
		Start(setup, Seeded(1))
	}
}

// BenchmarkDo is how long an examiner waits for one action, with the other eye
// covered: a new sphere, and the first question about each chart behind it. The
// slowest of all spheres is given beside the mean.
func BenchmarkDo(b *testing.B) {
	b.Run("lens", func(b *testing.B) { timeOf(b, chart.Fan, patient.WhichLines, Exchange) })
	b.Run("fan", func(b *testing.B) { timeOf(b, chart.Fan, patient.WhichLines, Ask) })
	b.Run("blocks", func(b *testing.B) { timeOf(b, chart.Blocks, patient.WhichBlock, Ask) })
	b.Run("letters", func(b *testing.B) { timeOf(b, chart.Letters, patient.ReadLetters, Ask) })
	b.Run("colours", func(b *testing.B) { timeOf(b, chart.Duochrome, patient.WhichColour, Ask) })
}

// timeOf times a verb alone, while the sphere goes from -4.50 to -1.00. Each is
// timed three times, of which the fastest counts.
func timeOf(b *testing.B, chart chart.Name, question patient.Question, verb Verb) {
	s := Start(usual(), Seeded(1))
	act := func(a Action) time.Duration {
		start := time.Now()
		if _, err := s.Do(a); err != nil {
			b.Fatal(err)
		}
		return time.Since(start)
	}
	act(Action{Do: Cover, Eye: Left})
	act(Action{Do: Show, Chart: chart})
	var fastest [15]time.Duration
	var sum time.Duration
	b.ResetTimer()
	for n := range max(b.N, 3*len(fastest)) {
		k := n % len(fastest)
		if k == 0 {
			s.seen, s.wants = newRecent[view, *patient.Look](mostSeen), newRecent[view, patient.Demand](mostWanted)
		}
		took := map[Verb]time.Duration{}
		took[Exchange] = act(Action{Do: Exchange, Lens: optics.SphereOf(-4.5 + 0.25*float64(k))})
		took[Ask] = act(Action{Do: Ask, Question: question})
		sum += took[verb]
		if fastest[k] == 0 || took[verb] < fastest[k] {
			fastest[k] = took[verb]
		}
	}
	var worst time.Duration
	for _, d := range fastest {
		worst = max(worst, d)
	}
	b.ReportMetric(float64(sum.Nanoseconds())/float64(max(b.N, 3*len(fastest))), "ns/op")
	b.ReportMetric(float64(worst.Microseconds())/1000, "ms-worst")
}
