package talk

import (
	"cmp"
	"slices"
	"strings"

	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/patient"
)

// ask is one thing that can be said to the patient.
type ask struct {
	id, label string
	wish      wish.Wish
}

// asks are all of them, the natural question first.
func (a Asking) asks(v voice.Voice) (out []ask) {
	for _, q := range a.Questions {
		out = append(out, ask{"ask " + string(q.Question), q.Label, wish.Ask{Question: q.Question}})
	}
	if a.Rows {
		out = append(out, ask{"ask row", v.Text("bench.ask.row"), wish.Show{Sheet: wish.Rows}})
	}
	out = append(out, ask{"explain", v.Text("bench.ask.explain"), wish.Explain()})
	if a.Lead {
		out = append(out, ask{"lead", v.Text("bench.ask.lead"), wish.Show{Sheet: wish.Leading}})
	}
	return out
}

// look is how the i-th of them stands out: the first question leads on, unless the guide
// does.
func (a Asking) look(i int) ui.Look {
	if i == 0 && len(a.Questions) > 0 && a.Advice == nil {
		return ui.First
	}
	return ui.Question
}

// Asks draws what can be asked in one row; where that is too long the labels take two
// lines. While the patient looks nothing can be asked, and the row stays.
func Asks(u *ui.UI, v voice.Voice, r paper.Rect, a Asking, out *wish.List) {
	all := a.asks(v)
	if one := (r.H - askBetween*u.Text) / 2; one >= 44*u.Text {
		a.asksInTwo(u, r, all, one, out)
		return
	}
	first := a.firstWidth(u, v, r.W) // it stays whatever else can be asked
	wide := append([]float64{first}, widths(u, all[1:], r.W-first-askGap)...)
	a.row(u, r, all, wide, true, out)
}

// asksInTwo draws it in two rows of a height: the first question with what there always
// is, and below it what depends on lens and chart.
func (a Asking) asksInTwo(u *ui.UI, r paper.Rect, all []ask, high float64, out *wish.List) {
	always := 1
	if a.Lead {
		always++
	}
	last := max(1, len(all)-always)
	above := append([]ask{all[0]}, all[last:]...)
	first, second := r.CutTop(high)
	_, second = second.CutTop(askBetween * u.Text)
	a.row(u, first, above, widths(u, above, r.W), true, out)
	if last > 1 {
		a.row(u, second, all[1:last], widths(u, all[1:last], r.W), false, out)
	}
}

// row draws some of it beside one another; leads tells whether the first is the natural
// question.
func (a Asking) row(u *ui.UI, r paper.Rect, some []ask, wide []float64, leads bool, out *wish.List) {
	for i, one := range some {
		look := a.look(i)
		if !leads {
			look = ui.Question
		}
		place := paper.Rect{X: r.X, Y: r.Y, W: wide[i], H: r.H}
		if u.ButtonIf(a.Waiting == "", one.id, place, one.label, look) {
			out.Add(one.wish)
		}
		r.X += wide[i] + askGap
	}
}

// most are the most questions that there can be of the chart in view: all of the natural
// ones, and whether a lens or a change makes a difference.
func (a Asking) most(v voice.Voice) []ask {
	for _, q := range []patient.Question{patient.WithLens, patient.OneOrTwo} {
		if len(a.Questions) > 0 && !slices.ContainsFunc(a.Questions, func(has Question) bool { return has.Question == q }) {
			a.Questions = append(slices.Clip(a.Questions), Question{q, Asked(v, q)})
		}
	}
	return a.asks(v)
}

// firstWidth is how wide the first is in so much room: its label takes one line if all the
// others find room then.
func (a Asking) firstWidth(u *ui.UI, v voice.Voice, room float64) float64 {
	most := a.most(v)
	need := u.Width(most[0].label, ui.Strong) + askPad
	for _, one := range most[1:] {
		room -= twoLines(u, one.label) + askTight + askGap
	}
	if need <= room {
		return need
	}
	return twoLines(u, most[0].label) + askTight
}

// Between two buttons, between two rows of them, and around the label of one.
const (
	askGap     = 6
	askBetween = 14
	askPad     = 26
	askTight   = 19
)

// widths are how wide buttons are in so much room: the longest labels take two lines, one
// after another, until all fit.
func widths(u *ui.UI, all []ask, room float64) []float64 {
	wide, order := make([]float64, len(all)), make([]int, len(all))
	sum := askGap * float64(len(all)-1)
	for i, a := range all {
		wide[i], order[i] = u.Width(a.label, ui.Strong)+askPad, i
		sum += wide[i]
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(wide[j], wide[i]) })
	for _, i := range order {
		if sum <= room {
			break
		}
		two := twoLines(u, all[i].label) + askTight
		sum += two - wide[i]
		wide[i] = two
	}
	return wide
}

// twoLines is the least width of a label in at most two lines.
func twoLines(u *ui.UI, label string) float64 {
	w := u.Width(label, ui.Strong) / 2
	for _, word := range strings.Fields(label) {
		w = max(w, u.Width(word, ui.Strong)) // none is broken
	}
	for len(u.Wrap(label, w, ui.Strong)) > 2 {
		w += 2
	}
	widest := 0.0
	for _, l := range u.Wrap(label, w, ui.Strong) {
		widest = max(widest, u.Width(l, ui.Strong))
	}
	return widest + 1
}

// AskList draws what can be asked in a column, but for the first so many, which stand
// elsewhere.
func AskList(u *ui.UI, v voice.Voice, c *ui.Column, a Asking, but int, out *wish.List) {
	if a.Waiting != "" {
		c.Para(a.Waiting, ui.Quiet)
		return
	}
	if len(a.Questions) == 0 {
		c.Para(v.Text("bench.talk.nochart"), ui.Quiet)
		c.Gap(6)
	}
	c.Flow(func(f *ui.Flow) {
		for i, one := range a.asks(v) {
			if i < but {
				continue
			}
			wide, high := u.ButtonSize(one.label, c.W)
			if u.Button(one.id, f.Next(wide, max(high, 44)), one.label, a.look(i)) {
				out.Add(one.wish)
			}
		}
	})
}

// AskFirst draws the one question that leads on; it reports whether there is one.
func AskFirst(u *ui.UI, v voice.Voice, r paper.Rect, a Asking, out *wish.List) bool {
	if len(a.Questions) == 0 {
		return false
	}
	first := a.asks(v)[0]
	if u.ButtonIf(a.Waiting == "", first.id, r, first.label, ui.First) {
		out.Add(first.wish)
	}
	return true
}
