package optics_test

import (
	"fmt"

	"conoid/sim/optics"
)

// What is marked on the lenses and what the eye really wears differ. By hand,
// F / (1 - dF) from lens to lens: -11.915 along 35 and -12.864 across it.
func ExampleFrame_Effective() {
	frame := optics.NewFrame(optics.UsualVertex)
	frame.Lenses[optics.Back] = optics.SphereOf(-8)
	frame.Lenses[optics.Front1] = optics.SphereOf(-4)
	frame.Lenses[optics.Front2] = optics.CylinderOf(-1, 35)
	fmt.Println(frame.Prescription())
	fmt.Println(frame.Effective(6))
	// Output:
	// −12.00 / −1.00 x 35
	// −11.92 / −0.95 x 35
}
