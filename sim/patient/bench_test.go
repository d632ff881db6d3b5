package patient

import (
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/retina"
)

// BenchmarkClarity judges the lines of the fan one after another, for an eye
// whose transfer function is there: lines that were never judged before, and
// lines whose clarity is remembered.
func BenchmarkClarity(b *testing.B) {
	e := eye.New(4, 30, eye.Typical(1))
	lines := fanLines()
	judge := func(b *testing.B, forget bool) {
		l := with(e, between(0.5, 1.5, 30)).Look(retina.New(Grid()))
		sum := l.Clarity(lines[0], chart.White)
		b.ReportAllocs()
		i := 0
		for b.Loop() {
			if i == len(lines) {
				i = 0
				if forget {
					clear(l.clear)
				}
			}
			sum += l.Clarity(lines[i], chart.White)
			i++
		}
		if !(sum > 0) {
			b.Fatal("no line is seen at all")
		}
		b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "clarities/s")
	}
	b.Run("new", func(b *testing.B) { judge(b, true) })
	b.Run("remembered", func(b *testing.B) { judge(b, false) })
}

// BenchmarkLook is a new lens: the transfer function, and all lines of the fan.
func BenchmarkLook(b *testing.B) {
	e := eye.New(4, 30, eye.Typical(1))
	r, lines := retina.New(Grid()), fanLines()
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		l := with(e, between(0.5+float64(i%8)/100, 1.5, 30)).Look(r)
		clarities([]*Look{l}, lines)
		i++
	}
}

// BenchmarkDial is the lines of the fan alone, behind a transfer function that is
// there.
func BenchmarkDial(b *testing.B) {
	e := eye.New(4, 30, eye.Typical(1))
	l, lines := with(e, between(0.5, 1.5, 30)).Look(retina.New(Grid())), fanLines()
	b.ReportAllocs()
	for b.Loop() {
		clear(l.dials)
		clarities([]*Look{l}, lines)
	}
}

// BenchmarkAcuity is a new lens at the letter chart: the transfer function, and
// the acuity expected behind it.
func BenchmarkAcuity(b *testing.B) {
	e := eye.New(4, 30, eye.Typical(1))
	r := retina.New(Grid())
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		with(e, between(0.25+float64(i%8)/100, 0.5, 30)).Look(r).Acuity()
		i++
	}
}
