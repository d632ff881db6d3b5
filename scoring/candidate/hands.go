package candidate

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// hands are a candidate's hands and ears in one sitting. A refused action stops
// the work through the panic that Examine catches.
type hands struct {
	Input
	style
	chair  expert.Chair
	chance *rand.Rand

	sphere, cyl, axis float64 // in the back and the front cell: dioptres, 0 for none, and degrees
	pointed           int     // where the arrow points by the candidate's own doing, 0 for nowhere yet

	atBlocks bool // the blocks are being asked about

	lineSeen  bool // a line was named once
	lineLabel float64

	axisBegun, cylBegun float64 // where the arrow and the blocks began, degrees and dioptres
}

func (h *hands) do(a sitting.Action) sitting.Event {
	e, err := h.chair.Do(a)
	if err != nil {
		panic(stopped{err})
	}
	return e
}

// takeOver takes the lenses and the arrow as an expert left them. Before the blocks the
// arrow stands at the axis that was found.
func (h *hands) takeOver() {
	if h.From == "" {
		return
	}
	st := h.chair.State()
	lenses := st.Frames[h.Tested.Index()].Lenses
	h.sphere, h.cyl = lenses[optics.Back].Power, lenses[optics.Front1].Power
	switch {
	case h.cyl != 0:
		h.axis = lenses[optics.Front1].Axis
	case h.From == cases.AtBlocks:
		h.axis, h.pointed = float64(st.Pointer), st.Pointer
	}
}

// lineBefore is the label of the line that was named last before an expert left, or else
// the axis of the objective result.
func (h *hands) lineBefore() float64 {
	for _, e := range slices.Backward(h.Before) {
		if e.Answer != nil && e.Answer.Kind == patient.Lines {
			return middle(e.Answer.Lines)
		}
	}
	return h.Objective.Axis
}

// begin covers the other eye and explains the task, where nobody has done so.
func (h *hands) begin() {
	if h.From != "" {
		return
	}
	if !h.otherOpen {
		h.do(sitting.Action{Do: sitting.Cover, Eye: h.Tested.Other()})
	}
	h.do(sitting.Action{Do: sitting.Explain})
}

func (h *hands) show(c chart.Name) {
	if c = h.Hang(c); h.chair.State().Chart != c {
		h.do(sitting.Action{Do: sitting.Show, Chart: c})
	}
}

// point turns the arrow to a label.
func (h *hands) point(axis float64) {
	if to := whole(axis); to != h.pointed {
		h.do(sitting.Action{Do: sitting.Point, Axis: to})
		h.pointed = to
	}
}

// ask puts a question, and puts it once more to who wants to see it again. A
// majority of three decides for who works so.
func (h *hands) ask(q patient.Question) patient.Answer {
	first := h.once(q)
	if !h.thrice || q == patient.ReadLetters {
		return first
	}
	second := h.once(q)
	if same(first, second) {
		return first
	}
	if third := h.once(q); same(first, third) {
		return first
	}
	return second
}

func (h *hands) once(q patient.Question) patient.Answer {
	a := sitting.Action{Do: sitting.Ask, Question: q}
	if h.leading {
		a.Leading = h.wanted(q)
	}
	answer := h.do(a).Answer
	if answer.Kind == patient.Again {
		answer = h.do(a).Answer
	}
	return *answer
}

// wanted is the answer that who leads puts into the patient's mouth.
func (h *hands) wanted(q patient.Question) string {
	switch q {
	case patient.WhichLines:
		return strconv.Itoa(whole(10 * math.Round(h.Objective.Axis/10)))
	case patient.WhichLimb, patient.WhichBlock:
		return string(patient.Alike)
	case patient.WhichColour:
		return string(patient.RedClearer)
	case patient.WithLens:
		return string(patient.Worse)
	case patient.OneOrTwo:
		return string(patient.Better)
	}
	return ""
}

// word is the patient's own on the last change of lenses; none where it may not be asked.
func (h *hands) word() patient.Kind {
	if !h.May(patient.OneOrTwo) {
		return ""
	}
	return h.ask(patient.OneOrTwo).Kind
}

// same reports whether two answers come to the same.
func same(a, b patient.Answer) bool { return a.Kind == b.Kind && slices.Equal(a.Lines, b.Lines) }

// with asks whether it is clearer with a lens held up.
func (h *hands) with(d float64) patient.Kind {
	h.hold(d)
	k := h.ask(patient.WithLens).Kind
	h.lower()
	return k
}

