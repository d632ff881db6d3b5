package patient

import (
	"math"
	"slices"
	"strconv"

	"conoid/sim/chart"
)

// Visible is the clarity below which a mark cannot be made out, and VisibleLine
// that for a line of a dial: with less, the blur of the lines beside it makes
// lines in the wrong places as often as in the right ones.
const (
	Visible     = 0.02
	VisibleLine = 0.05
)

// clarities are the clarities of the marks of a chart, in white light, for the eye
// that sees them best: of two open eyes a person goes by the better image.
func clarities(eyes []*Look, lines []chart.Line) []float64 {
	var best []float64
	for _, l := range eyes {
		c := l.clarities(lines)
		if best == nil || slices.Max(c) > slices.Max(best) {
			best = c
		}
	}
	return best
}

// GoesBy are the eyes whose image of some marks a person goes by: of two, of which
// the first is the right, the one with the clearer image, the dominant one's
// counting for more. Letters and rings are left to the better eye.
func (m Manner) GoesBy(eyes []*Look, lines []chart.Line) []*Look {
	if m.Dominance == 0 || len(eyes) != 2 {
		return eyes
	}
	best := func(i int) float64 { return feel(lines[0], slices.Max(eyes[i].clarities(lines))) }
	if best(0)+m.Dominance > best(1) {
		return eyes[:1]
	}
	return eyes[1:]
}

// clarities are those of the marks of a chart: a dial as a whole, or each by
// itself.
func (l *Look) clarities(lines []chart.Line) []float64 {
	if lines[0].Step > 0 {
		return l.dial(lines)
	}
	c := make([]float64, len(lines))
	for i, line := range lines {
		c[i] = l.Clarity(line, chart.White)
	}
	return c
}

// Lines answers which lines of a dial are the clearest. The lines are one for
// each direction, in order; the last is the neighbour of the first.
func (m Manner) Lines(at Moment, g Gaze, lines []chart.Line) Answer {
	j := m.judge(at)
	glances := m.felt(g, lines, VisibleLine)
	switch {
	case m.changes(glances, lines) && at.notices():
		return Answer{Kind: Changing, Variant: j.variant()}
	case len(glances) == 0:
		return Answer{Kind: Blurred, Variant: j.variant()}
	}
	felt := j.senseAll(lines, mean(glances))
	for i := range felt {
		if j.leading != "" && near(j.leading, lines[i].Angle) {
			felt[i] += j.Suggestible
		}
	}
	if j.lapses() {
		return Answer{Kind: Lines, Lines: []float64{lines[j.stray(len(lines))].Angle}, Variant: j.variant()}
	}
	difference := dialDifference * j.Difference
	first, n := group(felt, difference)
	switch {
	case slices.Max(felt)-slices.Min(felt) < alikeSpread*difference:
		return Answer{Kind: Alike, Variant: j.variant()}
	case n > len(lines)/3 && j.rand.Float64() < j.Hesitation:
		return Answer{Kind: Unsure, Variant: j.variant()}
	}
	a := Answer{Kind: Lines, Variant: j.variant()}
	for i := range n {
		a.Lines = append(a.Lines, lines[(first+i)%len(lines)].Angle)
	}
	return a
}

// Between the lines of a dial a difference must be dialDifference times as large as
// elsewhere to be called one; all are alike when the clearest and the faintest
// are less than alikeSpread of it apart, for the clearest of many noises is always
// a little clearer than its neighbours. The project's choice, by geometry.
const (
	dialDifference = 1.2
	alikeSpread    = 1.5
)

// senseAll are the sensations of the lines of a dial. The noise is that of places
// on the retina about ten degrees of the dial wide, so that lines beside each
// other share it.
func (j *judge) senseAll(lines []chart.Line, felt []float64) []float64 {
	n := len(lines)
	z, out := make([]float64, n), make([]float64, n)
	for i := range z {
		z[i] = j.rand.NormFloat64()
	}
	shared := 0
	if s := lines[0].Step; s > 0 {
		shared = int(10 / s)
	}
	for i, v := range felt {
		var noise float64
		for k := i - shared; k <= i+shared; k++ {
			noise += z[(k+n)%n]
		}
		out[i] = v + j.noise*noise/math.Sqrt(float64(2*shared+1))
	}
	return out
}

// group finds the lines next to the best one that are not noticeably worse:
// the place of the first of them and their number.
func group(felt []float64, difference float64) (first, n int) {
	best := 0
	for i, v := range felt {
		if v > felt[best] {
			best = i
		}
	}
	count := len(felt)
	like := func(i int) bool { return felt[best]-felt[(i+count)%count] < difference }
	lo, hi := best, best
	for hi-lo+1 < count && like(lo-1) {
		lo--
	}
	for hi-lo+1 < count && like(hi+1) {
		hi++
	}
	return (lo + count) % count, hi - lo + 1
}

