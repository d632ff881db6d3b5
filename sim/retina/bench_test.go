package retina

import (
	"fmt"
	"runtime"
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

// frameEyeAt is frameEye with a residual that differs from frame to frame.
func frameEyeAt(i int) Pupil {
	p := frameEye()
	p.Residual.M += float64(i%8) / 100
	return p
}

// timed runs one frame after another and reports the best, the median and the
// 99th percentile. Between the frames there is a pause, in which nothing is
// computed, until the pace is kept; 0 for none.
func timed(b *testing.B, pace time.Duration, frame func(i int) error) {
	var took []time.Duration
	run := func(i int) {
		if err := frame(i); err != nil {
			b.Fatal(err)
		}
	}
	run(0)
	run(1)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		start := time.Now()
		run(i)
		d := time.Since(start)
		took = append(took, d)
		time.Sleep(pace - d)
	}
	slices.Sort(took)
	if pace > 0 {
		b.ReportMetric(0, "ns/op") // it would count the pauses
	}
	b.ReportMetric(float64(took[0].Microseconds()), "µs-best")
	b.ReportMetric(float64(took[len(took)/2].Microseconds()), "µs-median")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds()), "µs-p99")
}

// inUse runs frames back to back, and one every 10 ms as in use.
func inUse(b *testing.B, frame func(i int) error) {
	b.Run("steady", func(b *testing.B) { timed(b, 0, frame) })
	b.Run("paced", func(b *testing.B) { timed(b, 10*time.Millisecond, frame) })
}

// BenchmarkFrame: a new residual each time, the same chart.
func BenchmarkFrame(b *testing.B) {
	r := New(Standard())
	r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
	inUse(b, func(i int) error {
		_, err := r.Image(frameEyeAt(i))
		return err
	})
}

// BenchmarkFrameTurned: a new chart as well.
func BenchmarkFrameTurned(b *testing.B) {
	r := New(Standard())
	var charts []chart.Drawing
	for a := range 180 {
		charts = append(charts, chart.Named(chart.Arrow).Draw(chart.Hung{Pointer: float64(a + 1)}))
	}
	inUse(b, func(i int) error {
		r.SetChart(charts[i%180])
		_, err := r.Image(frameEye())
		return err
	})
}

// BenchmarkFrameSharp: nearly in focus, with aberrations.
func BenchmarkFrameSharp(b *testing.B) {
	r := New(Standard())
	r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
	eye := typical(4)
	inUse(b, func(i int) error {
		p := eye
		p.Residual.M += float64(i%8) / 100
		_, err := r.Image(p)
		return err
	})
}

// BenchmarkFrameFogged: 5 D of fog, which fills half the image.
func BenchmarkFrameFogged(b *testing.B) {
	r := New(Standard())
	r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
	inUse(b, func(i int) error {
		p := Pupil{Diameter: 4, Residual: optics.Sphere(5 + float64(i%8)/100)}
		_, err := r.Image(p)
		return err
	})
}

// BenchmarkSize shows how the cost of a frame grows with pixels and with
// wavelengths, and the memory that a renderer holds.
func BenchmarkSize(b *testing.B) {
	for _, n := range []int{256, 512, 1024} {
		for _, colours := range []int{1, 3, 9} {
			b.Run(fmt.Sprintf("pixels=%d/wavelengths=%d", n, colours), func(b *testing.B) {
				before := held()
				r := sizedRenderer(n, colours)
				timed(b, 0, func(i int) error {
					_, err := r.Image(frameEyeAt(i))
					return err
				})
				b.ReportMetric((held()-before)/(1<<20), "MB-held")
				runtime.KeepAlive(r)
			})
		}
	}
}

// sizedRenderer has n x n samples, so many wavelengths in its light, and a mark
// that fits the smallest window.
func sizedRenderer(n, colours int) *Renderer {
	r := New(Grid{N: n, Pitch: Standard().Pitch})
	white := White()
	from, to := white.Nm[0], white.Nm[len(white.Nm)-1]
	step := (to - from) / 8
	switch colours {
	case 1:
		from, to = 560, 560
	case 3:
		step = (to - from) / 2
	}
	r.lights[chart.White] = sampled(from, to, step, func(float64) float64 { return 1 })
	line := chart.Line{Angle: 30, Width: 3, Bars: 1, Length: 40}
	r.SetChart(chart.Drawing{Layers: []chart.Layer{{Light: chart.White, Ground: 1, Shapes: []chart.Shape{line.Shape()}}}})
	return r
}

// held is the memory in use, in bytes.
func held() float64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc)
}

// BenchmarkTransfer: one transfer function on the observer's grid, in white light.
func BenchmarkTransfer(b *testing.B) {
	r := New(Grid{N: 256, Pitch: 0.35})
	l := White()
	timed(b, 0, func(i int) error {
		_, err := r.Transfer(frameEyeAt(i), l)
		return err
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
