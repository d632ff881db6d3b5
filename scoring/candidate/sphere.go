package candidate

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/patient"
)

// findSphere takes the fog off, to the most plus with the best acuity, and gives
// that acuity as logMAR.
func (h sphereHands) findSphere() float64 {
	h.show(chart.Letters)
	if h.keepFog {
		return h.lastRead()
	}
	h.refog()
	if h.colours == coloursBefore && h.Judged(chart.Duochrome) {
		h.byColours()
	}
	if h.oneOrTwo {
		h.byWord()
	} else {
		h.unfog()
	}
	if h.colours == coloursAfter {
		h.balance()
	}
	h.show(chart.Letters)
	h.confirm()
	for range h.overMinus {
		h.stepSphere(-1)
	}
	return h.lastRead()
}

// refog makes sure that the search begins with too much plus.
func (h sphereHands) refog() {
	const most = 6
	for range most {
		if h.May(patient.WithLens) && h.with(method.LittlePlus) == patient.Worse {
			return
		}
		before := h.read()
		h.stepSphere(2)
		if h.read() > before+method.GainAlone {
			return
		}
	}
}

// unfog takes plus off while it helps. One step without gain may be chance: a
// second is tried before the first is given back.
func (h sphereHands) unfog() {
	best := h.read()
	unhelped := 0
	const most, mostUnhelped = 24, 2
	for range most {
		start := h.sphere
		now, helps := h.less(best, 1)
		if helps {
			best = now
			continue
		}
		if now, helps = h.less(best, 2); helps {
			best = now
			continue
		}
		if best > method.DuochromeLimit && unhelped < mostUnhelped {
			unhelped++
			best = min(best, now)
			continue
		}
		h.setSphere(start)
		return
	}
}

// less takes a quarter off, the quarters-th without gain, and reports whether it
// helps. Who holds lenses up sees first what it would bring.
func (h sphereHands) less(best float64, quarters float64) (now float64, helps bool) {
	if h.held {
		k := h.with(-method.SphereStep)
		h.stepSphere(-1)
		now = h.read()
		gain := best - now
		return now, gain >= method.GainAlone*quarters || gain >= method.GainWithWord*quarters && k == patient.Better
	}
	h.stepSphere(-1)
	now = h.read()
	gain := best - now
	return now, gain >= method.GainAlone*quarters || gain >= method.GainWithWord*quarters && h.word() == patient.Better
}

// byWord takes plus off while it is called clearer, and brackets the end.
func (h sphereHands) byWord() {
	const most = 24
	for range most {
		h.stepSphere(-1)
		if h.word() == patient.Better {
			continue
		}
		h.stepSphere(-1)
		if h.word() == patient.Better {
			continue
		}
		h.stepSphere(2)
		if h.word() == patient.Worse && h.read() > method.DuochromeLimit {
			h.stepSphere(-1)
			continue
		}
		return
	}
}

// byColours comes down with red and green: to the last quarter at which red is the
// clearer.
func (h sphereHands) byColours() {
	for h.read() > method.DuochromeLimit {
		start := h.sphere
		if h.unfog(); h.sphere >= start {
			break // letters alone take it no further
		}
	}
	h.show(chart.Duochrome)
	h.lastRed()
	h.show(chart.Letters)
	h.stepSphere(1)
}

// balance brackets the sphere with red and green where the acuity allows it, and
// goes half of the way there from where the letters were.
func (h sphereHands) balance() {
	letters := h.sphere
	if !h.Judged(chart.Duochrome) || h.read() > method.DuochromeLimit {
		return
	}
	h.show(chart.Duochrome)
	h.lastRed()
	h.setSphere(letters + math.Trunc((h.sphere-letters)*2)/4)
}

func (h sphereHands) lastRed() {
	const most = 4
	way := 1.0
	if h.red() {
		way = -1
	}
	for range most {
		was := h.sphere
		h.stepSphere(way)
		if red := h.red(); red && way > 0 {
			return
		} else if !red && way < 0 {
			h.setSphere(was)
			return
		}
	}
}

func (h sphereHands) red() bool { return h.ask(patient.WhichColour).Kind == patient.RedClearer }

// confirm shows that it is the most plus with the best acuity: a quarter more loses
// letters or is worse, and a quarter less gains nothing.
func (h sphereHands) confirm() {
	const most = 4
	here := h.read()
	for range most {
		h.stepSphere(1)
		more := h.read()
		if more > here+method.GainWithWord || h.word() == patient.Worse {
			h.stepSphere(-1)
			break
		}
		here = min(here, more)
	}
	for range most {
		h.stepSphere(-1)
		less := h.read()
		if here-less < method.GainAlone || h.word() != patient.Better {
			h.stepSphere(1)
			return
		}
		here = less
	}
}

// lastRead reads letters through the end point, and once more through +1.00. It
// gives the acuity, or what is made up in its place.
func (h sphereHands) lastRead() float64 {
	best := h.read()
	if h.inventAcuity {
		return best - embellished
	}
	h.hold(method.BlurTest)
	h.read()
	h.lower()
	return best
}

// embellished is by how much an acuity that is made up is better than what was read,
// logMAR: two rows.
const embellished = 0.2
