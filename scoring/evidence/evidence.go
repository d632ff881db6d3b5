// Package evidence weighs what a patient's answers say of a value that an
// examiner states. An answer about a value that was tried sends on to more, back
// to less, or nowhere: it is a [Vote]. Votes at one place are a [View], which
// says what most of them say. [OnLine] and [OnCircle] find the value that goes
// best with all of them, so that one odd answer among several does not decide;
// [Fit.Support] is whether that bears a statement out.
//
// It knows nothing of patients, lenses or points.
package evidence

import (
	"cmp"
	"math"
	"slices"

	"conoid/sim/method"
	"conoid/sim/optics"
)

// Vote is one answer about a value that was tried.
type Vote struct {
	Event int        `json:"event"`
	At    float64    `json:"at"`  // the value, on its scale
	Way   method.Way `json:"way"` // where it sends
}

// View is what most votes at one place say.
type View struct {
	At    float64
	Way   method.Way
	Votes []Vote
}

// samePlace is how near two values are one place, on any scale.
const samePlace = 1e-6

// Views are the votes by place, from the least value to the greatest. Where more
// and less are said equally often, they say neither.
func Views(votes []Vote) []View {
	votes = slices.Clone(votes)
	slices.SortStableFunc(votes, func(a, b Vote) int { return cmp.Compare(a.At, b.At) })
	var out []View
	for _, v := range votes {
		if n := len(out); n == 0 || v.At-out[n-1].At > samePlace {
			out = append(out, View{At: v.At})
		}
		last := &out[len(out)-1]
		last.Votes = append(last.Votes, v)
	}
	for i := range out {
		out[i].Way = majority(out[i].Votes)
	}
	return out
}

// majority is what more votes say than anything else; nothing when two ways are
// said equally often.
func majority(votes []Vote) method.Way {
	var n [3]int
	for _, v := range votes {
		n[1+v.Way]++
	}
	switch less, stay, more := n[0], n[1], n[2]; {
	case more > stay && more > less:
		return method.More
	case less > stay && less > more:
		return method.Less
	}
	return method.Stay
}

// Fit is the value that goes best with all views.
type Fit struct {
	At    float64
	Views []Placed // from the least to the greatest

	spread float64 // of a line
}

// Placed is a view, and how far from the fit it stands.
type Placed struct {
	View
	Off float64 // the view less the fit
}

// lapse is the share of answers that are given without looking, in the fit: the
// project's choice. It keeps one of them from outweighing many.
const lapse = 0.04

// likelihood is the logarithm of how likely a vote is, when the value that is
// sought lies so many units of its spread above the place that was tried: 1 when
// more is said in 73 of 100 answers. Neither counts as more and as less, so that it
// draws the value near.
func likelihood(w method.Way, above float64) float64 {
	says := func(x float64) float64 { return math.Log(lapse/2 + (1-lapse)/(1+math.Exp(-x))) }
	switch w {
	case method.More:
		return says(above)
	case method.Less:
		return says(-above)
	}
	return says(above) + says(-above)
}

// OnLine is the fit on a straight scale on which answers are as good as chance
// at the value itself, and spread is the distance at which they are right in 73
// of 100. It looks no further than reach beyond the views. It is false without a
// view.
func OnLine(votes []Vote, spread, reach float64) (Fit, bool) {
	views := Views(votes)
	if len(views) == 0 {
		return Fit{}, false
	}
	const grains = 40 // to a spread
	low, high := views[0].At-reach, views[len(views)-1].At+reach
	n := int(math.Ceil((high - low) / spread * grains))
	at := best(n+1, func(i int) (float64, float64) {
		x := low + (high-low)*float64(i)/float64(n)
		sum := 0.0
		for _, v := range views {
			sum += likelihood(v.Way, (x-v.At)/spread)
		}
		return x, sum
	})
	f := Fit{At: at, spread: spread}
	for _, v := range views {
		f.Views = append(f.Views, Placed{v, v.At - at})
	}
	return f, true
}

// Behind is how much less likely the views are, as the logarithm of a ratio, when the
// value lies so much above the fit on a line.
func (f Fit) Behind(off float64) float64 {
	behind := 0.0
	for _, v := range f.Views {
		behind += likelihood(v.Way, -v.Off/f.spread) - likelihood(v.Way, (off-v.Off)/f.spread)
	}
	return behind
}

// best is the value with the greatest score, the middle one of several.
func best(n int, score func(i int) (value, score float64)) float64 {
	most, sum, count := math.Inf(-1), 0.0, 0
	for i := range n {
		x, s := score(i)
		switch {
		case s > most+1e-9:
			most, sum, count = s, x, 1
		case s > most-1e-9:
			sum, count = sum+x, count+1
		}
	}
	return sum / float64(count)
}

