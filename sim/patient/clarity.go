package patient

import (
	"math"
	"sync"

	"conoid/sim/chart"
	"conoid/sim/retina"
)

// The frequencies, in cycles per degree, at which lines are judged: fine
// enough for the bars of a block, and as far as their detail is seen.
const (
	lineStep  = 0.5
	lineCount = 64
	lineLimit = lineStep * lineCount
)

var lineFrequencies = func() []float64 {
	f := make([]float64, lineCount)
	for i := range f {
		f[i] = lineStep * float64(i+1)
	}
	return f
}()

// mark is what a line is, but for where it lies.
type mark struct {
	width, period float64
	bars          int
}

// grained is what the weights of a line depend on.
type grained struct {
	mark
	grain float64 // of the nervous system
}

var knownWeights sync.Map // of a grained mark, *[lineCount]float64

// weights tells how much each of the lineFrequencies counts for a mark: its
// own spectrum, seen by the nervous system twice over, in the image and in
// the memory of how a sharp one looks. A grating is judged by its edges, so that
// there each counts by its frequency as well. They sum to 1, and must not be
// changed.
func weights(l chart.Line, grain float64) *[lineCount]float64 {
	key := grained{mark{l.Width, l.Period, l.Bars}, grain}
	if w, ok := knownWeights.Load(key); ok {
		return w.(*[lineCount]float64)
	}
	w := new([lineCount]float64)
	var sum float64
	for i, f := range lineFrequencies {
		n := key.spectrum(f) * Neural(grain*f)
		w[i] = n * n
		if key.bars > 1 {
			w[i] *= f
		}
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	knownWeights.Store(key, w)
	return w
}

// spectrum is that of the dark bars along their normal, at f cycles per
// degree, in minutes of arc.
func (m mark) spectrum(f float64) float64 {
	x := math.Pi * f * m.width / 60
	bar := m.width * math.Sin(x) / x
	if m.bars <= 1 {
		return bar
	}
	y := math.Pi * f * m.period / 60
	if s := math.Sin(y); math.Abs(s) > 1e-9 {
		return bar * math.Sin(float64(m.bars)*y) / s
	}
	return bar * float64(m.bars)
}

// Clarity is how clear a long straight mark looks, from 1 for a perfect image
// to 0 for none: the contrast of its image, frequency by frequency, weighted
// by what the nervous system sees of the mark. Where the image reverses its
// contrast, clarity is lost, not gained; it never falls below 0.
//
// The image may lie a little to one side of the mark, as it does with coma:
// the eye finds it. A light that an ageing lens dims is seen less clearly, green
// more than red.
func (l *Look) Clarity(line chart.Line, light chart.Light) float64 {
	key := judged{mark{line.Width, line.Period, line.Bars}, line.Angle, light}
	c, ok := l.clear[key]
	if !ok {
		t := l.coarsely(light)
		if t == nil {
			return 0
		}
		c = clarity(across(t, line.Angle), weights(line, l.coarseness())) * l.dimming(light)
		l.clear[key] = c
	}
	return c
}

// across reads a transfer function along the normal of bars that run at an
// angle, in degrees, at the lineFrequencies.
func across(t *retina.Transfer, angle float64) *[lineCount]complex64 {
	out := new([lineCount]complex64)
	t.Ray(angle, lineStep, out[:])
	return out
}

// shiftRange and shiftStep, in minutes of arc, are where the image of a mark
// is looked for: far less than half a period, lest reversed bars pass for
// true ones.
const (
	shiftRange = 2.0
	shiftStep  = 0.25
)

// shifted holds cosines and sines of the phase of each of the lineFrequencies at
// shiftStep, twice that, and so on, four shifts together.
var shifted = func() (turns [int(shiftRange / shiftStep / 4)][lineCount]struct{ cos, sin [4]float64 }) {
	for k := range int(shiftRange / shiftStep) {
		for i, f := range lineFrequencies {
			at := &turns[k/4][i]
			at.sin[k%4], at.cos[k%4] = math.Sincos(2 * math.Pi * f / 60 * float64(k+1) * shiftStep)
		}
	}
	return turns
}()

// clarity weighs what a transfer function leaves at the lineFrequencies.
func clarity(otf *[lineCount]complex64, w *[lineCount]float64) float64 {
	var re, im [lineCount]float64
	best := 0.0 // without a shift
	for i, o := range otf {
		re[i], im[i] = w[i]*float64(real(o)), w[i]*float64(imag(o))
		best += re[i]
	}
	for k := range shifted {
		var even0, even1, even2, even3, odd0, odd1, odd2, odd3 float64
		for i := range shifted[k] {
			t, x, y := &shifted[k][i], re[i], im[i]
			even0 += x * t.cos[0]
			odd0 += y * t.sin[0]
			even1 += x * t.cos[1]
			odd1 += y * t.sin[1]
			even2 += x * t.cos[2]
			odd2 += y * t.sin[2]
			even3 += x * t.cos[3]
			odd3 += y * t.sin[3]
		}
		// To one side the odd parts count against the even ones, to the other with
		// them.
		best = max(best, even0+math.Abs(odd0), even1+math.Abs(odd1), even2+math.Abs(odd2), even3+math.Abs(odd3))
	}
	return max(0, best)
}

// floor is the clarity at which a stroke begins to be seen at all: below it
// differences drown. It is a figure of the observer; see cases/study/figures/FIGURES.md.
const floor = 0.02

// response is the sensation that the clarity of a stroke gives: equal ratios look
// equally different, until the mark fades away. It is rounded so that no
// judgement hangs on the last bits of a sum.
func response(clarity float64) float64 { return felt(1, clarity, floor) }

// Of a grating of low contrast a change is noticed less: thresholds of blur grow
// five to six times as the contrast falls from near 1 to 0.03, in the mean of
// three tasks (Westheimer and others 1999); with gratingFloor they grow 6.4 times.
// gratingGain makes a change of 0.085 in the logarithm of its clarity as much
// as one of 0.21 is for a stroke, so that 0.11 to 0.15 D of blur are noticed in
// blocks (1/8 D: Legras and Rouger 2008).
const (
	gratingFloor = 0.20
	gratingGain  = 0.21 / 0.085
)

// dialFloor is what floor is for a line of a dial.
const dialFloor = 0.10

// feel is the sensation that the clarity of a mark gives.
func feel(l chart.Line, clarity float64) float64 {
	switch {
	case l.Bars > 1:
		return felt(gratingGain, clarity, gratingFloor)
	case l.Step > 0:
		return felt(1, clarity, dialFloor)
	}
	return response(clarity)
}

func felt(gain, clarity, floor float64) float64 {
	return math.Round(gain*math.Log(clarity+floor)*1e6) / 1e6
}
