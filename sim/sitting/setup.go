package sitting

import (
	"fmt"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
)

// Setup is all that a sitting starts from: the person in the chair and the
// room. Index 0 of a pair is the right eye, 1 the left.
type Setup struct {
	Eyes     [2]EyeSetup
	Tested   Side
	Age      float64 // years
	Manner   patient.Manner
	Focusing patient.Focusing
	Room     Room
}

// objective are the objective results of both eyes.
func (s Setup) objective() (out [2]optics.Rx) {
	for i, e := range s.Eyes {
		out[i] = e.Objective
	}
	return out
}

// EyeSetup is one eye of the person.
type EyeSetup struct {
	// Error is the hidden truth: the sphero-cylinder in the back cell, at the
	// room's vertex distance and for a chart at TruthDistance, whose sphere is
	// the most plus at which the relaxed eye is within 0.02 logMAR of its best,
	// and whose cylinder balances the blocks behind 0.50 D more. The relaxed eye is
	// one whose tonus has let go as far as it ever does.
	Error     optics.Rx
	Objective optics.Rx // the objective result that the examiner starts from
	Eye       eye.Eye   // Needs and Grain are left zero: they follow from Error and Neural
	Amplitude float64   // of accommodation, dioptres

	// Neural is the best acuity that the nervous system behind it lets the eye have;
	// the zero value is that of most people.
	Neural patient.Acuity
}

// Focused is the eye as it is, with its focus settled from its clinical error and
// what is behind it from Neural, at a vertex distance in metres; and its best
// acuity, as logMAR. It takes a moment, but for an eye that was settled not long ago.
func (e EyeSetup) Focused(r *retina.Renderer, vertex float64) (f eye.Eye, best float64) {
	key := e.key(vertex)
	if done, is := settledEyes.get(key); is {
		return done.eye, done.best
	}
	f, best = e.focused(r, vertex)
	settledEyes.put(key, settledEye{f, best})
	return f, best
}

// key is all that the settling depends on, to the last bit of each number.
func (e EyeSetup) key(vertex float64) string {
	return fmt.Sprintf("%#v %#v %#v %#v", e.Error, e.Eye, e.Neural, vertex)
}

func (e EyeSetup) focused(r *retina.Renderer, vertex float64) (f eye.Eye, best float64) {
	if f = e.Eye; e.Neural.Given() {
		f.Grain = patient.Grain(r, f, e.Neural.LogMAR)
	}
	balance, best := patient.Balance(r, f)
	return patient.Focused(f, e.Error, balance, vertex, TruthDistance), best
}

// Room is where the sitting takes place.
type Room struct {
	Distance float64 // from the chart to the cornea, metres
	Vertex   float64 // from the cornea to the back cell, metres
	Labels   chart.Labels
	Set      optics.TrialSet
}

// TruthDistance is the distance, in metres, at which a case's error is meant.
const TruthDistance = 6
