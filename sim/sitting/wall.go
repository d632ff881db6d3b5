package sitting

import "conoid/sim/chart"

// Wall is what hangs on the wall: the chart in view, its arrow and letters as
// they are; false when there is none.
func (st *State) Wall(labels chart.Labels) (chart.Chart, bool) {
	switch st.Chart {
	case Fan:
		return chart.Fan(labels), true
	case Clock:
		return chart.Clock(labels), true
	case Sunburst:
		return chart.Sunburst(labels), true
	case Arrow:
		return chart.Arrow(float64(st.Pointer)), true
	case Blocks:
		return chart.Blocks(float64(st.Pointer)), true
	case Duochrome:
		return chart.Duochrome(), true
	case Letter, Letters:
		var sizes []float64
		var texts []string
		for _, r := range st.Rows {
			sizes, texts = append(sizes, r.LogMAR), append(texts, r.Shown)
		}
		if len(sizes) > 0 {
			return chart.LetterSheet(sizes, texts), true
		}
	}
	return chart.Chart{}, false
}
