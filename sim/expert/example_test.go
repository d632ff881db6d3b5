package expert_test

import (
	"fmt"

	"conoid/sim/expert"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// The examiner is told the objective result, asks, and finds what the eye needs to
// about a quarter of a dioptre: here -1.00 / -2.00 x 30.
func ExampleExamine() {
	e := sitting.EyeSetup{
		Error: optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}, Objective: optics.Rx{Sphere: -0.75, Cyl: -1.5, Axis: 35},
		Eye: eye.New(4, 60, eye.Typical(1)),
	}
	setup := sitting.Setup{
		Eyes: [2]sitting.EyeSetup{e, e}, Tested: sitting.Right, Age: 60, Manner: patient.Manners()["noiseless"],
		Room: sitting.Room{Distance: 6, Vertex: optics.UsualVertex},
	}
	s := sitting.Start(setup, sitting.Seeded(1))
	found, err := expert.Examine(s, expert.BriefOf(setup))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(found.Rx, "after", s.Steps().Total(), "steps")
	// Output: −1.00 / −1.75 x 28 after 54 steps
}
