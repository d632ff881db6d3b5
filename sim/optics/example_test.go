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

// A refraction is read as people write it, and moved from the frame to the
// cornea: F / (1 - dF) in each meridian, by hand -10 / 1.12 = -8.93 along 180 and
// -12 / 1.144 = -10.49 across it.
func ExamplePower_Travel() {
	rx, err := optics.ParseRx("-10.00/-2.00x180")
	if err != nil {
		fmt.Println(err)
		return
	}
	const vertex = 0.012 // metres
	fmt.Println(rx)
	fmt.Println(rx.Transpose())
	fmt.Println(rx.Power().Travel(vertex).Rx())
	// Output:
	// −10.00 / −2.00 x 180
	// −12.00 / +2.00 x 90
	// −8.93 / −1.56 x 180
}

// A lens is read in several languages. Why a text is none, and where, is a fact
// for package render/voice.
func ExampleParseLens() {
	lens, err := optics.ParseLens("zyl −1,00 A 35°")
	fmt.Println(lens, err)
	_, err = optics.ParseLens("-1.00x190")
	fmt.Println(err)
	// Output:
	// −1.00 cylinder axis 35 <nil>
	// optics.not-read (at 7, text -1.00x190, why optics.axis-range)
}
