package patient

import (
	"math"
	"slices"
	"sync"

	"conoid/sim/chart"
)

// A line of a dial is judged as it is seen: among the lines beside it, whose blur
// runs into it. Across it, at a few places along its outer part, the image is
// compared with the sharp line: within half the way to its neighbours, but no
// further than dialWindow, less its mean. So an even grey is no clarity, and
// neither is a line in the place of a gap.
const (
	dialWindow = 6.0  // minutes of arc to either side
	dialStep   = 0.25 // minutes of arc between the places at which an image is known
	dialReach  = 34.5 // minutes of arc to either side, up to which it is known
)

// dialPlaces are where a line is judged, in minutes of arc from its outer end.
var dialPlaces = [...]float64{2, 6, 10}

// profile is the ink across the image of a line, summed up from its middle, at
// each dialStep to either side, in minutes of arc.
type profile [2*dialCount + 1]float64

const dialCount = int(dialReach / dialStep)

// waves holds sine and cosine of each of the lineFrequencies at each dialStep.
var waves = func() (w [lineCount][dialCount + 1]struct{ sin, cos float64 }) {
	for i, f := range lineFrequencies {
		for k := range w[i] {
			w[i][k].sin, w[i][k].cos = math.Sincos(2 * math.Pi * f / 60 * float64(k) * dialStep)
		}
	}
	return w
}()

// unseenWave is the ink of a wave, in minutes of arc, that changes no clarity by as
// much as 0.0001: in a blur most are fainter.
const unseenWave = 1e-5

// profileOf is that of a line of which so much is left at the lineFrequencies, by
// the optics and by the nervous system. Its mean over a period of the lowest
// frequency, which no clarity depends on, is left out.
func profileOf(otf *[lineCount]complex64, felt *[lineCount]float64, l chart.Line) *profile {
	m := mark{l.Width, l.Period, l.Bars}
	var odd, even [dialCount + 1]float64
	for i, f := range lineFrequencies {
		// The integral of a wave is a wave over its frequency.
		k := felt[i] * 2 * lineStep / 60 * m.spectrum(f) / (2 * math.Pi * f / 60)
		re, im := k*float64(real(otf[i])), k*float64(imag(otf[i]))
		if math.Abs(re)+math.Abs(im) < unseenWave {
			continue
		}
		for j := range odd {
			odd[j] += re * waves[i][j].sin
			even[j] += im * waves[i][j].cos
		}
	}
	p := new(profile)
	for j := range odd {
		p[dialCount+j], p[dialCount-j] = even[j]+odd[j], even[j]-odd[j]
	}
	return p
}

// to is the ink from the middle to a place, in minutes of arc.
func (p *profile) to(x float64) float64 {
	at := max(0, min(x/dialStep+float64(dialCount), float64(2*dialCount)-1e-9))
	i := int(at)
	return p[i] + (at-float64(i))*(p[i+1]-p[i])
}

// dial are the clarities of the lines of a dial: all orientations, in order.
func (l *Look) dial(lines []chart.Line) []float64 {
	if known, ok := l.dials[lines[0]]; ok {
		return known
	}
	c := make([]float64, len(lines))
	if t := l.coarsely(chart.White); t != nil {
		grain := l.coarseness()
		c = amongOthers(lines, grain, func(line chart.Line) *[lineCount]complex64 { return across(t, line.Angle) })
		for i := range c {
			c[i] *= l.dimming(chart.White)
			if grain > 1 {
				c[i] *= usedTo(lines, grain)[i]
			}
		}
	}
	l.dials[lines[0]] = c
	return c
}

// amongOthers are the clarities of the lines of a dial of which the optics leave so
// much at the lineFrequencies.
func amongOthers(lines []chart.Line, grain float64, optics func(chart.Line) *[lineCount]complex64) []float64 {
	profiles, felt := make([]*profile, len(lines)), blurring(grain)
	for i, line := range lines {
		profiles[i] = profileOf(optics(line), felt, line)
	}
	c := make([]float64, len(lines))
	for i, line := range lines {
		c[i] = beside(profiles, line, i)
	}
	return c
}

