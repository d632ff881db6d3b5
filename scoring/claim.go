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
	arrow, dial := t.onArrow(), t.onDial()
	c.Heard = append(arrow, dial...)
	stated := t.found()
	if stated.Cyl == 0 {
		return c
	}
	c.Stated = &stated.Axis
	region, named := lastLabel(dial)
	f, ok := evidence.OnCircle(fit(arrow), region)
	switch {
	case ok:
		c.Fit = &f.At
		width, _ := f.Bracket()
		off, room := optics.AxisDifference(f.At, stated.Axis), axisRoom(width)
		c.Support = t.excused(&c, f.Support(off, room), f.Near(off, room))
		if c.Support != evidence.Supported && t.dialAgrees() && (named && apart(*region, stated.Axis) <= dialRoom+grain || within(f, stated.Axis)) {
			c.Support = evidence.Supported
		}
		if c.Support == evidence.Weak && lookedAround(f, stated.Axis) {
			c.Support = evidence.Supported
		}
		if c.Support == evidence.Supported && !named {
			c.Support = evidence.Weak // along which focal line only a dial tells
		}
	case named:
		c.Fit = region
		c.Support = t.dialAlone(*region)
	}
	return c
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
// or send nowhere as far as aroundFrom, and one side does send back.
func lookedAround(f evidence.Fit, axis float64) bool {
	var back, far [2]bool
	for _, v := range f.Views {
		off := optics.AxisDifference(axis, v.At)
		side := 0
		if off > 0 {
			side = 1
		}
		switch {
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

// dialAlone is how far a dial without the arrow bears the stated axis out: it does
// when it was shown once more through the cylinder, and no line stood out 45 degrees
// away.
func (t claiming) dialAlone(named float64) evidence.Support {
	switch off := apart(named, t.found().Axis); {
	case off > 2*dialRoom+grain:
		return evidence.Contradicted
	case off > dialRoom+grain:
		return evidence.None
	}
	if t.dialAgrees() {
		return evidence.Supported
	}
	return evidence.Weak
}

// dialAgrees reports whether a dial was shown once more through the cylinder at the
// axis that was stated, and most times no line stood out 45 degrees away, or as often
// to one side as to the other.
func (t claiming) dialAgrees() bool {
	agrees, side, sides := 0, 0, 0
	for _, i := range t.dials() {
		m := &t.moments[i]
		if m.plain() || t.unfit(m) != "" || apart(m.marked.Axis, t.found().Axis) > pointerRoom {
			continue
		}
		switch l, lines := label(m.Answer); {
		case lines && math.Abs(apart(l, t.found().Axis)-45) <= nearOblique:
			agrees--
			sides++
			if side++; optics.AxisDifference(t.found().Axis, l) < 0 {
				side -= 2
			}
		case lines || m.Answer.Kind == patient.Alike:
			agrees++
		}
	}
	return agrees > 0 || sides > 1 && side == 0
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
	dial := t.onDial()
	if _, named := lastLabel(dial); named {
		// That lines stood out says that no cylinder is too little.
		votes = append(votes, evidence.Vote{At: 0, Way: method.More})
	}
	f, ok := evidence.OnLine(votes, spreadOfBlocks, reachOfBlocks)
	if ok && len(fit(c.Heard)) > 0 {
		c.Fit = &f.At
		c.Support = t.excused(&c, t.bracketed(f, power), f.Near(power-f.At, cylinderRoom))
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
	below, b := f.Below()
	above, a := f.Above()
	if b && a && math.Abs(below.At-power) < 0.01 && (blockWork{t.trace}).neighbours(-below.At, -above.At) {
		return evidence.Supported
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
	if _, reversed := f.Above(); blocks == evidence.Weak && (reversed || alikeWithout(f)) {
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
	switch looked := len(t.where(t.letters(), t.atEnd)) > 0; {
	case math.Abs(f.At) > sphereNear+grain:
	case looked && besideSphere(c.Heard):
		c.Support = evidence.Supported
	default:
		c.Support = evidence.Weak
	}
	return c
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
