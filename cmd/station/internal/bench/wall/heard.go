package wall

import (
	"conoid/cmd/internal/expect"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/patient"
)

// Heard is what was expected of the last question about the chart that hangs, and what was
// said: both stay on the card until something else is asked.
type Heard struct {
	Question patient.Question
	Guess    expect.Guess
	Answer   patient.Answer
	Marks    []chart.Line // of the chart as it hung
}

// heard marks on the card what was expected and what was said.
func heard(u *ui.UI, v voice.Voice, w View, r paper.Rect) {
	h := w.Heard
	if h.Question == patient.WhichLines {
		if len(h.Marks) > 0 {
			w.arcs(u, v, r)
		}
		return
	}
	w.beside(u, v, r)
}

// beside names in the upper corner, clear of the marks, which of the two sides was expected and
// which one it was.
func (w View) beside(u *ui.UI, v voice.Voice, r paper.Rect) {
	h := w.Heard
	you, they := sideWord(v, h.Guess.Kind), sideWord(v, h.Answer.Kind)
	if you == "" || they == "" {
		return
	}
	mineText := v.Text("bench.wall.side", "who", v.Text("bench.wall.you"), "side", you)
	theirText := v.Text("bench.wall.side", "who", w.named(v, "bench.wall.says"), "side", they)
	x, y := r.Right()-12, r.Y+12
	tag(u, x-tagWidth(u, mineText), y, mineText, mine)
	tag(u, x-tagWidth(u, theirText), y+(tagHeight+4)*u.Text, theirText, theirs)
}

// sideWord is one of two sides, or that they are alike, in a word; empty for what is neither.
func sideWord(v voice.Voice, kind patient.Kind) string {
	switch kind {
	case patient.Left, patient.Parallel:
		return v.Text("bench.side.left")
	case patient.Right, patient.Perpendicular:
		return v.Text("bench.side.right")
	case patient.RedClearer, patient.GreenClearer, patient.Alike:
		return v.Examiner().Expected(string(kind))
	}
	return ""
}

// arcs are the lines of a dial that were expected and those that were named.
func (w View) arcs(u *ui.UI, v voice.Voice, r paper.Rect) {
	h, sc := w.Heard, u.Scene()
	at, k := w.place(r)
	mid, inner := at(chart.Point{}), innermost(h.Marks)
	half, step := chart.Named(w.Name).Half, int(h.Marks[0].Step)
	draw := func(lines []float64, inside float64, col colour) {
		for _, run := range runs(lines, float64(step)) {
			arc(sc, mid, max(4, (inner-inside)*k), half, run[0]-1.5, run[1]+1.5, 7, white)
			arc(sc, mid, max(4, (inner-inside)*k), half, run[0]-1.5, run[1]+1.5, 4, col)
		}
	}
	if h.Guess.Kind == patient.Lines {
		draw(h.Guess.Lines(step), inside, mine)
	}
	draw(h.Answer.Lines, further, theirs)
	y := mid.Y - (inner-inside)*k*0.45
	if !half {
		y = mid.Y - tagHeight*u.Text/2
	}
	name, you := w.named(v, "bench.wall.says"), v.Text("bench.wall.you")
	wide := tagWidth(u, name) + tagWidth(u, you) + 6
	x := mid.X - wide/2
	tag(u, x, y, you, mine)
	tag(u, x+tagWidth(u, you)+6, y, name, theirs)
}

// runs are the groups of lines that stand side by side, each from its smallest angle to
// its largest; a group that passes the level goes beyond 180.
func runs(lines []float64, step float64) (out [][2]float64) {
	for _, a := range lines {
		if n := len(out); n > 0 {
			for _, turn := range []float64{0, 180} {
				if d := a + turn - out[n-1][1]; d > 0 && d <= step+0.5 {
					out[n-1][1] = a + turn
					a = -1
					break
				}
			}
		}
		if a >= 0 {
			out = append(out, [2]float64{a, a})
		}
	}
	return out
}

func tagWidth(u *ui.UI, text string) float64 { return u.Width(text, ui.SmallBold) + 18*u.Text }

// tag is a label in the colour of who it belongs to.
func tag(u *ui.UI, x, y float64, text string, col colour) {
	w, h := tagWidth(u, text), tagHeight*u.Text
	u.Scene().Box(paper.Rect{X: x, Y: y, W: w, H: h}, h/2, col)
	size := 13 * u.Text
	u.Scene().Text(x+9*u.Text, y+(h+paper.CapHeight(size, paper.Bold))/2, size, paper.Bold, text, light)
}

func centred(u *ui.UI, x, y float64, text string, col colour) {
	tag(u, x-tagWidth(u, text)/2, y, text, col)
}
