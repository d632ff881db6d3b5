package wall

import (
	"image"
	"image/color"
	"sync"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
)

// What is drawn on the card is as on paper by day and by night, for the card is lit.
var (
	black = color.NRGBA{A: 255}
	dark  = color.NRGBA{0x24, 0x21, 0x1D, 255}
	light = color.NRGBA{0xFC, 0xF9, 0xF2, 255}
	white = shape.White()
)

// place is where a point of the chart's plane lies on a card, and how many logical
// pixels make a minute of arc.
func (w View) place(r paper.Rect) (at func(chart.Point) paper.Point, k float64) {
	k = r.W / w.Window.Width
	mid := r.Centre()
	return func(p chart.Point) paper.Point {
		return paper.Point{X: mid.X + k*(p.X-w.Window.Mid.X), Y: mid.Y - k*(p.Y-w.Window.Mid.Y)}
	}, k
}

// hung draws a chart as it hangs.
func hung(sc *paper.Scene, w View, r paper.Rect) {
	at, k := w.place(r)
	if len(w.Chart.Layers) > 1 {
		sc.Box(r, 0, black)
		half := k * litSpan / 2
		mid := at(chart.Point{})
		sc.Picture(paper.Rect{X: mid.X - half, Y: mid.Y - half, W: 2 * half, H: 2 * half}, lit()[w.Name], 1)
		return
	}
	sc.Box(r, 0, shape.White())
	var path paper.Path
	for _, s := range render.WithLabels(w.Chart).Layers[0].Shapes {
		path.Reset()
		for _, part := range s.Paths {
			for i, p := range part {
				q := at(p)
				if i == 0 {
					path.MoveTo(q.X, q.Y)
				} else {
					path.LineTo(q.X, q.Y)
				}
			}
			path.Close()
		}
		sc.Fill(&path, black)
	}
}

// Print draws a chart as it hangs, on a sheet of its own, and gives where its middle is
// and how many logical pixels make a minute of arc.
func Print(u *ui.UI, w View, r paper.Rect) (mid paper.Point, k float64) {
	u.Scene().Box(paper.Rect{X: r.X + 3, Y: r.Y + 4, W: r.W, H: r.H}, 0, u.Theme.Shade)
	u.Clip(r)
	hung(u.Scene(), w, r)
	u.Unclip()
	u.Scene().Frame(r, 0, 1, u.Theme.Edge)
	at, k := w.place(r)
	return at(chart.Point{}), k
}

// litSpan is how many minutes of arc a picture of a chart of several lights shows,
// from edge to edge: all that the largest of them has.
const litSpan = 180

// lit are the charts of several lights as they hang.
var lit = sync.OnceValue(func() map[chart.Name]*image.NRGBA {
	out := map[chart.Name]*image.NRGBA{}
	for _, c := range chart.All() {
		if d := c.Draw(chart.Hung{}); len(d.Layers) > 1 {
			out[c.Name] = render.Sharp(d, 1024, litSpan)
		}
	}
	return out
})

// seen draws the chart as the patient sees it, on a part of the card.
func seen(u *ui.UI, v voice.Voice, w View, r, part paper.Rect) {
	sc, p := u.Scene(), *w.Seen
	switch p.State {
	case sight.Seen:
		beyond := shape.White()
		if p.Dark {
			beyond = black
		}
		sc.Box(r, 0, beyond)
		at, k := w.place(r)
		mid := at(p.Mid)
		sc.Picture(paper.Rect{X: mid.X - k*p.Wide/2, Y: mid.Y - k*p.High/2, W: k * p.Wide, H: k * p.High}, p.Image, p.Version)
	case sight.Blurred:
		sc.Box(r, 0, color.NRGBA{0xD8, 0xD8, 0xD8, 255})
		over(u, part, v.Text("bench.view.blurred"), black)
	case sight.Dark:
		sc.Box(r, 0, color.NRGBA{0x18, 0x18, 0x18, 255})
		over(u, part, v.Text("bench.view.dark"), shape.White())
	}
}

// over writes in the middle of what is shown.
func over(u *ui.UI, r paper.Rect, text string, c color.NRGBA) {
	lines := u.Wrap(text, r.W-24, ui.Body)
	lh := u.LineHeight(ui.Body)
	for i, l := range lines {
		x := r.Centre().X - u.Width(l, ui.Body)/2
		u.Scene().Text(x, r.Centre().Y+(float64(i)-float64(len(lines)-1)/2)*lh, 16*u.Text, paper.Regular, l, c)
	}
}

// plate is a dark label on the card, which is white by day and by night; at the right
// of x, or at the left of it.
func plate(u *ui.UI, x, y float64, text string, before bool) {
	w, h := u.Width(text, ui.SmallBold)+18*u.Text, tagHeight*u.Text
	if before {
		x -= w
	}
	u.Scene().Box(paper.Rect{X: x, Y: y, W: w, H: h}, h/2, dark)
	size := 13 * u.Text
	u.Scene().Text(x+9*u.Text, y+(h+paper.CapHeight(size, paper.Bold))/2, size, paper.Bold, text, light)
}

const tagHeight = 24

// footRoom is the share of a card's height that is clear below the fan's level lines. On a
// card that is too low for names there, as on a telephone, they would hide the lines, the
// numbers of the lines and those of the rows; the edge between both sides is named for
// those who hear it all the same.
const footRoom = 0.09

// named is a text with the patient's name, or without where there is none.
func (w View) named(v voice.Voice, id string) string {
	if w.Who == "" {
		return v.Value(fact.Fact{ID: id + ".any"})
	}
	return v.Value(fact.New(id, "name", w.Who))
}

// tags name what is seen on either side of the edge.
func tags(u *ui.UI, v voice.Voice, r paper.Rect, edge float64, w View) {
	if !w.Sight {
		return
	}
	sees := w.named(v, "bench.wall.sees")
	if w.Peeps.Before {
		sees = w.named(v, "bench.wall.saw")
	}
	high := (tagHeight + 2) * u.Text
	foot := r.Bottom() - high // below the fan's level lines
	switch {
	case w.Coming: // what is seen so far is named as nothing else
		plate(u, r.Right()-12, foot, v.Text("bench.wall.coming"), true)
	case w.whole():
		plate(u, r.X+12, r.Y+12, sees, false)
		caution(u, v, r)
	case w.open() && w.Seen != nil && high <= footRoom*r.H:
		hangs, pad := v.Text("bench.wall.hangs"), 18*u.Text+24 // in the outer corners, which are empty on all of these
		if u.Width(hangs, ui.SmallBold)+pad < edge-r.X {
			plate(u, r.X+12, foot, hangs, false)
		}
		if u.Width(sees, ui.SmallBold)+pad < r.Right()-edge {
			plate(u, r.Right()-12, foot, sees, true)
		}
	case Swaps(w.Name):
		plate(u, r.X+12, r.Y+12, v.Text("bench.wall.hangs"), false)
	}
}

// caution says at the foot of the card how far a picture of what is seen can be
// trusted.
func caution(u *ui.UI, v voice.Voice, r paper.Rect) {
	text := v.Text("bench.wall.picture")
	h := u.ParaHeight(text, r.W-24, ui.Note) + 6
	u.Scene().Box(paper.Rect{X: r.X, Y: r.Bottom() - h, W: r.W, H: h}, 0, u.Theme.Room)
	u.Para(r.X+12, r.Bottom()-h+3, r.W-24, text, ui.Note)
}
