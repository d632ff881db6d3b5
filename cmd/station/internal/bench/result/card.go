package result

import (
	"fmt"
	"image"
	"slices"
	"strings"

	"conoid/cmd/internal/debrief"
	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// card is one of the dearest mistakes: what it cost, the patient's view as it was
// and as it would have been, why, and the way back to it.
type card struct {
	rank   int
	lesson *debrief.Lesson
	w      float64
	scale  float64 // of the views: smaller where they would push what is said below the fold

	title   []string
	points  string
	under   bool        // the points stand under the title, where it is narrow
	texts   []string    // why, what matters most first
	names   [2][]string // of the views
	beneath [2][]string // what stood before the eye
	again   string
}

// gap is the room between two cards, and between two views.
const gap = 16

// views are what a card calls its two views.
var views = [2]string{"bench.card.was", "bench.card.would"}

func cardOf(u *ui.UI, v voice.Voice, rank int, l *debrief.Lesson, w float64) card {
	words := report.Of(v, l.Finding)
	k := card{
		rank: rank, lesson: l, w: w, scale: 1,
		points: v.Text("bench.card.points", "points", -l.Finding.Cost),
		texts:  []string{words.What, v.Text("bench.debrief.better", "text", words.Better), words.Optics},
		again:  v.Text("bench.card.again", "n", fact.Count(l.Step)),
	}
	if words.Tutor != "" {
		k.texts = slices.Insert(k.texts, 1, words.Tutor)
	}
	k.under = k.titled(u) < k.inner()/2
	k.title = u.Wrap(words.Title, k.titled(u), ui.Strong)
	for i, name := range views {
		k.names[i] = u.Wrap(v.Text(name), k.viewWidth(), ui.SmallBold)
		if l.Was != nil && l.Would != nil {
			k.beneath[i] = u.Wrap(l.Standing(v, i), k.viewWidth(), ui.Note)
		}
	}
	return k
}

func (k *card) inner() float64     { return k.w - 2*margin }
func (k *card) viewWidth() float64 { return (k.inner() - gap) / 2 }

// titled is the room for the title.
func (k *card) titled(u *ui.UI) float64 {
	room := k.inner() - 2*radius(u) - between
	if k.under {
		return room
	}
	return room - roomFor(u, k.points, ui.Off) - between
}

// head is how high the title is.
func (k *card) head(u *ui.UI) float64 {
	lines := len(k.title)
	if k.under {
		lines++
	}
	return max(2*radius(u), float64(lines)*u.LineHeight(ui.Strong)) + 8
}

// viewed is how high both views are, with what stands beneath; 0 without any.
func (k *card) viewed(u *ui.UI) float64 {
	if k.lesson.Instead == nil {
		return 0
	}
	names, lines := max(len(k.names[0]), len(k.names[1])), max(len(k.beneath[0]), len(k.beneath[1]), 2) // room for two, whether they are there yet or not
	return k.scale*k.viewWidth()/debrief.Aspect + float64(names)*u.LineHeight(ui.SmallBold) + float64(lines)*u.LineHeight(ui.Note) + 10
}

// text is how high so many of its texts are.
func (k *card) text(u *ui.UI, n int) (h float64) {
	for _, text := range k.texts[:n] {
		h += u.ParaHeight(text, k.inner(), ui.Small) + 4
	}
	return h
}

// foot is how high the button is.
func (k *card) foot(u *ui.UI) float64 {
	_, h := u.ButtonSize(k.again, k.inner())
	return max(h, least) + 8
}

// tall is the height that a card with so many of its texts needs, below a head of
// a height.
func (k *card) tall(u *ui.UI, head float64, texts int) float64 {
	return rim + head + k.viewed(u) + k.text(u, texts) + k.foot(u) + rim
}

// shows is how many of the texts have room in a card of a height: the first has.
func (k *card) shows(u *ui.UI, head, height float64) int {
	n := 1
	for n < len(k.texts) && k.tall(u, head, n+1) <= height {
		n++
	}
	return n
}

// draw draws the card, and reports whether it is to be tried again from there. What
// had no room it hands back.
func (k *card) draw(u *ui.UI, v voice.Voice, r paper.Rect, head float64) (again bool, left []string) {
	leaf(u, r)
	x, y := r.X+margin, r.Y+rim
	k.drawHead(u, x, y)
	y += head
	if k.lesson.Instead != nil {
		k.drawViews(u, v, x, y)
		y += k.viewed(u)
	}
	n := k.shows(u, head, r.H)
	for _, text := range k.texts[:n] {
		y += u.Para(x, y, k.inner(), text, ui.Small) + 4
	}
	look := ui.Plain
	if k.rank == 1 {
		look = ui.Primary
	}
	w, h := u.ButtonSize(k.again, k.inner())
	h = max(h, least)
	place := paper.Rect{X: x, Y: r.Bottom() - rim - h, W: w, H: h}
	return u.Button(tryID(k.rank), place, k.again, look), k.texts[n:]
}

func (k *card) drawHead(u *ui.UI, x, y float64) {
	rad, line := radius(u), u.LineHeight(ui.Strong)
	drawBuoy(u, paper.Point{X: x + rad, Y: y + rad}, rad, k.rank)
	r := paper.Rect{X: x + 2*rad + between, Y: y + max(0, rad-line/2), W: k.titled(u), H: line}
	points, align := paper.Rect{X: x, Y: r.Y, W: k.inner(), H: line}, ui.Finish
	for _, text := range k.title {
		u.Words(r, text, ui.Strong)
		r.Y += line
	}
	bottom := r.Y
	if k.under {
		points, align, bottom = r, ui.Start, r.Bottom()
	}
	u.Words(points, k.points, ui.Off, align)
	ui.Says(u, paper.Rect{X: x, Y: y, W: k.inner(), H: bottom - y}, strings.Join(append(k.title[:len(k.title):len(k.title)], k.points), " "))
}

// drawViews draws both views in one scale, each with its name and what stood
// before the eye.
func (k *card) drawViews(u *ui.UI, v voice.Voice, x, y float64) {
	for i, view := range []*debrief.View{k.lesson.Was, k.lesson.Would} {
		wide := k.scale * k.viewWidth()
		r := paper.Rect{X: x + float64(i)*(k.viewWidth()+gap), Y: y, W: wide, H: wide / debrief.Aspect}
		if view != nil {
			drawView(u, r, view.Image)
			u.Image(k.again+", "+v.Text(views[i]), v.Text("bench.card.seen", "chart", view.Chart, "lenses", k.lesson.Standing(v, i)), r)
		} else {
			u.Scene().Box(r, 0, u.Theme.Touch)
			u.Label(r, "…", ui.Quiet, ui.Middle)
		}
		u.Scene().Frame(r, 0, 1, u.Theme.Edge)
		below := paper.Rect{X: r.X, Y: r.Bottom() + 2, W: k.viewWidth(), H: u.LineHeight(ui.SmallBold)}
		for n, line := range append(k.names[i][:len(k.names[i]):len(k.names[i])], k.beneath[i]...) {
			style := ui.Note
			if n < len(k.names[i]) {
				style = ui.SmallBold
			}
			u.Words(below, line, style)
			below.Y += below.H
		}
	}
}

func drawView(u *ui.UI, r paper.Rect, img *image.NRGBA) { u.Scene().Picture(r, img, 1) }

// tryID is the ID of the button of a card.
func tryID(rank int) string { return fmt.Sprintf("try %d", rank) }

// cards are the cards of a screen in columns.
type cards struct {
	all     []card
	columns int
	head    float64
}

// leastCard is how narrow a card may be, at a text size of 100 %.
const leastCard = 300

// cardsOf are the cards of lessons in as many columns as a width has room for.
func cardsOf(u *ui.UI, v voice.Voice, lessons []*debrief.Lesson, wide float64) (out cards) {
	out.columns = min(max(int((wide+gap)/(leastCard*u.Text+gap)), 1), 3)
	w := (wide - gap*float64(out.columns-1)) / float64(out.columns)
	for i, l := range lessons {
		out.all = append(out.all, cardOf(u, v, i+1, l, w))
		out.head = max(out.head, out.all[i].head(u))
	}
	return out
}

// tall is the height of the cards, each with so many texts.
func (c *cards) tall(u *ui.UI, texts int) (h float64) {
	for i := range c.all {
		h = max(h, c.all[i].tall(u, c.head, texts))
	}
	return h
}

// shrink makes the views of all cards smaller, to a readable size, as far as that
// brings the cards into a height.
func (c *cards) shrink(u *ui.UI, height float64) {
	const least = 0.6
	for scale := 0.95; scale >= least && c.tall(u, 1) > height; scale -= 0.05 {
		for i := range c.all {
			c.all[i].scale = scale
		}
	}
}

// draw draws the cards in rows; beside one another they are as high as reaches
// down to the fold, if they need so much.
func (c *cards) draw(u *ui.UI, v voice.Voice, col *ui.Column, fold float64) (again int, left [][]string) {
	for from := 0; from < len(c.all); from += c.columns {
		row := cards{c.all[from:min(from+c.columns, len(c.all))], c.columns, c.head}
		if c.columns == 1 {
			row.head = row.all[0].head(u)
		}
		h := row.tall(u, 3)
		if c.columns == 3 {
			row.shrink(u, fold-col.Y)
			h = min(h, max(row.tall(u, 1), fold-col.Y))
		}
		for i := range row.all {
			k := &row.all[i]
			pressed, rest := k.draw(u, v, paper.Rect{X: col.X + float64(i)*(k.w+gap), Y: col.Y, W: k.w, H: h}, row.head)
			if left = append(left, rest); pressed {
				again = k.rank
			}
		}
		col.Y += h + gap
	}
	return again, left
}
