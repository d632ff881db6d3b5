package result

import (
	"image/color"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// name is a line of text on the panel.
type name struct {
	text  string
	r     paper.Rect
	style ui.Style
	align ui.Align
	tone  tone
	sign  sign // before it, in the legend
	rank  int  // of the buoy that is its sign
}

// tone is what a name belongs to, and shares its colour with.
type tone uint8

const (
	ofPanel tone = iota
	ofBand
	ofFront
	ofBack
)

// sign is what a name of the legend explains.
type sign uint8

const (
	noSign sign = iota
	bandSign
	retinaSign
	buoySign
)

// colour is that of a tone.
func (t tone) colour(th ui.Theme) color.NRGBA {
	return [...]color.NRGBA{ofPanel: th.Ink, ofBand: th.Quiet, ofFront: th.Blue, ofBack: th.Amber}[t]
}

// head writes what the panel is, and gives where that ends.
func (w *way) head(u *ui.UI, v voice.Voice, y float64) float64 {
	title, note := v.Text("bench.way.title"), v.Text("bench.way.note")
	line, wide := u.LineHeight(ui.Small), w.panel.W-2*margin
	at := paper.Rect{X: w.panel.X + margin, Y: y, W: wide, H: line}
	first := roomFor(u, title, ui.SmallBold)
	w.names = append(w.names, name{text: title, r: paper.Rect{X: at.X, Y: y, W: min(first, wide), H: line}, style: ui.SmallBold})
	if x := first + 10; x+u.Width(note, ui.Note) <= wide {
		at.X, at.W = at.X+x, wide-x
		w.names = append(w.names, name{text: note, r: at, style: ui.Note, tone: ofBand})
		return y + line + 6
	}
	for _, text := range u.Wrap(note, wide, ui.Note) {
		at.Y += line
		w.names = append(w.names, name{text: text, r: at, style: ui.Note, tone: ofBand})
	}
	return at.Bottom() + 6
}

// leftOf is the room that the names of the retina and the band need.
func leftOf(u *ui.UI, v voice.Voice) float64 {
	need := roomFor(u, v.Text("figure.retina"), ui.SmallBold)
	for _, line := range fogLines(u, v) {
		need = max(need, roomFor(u, line, ui.Note))
	}
	return need + between
}

// fogLines are the name of the band, in short lines.
func fogLines(u *ui.UI, v voice.Voice) []string {
	return u.Wrap(v.Text("bench.way.fog"), 130*u.Text, ui.Note)
}

// rightOf is the room that the names of the lines need.
func rightOf(u *ui.UI, v voice.Voice) float64 {
	return max(roomFor(u, v.Text("bench.way.front"), ui.SmallBold), roomFor(u, v.Text("bench.way.back"), ui.SmallBold)) + between
}

// nameLeft names the band and the retina on the left, each at its height as far as
// the other leaves room.
func (w *way) nameLeft(u *ui.UI, v voice.Voice, x, wide float64) {
	fog, line := fogLines(u, v), u.LineHeight(ui.Note)
	deep := []float64{float64(len(fog)) * line, line}
	at := spread([]float64{w.band.Centre().Y - deep[0]/2, w.retina - line/2}, deep, w.plot.Y-2, w.plot.Bottom()+rim/2)
	for i, text := range fog {
		r := paper.Rect{X: x, Y: at[0] + float64(i)*line, W: wide, H: line}
		w.names = append(w.names, name{text: text, r: r, style: ui.Note, align: ui.Finish, tone: ofBand})
	}
	r := paper.Rect{X: x, Y: at[1], W: wide, H: line}
	w.names = append(w.names, name{text: v.Text("figure.retina"), r: r, style: ui.SmallBold, align: ui.Finish})
}

// nameRight names both lines at their ends.
func (w *way) nameRight(u *ui.UI, v voice.Voice) {
	if len(w.front) == 0 {
		return
	}
	front, back := w.front[len(w.front)-1], w.back[len(w.back)-1]
	line := u.LineHeight(ui.SmallBold)
	at := spread([]float64{front.Y - line/2, back.Y - line/2}, []float64{line, line}, w.plot.Y-2, w.plot.Bottom()+rim/2)
	for i, text := range []string{v.Text("bench.way.front"), v.Text("bench.way.back")} {
		r := paper.Rect{X: w.plot.Right() + between, Y: at[i], W: roomFor(u, text, ui.SmallBold), H: line}
		w.names = append(w.names, name{text: text, r: r, style: ui.SmallBold, tone: []tone{ofFront, ofBack}[i]})
	}
}

// legend is what has no room beside what it names, from 0, 0 on, and its height.
func (w *way) legend(u *ui.UI, v voice.Voice, wide float64, sides, steps bool) (out []name, deep float64) {
	sign := func(n name) {
		indent := 2*radius(u) + between
		line := u.LineHeight(n.style)
		for i, text := range u.Wrap(n.text, wide-indent, n.style) {
			n.text, n.r = text, paper.Rect{X: indent, Y: deep, W: wide - indent, H: line}
			if out = append(out, n); i == 0 {
				n.sign = noSign
			}
			deep += line
		}
		deep += 4
	}
	if sides {
		sign(name{text: v.Text("bench.way.fog"), style: ui.Note, tone: ofBand, sign: bandSign})
		sign(name{text: v.Text("figure.retina"), style: ui.SmallBold, sign: retinaSign})
	}
	for _, b := range w.buoys {
		if steps {
			sign(name{text: b.caption, style: ui.Small, sign: buoySign, rank: b.rank})
		}
	}
	if deep > 0 {
		deep += between
	}
	return out, deep
}

// moved are names that lie elsewhere.
func moved(all []name, x, y float64) []name {
	for i := range all {
		all[i].r.X += x
		all[i].r.Y += y
	}
	return all
}
