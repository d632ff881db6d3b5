package patient

import (
	"math"
	"slices"

	"conoid/sim/chart"
	"conoid/sim/retina"
)

// How accommodation moves. All are the project's estimates: that it relaxes
// far more slowly than it rises, that fog relaxes it within half a minute, and
// that it drifts to a resting level when nothing is left to look at, is what
// the trade teaches and studies of fogging describe.
const (
	riseTime  = 0.5 // seconds
	relaxTime = 4.0 // seconds

	// lag is the share of the accommodation that would be needed by which the
	// eye falls short. Measured lags are several times larger (0.34 D at 2 D:
	// Johns and others 2004), but overstate it: acuity is best near the stimulus
	// (Labhishetty and others 2021).
	lag = 0.05

	// restingLevel is where accommodation goes without a stimulus, dioptres;
	// from memory, an order of magnitude.
	restingLevel = 0.75
)

// Accommodate is the accommodation, in dioptres, after it has moved for some
// seconds from where it was. It comes to rest anywhere within the range that
// the image leaves open.
func Accommodate(was float64, to Range, seconds float64) float64 {
	rise := riseTime
	if to.Adrift {
		rise = relaxTime
	}
	switch {
	case was < to.Low:
		return to.Low + (was-to.Low)*math.Exp(-seconds/rise)
	case was > to.High:
		return to.High + (was-to.High)*math.Exp(-seconds/relaxTime)
	}
	return was
}

// Range are the accommodations, in dioptres, between which the image is as
// sharp as it gets. For most views it is a point; with astigmatism behind the
// retina it may reach from one focal line to the other.
type Range struct {
	Low, High float64
	Adrift    bool // nothing is sharp: it goes there slowly, for want of anything to look at
}

// Wide reports whether the range reaches so far, more than half a dioptre, that
// the eye does not come to rest in it.
func (r Range) Wide() bool { return r.High-r.Low > 0.5 }

// Middle is the accommodation in the middle of the range.
func (r Range) Middle() float64 { return (r.Low + r.High) / 2 }

// The search for the sharpest image: in steps of accommodation, in dioptres.
// effort is the sharpness (a response) that a dioptre must bring to be worth
// while, and indifference the loss of sharpness that is put up with. A young
// eye does not settle on one focal line or the other.
const (
	accommodationStep = 0.25
	effort            = 0.02
	indifference      = 0.10
)

// When even the strokes of the largest letters fade there is nothing left to
// hold accommodation: below fadingClarity it drifts, and at lostClarity it has
// come to its resting level. That is about 2 and 3 D of fog for a 4 mm pupil; a
// study of fogging found accommodation relaxed up to about 2 D and in some
// subjects returning towards rest beyond (Optom Vis Sci 1987).
// With a sharpness (a response) above sharpEnough, where even the strokes of
// 6/9 letters are clear, that need not be looked into.
const (
	fadingClarity = 0.14
	lostClarity   = 0.05
	sharpEnough   = -1.5

	// plainlySeen is a clarity in searchLight alone with which that in white light
	// is above fadingClarity: the two differ by less than 0.04 there.
	plainlySeen = fadingClarity + 0.04
)

// largeStroke is the stroke of a 6/60 letter.
var largeStroke = chart.Line{Width: 10, Bars: 1}

// searchLight is the light by which accommodation is guided: green, which
// counts most.
var searchLight = retina.Light{Nm: []float64{560}, Weight: []float64{1}}

// searchGrid is coarse and wide: accommodation is for coarse blur.
var searchGrid = retina.Grid{N: 128, Pitch: 0.7}

// Focuser finds where accommodation is wanted. It is not for use by two
// goroutines at once.
type Focuser struct{ renderer *retina.Renderer }

// NewFocuser makes one.
func NewFocuser() *Focuser { return &Focuser{retina.New(searchGrid)} }

// Pause lets f be called between pieces of long work, as retina.Renderer does.
func (f *Focuser) Pause(pause func()) { f.renderer.Pause = pause }

// Wanted is the accommodation, from 0 to the amplitude in dioptres, that
// brings the sharpest image: over all directions, as of letters. It can only
// add plus.
func (f *Focuser) Wanted(relaxed Sight, amplitude float64) Range {
	if amplitude <= 0 {
		return Range{}
	}
	p := relaxed.Pupil.Residual
	// Beyond the place where even the most hyperopic meridian is half a dioptre
	// too strong, more plus only blurs.
	most := math.Min(amplitude, math.Max(0, p.Astigmatism()-p.M+0.5))
	var q []float64
	best := math.Inf(-1)
	var image *retina.Transfer // the sharpest; nil when none can be made
	for a := 0.0; a <= most+1e-9; a += accommodationStep {
		t, _ := f.renderer.TransferTo(relaxed.accommodated(a).Pupil, searchLight, lineLimit)
		v := sharpness(t) - effort*a
		if v > best {
			best, image = v, t
		}
		q = append(q, v)
	}
	if best > sharpEnough || inGreen(image, largeStroke) > plainlySeen {
		return sharpest(q, best)
	}
	if drift := f.drift(relaxed.accommodated(float64(slices.Index(q, best)) * accommodationStep)); drift > 0 {
		rest := math.Min(restingLevel, amplitude) * drift
		return Range{rest, rest, true}
	}
	return sharpest(q, best)
}

// drift is how much of the way to its resting level accommodation goes for
// want of anything to look at, from 0 to 1, when this is the sharpest image.
func (f *Focuser) drift(s Sight) float64 {
	c := Ring([]*Look{s.Look(f.renderer)}, largeStroke, chart.White)
	return max(0, min(1, (fadingClarity-c)/(fadingClarity-lostClarity)))
}

// sharpest is the part of the search where no sharpness worth speaking of is
// lost, when that is wide, and the sharpest place otherwise. The lag is taken
// off.
func sharpest(q []float64, best float64) Range {
	at := slices.Index(q, best)
	if at == 0 {
		return Range{}
	}
	low, high := at, at
	for i, v := range q {
		if v >= best-indifference {
			low, high = min(low, i), max(high, i)
		}
	}
	const d = accommodationStep * (1 - lag)
	if r := (Range{Low: float64(low) * d, High: float64(high) * d}); r.Wide() {
		return r
	}
	peak := (float64(at) + vertex(q, at)) * d
	return Range{Low: peak, High: peak}
}

// vertex is how far from the place at the top of a parabola through it and its
// neighbours lies, from -0.5 to 0.5 steps.
func vertex(q []float64, at int) float64 {
	if at == 0 || at == len(q)-1 {
		return 0
	}
	left, right := q[at-1]-q[at], q[at+1]-q[at]
	if left+right >= 0 {
		return 0
	}
	return max(-0.5, min(0.5, (left-right)/(2*(left+right))))
}

// sharpness is the mean response to the strokes of letters in all directions,
// behind a transfer function; nil lets nothing through.
func sharpness(t *retina.Transfer) float64 {
	return allRound(t, chart.Line{Width: 1.5, Bars: 1}, response)
}

// inGreen is the mean clarity of a stroke in all directions.
func inGreen(t *retina.Transfer, stroke chart.Line) float64 {
	return allRound(t, stroke, func(c float64) float64 { return c })
}

func allRound(t *retina.Transfer, stroke chart.Line, felt func(clarity float64) float64) float64 {
	if t == nil {
		return felt(0)
	}
	const directions = 6
	w := weights(stroke)
	var sum float64
	for i := range directions {
		sum += felt(clarity(across(t, float64(i)*180/directions), w))
	}
	return sum / directions
}
