package wall

import (
	"image"
	"sync"

	"conoid/cmd/internal/words"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

const thumbSize = 24

// thumb is a small picture of a chart.
func thumb(name sitting.ChartName) *image.NRGBA { return thumbs()[name] }

var thumbs = sync.OnceValue(func() map[sitting.ChartName]*image.NRGBA {
	out := map[sitting.ChartName]*image.NRGBA{}
	for _, name := range words.Charts {
		out[name] = render.Plain(sample(name), 4*thumbSize)
	}
	return out
})

// sample is a chart for a small picture.
func sample(name sitting.ChartName) chart.Chart {
	switch name {
	case sitting.Letters:
		return chart.LetterSheet([]float64{0.5, 0.3, 0}, []string{"HN", "VZC", "KRD"})
	case sitting.Letter:
		return chart.Letter(0.3, 'H')
	}
	st := sitting.State{Chart: name, Pointer: 40}
	c, _ := st.Wall(chart.NoLabels)
	return c
}

// colours is the chart of several lights, the duochrome, as it hangs.
var colours = sync.OnceValue(func() *image.NRGBA {
	st := sitting.State{Chart: sitting.Duochrome}
	c, _ := st.Wall(chart.NoLabels)
	return render.Sharp(c, 1024, sight.WindowOf(st.Chart, c).Side)
})
