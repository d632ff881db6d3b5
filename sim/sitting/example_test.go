package sitting_test

import (
	"fmt"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// A sitting in a few lines: the other eye is covered, the cylinder comes out and
// plus goes in, and the fan is asked about. The patient needs -1.00 / -2.00 x 30,
// and in the fog the lines about the label 30 are the clearest.
func Example() {
	e := sitting.EyeSetup{
		Error: optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}, Objective: optics.Rx{Sphere: -0.75, Cyl: -1.5, Axis: 35},
		Eye: eye.New(4, 60, eye.Typical(1)),
	}
	s := sitting.Start(sitting.Setup{
		Eyes: [2]sitting.EyeSetup{e, e}, Tested: sitting.Right, Age: 60, Manner: patient.Manners()["noiseless"],
		Room: sitting.Room{Distance: 6, Vertex: optics.UsualVertex},
	}, sitting.Seeded(1))

	for _, a := range []sitting.Action{
		{Do: sitting.Cover, Eye: sitting.Left},
		{Do: sitting.Take, Lens: optics.CylinderOf(-1.5, 35)},
		{Do: sitting.Exchange, Lens: optics.SphereOf(-0.50)},
		{Do: sitting.Show, Chart: chart.Fan},
		{Do: sitting.Ask, Question: patient.WhichLines},
	} {
		event, err := s.Do(a)
		if err != nil {
			fmt.Println(err)
			return
		}
		if event.Answer != nil {
			label, _ := method.Middle(event.Answer.Lines)
			fmt.Printf("%s: %.0f\n", event.Answer.Kind, label)
		}
	}
	// Output: lines: 30
}