// Limbs answers whether one limb of the arrow is clearer.
func (m Manner) Limbs(at Moment, g Gaze, left, right chart.Line) Answer {
	return m.either(at, g, left, right, Left, Right)
}

// Blocks answers whether one set of bars is clearer.
func (m Manner) Blocks(at Moment, g Gaze, parallel, perpendicular chart.Line) Answer {
	return m.either(at, g, parallel, perpendicular, Parallel, Perpendicular)
}

func (m Manner) either(at Moment, g Gaze, a, b chart.Line, first, second Kind) Answer {
	glances := m.felt(g, []chart.Line{a, b}, Visible)
	return m.settle(at, func(j *judge) Kind {
		if len(glances) == 0 {
			return Blurred
		}
		f := mean(glances)
		return j.pair(f[0], f[1], first, second)
	})
}

// Colours answers whether the rings are clearer on red or on green.
func (m Manner) Colours(at Moment, g Gaze, red, green chart.Line) Answer {
	var glances [][]float64
	for _, eyes := range g {
		if r, g := Ring(eyes, red, chart.Red), Ring(eyes, green, chart.Green); max(r, g) >= Visible {
			glances = append(glances, []float64{response(r), response(g)})
		}
	}
	return m.settle(at, func(j *judge) Kind {
		if len(glances) == 0 {
			return Blurred
		}
		f := mean(glances)
		return j.pair(f[0], f[1], RedClearer, GreenClearer)
	})
}

// Ring is the mean clarity of a stroke over all its directions, for the eye
// that sees it best: how clear a ring or a letter looks. No eye sees nothing.
func Ring(eyes []*Look, stroke chart.Line, light chart.Light) float64 {
	const directions = 6
	best := 0.0
	for _, s := range eyes {
		var sum float64
		for i := range directions {
			stroke.Angle = float64(i) * 180 / directions
			sum += s.Clarity(stroke, light)
		}
		best = max(best, sum/directions)
	}
	return best
}

// Glance is one look at a chart: the sensation of its marks, and the
// accommodation, in dioptres, that it was looked at with.
type Glance struct{ Felt, Focus float64 }

// Things look smaller to an eye that accommodates: by sizeGain of their size
// for every dioptre, of which sizeDifference is noticed, give or take sizeNoise
// of the noise of the judgement. That it is so is known (accommodative
// micropsia), and it is what people describe as smaller and blacker when minus
// is added that they do not need; the figures are the project's choice. The
// image itself shrinks by only 0.4 % behind -0.25 D.
const (
	sizeGain       = 0.08
	sizeDifference = 0.015
	sizeNoise      = 0.07
)

// Compare answers whether the same marks are clearer now than before: with a
// lens than without, or after a change. Who is asked for the first time may want
// to see it again.
func (m Manner) Compare(at Moment, before, now Glance) Answer {
	return m.settle(at, func(j *judge) Kind {
		d := j.apart(now.Felt, before.Felt, Better, Worse)
		if at.Asked == 0 && j.asksAgain(d) {
			return Again
		}
		k := j.call(d, Better, Worse)
		shrunk := sizeGain*(now.Focus-before.Focus) + sizeNoise*j.noise*j.rand.NormFloat64()
		switch {
		case k == Alike && shrunk > j.sizeDifference():
			return Smaller
		case k == Alike:
			return Same
		}
		return k
	})
}

// sizeDifference is how much smaller things must look, as a share of their
// size, to be called so. A leading question pulls at size as it does at
// clearness, on the scale of its noise.
func (j *judge) sizeDifference() float64 {
	switch Kind(j.leading) {
	case Smaller:
		return sizeDifference - sizeNoise*j.Suggestible
	case Same:
		return sizeDifference + sizeNoise*j.Suggestible
	}
	return sizeDifference
}

// Response is the sensation that a clarity gives.
func Response(clarity float64) float64 { return response(clarity) }

// near reports whether a line at an angle in the patient's view is the one, or
// next to the one, that a leading question names by its label.
func near(label string, angle float64) bool {
	named, err := strconv.ParseFloat(label, 64)
	if err != nil {
		return false
	}
	d := math.Mod(math.Abs(named-chart.LabelOf(angle)), 180)
	return math.Min(d, 180-d) <= 10
}

// Best is the sensation of the clearest of some marks.
func Best(eyes []*Look, lines []chart.Line) float64 {
	c := clarities(eyes, lines)
	if c == nil {
		return feel(lines[0], 0)
	}
	return feel(lines[0], slices.Max(c))
}

// Mean is the mean sensation of some marks.
func Mean(eyes []*Look, lines []chart.Line) float64 {
	c := clarities(eyes, lines)
	if c == nil {
		c = make([]float64, len(lines))
	}
	var sum float64
	for i, v := range c {
		sum += feel(lines[i], v)
	}
	return sum / float64(len(c))
}
