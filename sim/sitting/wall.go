package sitting

import "conoid/sim/chart"

// Wall is what hangs on the wall: the chart in view, its arrow and letters as
// they are; false when there is none.
func (s *State) Wall(labels chart.Labels) (chart.Drawing, bool) {
	d := s.shown().Draw(s.hung(labels))
	return d, len(d.Layers) > 0
}

// shown is the chart in view.
func (s *State) shown() chart.Chart { return chart.Named(s.Chart) }

// marks are the marks that are judged on the chart in view.
func (s *State) marks() []chart.Line { return s.shown().Marks(s.hung(chart.NoLabels)) }

// hung is how the chart in view hangs.
func (s *State) hung(labels chart.Labels) chart.Hung {
	h := chart.Hung{Labels: labels, Pointer: float64(s.Pointer)}
	for _, r := range s.Rows {
		h.Rows = append(h.Rows, chart.Row{LogMAR: r.LogMAR, Text: r.Shown})
	}
	return h
}
