package patient

import (
	"math"
	"math/rand/v2"
)

// judge is the mind of a patient at one moment: its noise, and how it was
// asked.
type judge struct {
	Manner
	rand    *rand.Rand // of the judgement, which is repeated as long as the thought is
	astray  *rand.Rand // of lapses, which are not: each asking has its own
	noise   float64    // standard deviation of this judgement
	leading string
}

func (m Manner) judge(at Moment) *judge { return m.judging(at, "") }

// judging is judge for a look of its own name at what is asked: each has its own
// noise.
func (m Manner) judging(at Moment, look string) *judge {
	j := &judge{
		Manner:  m,
		rand:    at.source(at.thought(m.Change), look+"answer"),
		astray:  at.source(at.Asked, look+"lapse"),
		noise:   m.Noise * m.Tiredness(at.Step) * m.strangeness(at.Since),
		leading: at.Leading,
	}
	j.Lapse = m.wearied(at.Step)
	if at.Explained {
		j.Lapse *= 1 - m.Attention
		j.Hesitation *= 1 - m.Attention
		j.AsksAgain *= 1 - m.Attention
	}
	switch Kind(at.Leading) {
	case Alike, Same, Smaller: // no difference is suggested: a greater one is wanted
		j.Difference += m.Suggestible
	}
	return j
}

// settle is the answer of one who compares: now and then who has answered looks
// once more at once, and takes the answer back if it was another. It is said so
// only where it happens, and not when the answer is repeated.
func (m Manner) settle(at Moment, compare func(*judge) Kind) Answer {
	j := m.judge(at)
	a := Answer{Kind: compare(j), Variant: j.variant()}
	thought := at.thought(m.Change)
	if a.Kind == Again || at.source(thought, "waver").Float64() >= m.Wavering {
		return a
	}
	more := m.judging(at, "second ")
	more.AsksAgain = 0
	if then := compare(more); then != a.Kind {
		if at.Asked == thought {
			a.First = a.Kind
		}
		a.Kind = then
	}
	return a
}

// strangeness is the factor of the noise so many seconds after a new lens.
func (m Manner) strangeness(since float64) float64 {
	if m.Settling <= 0 {
		return 1
	}
	return 1 + math.Exp(-since/m.Settling)
}

// Tiredness is the factor by which the noise has grown after so many steps.
func (m Manner) Tiredness(step int) float64 { return 1 + m.Fatigue*float64(step)/100 }

// wearyAfter is the number of steps that weary nobody, and mostLapse the
// greatest chance of a lapse. The project's choice.
const (
	wearyAfter = 40
	mostLapse  = 0.5
)

// wearied is the chance of a lapse after so many steps.
func (m Manner) wearied(step int) float64 {
	if step <= wearyAfter {
		return m.Lapse
	}
	return min(mostLapse, m.Lapse+m.Weariness*float64(step-wearyAfter)/100)
}

// sense is a response with the noise of one judgement on it.
func (j *judge) sense(response float64) float64 { return response + j.noise*j.rand.NormFloat64() }

// lapses reports whether the mind is elsewhere this time.
func (j *judge) lapses() bool { return j.astray.Float64() < j.Lapse }

// stray is one of n things that is said with the mind elsewhere.
func (j *judge) stray(n int) int { return j.astray.IntN(n) }

// variant chooses a way of saying the answer.
func (j *judge) variant() uint32 { return j.rand.Uint32() }

// pair compares two sensations. First and second are the answers when one of
// them is the clearer.
func (j *judge) pair(a, b float64, first, second Kind) Kind {
	return j.call(j.apart(a, b, first, second), first, second)
}

// apart is how much more of the first of two sensations there seems to be. A
// leading question adds to the one that it names.
func (j *judge) apart(a, b float64, first, second Kind) float64 {
	d := j.sense(a) - j.sense(b)
	switch Kind(j.leading) {
	case first:
		d += j.Suggestible
	case second:
		d -= j.Suggestible
	}
	return d
}

// A comparison is close when the difference is less than closeCall times the
// smallest that is called one; of others plainShare as many are asked to be
// shown again. The project's choice.
const (
	closeCall  = 2.0
	plainShare = 0.25
)

// asksAgain reports whether a difference is asked to be shown again.
func (j *judge) asksAgain(d float64) bool {
	p := j.AsksAgain
	if math.Abs(d) >= closeCall*j.Difference {
		p *= plainShare
	}
	return j.astray.Float64() < p
}

// call is the answer for a difference: first where there is more of the first.
func (j *judge) call(d float64, first, second Kind) Kind {
	hesitates := j.rand.Float64() < j.Hesitation
	if j.lapses() {
		return []Kind{first, second, Alike}[j.stray(3)]
	}
	switch {
	case d > j.Difference:
		return first
	case d < -j.Difference:
		return second
	case hesitates && math.Abs(d) > j.Difference/2:
		return Unsure
	}
	return Alike
}