func (h *hands) hold(d float64) {
	h.do(sitting.Action{Do: sitting.Hold, Lens: optics.SphereOf(d)})
}
func (h *hands) lower() { h.do(sitting.Action{Do: sitting.Lower}) }

// setSphere brings a sphere into the back cell, the nearest that the set has.
func (h *hands) setSphere(d float64) {
	d = nearest(h.Set.Spheres(), d)
	h.set(optics.Back, h.sphere, d, optics.SphereOf(d))
	h.sphere = d
}

// stepSphere changes the sphere by so many quarters of a dioptre, or by as few
// steps of the set as come closest beyond.
func (h *hands) stepSphere(quarters float64) {
	start := h.sphere
	for more := 0.0; h.sphere == start && more < 1; more += 0.25 {
		h.setSphere(start + quarters/4 + math.Copysign(more, quarters))
	}
}

// setCylinder brings a minus cylinder at the axis found into the front cell.
func (h *hands) setCylinder(d float64) {
	was := h.cyl
	d = math.Min(0, nearest(h.Set.Cylinders(), d))
	h.set(optics.Front1, h.cyl, d, optics.CylinderOf(d, h.axis))
	h.cyl = d
	if h.halved && h.atBlocks {
		h.compensate(was, d)
	}
	if h.minusBetween && h.atBlocks && d != was && d != 0 && was != 0 {
		h.stepSphere(-2)
	}
}

// compensate adds half of the minus cylinder that went in as plus, in whole
// quarters.
func (h *hands) compensate(was, now float64) {
	if plus := math.Trunc(-2*now)/4 - math.Trunc(-2*was)/4; plus != 0 {
		h.setSphere(h.sphere + plus)
	}
}

func (h *hands) set(cell optics.Cell, was, now float64, lens optics.Lens) {
	a := sitting.Action{Cell: sitting.In(cell), Lens: lens}
	switch {
	case was == now:
		return
	case now == 0:
		a.Do, a.Lens = sitting.Take, optics.Lens{}
	case was == 0:
		a.Do = sitting.Put
	default:
		a.Do = sitting.Exchange
	}
	h.do(a)
}

// turn turns the cylinder that is in.
func (h *hands) turn(axis float64) {
	h.axis = float64(whole(axis))
	if h.cyl != 0 {
		h.do(sitting.Action{Do: sitting.Turn, Cell: sitting.In(optics.Front1), Axis: int(h.axis)})
	}
}

// unreadable is the acuity, in logMAR, of a patient who reads nothing.
const unreadable = 1.3

func (h *hands) read() float64 {
	a := h.ask(patient.ReadLetters)
	if a.Kind != patient.Read {
		return unreadable
	}
	return a.LogMAR
}

// state states an end point and the acuity behind it; none that is no number.
func (h *hands) state(rx optics.Rx, logMAR float64) {
	rx = rx.MinusCyl()
	if rx.Cyl == 0 {
		rx.Axis = 0
	}
	a := sitting.Action{Do: sitting.End, Rx: &rx}
	if !math.IsNaN(logMAR) {
		a.Acuity = patient.AcuityOf(logMAR)
	}
	h.do(a)
}

// wear brings a correction into the frame.
func (h *hands) wear(rx optics.Rx) {
	h.setCylinder(0)
	h.axis = rx.Axis
	h.setSphere(rx.Sphere)
	h.setCylinder(rx.Cyl)
}

// worn is what stands in the frame.
func (h *hands) worn() optics.Rx { return optics.Rx{Sphere: h.sphere, Cyl: h.cyl, Axis: h.axis} }

// whole is an axis as the scales have it, 1 to 180.
func whole(axis float64) int { return int(optics.Axis(math.Round(optics.Axis(axis)))) }

// nearest is the power closest to d, of those in quarters of a dioptre.
func nearest(powers []float64, d float64) float64 {
	best := 0.0
	for _, p := range powers {
		if math.Mod(p, 0.25) == 0 && math.Abs(p-d) < math.Abs(best-d) {
			best = p
		}
	}
	return best
}

// What is done with the hands: each kind knows those before it.
type (
	axisHands     struct{ *hands }        // fog, dial and arrow
	cylinderHands struct{ axisHands }     // the blocks
	sphereHands   struct{ cylinderHands } // letters and colours, and with them the whole method
	ritualHands   struct{ sphereHands }   // motions that no answer changes
)

func handsOf(h *hands) ritualHands { return ritualHands{sphereHands{cylinderHands{axisHands{h}}}} }
