package patient

import (
	"math"
	"slices"

	"conoid/sim/chart"
)

// Gaze is what is seen while one question is thought about: at each of some
// glances, the looks of the open eyes.
type Gaze [][]*Look

// Once is a single glance, which is all that is needed where accommodation stands
// still.
func Once(eyes ...*Look) Gaze { return Gaze{eyes} }

// A question is thought about in glances of glanceTime seconds each. With the chance
// lookElsewhere a glance goes to something else than the one before, and
// accommodation, which follows after latency (from memory, as textbooks have it),
// is on its way there.
const (
	glances       = 4
	glanceTime    = 0.75
	lookElsewhere = 0.6
	latency       = 0.35
)

// Accommodation fluctuates from glance to glance with a standard deviation, in
// dioptres, that grows with it: fluctuation, and fluctuationGain for every dioptre.
// That it does is known; 0.20 to 0.24 D were measured at 4 D in children with
// normal eyes (Ntodie and others 2021), which these figures give at 3 to 4 D.
const (
	fluctuation     = 0.05
	fluctuationGain = 0.05
)

// focusGrain is the number of steps to a dioptre in which glances accommodate, so
// that many share their images: 0.1 D, less than people notice.
const focusGrain = 10

// Wander is where accommodation stands at each glance of one question, in
// dioptres, and the effort that is left in the end. Where it can go nowhere there is
// one glance.
func (f Focusing) Wander(at Moment, to Demand, was Effort) (foci []float64, then Effort) {
	tense := was.Tonus.Total(to.Most)
	if to.steady() && tense == 0 || to.Adrift {
		return []float64{Grained(min(was.Focus, to.Most))}, was
	}
	r, then := at.source(at.Asked, "wander"), was
	for i := range glances {
		moves, elsewhere := glanceTime, r.Float64() < lookElsewhere
		if i == 0 || elsewhere {
			then.Regard = f.regard(r.Float64())
			moves -= latency
		}
		then.Focus = max(tense, Accommodate(then.Focus, to, then.Regard, moves))
		here := then.Focus + f.fluctuation(then.Focus)*r.NormFloat64()
		foci = append(foci, Grained(max(0, min(to.Most, here))))
	}
	return foci, then
}

// Grained is an accommodation, in dioptres, as glances have it.
func Grained(focus float64) float64 { return math.Round(focus*focusGrain) / focusGrain }

// regard is what is looked at, from 0 for the front line to 1 for the back line,
// with a chance x from 0 to 1. Its mean is Regard.
func (f Focusing) regard(x float64) float64 {
	switch f.Regard {
	case 0, 1:
		return f.Regard
	}
	return math.Pow(x, 1/f.Regard-1)
}

// fluctuation is the standard deviation at so much accommodation, both in
// dioptres.
func (f Focusing) fluctuation(focus float64) float64 {
	if f.Steadiness == 0 {
		return 0
	}
	return (fluctuation + fluctuationGain*focus) / f.Steadiness
}

// felt are the sensations of some marks at each glance at which one of them, at
// least, is as clear as visible.
func (m Manner) felt(g Gaze, lines []chart.Line, visible float64) (out [][]float64) {
	for _, eyes := range g {
		c := clarities(m.GoesBy(eyes, lines), lines)
		if c == nil || slices.Max(c) < visible {
			continue
		}
		f := make([]float64, len(c))
		for i, v := range c {
			f[i] = feel(lines[i], v)
		}
		out = append(out, f)
	}
	return out
}

// mean is the mean of some glances at the same marks.
func mean(glances [][]float64) []float64 {
	out := make([]float64, len(glances[0]))
	for _, g := range glances {
		for i, v := range g {
			out[i] += v / float64(len(glances))
		}
	}
	return out
}

// Lines change when those that are the clearest at one glance are more than
// changed degrees from those of another. The patient notices that in a share
// noticing of such looks, rather than naming those that are clear on the whole.
// The project's choice.
const (
	changed  = 30
	noticing = 0.4
)

// notices reports whether what changes is noticed this time.
func (m Moment) notices() bool { return m.source(m.Asked, "notice").Float64() < noticing }

// changes reports whether other lines are the clearest at one glance than at
// another. A glance at which none is noticeably clearer than others shows none.
func (m Manner) changes(glances [][]float64, lines []chart.Line) bool {
	var clearest []float64
	for _, felt := range glances {
		if best := slices.Max(felt); best-slices.Min(felt) >= m.Difference {
			clearest = append(clearest, lines[slices.Index(felt, best)].Angle)
		}
	}
	for i, a := range clearest {
		for _, b := range clearest[:i] {
			if d := math.Mod(math.Abs(a-b), 180); math.Min(d, 180-d) > changed {
				return true
			}
		}
	}
	return false
}
