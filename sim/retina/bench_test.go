package retina

import (
	"slices"
	"testing"
	"time"

	"conoid/sim/chart"
	"conoid/sim/optics"
)

// frameEye is the eye of the benchmarks: residual +0.50 / +1.50 behind a pupil
// of 4 mm, as when a cylinder is about to be found.
func frameEye() Pupil {
	rx := optics.Rx{Sphere: 0.5, Cyl: 1.5, Axis: 30}
	return Pupil{Diameter: 4, Residual: rx.Power()}
}

// timed runs one frame after another and reports the best, the median and the 99th percentile.
func timed(b *testing.B, frame func(i int)) {
	frame(0)
	frame(1)
	var took []time.Duration
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		start := time.Now()
		frame(i)
		took = append(took, time.Since(start))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[0].Microseconds()), "µs-best")
	b.ReportMetric(float64(took[len(took)/2].Microseconds()), "µs-median")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds()), "µs-p99")
}

// BenchmarkFrame: a new residual each time, the same chart.
func BenchmarkFrame(b *testing.B) {
	r := New(Standard)
	r.SetChart(chart.Fan(chart.ByAxis))
	timed(b, func(i int) {
		p := frameEye()
		p.Residual.M += float64(i%8) / 100
		if _, err := r.Image(p); err != nil {
			b.Fatal(err)
		}
	})
}

// BenchmarkFrameTurned: a new chart as well.
func BenchmarkFrameTurned(b *testing.B) {
	r := New(Standard)
	var charts []chart.Chart
	for a := range 180 {
		charts = append(charts, chart.Arrow(float64(a+1)))
	}
	timed(b, func(i int) {
		r.SetChart(charts[i%180])
		if _, err := r.Image(frameEye()); err != nil {
			b.Fatal(err)
		}
	})
}

// BenchmarkFrameSharp: nearly in focus, with aberrations.
func BenchmarkFrameSharp(b *testing.B) {
	r := New(Standard)
	r.SetChart(chart.Fan(chart.ByAxis))
	eye := typical(4)
	timed(b, func(i int) {
		p := eye
		p.Residual.M += float64(i%8) / 100
		if _, err := r.Image(p); err != nil {
			b.Fatal(err)
		}
	})
}

// BenchmarkSection: one line's transfer function at twelve frequencies.
func BenchmarkSection(b *testing.B) {
	freqs := []float64{1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25}
	for name, p := range map[string]Pupil{"fogged": frameEye(), "typical": typical(4)} {
		b.Run(name, func(b *testing.B) {
			var dst []complex128
			l := White()
			b.ReportAllocs()
			for b.Loop() {
				dst = Section(p, l, 35, freqs, dst)
			}
		})
	}
}
