package candidate

import (
	"math"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// deaf do not listen, however much they ask; two are told the end point and act. "The card" is its objective result.
func deaf() []Candidate {
	ritual := func(name string, work func(ritualHands)) Candidate {
		return Candidate{Name: name, Group: Deaf, Ritual: true, work: work}
	}
	return []Candidate{
		ritual("full ritual, the card", func(h ritualHands) { h.ritual(); h.end(h.card()) }),
		ritual("asks every chart, moves nothing", asksOnly),
		ritual("asks nothing", func(h ritualHands) { h.state(h.card(), math.NaN()) }),
		ritual("short ritual with fixed moves", func(h ritualHands) { h.shortRitual(); h.end(h.card()) }),
		ritual("moves at random, the card", func(h ritualHands) { h.atRandom(); h.end(h.card()) }),
		ritual("moves at random, where it ends", func(h ritualHands) { h.atRandom(); h.end(h.worn()) }),
		ritual("brackets around the card", func(h ritualHands) { h.symmetric(); h.end(h.card()) }),
		{Name: "the card's cylinder, own sphere", Group: Deaf, work: ownSphere},
		{Name: "told, reads two rows", Group: Deaf, Told: true, Ritual: true, work: readsTwoRows},
		{Name: "told, full ritual", Group: Told, Told: true, Ritual: true, work: func(h ritualHands) { h.ritual(); h.end(h.told()) }},
		{Name: "told, ritual around it", Group: Told, Told: true, Ritual: true, work: func(h ritualHands) { h.Objective = h.told(); h.ritual(); h.end(h.told()) }},
		ritual("half the card's cylinder", halfTheCylinder),
		ritual("full ritual, best sphere with the card's cylinder", func(h ritualHands) {
			h.ritual()
			h.end(h.withBestSphere())
		}),
		ritual("best sphere alone", func(h ritualHands) { h.ritual(); h.end(optics.Rx{Sphere: h.Sphere}) }),
		ritual("leads and takes what is wanted", func(h ritualHands) { h.leading = true; h.ritual(); h.end(h.card()) }),
	}
}

func (h ritualHands) card() optics.Rx { return h.Objective }

// told is the end point that somebody passed on, as a frame has it.
func (h ritualHands) told() optics.Rx { return h.Truth.MinusCyl().Round(0.25) }

// withBestSphere is the card's best sphere with its cylinder put before it.
func (h ritualHands) withBestSphere() optics.Rx {
	rx := h.card()
	rx.Sphere = nearest(h.Set.Spheres(), math.Ceil((h.Sphere-rx.Cyl/2)*4)/4)
	return rx
}

// end puts an end point into the frame, reads through it, looks a quarter to either
// side and through +1.00, and states it whatever was read.
func (h ritualHands) end(rx optics.Rx) {
	h.wear(rx)
	h.show(chart.Letters)
	best := h.read()
	h.stepSphere(1)
	h.read()
	h.word()
	h.stepSphere(-2)
	h.read()
	h.setSphere(rx.Sphere)
	h.hold(method.BlurTest)
	h.read()
	h.lower()
	h.state(rx, best)
}

// heard asks and does not listen; who wants to see it again is not listened to
// either.
func (h ritualHands) heard(q patient.Question) {
	if q == patient.OneOrTwo && !h.May(q) {
		return
	}
	a := sitting.Action{Do: sitting.Ask, Question: q}
	if h.leading {
		a.Leading = h.wanted(q)
	}
	h.do(a)
}

// ritual does all that the book asks for, in its order, as if the card were what
// comes of it: the arrow to either side of its axis, the blocks with a quarter less,
// its cylinder and a quarter more, the checks, and the fog off.
func (h ritualHands) ritual() {
	h.begin()
	card := h.card()
	axis := card.Axis
	if card.Cyl == 0 {
		axis = 180
	}
	if h.todo(cases.AtFog) {
		h.setSphere(card.Sphere + method.UsualFog)
		h.setCylinder(0)
	}
	if h.todo(cases.AtFan) {
		h.show(chart.Fan)
		h.heard(patient.WhichLines)
		h.holdAnd(method.LittlePlus, patient.WithLens)
		h.holdAnd(-method.SphereStep, patient.WithLens)
	}
	if h.todo(cases.AtArrow) {
		h.ritualArrow(axis)
	}
	if h.todo(cases.AtBlocks) {
		h.ritualBlocks(axis)
	}
	h.ritualSphere()
}

func (h ritualHands) ritualArrow(axis float64) {
	h.show(chart.Arrow)
	for _, turn := range []float64{0, method.ArrowStep, -method.ArrowStep, 0} {
		h.point(axis + turn)
		h.heard(patient.WhichLimb)
	}
}

func (h ritualHands) ritualBlocks(axis float64) {
	h.show(chart.Blocks)
	h.heard(patient.WhichBlock)
	h.axis = float64(whole(axis))
	power := math.Min(h.card().Cyl, -method.CylinderStep)
	for _, p := range []float64{power + method.CylinderStep, power, power - method.CylinderStep, power} {
		h.setCylinder(p)
		h.heard(patient.WhichBlock)
	}
	h.holdAnd(method.LittlePlus, patient.WhichBlock)
	if h.Judged(chart.Fan) {
		h.show(chart.Fan)
		h.heard(patient.WhichLines)
	}
}

func (h ritualHands) ritualSphere() {
	h.show(chart.Letters)
	h.heard(patient.ReadLetters)
	for h.sphere > h.card().Sphere {
		h.stepSphere(-1)
		h.heard(patient.ReadLetters)
		h.heard(patient.OneOrTwo)
	}
	if h.Judged(chart.Duochrome) {
		h.show(chart.Duochrome)
		h.heard(patient.WhichColour)
	}
}

func (h ritualHands) holdAnd(d float64, q patient.Question) {
	h.hold(d)
	h.heard(q)
	h.lower()
}

// shortRitual moves the least that looks like work: fog, the arrow 10 degrees up and
// 10 down, a quarter more cylinder and back.
func (h ritualHands) shortRitual() {
	h.begin()
	card := h.card()
	h.setSphere(card.Sphere + method.UsualFog)
	h.setCylinder(0)
	h.show(chart.Fan)
	h.heard(patient.WhichLines)
	h.show(chart.Arrow)
	axis := float64(whole(card.Axis + 180))
	for _, turn := range []float64{method.ArrowStep, -method.ArrowStep} {
		h.point(axis + turn)
		h.heard(patient.WhichLimb)
	}
	h.show(chart.Blocks)
	h.point(axis)
	h.axis = axis
	for _, more := range []float64{0, -method.CylinderStep, 0} {
		h.setCylinder(math.Min(card.Cyl, -method.CylinderStep) + more)
		h.heard(patient.WhichBlock)
	}
	h.setSphere(card.Sphere)
}

// symmetric steps as far to one side of the card as to the other, with arrow,
// blocks and sphere, so that its middle is the card.
func (h ritualHands) symmetric() {
	h.begin()
	card := h.card()
	axis := float64(whole(card.Axis + 180))
	h.setSphere(card.Sphere + method.UsualFog)
	h.setCylinder(0)
	h.show(chart.Fan)
	h.heard(patient.WhichLines)
	h.holdAnd(method.LittlePlus, patient.WithLens)
	h.show(chart.Arrow)
	for _, turn := range []float64{-20, 20, -10, 10, -5, 5, 0} {
		h.point(axis + turn)
		h.heard(patient.WhichLimb)
	}
	h.show(chart.Blocks)
	h.axis = axis
	for _, more := range []float64{0.50, -0.50, 0.25, -0.25, 0} {
		h.setCylinder(math.Min(card.Cyl+more, -method.CylinderStep))
		h.heard(patient.WhichBlock)
	}
	h.holdAnd(method.LittlePlus, patient.WhichBlock)
	h.show(chart.Letters)
	for _, more := range []float64{0.50, -0.50, 0.25, -0.25, 0} {
		h.setSphere(card.Sphere + more)
		h.heard(patient.ReadLetters)
	}
	h.show(chart.Duochrome)
	h.heard(patient.WhichColour)
}

// atRandom shows, turns, changes and asks whatever comes up.
func (h ritualHands) atRandom() {
	h.begin()
	h.setSphere(h.sphere + method.UsualFog)
	h.setCylinder(0)
	dials := []func(){
		func() { h.show(chart.Fan); h.heard(patient.WhichLines) },
		func() {
			h.show(chart.Arrow)
			h.point(float64(1 + h.chance.IntN(180)))
			h.heard(patient.WhichLimb)
		},
		func() { h.show(chart.Blocks); h.heard(patient.WhichBlock) },
		func() { h.show(chart.Letters); h.heard(patient.ReadLetters) },
		func() { h.setSphere(h.card().Sphere + h.quarters(3)) },
		func() { h.axis = float64(1 + h.chance.IntN(180)); h.setCylinder(0) },
		func() {
			if h.axis != 0 {
				h.setCylinder(h.card().Cyl + h.quarters(3))
			}
		},
	}
	const moves = 30
	for range moves {
		dials[h.chance.IntN(len(dials))]()
	}
}

// quarters is a change by up to so many quarters of a dioptre to either side.
func (h ritualHands) quarters(most int) float64 { return float64(h.chance.IntN(2*most+1)-most) / 4 }

// asksOnly asks about every chart through the card, and changes no lens.
func asksOnly(h ritualHands) {
	h.begin()
	for _, c := range []struct {
		chart    chart.Name
		question patient.Question
	}{
		{chart.Fan, patient.WhichLines}, {chart.Arrow, patient.WhichLimb}, {chart.Blocks, patient.WhichBlock},
		{chart.Duochrome, patient.WhichColour},
	} {
		h.show(c.chart)
		h.heard(c.question)
	}
	h.show(chart.Letters)
	h.state(h.card(), h.read())
}

// ownSphere does the sphere well behind the card's cylinder. It is mixed: deaf about
// two of three.
func ownSphere(h ritualHands) {
	h.style = usual()
	h.begin()
	h.setSphere(h.sphere + method.UsualFog)
	logMAR := h.findSphere()
	h.state(h.worn(), logMAR)
}

// readsTwoRows knows the end point, has two rows read through it, and states it.
func readsTwoRows(h ritualHands) {
	h.begin()
	rx := h.told()
	h.wear(rx)
	h.show(chart.Letters)
	last := 0.0
	for _, size := range []float64{0.1, 0} {
		a := h.do(sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters, Size: &size}).Answer
		if a.Kind == patient.Read {
			last = a.LogMAR
		}
	}
	h.state(rx, last)
}

// halfTheCylinder states the card with half of its cylinder.
func halfTheCylinder(h ritualHands) {
	h.ritual()
	rx := h.card()
	rx.Cyl = math.Ceil(rx.Cyl*2) / 4
	if rx.Cyl == 0 {
		rx.Axis = 0
	}
	h.end(rx)
}
