package render_test

import (
	"fmt"

	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
)

// A picture of the fan as an eye sees it that needs -1.00 / -2.00 x 30 and looks
// through -0.50: darker along the line with the label 30 than along the one across
// it. Package image/png writes such a picture into a file.
func Example() {
	e := eye.New(4, 30, eye.Typical(1))
	e.Needs = optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}.Power()
	r, fan := retina.New(retina.Standard()), chart.Named(chart.Fan)
	drawing := fan.Draw(chart.Hung{Labels: chart.ByAxis})
	r.SetChart(drawing)
	layers, err := r.Layers(patient.Through(e, optics.Sphere(-0.50), 0, 0).Pupil)
	if err != nil {
		fmt.Println(err)
		return
	}
	picture := render.SeenLayers(layers, []chart.Light{drawing.Layers[0].Light})

	pixel := func(at chart.Point) (x, y int) {
		g, middle := retina.Standard(), picture.Bounds().Dx()/2
		return middle + int(at.X/g.Pitch), middle - int(at.Y/g.Pitch)
	}
	fmt.Println(picture.Bounds().Size())
	for _, line := range fan.Marks(chart.Hung{}) {
		if label := chart.LabelOf(line.Angle); label == 30 || label == 120 {
			fmt.Printf("line %.0f: %.1f of white\n", label, float64(picture.NRGBAAt(pixel(line.Centre)).R)/255)
		}
	}
	// Output:
	// (512,512)
	// line 30: 0.7 of white
	// line 120: 0.9 of white
}
