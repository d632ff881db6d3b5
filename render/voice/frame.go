package voice

import (
	"strings"

	"conoid/sim/optics"
)

// Lenses are what stands in one side of a frame, from the eye outward, a lens
// each, such as "−1.00 sphere" and "−0.50 cylinder axis 175". The cell is named
// where it is not the usual one of such a lens.
func (v Voice) Lenses(f optics.Frame) (out []string) {
	for c, l := range f.Lenses {
		switch cell := optics.Cell(c); {
		case l == (optics.Lens{}):
		case cell == usual(l):
			out = append(out, v.Value(l))
		default:
			out = append(out, v.Text("told.frame.cell", "lens", l, "cell", cell))
		}
	}
	if len(out) == 0 {
		out = append(out, v.Text("told.frame.none"))
	}
	if f.Held != (optics.Lens{}) {
		out = append(out, v.Text("told.frame.held", "lens", f.Held))
	}
	return out
}

// usual is the cell that a lens stands in if nothing speaks against it.
func usual(l optics.Lens) optics.Cell {
	if l.Kind == optics.SphereLens {
		return optics.Back
	}
	return optics.Front1
}

// Frame is what stands in one side of a frame, in a line.
func (v Voice) Frame(f optics.Frame) string { return strings.Join(v.Lenses(f), " · ") }

// Worn says what the lenses of a frame really act as, before a chart distance
// metres away, if that is noticeably other than their sum; "" if it is not.
func (v Voice) Worn(f optics.Frame, distance float64) string {
	worn, other := f.Worn(distance)
	if !other {
		return ""
	}
	return v.Text("told.done.worn", "worn", worn)
}
