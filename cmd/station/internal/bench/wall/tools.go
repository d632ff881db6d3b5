package wall

import (
	"math"

	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
)

// Tools are the charts to choose from and what can be done with the one that
// hangs, on a wall so wide.
func Tools(u *ui.UI, v voice.Voice, c *ui.Column, w View, width float64, out *wish.List) {
	curtainTools(c, v, w, width, out)
	switch {
	case w.points() && !w.reading(u, v, width):
		c.Flow(func(f *ui.Flow) { arrowTools(f, v, w, out) })
	case chart.Named(w.Name).Sized:
		if by := c.Stepper("letter size", v.Text("bench.wall.letter"), v.Value(fact.Row(w.Size))); by != 0 {
			out.Add(wish.ShowLetter(math.Round(10*w.Size)/10 + 0.1*float64(by)))
		}
	}
	tiles(u, v, c, w, out)
}

// curtainTools draw the curtain, and say how large the chart is and how far a picture
// of what is seen can be trusted.
func curtainTools(c *ui.Column, v voice.Voice, w View, width float64, out *wish.List) {
	if w.Sight {
		at := 1
		switch {
		case w.Curtain >= 1:
			at = 0
		case w.Curtain <= 0:
			at = 2
		}
		to := c.Choice("curtain", []string{v.Text("bench.wall.hung"), v.Text("bench.wall.both"), v.Text("bench.wall.seen")}, at)
		if to != at {
			out.Add(wish.Curtain{To: []float64{1, 0.5, 0}[to], Keep: true})
		}
	}
	if w.Name != chart.NoChart {
		text, gap := w.Scale.Text(v, width/w.Window.Side), 6.0
		if w.Seen != nil {
			text += " " + v.Text("bench.wall.picture")
			gap = 2 // so that on a small laptop all charts fit below
		}
		c.Para(text, ui.Note)
		c.Gap(gap)
	}
}

// tiles are the charts to choose from, as small pictures with names.
func tiles(u *ui.UI, v voice.Voice, c *ui.Column, w View, out *wish.List) {
	n := inRow(u, v, c.W)
	wide, high := (c.W-6*float64(n-1))/float64(n), tileHeight(u)
	for i, name := range chart.Names() {
		look, style := ui.Plain, ui.Small
		if w.Name == name {
			look, style = ui.Selected, ui.SmallBold
		}
		label := tile(v, name)
		r := paper.Rect{X: c.X + float64(i%n)*(wide+6), Y: c.Y + float64(i/n)*(high+6), W: wide, H: high}
		if u.Sign(true, "show "+string(name), r, "", label, look) {
			out.Add(wish.ShowChart(name))
		}
		if pictured(u) {
			u.Scene().Picture(paper.Rect{X: r.X + (r.W-thumbSize)/2, Y: r.Y + 4, W: thumbSize, H: thumbSize}, thumb(name), 1)
		}
		lh := u.LineHeight(ui.Small)
		u.Words(paper.Rect{X: r.X + 2, Y: r.Bottom() - lh - 6, W: r.W - 4, H: lh}, label, style, ui.Middle)
	}
	c.Gap(math.Ceil(float64(len(chart.Names()))/float64(n))*(high+6) - 6)
}

// tile is what a chart's button is called.
func tile(v voice.Voice, name chart.Name) string {
	return v.Capital(v.Text("bench.wall.tile", "chart", name))
}

// tileHeight is the height of a chart's button: a picture with its name below,
// or the name alone.
func tileHeight(u *ui.UI) float64 {
	if !pictured(u) {
		return u.LineHeight(ui.Small) + 12
	}
	return thumbSize + u.LineHeight(ui.Small) + 12
}

// pictured reports whether there is room for pictures on the charts' buttons.
func pictured(u *ui.UI) bool { return u.Window().H/u.Text >= 700 }

// inRow is the number of charts in a row of a width.
func inRow(u *ui.UI, v voice.Voice, w float64) int {
	widest := 0.0
	for _, name := range chart.Names() {
		widest = max(widest, u.Width(tile(v, name), ui.SmallBold))
	}
	for rows := 1; ; rows++ {
		n := (len(chart.Names()) + rows - 1) / rows
		if n == 1 || (w-6*float64(n-1))/float64(n) >= widest+6 {
			return n
		}
	}
}

// ToolsHeight is about how high the tools below a wall of a width are.
func ToolsHeight(u *ui.UI, v voice.Voice, w float64) float64 {
	rows := math.Ceil(float64(len(chart.Names())) / float64(inRow(u, v, w)))
	return rows*(tileHeight(u)+6) + u.RowHeight() + 8 + u.LineHeight(ui.Note) + 28
}

// Scale is what tells how large the chart is.
type Scale struct {
	Card    float64 // width of a bank card on this screen, logical pixels; 0: not known
	Viewing float64 // distance of the user from the screen, centimetres
}

// Text says how large a chart of so many logical pixels to the minute of arc is
// against how it would look in the room.
func (s Scale) Text(v voice.Voice, pixels float64) string {
	card := s.Card
	if card == 0 {
		card = settings.UsualCard
	}
	mm := settings.CardWidth / card * pixels // to the minute of arc on the screen
	arcmin := math.Atan(mm/(10*s.Viewing)) * 180 * 60 / math.Pi
	times := fact.Number(math.Round(arcmin*10) / 10)
	if arcmin >= 10 {
		times = fact.Number(math.Round(arcmin))
	}
	from := fact.Number(math.Round(s.Viewing))
	switch {
	case s.Card == 0:
		return v.Text("bench.scale.unknown", "times", times)
	case math.Abs(arcmin-1) < 0.05:
		return v.Text("bench.scale.true", "cm", from)
	}
	return v.Text("bench.scale.known", "times", times, "cm", from)
}
