package debrief

import (
	"strings"

	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Lesson is one of the dearest findings, at its place in the sitting.
type Lesson struct {
	Finding scoring.Finding
	N       int              // the event at which it shows; one can try again before it
	Step    int              // of that event
	Instead []sitting.Action // what would have mended it, done before that event; nil where no picture shows that

	Was, Would *View // of the patient's, once they were worked out; both or neither
}

// mostLessons is how many there are to take away from one sitting.
const mostLessons = 3

// Lessons are the dearest findings that cost points, the dearest first.
func (d *Debrief) Lessons() (out []*Lesson) {
	w := d.walk()
	for _, f := range d.Report.Findings {
		if f.Cost > 0 && len(f.Events) > 0 && len(out) < mostLessons {
			out = append(out, w.lesson(f))
		}
	}
	return out
}

// Standing is what stood before the eye in one of the views, as it was or as it would
// have been, and where the arrow pointed if that is what differs.
func (l *Lesson) Standing(v voice.Voice, i int) string {
	view := []*View{l.Was, l.Would}[i]
	var parts []string
	if chart.Named(view.Chart).Pointed && l.Was.Pointer != l.Would.Pointer {
		parts = append(parts, v.Text("bench.card.pointed", "chart", view.Chart, "at", fact.Label(view.Pointer)))
	}
	parts = append(parts, v.Value(view.Frame.Prescription()))
	if view.Frame.Held != (optics.Lens{}) {
		parts = append(parts, v.Text("told.frame.held", "lens", view.Frame.Held))
	}
	return strings.Join(parts, " · ")
}

// Before is what was done before the event of a lesson.
func (d *Debrief) Before(l *Lesson) []sitting.Action {
	before := make([]sitting.Action, 0, l.N)
	for _, e := range d.s.Events()[:l.N-1] {
		before = append(before, e.Action)
	}
	return before
}

// Look works out the patient's view at the event of a lesson, as it was and as
// it would have been. Pause is called between pieces of the work, if it is not
// nil. Where either cannot be had there is no picture.
func (d *Debrief) Look(l *Lesson, pause func()) error {
	if l.Instead == nil {
		return nil
	}
	eyes := newViewer()
	was, err := d.view(eyes, l, nil, pause)
	if err != nil {
		return err
	}
	would, err := d.view(eyes, l, l.Instead, pause)
	if err != nil {
		return err
	}
	if was == nil || would == nil {
		l.Instead = nil
		return nil
	}
	l.Was, l.Would = was, would
	return nil
}

// view is the patient's view at the event of a lesson, after something more was
// done before it; nil where there is nothing to be seen, or it cannot be done.
func (d *Debrief) view(eyes *viewer, l *Lesson, more []sitting.Action, pause func()) (*View, error) {
	s := d.s.Again(d.s.Keys())
	for _, a := range d.Before(l) {
		if _, err := s.Do(a); err != nil {
			return nil, err
		}
	}
	if at := d.s.Events()[l.N-1].Action; at.Do == sitting.Ask {
		more = append(more[:len(more):len(more)], at)
	}
	for _, a := range more {
		if _, err := s.Do(a); err != nil {
			return nil, nil // no such lens, or nothing to ask it about
		}
	}
	if pause != nil {
		pause()
	}
	return eyes.view(s, rowRead(d.Report.Path[l.N-1].Answer))
}

// walk is a debrief with how things stood after each event, as the examiner saw
// it; before the first of them at 0.
type walk struct {
	*Debrief
	after []sitting.State
}

func (d *Debrief) walk() walk {
	setup := d.s.Setup()
	b := sitting.NewBench(setup.Tested, [2]optics.Rx{setup.Eyes[0].Objective, setup.Eyes[1].Objective}, setup.Room)
	w := walk{d, []sitting.State{b.State()}}
	for _, e := range d.s.Events() {
		if _, err := b.Do(e.Action); err != nil {
			break
		}
		w.after = append(w.after, b.State())
	}
	return w
}

// frame is the frame of the tested eye after an event.
func (w walk) frame(n int) optics.Frame { return w.after[n].Frames[w.s.Setup().Tested.Index()] }

// lesson is the lesson of a finding.
func (w walk) lesson(f scoring.Finding) *Lesson {
	if mend := mends[f.ID]; mend != nil {
		if n, instead := mend(w, f); len(instead) > 0 {
			return &Lesson{Finding: f, N: n, Step: w.Report.Step(n), Instead: instead}
		}
	}
	n := w.place(f)
	return &Lesson{Finding: f, N: n, Step: w.Report.Step(n)}
}

// place is where a finding shows that no picture is made of: at its first event,
// or at the end point where that is what it is about.
func (w walk) place(f scoring.Finding) int {
	last := f.Events[len(f.Events)-1]
	if w.Report.Path[last-1].Action.Do == sitting.End {
		return last
	}
	return f.Events[0]
}