// spoke is a line at the eye of whom another is judged: its profile, and how it
// lies to that one. Beyond the level line it is the other side of an orientation.
type spoke struct {
	*profile
	sin, cos, side float64
}

// beside is the clarity of the line at a place in the order, from the profiles of
// all, where the image fits the sharp line best.
func beside(profiles []*profile, line chart.Line, place int) float64 {
	var spokes []spoke
	for j := -line.Beside[0]; j <= line.Beside[1]; j++ {
		s := spoke{side: 1}
		s.sin, s.cos = math.Sincos(float64(j) * line.Step * math.Pi / 180)
		at := place + j
		if n := len(profiles); at < 0 || at >= n {
			at, s.side = (at+n)%n, -1
		}
		s.profile = profiles[at]
		spokes = append(spokes, s)
	}
	var sums [2*shifts + 1]float64
	for _, in := range dialPlaces {
		r := math.Hypot(line.Centre.X, line.Centre.Y) + line.Length/2 - in
		half := min(r*math.Tan(line.Step/2*math.Pi/180), dialWindow)
		share := line.Width / (2 * half) // of the window that the sharp line takes up
		for k := range sums {
			d := float64(k-shifts) * shiftStep
			sums[k] += (ink(spokes, r, d, line.Width/2) - share*ink(spokes, r, d, half)) / (line.Width * (1 - share))
		}
	}
	return max(0, slices.Max(sums[:])/float64(len(dialPlaces)))
}

// shifts is how many steps to either side the image is looked for.
const shifts = int(shiftRange / shiftStep)

// ink is the ink of some lines at a radius, up to half a width to either side of a
// place across, in minutes of arc.
func ink(spokes []spoke, r, at, half float64) (sum float64) {
	for i := range spokes {
		s := &spokes[i]
		x, dx := s.side*(at*s.cos-r*s.sin), s.side*half*s.cos
		sum += s.side * (s.to(x+dx) - s.to(x-dx)) / s.cos
	}
	return sum
}

// A coarser nervous system blurs a dial once more: each of the lineFrequencies by as
// much as it is less sensitive to it than a usual one. Half of the contrast that is
// lost so, as a logarithm, is made good: contrasts that are well seen look much
// alike to eyes of all kinds (contrast constancy, from memory), but a line that runs
// into those beside it is none. That it is half is the project's choice.

// blurring is what a nervous system of a grain leaves of each of the
// lineFrequencies, from 0 to 1. It must not be changed.
func blurring(grain float64) *[lineCount]float64 {
	if known, ok := knownBlurring.Load(grain); ok {
		return known.(*[lineCount]float64)
	}
	out := new([lineCount]float64)
	for i, f := range lineFrequencies {
		out[i] = min(1, Neural(grain*f)/Neural(f))
	}
	knownBlurring.Store(grain, out)
	return out
}

var knownBlurring, knownUsedTo sync.Map

// usedTo are the factors from the clarities of the lines of a dial to those that
// compare with what other eyes see. They must not be changed.
func usedTo(lines []chart.Line, grain float64) []float64 {
	type dial struct {
		first chart.Line
		grain float64
	}
	key := dial{lines[0], grain}
	if known, ok := knownUsedTo.Load(key); ok {
		return known.([]float64)
	}
	usual, here := sharpest(lines, 1), sharpest(lines, grain)
	for i := range here {
		here[i] = math.Sqrt(usual[i] / max(here[i], VisibleLine))
	}
	knownUsedTo.Store(key, here)
	return here
}

// sharpest are the clarities of the lines of a dial behind perfect optics.
func sharpest(lines []chart.Line, grain float64) []float64 {
	perfect := new([lineCount]complex64)
	for i := range perfect {
		perfect[i] = 1
	}
	return amongOthers(lines, grain, func(chart.Line) *[lineCount]complex64 { return perfect })
}
