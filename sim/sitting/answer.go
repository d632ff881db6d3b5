package sitting

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// answer puts a question to the patient, who looks at what is in view.
func (s *Sitting) answer(a Action) patient.Answer {
	at := s.moment(a)
	m := s.setup.Manner
	wanted := s.wanted()
	foci, then := s.setup.Focusing.Wander(at, wanted, s.effort)
	s.effort = then
	marks := s.bench.state.marks()
	switch a.Question {
	case patient.WhichLines:
		return m.Lines(at, s.gaze(foci), marks)
	case patient.WhichLimb:
		return m.Limbs(at, s.gaze(foci), marks[0], marks[1])
	case patient.WhichBlock:
		return m.Blocks(at, s.gaze(foci), marks[0], marks[1])
	case patient.WhichColour:
		return m.Colours(at, s.gaze(foci), marks[0], marks[1])
	case patient.ReadLetters:
		s.reads = s.looks(s.bench.state.Frames, wanted.Clearest(foci))
		return s.read(at, s.reads, a)
	case patient.WithLens:
		return m.Compare(at, s.glance(s.unheld), s.compared(foci))
	case patient.OneOrTwo:
		return m.Compare(at, s.glance(s.before), s.compared(foci))
	}
	panic("sitting: a question that was not checked: " + string(a.Question))
}

// gaze is what is in view when it is looked at with so much accommodation at
// each glance, in dioptres.
func (s *Sitting) gaze(foci []float64) (out patient.Gaze) {
	for _, focus := range foci {
		out = append(out, s.looks(s.bench.state.Frames, focus))
	}
	return out
}

// moment names the asking of a question, for the noise of its answer.
func (s *Sitting) moment(a Action) patient.Moment {
	view := s.bench.state.view()
	question := string(a.Question)
	if a.Size != nil {
		question += fmt.Sprintf(" %.1f", *a.Size)
	}
	if a.Question == patient.OneOrTwo {
		was := s.bench.state
		was.Frames = s.before.frames
		view += " after " + was.view()
	}
	key := view + "|" + question
	n := s.asked[key]
	s.asked[key]++
	return patient.Moment{
		Key: s.keys.Noise, View: view, Question: question, Asked: n,
		Step: s.bench.Steps().Total(), Since: s.bench.state.Seconds - s.bench.changeAt, Explained: s.explained,
		Leading: a.Leading,
	}
}

// settledView is frames that were looked through, and the accommodation, in
// dioptres, that the eyes had then.
type settledView struct {
	frames [2]optics.Frame
	focus  float64
}

// letterStroke is the mark by which the clarity of letters is compared: the
// stroke of a letter of 6/9, which most people read and none read easily.
var letterStroke = chart.Line{Width: 1.5, Bars: 1}

// glance is what the chart in view looked like as the patient remembers it.
func (s *Sitting) glance(v settledView) patient.Glance {
	focus := patient.Grained(v.focus)
	return patient.Glance{Felt: s.felt(s.looks(v.frames, focus)), Focus: focus}
}

// compared is what the chart in view looks like, over all glances.
func (s *Sitting) compared(foci []float64) (mean patient.Glance) {
	for _, focus := range foci {
		g := s.glance(settledView{s.bench.state.Frames, focus})
		mean.Felt += g.Felt / float64(len(foci))
		mean.Focus += g.Focus / float64(len(foci))
	}
	return mean
}

func (s *Sitting) felt(eyes []*patient.Look) float64 {
	m, marks := s.setup.Manner, s.bench.state.marks()
	switch s.bench.state.shown().Kind {
	case chart.DialChart:
		return patient.Best(m.GoesBy(eyes, marks), marks)
	case chart.ArrowChart, chart.BlockChart:
		return patient.Mean(m.GoesBy(eyes, marks), marks)
	}
	return patient.Response(patient.Ring(eyes, letterStroke, chart.White))
}

// read has the patient read the row that is named, or down to the smallest.
func (s *Sitting) read(at patient.Moment, eyes []*patient.Look, a Action) patient.Answer {
	m := s.setup.Manner
	var readings []*patient.Reading
	for _, e := range eyes {
		// A blur too wide for any image leaves nothing to read.
		if r := e.Reading(m.Tiredness(at.Step)); r != nil {
			readings = append(readings, r)
		}
	}
	rows := s.rows()
	if s.bench.state.shown().Sized {
		return m.ReadRow(at, readings, rows[0])
	}
	if a.Size != nil {
		i := slices.IndexFunc(rows, func(r patient.RowRead) bool { return math.Abs(r.LogMAR-*a.Size) < 1e-6 })
		return m.ReadRow(at, readings, rows[i])
	}
	return m.ReadDown(at, readings, rows)
}

// rows are the letters in view. They come from their key, so that every
// examiner of this patient shows the same charts, and are others at each showing,
// lest they be known by heart.
func (s *Sitting) rows() []patient.RowRead {
	switch c := s.bench.state.shown(); {
	case c.HasRows():
		var rows []patient.RowRead
		for i, size := range chart.RowSizes() {
			rows = append(rows, patient.RowRead{LogMAR: size, Shown: s.pick(uint64(i), chart.MaxRow)})
		}
		return rows
	case c.Kind == chart.LetterChart:
		return []patient.RowRead{{LogMAR: s.bench.state.Size, Shown: s.pick(100+uint64(math.Round(s.bench.state.Size*10)+20), 1)}}
	}
	return nil
}

// pick takes n different letters.
func (s *Sitting) pick(row uint64, n int) string {
	h := sha256.Sum256(fmt.Appendf(nil, "%v|%d|%d", s.keys.Letters, s.bench.state.Showing, row))
	source := rand.NewPCG(binary.LittleEndian.Uint64(h[:]), binary.LittleEndian.Uint64(h[8:]))
	p := rand.New(source).Perm(len(chart.LetterSet))
	out := make([]byte, n)
	for i := range out {
		out[i] = chart.LetterSet[p[i]]
	}
	return string(out)
}
