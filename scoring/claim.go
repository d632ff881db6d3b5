package scoring

import (
	"cmp"
	"math"
	"slices"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Claim is one of the things that an end point claims, and what bears it out.
type Claim struct {
	Name   cases.Claim `json:"name"`
	Needed bool        `json:"needed"` // an eye without a cylinder that shows has no axis to find
	Stated *float64    `json:"stated,omitempty"`

	Off      float64 `json:"off"`      // how far from the truth: degrees, or dioptres
	Accuracy float64 `json:"accuracy"` // what is kept for that, 0 to 1
	Lucky    bool    `json:"lucky,omitempty"`

	Fit     *float64         `json:"fit,omitempty"` // what goes best with the answers, on the scale of what was stated
	Support evidence.Support `json:"support"`
	Heard   []Heard          `json:"heard"` // by event

	cause string // ID of the finding that explains its support, if one is known by itself
}

// unborne reports whether nothing bears a claim out.
func (c *Claim) unborne() bool {
	return c.Needed && (c.Support == evidence.None || c.Support == evidence.Contradicted)
}

// claiming judges what bears the claims out.
type claiming struct{ hearing }

// claimsOf are the claims of a sitting, with what bears them out. A sitting without
// an end point makes none.
func claimsOf(tr *trace, s cases.ClaimScheme) []Claim {
	t := claiming{hearing{tr}}
	if t.end == nil {
		return nil
	}
	axis, cylinder, sphere := t.axisClaim(), t.cylinderClaim(), t.sphereClaim()
	if t.found().Cyl == 0 {
		axis.Support, axis.Heard = cylinder.Support, nil // one statement: there is none
	}
	out := []Claim{axis, cylinder, sphere}
	t.accuracies(out, s)
	for i := range out {
		slices.SortStableFunc(out[i].Heard, func(a, b Heard) int { return cmp.Compare(a.Event, b.Event) })
	}
	return out
}

// axisRoom is how far, in degrees, a stated axis may lie from the fit: as near as
// axes are read off a frame, or a quarter of what the answers leave open. The
// project's choice.
func axisRoom(bracket float64) float64 { return max(3, bracket/4) }

// dialRoom is how far, in degrees, an axis may lie from the label that a dial named,
// and come from it: a line.
const dialRoom = method.ArrowStep

func (t claiming) axisClaim() Claim {
	c := Claim{Name: cases.AxisClaim, Needed: t.astigmatic(), Support: evidence.None}
	arrow, dial, through := t.onArrow(), t.onDial(), t.onDialThrough()
	c.Heard = slices.Concat(arrow, through, dial)
	stated := t.found()
	if stated.Cyl == 0 {
		return c
	}
	c.Stated = &stated.Axis
	region, named := lastLabel(dial)
	if named {
		c.Fit, c.Support = region, t.dialAlone(dial, *region)
	}
	if len(fit(arrow)) == 0 {
		return c
	}
	// The arrow is enough, and with it what the dial says through the cylinder: what
	// bears the axis out further counts.
	t.byArrow(&c, arrow, region, t.dialAgrees())
	with := c
	t.byArrow(&with, append(arrow, through...), region, t.dialAgrees())
	if with.Support.Beyond(c.Support) {
		c = with
	}
	return c
}

// byArrow is how far answers that turn bear the stated axis out; where the dial agrees
// that was not among them, what they leave open is borne out near what was heard.
func (t claiming) byArrow(c *Claim, turns []Heard, region *float64, agrees bool) {
	f, ok := evidence.OnCircle(fit(turns), region)
	if !ok {
		return
	}
	c.Fit = &f.At
	stated := t.found().Axis
	width, _ := f.Bracket()
	off, room := optics.AxisDifference(f.At, stated), axisRoom(width)
	c.Support = t.excused(c, f.Support(off, room), f.Near(off, room))
	near := region != nil && apart(*region, stated) <= dialRoom+grain || within(f, stated)
	if c.Support == evidence.Weak && (near && agrees || lookedAround(f, stated)) {
		c.Support = evidence.Supported
	}
	if c.Support == evidence.Supported && region == nil && !(t.dialAsked() && t.grew(stated)) {
		c.Support = evidence.Weak // along which focal line a dial tells, or where it does not the blocks
	}
}

// within reports whether an axis lies between the views that send to the fit from
// either side, or at one of them.
func within(f evidence.Fit, axis float64) bool {
	below, b := f.Below()
	above, a := f.Above()
	off := optics.AxisDifference(f.At, axis)
	return a && b && off >= below.Off-grain && off <= above.Off+grain
}

// aroundFrom is how far, in degrees, the limbs must be alike on a side for there to be
// nothing more to ask on it: two steps of the arrow. Weak cylinders leave them alike
// over so much and more.
const aroundFrom = 2 * method.ArrowStep

// lookedAround reports whether on either side of an axis the answers send back to it,
// or send nowhere as far as aroundFrom, and one side does send back. What was heard
// further from it than the limbs can be alike to one side does not count.
func lookedAround(f evidence.Fit, axis float64) bool {
	var back, far [2]bool
	for _, v := range f.Views {
		off := optics.AxisDifference(axis, v.At)
		side := 0
		if off > 0 {
			side = 1
		}
		switch {
		case math.Abs(off) > method.WidestAlike/2+grain: // far from what was stated
		case off < 0 && v.Way == method.More, off > 0 && v.Way == method.Less:
			back[side] = true
		case v.Way == method.Stay && math.Abs(off) >= aroundFrom-grain:
			far[side] = true
		}
	}
	return (back[0] || far[0]) && (back[1] || far[1]) && (back[0] || back[1])
}

// lastLabel is the last label of a dial that supports something. Which focal line it is
// about can be told from one that was led, too.
func lastLabel(dial []Heard) (*float64, bool) {
	for _, h := range slices.Backward(dial) {
		if (h.Unfit == "" || h.Unfit == LedOn) && !h.Nothing {
			return &h.At, true
		}
	}
	return nil, false
}

// spreadOfBlocks and reachOfBlocks go into the fit of a cylinder, in dioptres: 0.25 D
// off is named rightly by nine of ten. The project's choice, from the shares that
// drawn eyes give. A cylinder may lie cylinderRoom from the fit: half a step, and a tenth
// of the spread, since votes of either side draw the fit that little off the middle.
const (
	spreadOfBlocks = 0.12
	reachOfBlocks  = method.CylinderStep
	cylinderRoom   = method.CylinderStep/2 + spreadOfBlocks/10
)

func (t claiming) cylinderClaim() Claim {
	stated := t.found()
	power, axis := tidy(-stated.Cyl+0), stated.Axis
	c := Claim{Name: cases.CylinderClaim, Needed: true, Stated: &power, Support: evidence.None}
	if stated.Cyl == 0 {
		axis = t.roundAxis()
	}
	c.Heard = t.onBlocks(axis)
	votes := fit(c.Heard)
	elsewhere := len(votes) == 0
	if elsewhere {
		votes = nearby(c.Heard)
	}
	worked := len(votes) > 0
	dial := t.onDial()
	if _, named := lastLabel(dial); named {
		// That lines stood out says that no cylinder is too little.
		votes = append(votes, evidence.Vote{At: 0, Way: method.More})
	}
	f, ok := evidence.OnLine(votes, spreadOfBlocks, reachOfBlocks)
	if ok && worked {
		c.Fit = &f.At
		c.Support = t.excused(&c, t.bracketed(f, power), f.Near(power-f.At, cylinderRoom))
		c.Support = t.lastRound(c.Support, votes, power)
		if elsewhere {
			c.Support = atMostWeak(c.Support)
		}
		if power > 0 && c.Support == evidence.Weak && untried(c.Heard, power) {
			c.Support = evidence.None
		}
	}
	if power == 0 && c.Support != evidence.Supported {
		c.Support = t.noneNeeded(f, dial, c.Support)
		c.Heard = append(c.Heard, dial...)
	}
	return c
}

// bracketed is how far the fit of the blocks bears a power out: of two between which
// they reverse, it is the weaker one; a leap over a power of the set leaves it weak.
func (t claiming) bracketed(f evidence.Fit, power float64) evidence.Support {
	for i, v := range f.Views {
		next := i+1 < len(f.Views) && (blockWork{t.trace}).neighbours(-v.At, -f.Views[i+1].At)
		if math.Abs(v.At-power) < 0.01 && v.Way == method.More && next && f.Views[i+1].Way == method.Less {
			return evidence.Supported
		}
	}
	s := f.Support(power-f.At, cylinderRoom)
	if s != evidence.Supported {
		return s
	}
	for i, v := range f.Views {
		if math.Abs(v.At-power) < 0.01 && v.Way == method.Less {
			return evidence.Contradicted // it reversed them
		}
		if i > 0 && f.Views[i-1].Way == method.More && v.Way == method.Less && f.Views[i-1].Off < grain && v.Off > -grain &&
			!(blockWork{t.trace}).neighbours(-f.Views[i-1].At, -v.At) {
			return evidence.Weak // a power between was left out
		}
	}
	return evidence.Supported
}

// alikeWithout reports whether the blocks were twice called alike without a cylinder,
// and no more often otherwise.
func alikeWithout(f evidence.Fit) bool {
	if len(f.Views) == 0 || f.Views[0].At > grain || f.Views[0].Way != method.Stay {
		return false
	}
	alike := 0
	for _, v := range f.Views[0].Votes {
		if v.Way == method.Stay {
			alike++
		}
	}
	return alike > 1
}

// noneNeeded is how far it is borne out that there is no cylinder: no line stood out
// through two spheres, or through one that more plus was seen to blur; or the weakest
// cylinder reversed the blocks, and there is nothing weaker to ask about. Blocks is
// what the blocks alone say.
func (t claiming) noneNeeded(f evidence.Fit, dial []Heard, blocks evidence.Support) evidence.Support {
	above, reversed := f.Above()
	reversed = reversed && (blockWork{t.trace}).neighbours(0, -above.At)
	if blocks == evidence.Weak && (reversed || alikeWithout(f)) {
		return evidence.Supported
	}
	spheres := map[float64]bool{}
	for _, h := range dial {
		switch {
		case h.Unfit != "":
		case h.Nothing:
			spheres[tidy(t.moments[h.Event].fog)] = true
		default:
			clear(spheres)
		}
	}
	_, named := lastLabel(dial)
	switch {
	case len(spheres) > 1, len(spheres) > 0 && t.fogProven(), t.flat():
		return evidence.Supported
	case len(spheres) > 0:
		return evidence.Weak
	case named && blocks == evidence.None:
		return evidence.Contradicted
	}
	return blocks
}

// flat reports whether the limbs of the arrow were alike all around, which they are
// where there is no axis.
func (t claiming) flat() bool {
	views := evidence.Views(fit(t.onArrow()))
	least, most, n := math.Inf(1), math.Inf(-1), 0
	for _, v := range views {
		if v.Way != method.Stay {
			continue
		}
		off := optics.AxisDifference(views[0].At, v.At)
		least, most = min(least, off), max(most, off)
		n++
	}
	return n > 2 && most-least >= method.WidestAlike && 4*(len(views)-n) <= len(views)
}

// fogProven reports whether more plus was seen to blur a dial.
func (t claiming) fogProven() bool {
	return slices.ContainsFunc(fogging{t.trace}.morePlus(), func(l look) bool { return l.kind == patient.Worse })
}

// The fit of the sphere, in dioptres: letters and words about a quarter are right in
// three of four. The project's choice.
const (
	spreadOfSpheres = 0.20
	reachOfSpheres  = method.SphereStep
	sphereRoom      = method.SphereStep
	sphereNear      = 1.5 * method.SphereStep // so near it is borne out when either side was heard
	sphereDoubt     = 1.75                    // or when the answers are so little less likely with it: six times
)

func (t claiming) sphereClaim() Claim {
	stated := 0.0
	c := Claim{Name: cases.SphereClaim, Needed: true, Stated: &stated, Support: evidence.None, Heard: t.onSphere()}
	f, ok := evidence.OnLine(fit(c.Heard), spreadOfSpheres, reachOfSpheres)
	if !ok {
		return c
	}
	c.Fit = &f.At
	c.Support = t.excused(&c, f.Support(-f.At, sphereRoom), f.Near(f.At, sphereRoom))
	beside := len(t.where(t.letters(), t.atEnd)) > 0 && besideSphere(c.Heard)
	switch far := math.Abs(f.At) > sphereNear+grain; {
	case len(t.letters()) > 0 && !t.lookedThrough():
		c.Support = evidence.None
	case beside && (!far || f.Behind(-f.At) <= sphereDoubt):
		c.Support = evidence.Supported
	case beside:
		c.Support = evidence.Weak
	case far:
	case math.Abs(f.At) > sphereRoom/2+grain && sentOn(f):
		c.Support = evidence.Contradicted
	default:
		c.Support = evidence.Weak
	}
	return c
}

// lookedThrough reports whether anything was asked of letters or colours through the
// end point.
func (t claiming) lookedThrough() bool {
	return len(t.where(t.asked(patient.ReadLetters, patient.WithLens, patient.OneOrTwo, patient.WhichColour), func(m *moment) bool {
		return t.atEnd(m) || m.holding() && t.atEnd(t.before(m.N))
	})) > 0
}

// sentOn reports whether what was said of the step next to the sphere that was stated
// sends past it, to either side.
func sentOn(f evidence.Fit) bool {
	return slices.ContainsFunc(f.Views, func(v evidence.Placed) bool {
		return math.Abs(v.At) <= sphereRoom/2+grain && v.At*float64(v.Way) > 0
	})
}

// besideSphere reports whether anything was lost with a quarter or a half more plus,
// and nothing gained with as much less. A single answer says so: letters, words and
// colours about so little often say this and that.
func besideSphere(all []Heard) bool {
	lost, ungained := false, false
	for _, h := range all {
		if h.Unfit == "" && math.Abs(h.At) <= widestPairOfSpheres+grain {
			lost = lost || h.At > 0 && h.Way == method.Less
			ungained = ungained || h.At < 0 && h.Way == method.More
		}
	}
	return lost && ungained
}

// tidyFit is a fit as far as it can be told: whole degrees, or eighths of a dioptre.
func tidyFit(c *Claim) float64 {
	if c.Name == cases.AxisClaim {
		return math.Round(*c.Fit)
	}
	return math.Round(*c.Fit*8) / 8
}
