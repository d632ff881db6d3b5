package patient

import (
	"cmp"
	"math"
	"slices"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

// How accommodation moves. All are the project's estimates: that it relaxes
// far more slowly behind fog than it rises, and that fog relaxes it within half
// a minute, is what the trade teaches and studies of fogging describe.
const (
	riseTime  = 0.5 // seconds
	relaxTime = 4.0 // seconds

	// lag is the share of the accommodation that would be needed by which the
	// eye falls short. Measured lags are several times larger (0.34 D at 2 D:
	// Johns and others 2004), but overstate it: acuity is best near the stimulus
	// (Labhishetty and others 2021). The figure is the project's own.
	lag = 0.05

	// ease is by how much less than the full accommodation is wanted, dioptres. The
	// clinical error is the most plus that costs no acuity to speak of: an eye that
	// made up for all of it would be at the far end of what it cannot tell apart.
	// With this and the lag, eyes drawn from the norms that lack 1 to 3 D respond
	// where their image is the sharpest, in the mean, as a test repeats.
	ease = 0.15
)

// Focusing is how a person accommodates. The zero value holds still, with the
// front focal line on the retina.
type Focusing struct {
	Tonic      float64 // where accommodation goes when nothing is left to look at, dioptres
	Latent     float64 // that never lets go at once, of eyes used to accommodating, dioptres; see Tonus
	Spasm      float64 // the same of a cramp, which lets go less and later, dioptres
	Release    float64 // share of Latent that fog releases, 0 to 1
	Regard     float64 // what is looked at with both focal lines behind the retina, in the mean: 0 for the front line, 1 for the back line
	Steadiness float64 // by which fluctuations are divided; 0 for none at all
}

// UsualFocusing is that of most people, without latent accommodation. One line is
// looked at as much as the other; the lag alone leaves the front line in better focus
// where much is lacking, as was found in young hyperopic astigmats without their
// lenses (IOVS abstract 2414533). The resting
// level in the dark differs from study to study, with means from 0.5 to 1.8 D (IOVS
// abstract 2159930; Liu and others 2016): less is taken, for a room that is lit.
func UsualFocusing() Focusing {
	return Focusing{Tonic: 0.75, Release: 0.6, Regard: 0.5, Steadiness: 1}
}

// Demand is where accommodation is wanted, in dioptres. Front and Back, of
// which Back is never less, bring a focal line of the relaxed eye onto the
// retina, as far as that can be done; both are 0 where both lines lie before it.
type Demand struct {
	Front, Back float64
	Most        float64 // as far as the eye can accommodate
	Fog         float64 // how far the back line of the relaxed eye lies in front of the retina; negative behind it
	Adrift      bool    // nothing can be made out: it goes to Rest, slowly
	Rest        float64
}

// At is the accommodation for a regard, from 0 for the front line to 1 for the
// back line: in between both are blurred a little.
func (d Demand) At(regard float64) float64 {
	if d.Adrift {
		return d.Rest
	}
	return d.Front + regard*(d.Back-d.Front)
}

// Clearest is the accommodation, of those at some glances, with which letters are
// read: the one nearest to what brings a focal line onto the retina.
func (d Demand) Clearest(foci []float64) float64 {
	off := func(focus float64) float64 { return min(math.Abs(focus-d.Front), math.Abs(focus-d.Back)) }
	return slices.MinFunc(foci, func(a, b float64) int { return cmp.Compare(off(a), off(b)) })
}

// steady reports whether accommodation has nowhere else to go: every look is
// like the one before.
func (d Demand) steady() bool { return d.Adrift || d.Back == 0 }

// Effort is how the eyes of a person accommodate at a moment.
type Effort struct {
	Focus  float64 // dioptres
	Regard float64 // what is looked at, from 0 for the front focal line to 1 for the back line
	Tonus  Tonus   // what of it does not let go
}

// restGrain is the number of steps to a dioptre in which accommodation is kept from
// question to question: finer than any eye notices, and coarse enough to come to
// rest.
const restGrain = 64

// Rest is the effort of one who has looked for a long time at what demands it.
func (f Focusing) Rest(to Demand) Effort {
	e := Effort{Regard: f.Regard, Tonus: f.Tense()}
	e.Focus = max(to.At(f.Regard), e.Tonus.Total(to.Most))
	return e.kept()
}

// After is the effort when so many seconds of a demand have passed.
func (f Focusing) After(e Effort, to Demand, seconds float64) Effort {
	e.Tonus = f.tension(e.Tonus, to, seconds)
	e.Focus = max(Accommodate(e.Focus, to, e.Regard, seconds), e.Tonus.Total(to.Most))
	return e.kept()
}

func (e Effort) kept() Effort {
	e.Focus = math.Round(e.Focus*restGrain) / restGrain
	return e
}

// Accommodate is the accommodation, in dioptres, after it has moved for some
// seconds from where it was toward what is wanted with a regard. Between the
// focal lines it goes to and fro fast; from beyond the back line it relaxes as
// it does from fog.
func Accommodate(was float64, to Demand, regard, seconds float64) float64 {
	target := to.At(regard)
	toward := func(from, time, seconds float64) float64 { return target + (from-target)*math.Exp(-seconds/time) }
	switch {
	case to.Adrift:
		return toward(was, relaxTime, seconds)
	case was <= to.Back:
		return toward(was, riseTime, seconds)
	case target < to.Back:
		if until := relaxTime * math.Log((was-target)/(to.Back-target)); until < seconds {
			return toward(to.Back, riseTime, seconds-until)
		}
	}
	return toward(was, relaxTime, seconds)
}

// When even the strokes of the largest letters fade there is nothing left to
// hold accommodation: below fadingClarity it drifts, and at lostClarity it has
// come to its resting level. That is about 2 and 3 D of fog for a 4 mm pupil; a
// study of fogging found accommodation relaxed up to about 2 D and in some
// subjects returning towards rest beyond (Optom Vis Sci 1987).
const (
	fadingClarity = 0.14
	lostClarity   = 0.05

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

// PauseWithin lets f be called in the middle of an image as well, as
// retina.Renderer.Between is.
func (f *Focuser) PauseWithin(within func()) { f.renderer.Between = within }

// Wanted is where accommodation is wanted, by one who can accommodate by so many
// dioptres and whose resting level is tonic. It can only add plus.
//
// A focal line is in best focus where it stands on the retina by the eye's own
// reckoning, so that no image need be searched; the image is looked at only for
// whether there is anything in it to hold accommodation.
func (f *Focuser) Wanted(relaxed Sight, amplitude, tonic float64) Demand {
	front, back := relaxed.Left.FocalLines()
	d := Demand{Front: reached(front.Power, amplitude), Back: reached(back.Power, amplitude), Most: amplitude, Fog: back.Power}
	if amplitude <= 0 {
		return d
	}
	if drift := f.adrift(relaxed.accommodated(d.At(UsualFocusing().Regard))); drift > 0 {
		d.Adrift, d.Rest = true, min(tonic, amplitude)*drift
	}
	return d
}

// ReadsBest is the look, and the acuity as logMAR, of an eye that meets light of a
// vergence at the cornea, in dioptres, and accommodates as suits letters best: with
// one of the focal lines on the retina or, where the two are close together, with
// the circle of least confusion.
func ReadsBest(r *retina.Renderer, e eye.Eye, atCornea optics.Power, amplitude float64) (best *Look, logMAR float64) {
	front, back := e.Left(atCornea, 0).FocalLines()
	was := -1.0
	for _, before := range []float64{front.Power, (front.Power + back.Power) / 2, back.Power} {
		a := reached(before, amplitude)
		if a == was {
			continue
		}
		was = a
		l := Through(e, atCornea, a, 0).Look(r)
		if v := l.Acuity(); best == nil || v < logMAR {
			best, logMAR = l, v
		}
	}
	return best, logMAR
}

// reached is the accommodation that is reached for what lies so far in front of the
// retina by the eye's own reckoning; all in dioptres.
func reached(before, amplitude float64) float64 {
	return max(0, min(amplitude, (-before-ease)*(1-lag)))
}

// adrift is drift, which need not be looked into where the image is plainly seen.
func (f *Focuser) adrift(s Sight) float64 {
	if t, _ := f.renderer.TransferTo(s.Pupil, searchLight, lineLimit); inGreen(t, largeStroke, s.coarseness()) > plainlySeen {
		return 0
	}
	return f.drift(s)
}

// drift is how much of the way to its resting level accommodation goes for
// want of anything to look at, from 0 to 1, when this is the sharpest image.
func (f *Focuser) drift(s Sight) float64 {
	c := Ring([]*Look{s.Look(f.renderer)}, largeStroke, chart.White)
	return max(0, min(1, (fadingClarity-c)/(fadingClarity-lostClarity)))
}

// inGreen is the mean clarity of a stroke in all directions, behind a transfer
// function and to a nervous system of a grain; nil lets nothing through.
func inGreen(t *retina.Transfer, stroke chart.Line, grain float64) float64 {
	if t == nil {
		return 0
	}
	const directions = 6
	w := weights(stroke, grain)
	var sum float64
	for i := range directions {
		sum += clarity(across(t, float64(i)*180/directions), w)
	}
	return sum / directions
}
