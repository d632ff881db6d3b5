package home

import (
	"math"
	"strings"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// byKind sums up by kind of eye: in columns, or in sentences where they do not fit.
func byKind(u *ui.UI, v voice.Voice, c *ui.Column, list []history.Reached) {
	kinds := history.Kinds(list)
	if len(kinds) == 0 {
		return
	}
	c.Para(v.Text("bench.progress.kinds"), ui.Strong)
	c.Gap(4)
	rows := [][]string{{"", v.Text("bench.progress.n"), v.Text("bench.progress.off"), v.Text("bench.progress.steps"), v.Text("bench.progress.clock")}}
	for _, k := range kinds {
		rows = append(rows, []string{v.Capital(kindName(v, k.Name)), v.Value(k.Count), v.Text("bench.progress.d", "left", fact.Amount(k.Left)),
			v.Value(int(math.Round(k.Steps))), v.Value(k.Clock)})
	}
	if !table(u, c, rows) {
		for _, k := range kinds {
			c.Para(v.Text("bench.progress.kind", "kind", v.Capital(kindName(v, k.Name)), "left", fact.Amount(k.Left),
				"steps", int(math.Round(k.Steps)), "clock", k.Clock, "n", k.Count), ui.Body)
		}
	}
	c.Rule()
}

// table writes rows below a head, all but the first column flush right, and a line
// between; it reports whether there was room for that.
func table(u *ui.UI, c *ui.Column, rows [][]string) bool {
	const gap = 26
	widths, all := widest(u, rows), -float64(gap)
	for _, w := range widths {
		all += w + gap
	}
	if all > c.W {
		return false
	}
	for n, row := range rows {
		style := ui.Body
		if n == 0 {
			style = ui.Note
		}
		r := c.Block(u.LineHeight(style) + 6)
		right := r.X
		for i, cell := range row {
			align := ui.Start
			if i > 0 {
				right += gap
				align = ui.Finish
			}
			if cell != "" {
				u.Label(paper.Rect{X: right, Y: r.Y, W: widths[i], H: r.H}, cell, style, align)
			}
			right += widths[i]
		}
		u.Scene().Box(paper.Rect{X: r.X, Y: r.Bottom() - 1, W: all, H: 1}, 0, u.Theme.Rule)
	}
	return true
}

// widest is how wide each column of a table is.
func widest(u *ui.UI, rows [][]string) (out []float64) {
	out = make([]float64, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			out[i] = max(out[i], math.Ceil(u.Width(cell, ui.Body))+1)
		}
	}
	return out
}

// kindName is a kind of eye in words.
func kindName(v voice.Voice, name cases.Difficulty) string {
	if name == history.Plain {
		return v.Text("bench.progress.plain")
	}
	return v.Value(name)
}

// numbers are what a row tells of a sitting in columns: the points, how far off, the
// steps, the help.
func numbers(v voice.Voice, h history.Reached) []string {
	points := "–"
	if h.Points != nil {
		points = v.Value(whole(*h.Points))
	}
	return []string{points, v.Text("bench.progress.d", "left", fact.Amount(h.Left)), v.Value(h.Steps), v.Value(h.Help)}
}

// heads are what stands above those columns.
func heads(v voice.Voice) (out []string) {
	for _, id := range []string{"points", "off", "steps", "help"} {
		out = append(out, v.Text("bench.progress."+id))
	}
	return out
}

// apart is what sets a sitting apart: a part of one, or that its log is gone.
func (p *Progress) apart(v voice.Voice, h history.Reached, kept bool) string {
	var out []string
	if h.Drill != "" {
		out = append(out, v.Text("bench.drill."+h.Drill))
	}
	if h.Branch {
		out = append(out, v.Text("bench.progress.within"))
	}
	if h.Opened > 0 {
		out = append(out, v.Text("bench.progress.opened", "n", h.Opened))
	}
	if !kept {
		out = append(out, v.Text("bench.progress.gone"))
	}
	return strings.Join(out, " · ")
}

// brief is what a row without columns tells of a sitting.
func brief(v voice.Voice, h history.Reached) (out []string) {
	if h.Points != nil {
		out = append(out, v.Text("bench.progress.came", "points", whole(*h.Points)))
	}
	return append(out, v.Text("bench.progress.was", "left", fact.Amount(h.Left), "steps", h.Steps), v.Value(h.Help))
}

// told is all that is told of a sitting, in words that stand alone.
func told(v voice.Voice, p *Progress, h history.Reached) []string {
	out := append([]string{v.Value(h.When), p.titleOf(v, h)}, brief(v, h)...)
	if h.Expected.Asked > 0 {
		out = append(out, foreseen(v, h.Expected))
	}
	return out
}

// foreseen is how often an answer came as it was predicted.
func foreseen(v voice.Voice, e history.Expected) string {
	if e.Near == 0 {
		return v.Text("bench.progress.expected", "asked", e.Asked, "right", e.Right)
	}
	return v.Text("bench.progress.expected.near", "asked", e.Asked, "right", e.Right, "near", e.Near)
}
