package wall

import (
	"image"
	"sync"

	"conoid/cmd/station/internal/bench/sight"
	"conoid/render"
	"conoid/sim/chart"
)

const thumbSize = 24

// thumb is a small picture of a chart.
func thumb(name chart.Name) *image.NRGBA { return thumbs()[name] }

var thumbs = sync.OnceValue(func() map[chart.Name]*image.NRGBA {
	out := map[chart.Name]*image.NRGBA{}
	for _, c := range chart.All() {
		out[c.Name] = render.Plain(sample(c), 4*thumbSize)
	}
	return out
})

// sample is a chart for a small picture.
func sample(c chart.Chart) chart.Drawing {
	h := chart.Hung{Labels: chart.NoLabels, Pointer: 40, Rows: []chart.Row{
		{LogMAR: 0.5, Text: "HN"}, {LogMAR: 0.3, Text: "VZC"}, {LogMAR: 0, Text: "KRD"},
	}}
	if c.Sized {
		h.Rows = []chart.Row{{LogMAR: 0.3, Text: "H"}}
	}
	return c.Draw(h)
}

// lit are the charts of several lights as they hang.
var lit = sync.OnceValue(func() map[chart.Name]*image.NRGBA {
	out := map[chart.Name]*image.NRGBA{}
	for _, c := range chart.All() {
		if d := sample(c); len(d.Layers) > 1 {
			out[c.Name] = render.Sharp(d, 1024, sight.WindowOf(c.Name, d).Side)
		}
	}
	return out
})