// turnSharpness is how many spreads the answers about a cylinder's axis are from
// chance when it is 45 degrees off; between, it goes by the sine of twice the
// angle. At 10 degrees off they are right in 9 of 10: the project's choice.
const turnSharpness = 6

// regionSpread, in degrees, is how much the label of a dial says of where to
// look; answers of the arrow outweigh it. The project's choice.
const regionSpread = 40

// ambiguous is how far, in degrees, the axis is looked for from the label of a dial:
// the limbs of an arrow are alike along either focal line, and the dial tells which.
const ambiguous = 45

// OnCircle is the fit of an axis, 1 to 180 degrees, to answers about where an arrow
// pointed. Region is the label that a dial named, if one did. It is false
// without a view.
func OnCircle(votes []Vote, region *float64) (Fit, bool) {
	views := Views(votes)
	if len(views) == 0 {
		return Fit{}, false
	}
	const grains = 2 // to a degree
	scores := make([]float64, 180*grains)
	for i := range scores {
		axis := float64(i+1) / grains
		if region != nil && math.Abs(optics.AxisDifference(*region, axis)) > ambiguous {
			scores[i] = math.Inf(-1)
			continue
		}
		for _, v := range views {
			scores[i] += likelihood(v.Way, turnSharpness*math.Sin(2*rad(optics.AxisDifference(v.At, axis))))
		}
		if region != nil {
			d := optics.AxisDifference(*region, axis) / regionSpread
			scores[i] -= d * d / 2
		}
	}
	top := slices.Index(scores, slices.Max(scores))
	f := Fit{At: float64(top+1) / grains}
	for _, v := range views {
		f.Views = append(f.Views, Placed{v, optics.AxisDifference(f.At, v.At)})
	}
	slices.SortFunc(f.Views, func(a, b Placed) int { return cmp.Compare(a.Off, b.Off) })
	return f, true
}

func rad(degrees float64) float64 { return degrees * math.Pi / 180 }

// Below is the view nearest to the fit that sends up to it, and Above that which
// sends down.
func (f Fit) Below() (v Placed, ok bool) {
	for _, p := range f.Views {
		if p.Way == method.More && p.Off < samePlace {
			v, ok = p, true
		}
	}
	return v, ok
}

// Above is the view nearest to the fit that sends down to it.
func (f Fit) Above() (v Placed, ok bool) {
	for _, p := range slices.Backward(f.Views) {
		if p.Way == method.Less && p.Off > -samePlace {
			v, ok = p, true
		}
	}
	return v, ok
}

// Bracket is how far apart the views are that send to the fit from either side;
// false when there is none on one side.
func (f Fit) Bracket() (width float64, ok bool) {
	below, b := f.Below()
	above, a := f.Above()
	return above.Off - below.Off, a && b
}

// Support is how far answers bear a statement out.
type Support string

// The kinds of support.
const (
	None         Support = "none"         // nothing that was heard says this
	Contradicted Support = "contradicted" // what was heard sends elsewhere
	Weak         Support = "weak"         // something does, from one side only
	Supported    Support = "supported"    // it was found from both sides
)

// Beyond reports whether a support bears more out than another.
func (s Support) Beyond(o Support) bool {
	order := []Support{Contradicted, None, Weak, Supported}
	return slices.Index(order, s) > slices.Index(order, o)
}

// Name is the ID of the word for a support.
func (s Support) Name() string { return "support." + string(s) }

// Support is how far the fit bears out a value that was stated so much above it,
// with so much room.
func (f Fit) Support(off, room float64) Support {
	if math.Abs(off) <= room+samePlace {
		if f.bothSides(off) {
			return Supported
		}
		return Weak
	}
	switch {
	case f.sendsAway(off):
		return Contradicted
	case f.Near(off, room):
		return Weak
	}
	return None
}

// Near reports whether a value that was stated so much above the fit is within twice the
// room.
func (f Fit) Near(off, room float64) bool { return math.Abs(off) <= 2*room+samePlace }

// bothSides reports whether some view sends up to a value, and some down to it.
func (f Fit) bothSides(off float64) bool {
	up := func(v Placed) bool { return v.Way == method.More && v.Off < off+samePlace }
	down := func(v Placed) bool { return v.Way == method.Less && v.Off > off-samePlace }
	return slices.ContainsFunc(f.Views, up) && slices.ContainsFunc(f.Views, down)
}

// sendsAway reports whether a view at a value or beyond it, on the side of the
// fit, sends from there towards the fit.
func (f Fit) sendsAway(off float64) bool {
	return slices.ContainsFunc(f.Views, func(v Placed) bool {
		switch v.Way {
		case method.More:
			return v.Off < samePlace && off < v.Off+samePlace
		case method.Less:
			return v.Off > -samePlace && off > v.Off-samePlace
		}
		return false
	})
}
