package guide

import (
	"strings"

	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// quarter is the step in which fog is taken off, dioptres.
const quarter = 0.25

// sphere takes the fog off again: a quarter less plus as long as that is really
// clearer.
func (w *work) sphere() (Advice, bool) {
	a := w.advice(8, "sphere")
	now := w.sphereNow()
	from, begun := w.fogRead()
	to := w.clearTo(from)
	lower := to - quarter
	switch {
	case !begun:
		a.Text = w.text("sphere.read")
		a.Write = w.reading("ask")
	case !w.judged(lower):
		a.Text = w.text("sphere.quarter")
		a.Write = w.reading("ask change")
		if now != lower {
			a.Write = w.reading("add "+code(lower-now), "ask change")
		}
	case now == lower && !w.readAt(lower):
		a.Text = w.text("sphere.letters")
		a.Write = w.reading("ask", "add +0.25", "ask")
	case now != to || !w.readAt(to):
		a.Text = w.text("sphere.back")
		a.Write = w.reading("ask")
		if now != to {
			a.Write = w.reading("add "+code(to-now), "ask")
		}
	default:
		return Advice{}, false
	}
	return a, true
}

// reading puts the letters up first, unless they hang already.
func (w *work) reading(then ...string) []string {
	if w.State.Chart == sitting.Letters {
		return then
	}
	return append([]string{"show letters"}, then...)
}

// fogRead is the most plus through which letters were read with the cylinder
// that is in now.
func (w *work) fogRead() (sphere float64, ok bool) {
	for _, l := range w.looks {
		if l.question == patient.ReadLetters && w.alike(l) && (!ok || sphereOf(l.frame) > sphere) {
			sphere, ok = sphereOf(l.frame), true
		}
	}
	return sphere, ok
}

// alike tells whether an answer was about the cylinder that is in now.
func (w *work) alike(l look) bool {
	return l.frame.Held.Kind == optics.NoLens && sameCylinders(l.frame, w.frame)
}

// sameCylinders tells whether the same cylinder stands in two frames, or none.
func sameCylinders(f, g optics.Frame) bool {
	a, b := cylinders(f), cylinders(g)
	return len(a) == len(b) && (len(a) == 0 || a[0] == b[0])
}

// colours has red and green compared, where the acuity allows it.
func (w *work) colours() (Advice, bool) {
	v, ok := w.acuityNow()
	if !ok || v > duochromeLimit {
		return Advice{}, false
	}
	for _, l := range w.looks {
		if l.question == patient.WhichColour && w.alike(l) && sphereOf(l.frame) == w.sphereNow() {
			return Advice{}, false
		}
	}
	a := w.advice(8, "sphere")
	a.Text = w.text("sphere.colours")
	if w.State.Chart != sitting.Duochrome {
		a.Write = append(a.Write, "show duochrome")
	}
	a.Write = append(a.Write, "ask")
	return a, true
}

// verdictOn is what the patient said last of a step down to a sphere.
func (w *work) verdictOn(sphere float64) (kind patient.Kind, ok bool) {
	for _, l := range w.looks {
		if l.question == patient.OneOrTwo && w.alike(l) && sphereOf(l.frame) == sphere && l.chart == sitting.Letters {
			kind, ok = l.answer.Kind, true
		}
	}
	return kind, ok
}

func (w *work) judged(sphere float64) bool {
	_, ok := w.verdictOn(sphere)
	return ok
}

// worthwhile is the gain in logMAR that makes a quarter of a dioptre worth
// giving whatever the patient says of it: a row of the chart.
const worthwhile = 0.10

// clearTo is how far down from a sphere every quarter was a gain: called
// clearer, or with a row more read while less is read than at the beginning.
func (w *work) clearTo(sphere float64) float64 {
	read := w.acuities()
	for {
		kind, _ := w.verdictOn(sphere - quarter)
		before, ok1 := read[sphere]
		after, ok2 := read[sphere-quarter]
		row := ok1 && ok2 && before-after > worthwhile-1e-6 && before > w.firstVision()
		if kind != patient.Better && !row {
			return sphere
		}
		sphere -= quarter
	}
}

// firstVision is the acuity through the objective result, as logMAR; as bad as
// can be if it was not measured.
func (w *work) firstVision() float64 {
	for _, l := range w.looks {
		if l.answer.Kind == patient.Read && l.frame.Lenses == start(w.Objective) {
			return l.answer.LogMAR
		}
	}
	return unreadable
}

// unreadable stands for an acuity when nothing is read, logMAR.
const unreadable = 1.1

// acuities are those that were read through the cylinder that is in now, by
// sphere; nothing read is as bad as can be.
func (w *work) acuities() map[float64]float64 {
	out := map[float64]float64{}
	for _, l := range w.looks {
		if l.question != patient.ReadLetters || !w.alike(l) {
			continue
		}
		out[sphereOf(l.frame)] = unreadable
		if l.answer.Kind == patient.Read {
			out[sphereOf(l.frame)] = l.answer.LogMAR
		}
	}
	return out
}

func (w *work) readAt(sphere float64) bool {
	_, ok := w.acuities()[sphere]
	return ok
}

// acuityNow is the last acuity through the lenses that stand in the frame.
func (w *work) acuityNow() (logMAR float64, ok bool) {
	for _, l := range w.looks {
		if l.question == patient.ReadLetters && l.answer.Kind == patient.Read && l.frame == w.frame {
			logMAR, ok = l.answer.LogMAR, true
		}
	}
	return logMAR, ok
}

// end states the end point.
func (w *work) end() Advice {
	rx := w.frame.Prescription()
	a := w.advice(9, "end")
	a.Text = w.text("end.frame", rx)
	a.Write = []string{"state " + short(rx)}
	v, ok := w.acuityNow()
	if ok {
		a.Write[0] += " va " + patient.FormatAcuity(v)
	}
	if ok && v > duochromeLimit {
		a.Text += " " + w.text("end.blurred")
	}
	return a
}

// duochromeLimit is the acuity, logMAR of 6/9, beyond which red and green are
// not to be asked: the half dioptre between them is too little to tell
// (common practice).
const duochromeLimit = 0.18

// short writes a correction as people type it.
func short(rx optics.Rx) string {
	return strings.NewReplacer(" / ", "/", " x ", "x", " DS", "").Replace(rx.ASCII())
}
