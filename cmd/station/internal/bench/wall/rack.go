package wall

import (
	"slices"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
)

// Charts are those that may be hung, out of all if only some are named.
func Charts(only []chart.Name) []chart.Name {
	if len(only) == 0 {
		return chart.Names()
	}
	return slices.DeleteFunc(chart.Names(), func(n chart.Name) bool { return !slices.Contains(only, n) })
}

// usual are the charts that stand in a short rack: the first of every kind.
func usual(all []chart.Name) (names []chart.Name) {
	met := map[chart.Kind]bool{}
	for _, name := range all {
		if kind := chart.Named(name).Kind; !met[kind] {
			met[kind] = true
			names = append(names, name)
		}
	}
	return names
}

// tallestTile is how high a tile becomes where there are few.
const tallestTile = 96

// leastTile is how high a tile has to be for all charts to stand in the rack.
const leastTile = 60

// Rack draws the charts to choose from below one another, all or the usual ones.
func Rack(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) {
	names, gap := Charts(w.Only), 6.0
	more := (r.H-gap*float64(len(names)-1))/float64(len(names)) < leastTile
	if more {
		names, gap = usual(names), 5
	}
	n := len(names)
	if more {
		n++
	}
	high := min((r.H-gap*float64(n-1))/float64(n), tallestTile)
	chosen := false
	for i, name := range names {
		Tile(u, v, paper.Rect{X: r.X, Y: r.Y + float64(i)*(high+gap), W: r.W, H: high}, name, w.Name == name, out)
		chosen = chosen || w.Name == name
	}
	if more {
		moreTile(u, v, paper.Rect{X: r.X, Y: r.Bottom() - high, W: r.W, H: high}, !chosen && w.Name != chart.NoChart, out)
	}
}

// Tile is a chart's button: a small picture with its name below.
func Tile(u *ui.UI, v voice.Voice, r paper.Rect, name chart.Name, chosen bool, out *wish.List) {
	label := v.Capital(v.Text("bench.wall.tile", "chart", name))
	if tile(u, "show "+string(name), label, r, chosen, func(at paper.Rect) { thumb(u, at, chart.Named(name)) }) {
		out.Add(wish.ShowChart(name))
	}
}

// moreTile leads to the charts that have no place in the rack.
func moreTile(u *ui.UI, v voice.Voice, r paper.Rect, chosen bool, out *wish.List) {
	if tile(u, "charts", v.Text("bench.wall.more"), r, chosen, func(at paper.Rect) {
		c := at.Centre()
		for _, d := range []float64{-10, 0, 10} {
			shape.Disc(u.Scene(), paper.Point{X: c.X + d, Y: c.Y}, 2.6, u.Theme.Ink)
		}
	}) {
		out.Add(wish.Show{Sheet: wish.Charts})
	}
}

// tile is a button with a picture and its name below.
func tile(u *ui.UI, id, label string, r paper.Rect, chosen bool, picture func(at paper.Rect)) bool {
	look, style := ui.Plain, ui.Small
	if chosen {
		look, style = ui.Selected, ui.SmallBold
	}
	pressed := u.Sign(true, id, r, "", label, look)
	lh := u.LineHeight(ui.Small)
	high := r.H - lh - 8
	wide := min(r.W-16, high*1.7)
	if wide >= 16 {
		picture(paper.Rect{X: r.Centre().X - wide/2, Y: r.Y + 5, W: wide, H: high})
	}
	u.Words(paper.Rect{X: r.X + 1, Y: r.Bottom() - lh - 2, W: r.W - 2, H: lh}, label, style, ui.Middle)
	return pressed
}
