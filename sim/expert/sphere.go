package expert

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// findSphere takes the fog off, to the most plus with the best acuity, and
// gives that acuity as logMAR.
func (x *examiner) findSphere() float64 {
	x.say(fact.New("expert.letters"))
	x.show(chart.Letters)
	x.refog()
	best := x.unfog(x.acuity())
	if best <= method.DuochromeLimit && x.Judged(chart.Duochrome) {
		x.balance()
	}
	return x.blurTest()
}

// refog makes sure that the search begins with too much plus. In deep fog all
// looks the same with still more; that more letters are lost then tells it from
// no fog at all.
func (x *examiner) refog() {
	const most = 6
	for range most {
		if x.May(patient.WithLens) && x.with(method.LittlePlus) == patient.Worse {
			return
		}
		before := x.acuity()
		x.say(fact.New("expert.letters-fog"))
		x.stepSphere(2)
		if x.acuity() > before+method.GainAlone {
			return
		}
	}
}

// unfog takes plus off while it helps. One step without gain may be chance: a
// second is tried before the first is given back.
func (x *examiner) unfog(best float64) float64 {
	const most, mostUnhelped = 20, 2
	unhelped := 0
	for range most {
		start := x.sphere
		x.stepSphere(-1)
		now := x.acuity()
		if x.helps(best-now, 1) {
			best = now
			continue
		}
		x.say(fact.New("expert.letters-chance"))
		x.stepSphere(-1)
		if now = x.acuity(); x.helps(best-now, 2) {
			best = now
			continue
		}
		if best > method.DuochromeLimit && unhelped < mostUnhelped {
			x.say(fact.New("expert.letters-few"))
			unhelped++
			best = min(best, now)
			continue
		}
		x.say(fact.New("expert.letters-back"))
		x.setSphere(start)
		return best
	}
	x.doubt("letters-rising")
	return best
}

// helps reports whether a gain in acuity is worth so many quarters less plus.
func (x *examiner) helps(gain, quarters float64) bool {
	if gain >= method.GainAlone*quarters {
		return true
	}
	return gain >= method.GainWithWord*quarters && x.May(patient.OneOrTwo) && x.ask(patient.OneOrTwo).Kind == patient.Better
}

// balance brackets the sphere with red and green: the last quarter at which
// red is still the clearer has the most plus. Where that is not the sphere that
// the letters gave, the truth is likely between: the middle is taken, or of two
// the one nearer to the letters.
func (x *examiner) balance() {
	letters := x.sphere
	x.say(fact.New("expert.colours"))
	x.show(chart.Duochrome)
	x.lastRed()
	if middle := letters + math.Trunc((x.sphere-letters)*2)/4; middle != x.sphere {
		x.say(fact.New("expert.colours-middle", "letters", fact.Power(letters), "colours", fact.Power(x.sphere)))
		x.setSphere(middle)
	}
}

func (x *examiner) lastRed() {
	const most = 4
	way := 1.0
	if x.red() {
		way = -1
	}
	for range most {
		was := x.sphere
		x.stepSphere(way)
		if red := x.red(); red && way > 0 {
			return
		} else if !red && way < 0 {
			x.setSphere(was)
			return
		}
	}
	x.doubt("colours-stuck")
}

func (x *examiner) red() bool { return x.ask(patient.WhichColour).Kind == patient.RedClearer }

// blurTest reads the letters, and again with +1.00 held up: the acuity must
// fall. It gives the acuity without.
func (x *examiner) blurTest() float64 {
	x.show(chart.Letters)
	best := x.acuity()
	x.say(fact.New("expert.plus-one"))
	x.do(sitting.Action{Do: sitting.Hold, Lens: optics.SphereOf(method.BlurTest)})
	blurred := x.acuity()
	x.do(sitting.Action{Do: sitting.Lower})
	if blurred-best < method.BlurTestLoss {
		x.doubt("plus-one")
	}
	return best
}

// unreadable is the acuity, in logMAR, of a patient who reads nothing.
const unreadable = 1.3

func (x *examiner) acuity() float64 {
	a := x.ask(patient.ReadLetters)
	if a.Kind != patient.Read {
		return unreadable
	}
	return a.LogMAR
}
