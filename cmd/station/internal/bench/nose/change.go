package nose

import (
	"math"
	"strings"

	"conoid/cmd/station/internal/bench/wish"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// CellName is a cell in words.
func CellName(v voice.Voice, cell optics.Cell) string {
	return v.Capital(v.Text("cell." + strings.ReplaceAll(cell.String(), " ", "-")))
}

// Name is a lens in words; the axis of a cylinder is read off its scale.
func Name(v voice.Voice, l optics.Lens) string {
	power := fact.Power(l.Power)
	switch l.Kind {
	case optics.SphereLens:
		return v.Text("bench.lens.sphere", "power", power)
	case optics.CylinderLens:
		return v.Text("bench.lens.cylinder", "power", power)
	}
	return v.Text(kindOf(l))
}

// kindOf is the kind of a lens among the words.
func kindOf(l optics.Lens) string {
	switch l.Kind {
	case optics.SphereLens:
		return "bench.tray.sphere"
	case optics.CylinderLens:
		return "bench.tray.cylinder"
	case optics.PinholeLens:
		return "bench.lens.pinhole"
	case optics.OccluderLens:
		return "bench.lens.occluder"
	}
	return "bench.lens.none"
}

// Change puts the lens in a cell a quarter of a dioptre, or a step of the set,
// up or down: over zero it is taken out.
func Change(set optics.TrialSet, cell optics.Cell, l optics.Lens, by float64) wish.Wish {
	power := math.Round(4*(l.Power+by)) / 4
	if power == 0 {
		return wish.Take(cell)
	}
	next := l.WithPower(power)
	if set.Check(next) != nil {
		step := 1
		if by < 0 {
			step = -1
		}
		n, ok := set.Neighbour(l, step)
		if !ok {
			return wish.Tell{ID: "bench.tray.last"}
		}
		next = n
	}
	return wish.Exchange(cell, next)
}

// AddSphere adds power to the innermost sphere in the frame, or puts one in.
func (n View) AddSphere(by float64) wish.Wish {
	for cell, l := range n.Stands.Lenses {
		if l.Kind == optics.SphereLens {
			return Change(n.Set, optics.Cell(cell), l, by)
		}
	}
	for cell, l := range n.Stands.Lenses {
		if l == (optics.Lens{}) {
			return wish.Put(optics.Cell(cell), optics.SphereOf(by))
		}
	}
	return wish.Tell{ID: "bench.tray.full"}
}

// AddCylinder makes the cylinder that the hand turns stronger or weaker.
func (n View) AddCylinder(by float64) wish.Wish {
	cell, ok := n.Turnable()
	if !ok {
		return wish.Tell{ID: "bench.tray.nocyl"}
	}
	return Change(n.Set, cell, n.Stands.Lenses[cell], by)
}
