package candidate

import (
	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
)

// start is the sphere that the fog begins from.
type start int

const (
	fromObjective start = iota
	fromZero            // no lens at all: letters give the sphere
	fromAbove           // far too much plus, which is taken off until a line stands out
)

// style is how somebody works: the ways that are accepted, and under faults those
// that are not. The zero value but for [usual] is nobody's.
type style struct {
	// Accepted.
	start      start
	fog        float64 // dioptres over the objective sphere
	dial       chart.Name
	fanAlone   bool // no arrow: the dial through the cylinder shows what is left of the axis
	arrowStep  int  // first turn of the arrow, degrees
	bothSides  bool // the arrow is turned by 5 degrees to either side to confirm
	cylStep    int  // first steps of the cylinder, in those of the set
	fromNone   bool // the cylinder begins at its weakest
	halved     bool // half of the cylinder is added in plus as it grows
	twice      bool // the axis is found once more after the cylinder
	thrice     bool // a majority of three decides
	colours    colours
	held       bool // steps of the sphere are held up
	oneOrTwo   bool // the sphere is bracketed by the patient's word alone
	noDialLook bool // the dial is not shown through the cylinder

	tell func(h *hands, end optics.Rx) optics.Rx // what is stated for what was found

	// Faults.
	heedless     bool // takes the fog as it is, unchecked
	deafCheck    bool // checks the fog and goes on whatever comes of it
	keepCylinder bool // leaves the cylinder in at the dial
	wrongTurn    bool // turns toward the clearer limb
	along        bool // sets the axis along the clearest line
	noArrow      bool // takes the label of the clearest line
	shortArrow   bool // ends the arrow beside the axis, whatever is said there
	firstAlike   bool // ends the blocks where they are first alike
	weak         int  // ends so many steps of the cylinder before
	reversing    bool // gives the cylinder that reverses
	unchecked    bool // looks at the checks of the cylinder and goes on all the same
	unfogged     bool // takes the fog off before the blocks
	minusBetween bool // changes the sphere between looks at the blocks
	keepFog      bool // leaves the fog in
	overMinus    int  // so many quarters past the end
	otherOpen    bool
	leading      bool
	inventAcuity bool
	misread      bool // what is told is not what stands in the frame
}

// colours is when red and green are asked about.
type colours int

const (
	coloursAfter colours = iota
	coloursBefore
)

// usual is the method as it is taught.
func usual() style {
	return style{fog: method.UsualFog, dial: chart.Fan, arrowStep: method.ArrowStep, cylStep: 1}
}

// works is work in a style.
func works(change func(*style)) func(ritualHands) {
	return func(h ritualHands) {
		h.style = usual()
		if change != nil {
			change(&h.style)
		}
		h.method()
	}
}

// method is the method in its order.
func (h sphereHands) method() {
	h.begin()
	if h.todo(cases.AtFog) {
		h.fogUp()
	}
	if h.todo(cases.AtBlocks) && h.findAxis() {
		h.findCylinder()
		h.checkCylinder()
	}
	if h.twice && h.cyl != 0 {
		h.axisAgain()
	}
	logMAR := h.findSphere()
	end := h.worn()
	switch {
	case h.tell == nil:
	case h.misread:
		end = h.tell(h.hands, end)
	default: // it is stated, so it is looked through
		end = h.tell(h.hands, end)
		h.wear(end)
		logMAR = h.lastRead()
	}
	h.state(end, logMAR)
}
