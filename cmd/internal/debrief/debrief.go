// Package debrief puts together what a student is to learn from a sitting: one
// page that needs nothing else, prints well, and tells why and not only that.
package debrief

import (
	"image"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/report"
	"conoid/render/figure"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Debrief is a sitting with all that is told about it.
type Debrief struct {
	Case     *cases.Case
	Report   *scoring.Report
	Seed     *uint64      // by which the same patient can be had again, if there is one
	Who      string       // the student's own number; "" for none
	When     time.Time    // when it was begun; zero where that is not known
	Withheld bool         // the assignment keeps the truth from students, and this page has it
	Tried    *sitting.Try // of which sitting it was a new try; nil for a sitting of its own

	s      *sitting.Sitting // as it was when it ended
	expert *Run
}

// Run is an expert's sitting with the same patient and the same noise.
type Run struct {
	Found    optics.Rx
	Steps    int
	Findings []expert.Finding
	Doubts   []expert.Doubt
}

// Of reviews a sitting. It stays as it is.
func Of(c *cases.Case, s *sitting.Sitting, seed *uint64, par scoring.Par) (*Debrief, error) {
	report, err := scoring.Review(c, s, par)
	if err != nil {
		return nil, err
	}
	return &Debrief{Case: c, Report: report, Seed: seed, s: s}, nil
}

// Expert lets the expert examine the same patient, for comparison.
func (d *Debrief) Expert() error {
	chair := d.s.Again(d.s.Keys())
	res, err := expert.Examine(chair, expert.BriefOf(d.s.Setup()))
	if err != nil {
		return err
	}
	d.expert = &Run{res.Rx, chair.Steps().Total(), res.Findings, res.Doubts}
	return nil
}

// Run is the expert's sitting; nil before Expert.
func (d *Debrief) Run() *Run { return d.expert }

// Steps are the steps of the sitting as the figures show them.
func (d *Debrief) Steps() []figure.Step {
	wrong := map[int]bool{}
	for _, f := range d.Report.Findings {
		if f.Severity != scoring.Note {
			for _, n := range f.Events {
				wrong[n] = true
			}
		}
	}
	var out []figure.Step
	for _, m := range d.Report.Path {
		out = append(out, figure.Step{N: m.Step, Worn: m.Power.Power(), Left: m.Residual.Power(), Mistake: wrong[m.Event]})
	}
	return out
}

// Figures are the path of the cylinder and of the focal lines, lettered in the
// language of a voice.
func (d *Debrief) Figures(v voice.Voice) (path, focus *figure.Figure) {
	truth := d.s.Truth(d.s.Setup().Tested).Error.Power()
	var found *optics.Power
	if d.expert != nil {
		p := d.expert.Found.Power()
		found = &p
	}
	steps := d.Steps()
	return figure.Astigmatism(v, steps, truth, found), figure.Focus(v, steps)
}

// Entry is one event of the timeline.
type Entry struct {
	Step    int    // 0 for what is no step of its own
	Did     string // or what was asked
	Said    string // by the patient
	Rows    []string
	Wrong   []scoring.Finding // that happened here
	Luckily fact.Fact         // what a noiseless patient would have said, if otherwise
}

// Timeline is every event in words, with the mistakes where they happened.
func (d *Debrief) Timeline(v voice.Voice) []Entry {
	wrong := map[int][]scoring.Finding{}
	for _, f := range d.Report.Findings {
		if len(f.Events) > 0 {
			wrong[f.Events[0]] = append(wrong[f.Events[0]], f)
		}
	}
	luck := map[int]fact.Fact{}
	for _, l := range d.Report.Luck {
		luck[l.Event] = l.Noiseless
	}
	s := d.s.Again(d.s.Keys())
	room := s.Setup().Room
	var out []Entry
	last := 0
	for _, e := range d.s.Events() {
		if _, err := s.Do(e.Action); err != nil {
			break
		}
		st := s.State()
		entry := Entry{Wrong: wrong[e.N], Luckily: luck[e.N]}
		if n := d.Report.Path[e.N-1].Step; n > last {
			entry.Step, last = n, n
		}
		if e.Answer == nil {
			entry.Did = v.Done(e, st, room)
		} else {
			entry.Did = v.Text("debrief.quoted", "words", v.Examiner().Question(e.Action, st.Chart))
			entry.Said = v.Answer(*e.Answer, room.Labels, st.Chart)
			entry.Rows = v.Rows(*e.Answer)
		}
		out = append(out, entry)
	}
	return out
}

// Picture is what the patient saw at a turning point.
type Picture struct {
	Step    int
	Finding *scoring.Finding // what went wrong there; nil if nothing did
	Why     fact.Fact        // it is shown, if nothing went wrong
	Image   *image.NRGBA
}

// Caption is what is written below a picture.
func (p Picture) Caption(v voice.Voice) string {
	if p.Finding != nil {
		return report.Of(v, *p.Finding).Title
	}
	return v.Say(p.Why)
}

// mostPictures keeps a page to a readable length.
const mostPictures = 8

// Pictures are what the patient saw at the turning points: where something went
// wrong, where a chart was first asked about, and at the end. Pause is called
// before each, if it is not nil.
func (d *Debrief) Pictures(pause func()) ([]Picture, error) {
	points := d.turningPoints()
	s := d.s.Again(d.s.Keys())
	seen := newViewer()
	var out []Picture
	for _, e := range d.s.Events() {
		if e.Action.Do == sitting.End {
			break
		}
		if _, err := s.Do(e.Action); err != nil {
			return nil, err
		}
		picture, wanted := points[e.N]
		if !wanted {
			continue
		}
		if pause != nil {
			pause()
		}
		img, err := seen.look(s)
		if err != nil || img == nil {
			continue // nothing to be seen
		}
		picture.Step, picture.Image = d.Report.Step(e.N), img
		out = append(out, picture)
	}
	return out, nil
}

// turningPoints are the events that are worth a picture, and why.
func (d *Debrief) turningPoints() map[int]Picture {
	out := map[int]Picture{}
	for _, f := range d.Report.Findings {
		for _, n := range f.Events {
			if f.Severity != scoring.Note && len(out) < mostPictures-3 && d.asked(n) {
				out[n] = Picture{Finding: &f}
				break
			}
		}
	}
	first := map[chart.Name]bool{}
	last := 0
	for _, e := range d.s.Events() {
		if e.Action.Do != sitting.Ask {
			continue
		}
		last = e.N
		chart := d.Report.Path[e.N-1].Chart
		if _, is := out[e.N]; !is && !first[chart] && len(out) < mostPictures-1 {
			out[e.N] = Picture{Why: fact.New("debrief.first-asked", "chart", chart)}
		}
		first[chart] = true
	}
	if _, is := out[last]; !is && last > 0 {
		out[last] = Picture{Why: fact.New("debrief.last-look")}
	}
	return out
}

// asked reports whether an event is a question, so that there was something to
// look at.
func (d *Debrief) asked(n int) bool {
	events := d.s.Events()
	return n >= 1 && n <= len(events) && events[n-1].Action.Do == sitting.Ask
}
