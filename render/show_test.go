package render_test

import (
	"image"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

func TestShowIsAPartOfSeenLayers(t *testing.T) {
	for _, c := range []chart.Drawing{chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}), chart.Named(chart.Duochrome).Draw(chart.Hung{})} {
		r := retina.New(retina.Grid{N: 128, Pitch: 1})
		r.SetChart(c)
		layers, err := r.Layers(retina.Pupil{Diameter: 3, Residual: optics.Sphere(0.5)})
		require.NoError(t, err)
		var lights []chart.Light
		for _, l := range c.Layers {
			lights = append(lights, l.Light)
		}
		whole := render.SeenLayers(layers, lights)
		part := image.Rect(20, 30, 100, 110)
		got := render.Show(nil, layers, lights, part)
		again := render.Show(got, layers, lights, part)
		assert.Same(t, got, again, "the picture is used again")
		for y := range 80 {
			for x := range 80 {
				require.Equal(t, whole.NRGBAAt(20+x, 30+y), got.NRGBAAt(x, y))
			}
		}
	}
}
