package retina_test

import (
	"fmt"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
)

// The fan through a lens: an eye that needs -1.00 / -2.00 x 30 looks through
// -0.50, which is half a dioptre of fog. The line with the label 30 stays
// darker, the one across it is spread wide.
func Example() {
	e := eye.New(4, 30, eye.Typical(1))
	e.Needs = optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}.Power()
	seen := patient.Through(e, optics.Sphere(-0.50), 0, 0)

	r := retina.New(retina.Standard())
	fan := chart.Named(chart.Fan)
	r.SetChart(fan.Draw(chart.Hung{Labels: chart.ByAxis}))
	image, err := r.Image(seen.Pupil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range fan.Marks(chart.Hung{}) {
		if label := chart.LabelOf(line.Angle); label == 30 || label == 120 {
			fmt.Printf("line %.0f: %.1f of the light of white paper\n", label, image.At(line.Centre))
		}
	}
	// Output:
	// line 30: 0.4 of the light of white paper
	// line 120: 0.7 of the light of white paper
}
