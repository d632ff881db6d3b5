package talk

import (
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// Bubble is where the patient's words stand, and the face beside it.
type Bubble struct {
	Face paper.Rect
	Says paper.Rect // what the bubble's outline holds
	Text paper.Rect // what of it the words have
}

// BubbleIn is the bubble in a place, with a face of a size at its left; aside is room
// for something else at the end of the bubble.
func BubbleIn(r paper.Rect, face, aside float64) Bubble {
	b := Bubble{Face: paper.Rect{X: r.X, Y: r.Y + (r.H-face)/2, W: face, H: face}}
	_, b.Says = r.CutLeft(face + 16)
	b.Text = paper.Rect{X: b.Says.X + 16, Y: b.Says.Y + 3, W: b.Says.W - 32 - aside, H: b.Says.H - 6}
	return b
}

// draw draws the outline, with a tail at the face.
func (b Bubble) draw(u *ui.UI) {
	r, sc := b.Says, u.Scene()
	var p paper.Path
	p.Rect(r, 10)
	mid := r.Centre().Y
	p.MoveTo(r.X+1, mid+9)
	p.LineTo(r.X-11, mid)
	p.LineTo(r.X+1, mid-9)
	p.Close()
	sc.Stroke(&p, 2, u.Theme.Edge) // its inner half is painted over
	sc.Fill(&p, u.Theme.Sheet)
}

// Draw draws the newest answer in its bubble, whole whatever its length, or what is
// waited for, or who sits there.
func (b Bubble) Draw(u *ui.UI, v voice.Voice, t View, waiting string) {
	b.draw(u)
	var lines []Line
	switch {
	case waiting != "":
		lines = []Line{{Text: waiting, Style: ui.Quiet}}
	case t.Last == nil:
		lines = t.Intro[:2]
		if height(u, lines, b.Text.W) > b.Text.H {
			lines = []Line{{Text: lines[0].Text, Style: ui.Small}, {Text: lines[1].Text, Style: ui.Small}}
		}
	default:
		lines = t.Last.fitting(u, b.Text)
	}
	b.write(u, lines)
}

// write writes lines below one another in the middle of the height, and lets them be
// scrolled if they are too many.
func (b Bubble) write(u *ui.UI, lines []Line) {
	high := height(u, lines, b.Text.W)
	x, y, w := u.Scroll("answer", b.Text, false)
	c := u.Column(x, y+max(0, (b.Text.H-high)/2), b.Text.W)
	if high > b.Text.H {
		c.W = w
	}
	for _, l := range lines {
		c.Para(l.Text, l.Style)
	}
	u.EndScroll(c.Y)
}

func height(u *ui.UI, lines []Line, w float64) (h float64) {
	for _, l := range lines {
		h += u.ParaHeight(l.Text, w, l.Style)
	}
	return h
}

// fitting are the lines of an answer in so much room: large as long as that takes no
// more than two lines, and on a line with the lenses if need be.
func (a *Answer) fitting(u *ui.UI, r paper.Rect) []Line {
	const two = 2.5
	for _, style := range []ui.Style{ui.Figure, ui.Strong, ui.SmallBold} {
		if style == ui.Figure && u.ParaHeight(a.Said, r.W, style) > two*u.LineHeight(style) {
			continue
		}
		for _, lines := range a.forms(style) {
			if height(u, lines, r.W) <= r.H {
				return lines
			}
		}
	}
	said := Line{Text: a.Said, Style: ui.SmallBold}
	if lines := []Line{{Text: a.Asked, Style: ui.Note}, said}; height(u, lines, r.W) <= r.H {
		return lines
	}
	return []Line{said} // the rest stands under what was said so far
}

// forms are the lines in less and less room. What was expected is left out last: with what was
// said it is what one learns from.
func (a *Answer) forms(style ui.Style) [][]Line {
	forms := [][]Line{a.apart(style), a.joined(style)}
	if a.Guessed != "" {
		said, guessed := Line{Text: a.Said, Style: style}, Line{Text: a.Guessed, Style: ui.SmallBold}
		forms = append(forms, []Line{{Text: a.Asked, Style: ui.Note}, said, guessed}, []Line{said, guessed})
	}
	return forms
}

// apart has the question above and the lenses below.
func (a *Answer) apart(style ui.Style) []Line {
	out := []Line{{Text: a.Asked, Style: ui.Note}, {Text: a.Said, Style: style}}
	if a.Guessed != "" {
		out = append(out, Line{Text: a.Guessed, Style: ui.SmallBold})
	}
	return append(out, Line{Text: a.Behind, Style: ui.Note})
}

// joined has the lenses behind the question.
func (a *Answer) joined(style ui.Style) []Line {
	out := []Line{{Text: a.Asked + " · " + a.Behind, Style: ui.Note}, {Text: a.Said, Style: style}}
	if a.Guessed != "" {
		out = append(out, Line{Text: a.Guessed, Style: ui.SmallBold})
	}
	return out
}
