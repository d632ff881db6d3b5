package main

import (
	"bytes"
	"image"
	"image/color"
	_ "image/png" // the plot is handed on as a picture
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"conoid/cases/study/population"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// agreement draws two examinations of the same eyes as Bland and Altman (1986)
// do: the difference of each pair over its mean, in dioptres, with the mean
// difference and its 95 % limits as lines.
func agreement(v voice.Voice, rep *population.Report) (image.Image, error) {
	p := plot.New()
	p.Title.Text = v.Text("practical.agreement.title")
	p.X.Label.Text = v.Text("practical.agreement.mean")
	p.Y.Label.Text = v.Text("practical.agreement.difference")
	p.X.Tick.Marker = plot.TickerFunc(func(low, high float64) []plot.Tick { return ticks(v, low, high, 2) })
	p.Y.Tick.Marker = plot.TickerFunc(func(low, high float64) []plot.Tick { return ticks(v, low, high, 0.25) })
	dots := make(plotter.XYs, len(rep.Pairs))
	for i, v := range rep.Pairs {
		// Results are in quarter steps: a little shift keeps dots apart.
		shift := 0.02 * float64(i%5-2)
		dots[i] = plotter.XY{X: (v[0]+v[1])/2 + shift, Y: v[1] - v[0] + 0.01*float64(i%7-3)}
	}
	scatter, err := plotter.NewScatter(dots)
	if err != nil {
		return nil, err
	}
	scatter.GlyphStyle.Radius = vg.Points(2)
	p.Add(plotter.NewGrid(), scatter)
	for _, y := range []float64{rep.BiasSE - rep.LimitsSE, rep.BiasSE, rep.BiasSE + rep.LimitsSE} {
		line := plotter.NewFunction(func(float64) float64 { return y })
		line.Color = color.NRGBA{R: 160, G: 40, B: 30, A: 255}
		line.Width = vg.Points(1.2)
		p.Add(line)
	}
	w, err := p.WriterTo(18*vg.Centimeter, 11*vg.Centimeter, "png")
	if err != nil {
		return nil, err
	}
	var png bytes.Buffer
	if _, err := w.WriteTo(&png); err != nil {
		return nil, err
	}
	img, _, err := image.Decode(&png)
	return img, err
}

// ticks stand at whole steps, with signs as in a prescription.
func ticks(v voice.Voice, low, high, step float64) (out []plot.Tick) {
	for i := math.Ceil(low / step); i*step <= high; i++ {
		text := v.Value(fact.Power(i * step))
		if step == math.Trunc(step) {
			text = v.Value(fact.Turn(i * step))
		}
		if i == 0 {
			text = v.Value(fact.Number(0))
		}
		out = append(out, plot.Tick{Value: i * step, Label: text})
	}
	return out
}
