package main

import (
	"math"
	"slices"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// stage is one moment of a run: what stands in the frame, what the patient sees
// through it, and what the patient says.
type stage struct {
	title  fact.Fact
	frame  optics.Frame
	axis   float64 // at which the arrow stands, degrees
	reads  float64 // acuity, logMAR, where letters are looked at
	view   chart.Name
	chart  chart.Drawing // its labels drawn in
	sight  patient.Sight
	focus  float64         // accommodation, dioptres
	answer *patient.Answer // nil when nothing was asked
}

// moment is a stage of the method within the events of a run: just before event
// number at, from 0.
type moment struct {
	title  fact.Fact
	view   chart.Name
	at     int
	answer *patient.Answer
}

// moments finds the stages of the method in what was done. Those that did not
// come about, as where there is no cylinder, are left out.
func moments(events []sitting.Event, tested sitting.Side) []moment {
	find := func(from int, is func(sitting.Action) bool) int {
		i := slices.IndexFunc(events[min(from, len(events)):], func(e sitting.Event) bool { return is(e.Action) })
		if i < 0 {
			return -1
		}
		return from + i
	}
	shows := func(c chart.Name) func(sitting.Action) bool {
		return func(a sitting.Action) bool { return a.Do == sitting.Show && a.Chart == c }
	}
	last := func(q patient.Question, before int) *patient.Answer {
		for i := before - 1; i >= 0; i-- {
			if events[i].Action.Question == q {
				return events[i].Answer
			}
		}
		return nil
	}
	out := []moment{{fact.New("sheet.start"), chart.Letters, 1 + find(0, func(a sitting.Action) bool { return a.Do == sitting.Cover && a.Eye != tested }), nil}}
	if fan := find(0, shows(chart.Fan)); fan >= 0 {
		out = append(out, moment{fact.New("sheet.fog"), chart.Letters, fan, nil})
		lines := fan
		for i, e := range events {
			if e.Action.Question == patient.WhichLines {
				lines = i + 1
			}
		}
		out = append(out, moment{fact.New("sheet.fan"), chart.Fan, lines, last(patient.WhichLines, lines)})
	}
	end := find(0, func(a sitting.Action) bool { return a.Do == sitting.End })
	if blocks := find(0, shows(chart.Blocks)); blocks >= 0 {
		out = append(out, moment{fact.New("sheet.arrow"), chart.Arrow, blocks, nil})
		after := find(blocks, shows(chart.Letters))
		if after < 0 {
			after = end
		}
		first := find(blocks, func(a sitting.Action) bool { return a.Do == sitting.Put && a.Cell == sitting.In(optics.Front1) })
		if first >= 0 && first < after {
			asked := find(first, func(a sitting.Action) bool { return a.Question == patient.WhichBlock })
			out = append(out, moment{fact.New("sheet.cylinder"), chart.Blocks, first + 1, last(patient.WhichBlock, asked+1)})
		}
		out = append(out, moment{fact.New("sheet.blocks"), chart.Blocks, after, withLast(events[blocks:after])})
	}
	return append(out, moment{fact.New("sheet.end"), chart.Letters, end, nil})
}

// withLast is what was said of the blocks with the cylinder that was in last;
// nil when they were not asked with it.
func withLast(events []sitting.Event) *patient.Answer {
	said, cylinder := map[optics.Lens]*patient.Answer{}, optics.Lens{}
	for _, e := range events {
		switch a := e.Action; {
		case a.Cell == sitting.In(optics.Front1):
			cylinder = a.Lens
		case a.Question == patient.WhichBlock:
			said[cylinder] = e.Answer
		}
	}
	return said[cylinder]
}

// stagesOf is the stages of the expert's run with the patient of a case.
func stagesOf(s *sitting.Sitting, seed uint64) ([]stage, *expert.Result, error) {
	found, err := expert.Examine(s, expert.BriefOf(s.Setup()))
	if err != nil {
		return nil, nil, err
	}
	out, err := along(s, moments(s.Events(), s.Setup().Tested), seed)
	return out, found, err
}

// along is the stages of a run at some of its moments, in their order.
func along(s *sitting.Sitting, all []moment, seed uint64) (out []stage, err error) {
	events, run, done := s.Events(), s.Again(sitting.Seeded(seed)), 0
	for _, m := range all {
		for ; done < m.at; done++ {
			if _, err := run.Do(events[done].Action); err != nil {
				return nil, err
			}
		}
		st, err := seen(run, m.view)
		if err != nil {
			return nil, err
		}
		st.title, st.answer = m.title, m.answer
		out = append(out, st)
	}
	return out, nil
}

// rows are the letters of the sheets: the same in all of them, to compare.
var rows = []chart.Row{
	{LogMAR: 0.5, Text: "HVCZN"}, {LogMAR: 0.3, Text: "KDRUP"}, {LogMAR: 0.1, Text: "NFVHE"}, {LogMAR: -0.1, Text: "RCUKD"},
}

// seen is what the tested eye sees now of a chart.
func seen(s *sitting.Sitting, view chart.Name) (stage, error) {
	tested, st := s.Setup().Tested, s.State()
	out := stage{frame: st.Frames[tested.Index()], view: view, axis: float64(st.Pointer), focus: s.Accommodation()}
	var open bool
	if out.sight, open = s.Sees(tested, out.frame); !open {
		return out, fact.Refuse("sheet.sees-nothing", "eye", tested)
	}
	out.chart = chart.Named(view).Draw(chart.Hung{Labels: s.Setup().Room.Labels, Pointer: float64(st.Pointer), Rows: rows})
	return out, nil
}

// wrongWay is a likely mistake of a student.
type wrongWay struct {
	title       fact.Fact
	sphere, cyl float64
	axis        int
	view        chart.Name
	question    patient.Question // none to read letters
}

// wrongWays are the mistakes that come to mind in a case whose end point should
// be rx. Common practice warns of each.
func wrongWays(c *cases.Case, rx optics.Rx) []wrongWay {
	e := c.Of(c.Tested)
	objective := e.Objective.MinusCyl()
	out := []wrongWay{{
		title:  fact.New("sheet.no-fog"),
		sphere: c.BestSphere(c.Tested), view: chart.Fan, question: patient.WhichLines,
	}}
	fog := objective.Sphere + method.UsualFog
	if objective.Cyl != 0 {
		out = append(out, wrongWay{
			title:  fact.New("sheet.cylinder-in"),
			sphere: fog, cyl: objective.Cyl, axis: degrees(objective.Axis), view: chart.Fan, question: patient.WhichLines,
		})
	}
	if rx.Cyl != 0 {
		across := degrees(rx.Axis + 90)
		along := wrongWay{
			title:  fact.New("sheet.along"),
			sphere: fog, cyl: rx.Cyl, axis: across, view: chart.Blocks, question: patient.WhichBlock,
		}
		end := along
		end.title = fact.New("sheet.along-letters")
		end.sphere, end.view, end.question = rx.Sphere, chart.Letters, ""
		out = append(out, along, end)
	}
	return out
}

// astray is what the patient sees and says on the wrong ways.
func astray(s *sitting.Sitting, ways []wrongWay, seed uint64) ([]stage, error) {
	var out []stage
	for _, w := range ways {
		run := s.Again(sitting.Seeded(seed))
		st, err := w.take(run)
		if err != nil {
			return nil, err
		}
		out = append(out, st)
	}
	return out, nil
}

func (w wrongWay) take(s *sitting.Sitting) (stage, error) {
	setup := s.Setup()
	actions := []sitting.Action{{Do: sitting.Cover, Eye: setup.Tested.Other()}, {Do: sitting.Explain}}
	frame := s.State().Frames[setup.Tested.Index()]
	actions = append(actions, exchange(frame, optics.Back, optics.SphereOf(onSet(setup.Room.Set.Spheres(), w.sphere)))...)
	cyl := optics.Lens{}
	if d := onSet(setup.Room.Set.Cylinders(), w.cyl); d != 0 {
		cyl = optics.CylinderOf(d, float64(w.axis))
	}
	actions = append(actions, exchange(frame, optics.Front1, cyl)...)
	actions = append(actions, sitting.Action{Do: sitting.Show, Chart: w.view})
	if chart.Named(w.view).Pointed {
		actions = append(actions, sitting.Action{Do: sitting.Point, Axis: w.axis})
	}
	if w.question != "" {
		actions = append(actions, sitting.Action{Do: sitting.Ask, Question: w.question})
	}
	var last sitting.Event
	for _, a := range actions {
		var err error
		if last, err = s.Do(a); err != nil {
			return stage{}, err
		}
	}
	st, err := seen(s, w.view)
	st.title, st.answer = w.title, last.Answer
	return st, err
}

// exchange is what brings a lens into a cell: nothing where it is there already.
func exchange(f optics.Frame, cell optics.Cell, lens optics.Lens) []sitting.Action {
	a := sitting.Action{Do: sitting.Exchange, Cell: sitting.In(cell), Lens: lens}
	switch old := f.Lenses[cell]; {
	case old == lens || old == (optics.Lens{}) && lens.Power == 0:
		return nil
	case lens.Power == 0:
		a.Do, a.Lens = sitting.Take, optics.Lens{}
	case old == (optics.Lens{}):
		a.Do = sitting.Put
	}
	return []sitting.Action{a}
}

// onSet is the power of a trial set nearest to d, or none.
func onSet(powers []float64, d float64) float64 {
	best := 0.0
	for _, p := range powers {
		if math.Abs(p-d) < math.Abs(best-d) {
			best = p
		}
	}
	return best
}

// degrees is an axis in whole degrees, 1 to 180.
func degrees(axis float64) int { return int(optics.Axis(math.Round(optics.Axis(axis)))) }
