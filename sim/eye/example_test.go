package eye_test

import (
	"fmt"

	"conoid/sim/eye"
	"conoid/sim/optics"
)

// An eye of thirty years that needs -1.00 / -2.00 x 30 at the cornea looks through
// -0.50, half a dioptre more plus than its sphere, and no cylinder: both focal
// lines stand in front of the retina, the back one by that half dioptre, and
// across the axis.
func ExampleNew() {
	e := eye.New(4, 30, eye.Typical(1))
	e.Needs = optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}.Power()
	front, back := e.Residual(optics.Sphere(-0.50), 0).FocalLines()
	fmt.Printf("front %+.2f D along %.0f, back %+.2f D along %.0f\n", front.Power, front.Angle, back.Power, back.Angle)
	// Output: front +2.50 D along 30, back +0.50 D along 120
}
