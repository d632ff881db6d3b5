package nose

import (
	"fmt"
	"math"
	"strings"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// tray is the lens in every cell and its neighbours, the lenses to hold up and
// the covers.
func tray(u *ui.UI, v voice.Voice, c *ui.Column, n View, out *wish.List) {
	f := n.Stands
	empty := -1
	for cell, l := range f.Lenses {
		if l == (optics.Lens{}) {
			if empty < 0 {
				empty = cell
			}
			continue
		}
		slot(v, c, n, optics.Cell(cell), out)
	}
	if f.Lenses == [optics.Cells]optics.Lens{} {
		c.Para(v.Text("bench.tray.empty"), ui.Quiet)
		c.Gap(8)
	}
	c.Flow(func(fl *ui.Flow) {
		if fl.ButtonIf(empty >= 0, "put in", v.Text("bench.tray.put"), ui.Plain) {
			out.Add(wish.TrialSet{Cell: optics.Cell(empty)})
		}
		fl.Text(v.Text("bench.tray.together", "rx", f.Prescription()), ui.Note)
	})
	c.Rule()
	handHeld(v, c, n, out)
	c.Rule()
	covers(v, c, n, out)
}

// slot is one lens in its cell.
func slot(v voice.Voice, c *ui.Column, n View, cell optics.Cell, out *wish.List) {
	l, name := n.Stands.Lenses[cell], cell.String()
	word := CellName(v, cell)
	c.Flow(func(f *ui.Flow) {
		f.Text(v.Text("bench.tray.cell", "cell", word, "lens", Short(v, l)), ui.Strong)
		if l.Kind == optics.SphereLens || l.Kind == optics.CylinderLens {
			for _, by := range []float64{-0.25, 0.25} {
				sign := v.Value(fact.Power(by))
				if f.Sign(true, fmt.Sprintf("%s%+.2f", name, by), sign, v.Text("bench.tray.by", "power", sign, "cell", word), ui.Plain) {
					out.Add(wish.Touch{Cell: cell}, Change(n.Set, cell, l, by))
				}
			}
		}
		if f.Sign(true, "other "+name, v.Text("bench.tray.other"), v.Text("bench.tray.of", "what", v.Text("bench.tray.other"), "cell", word), ui.Plain) {
			out.Add(wish.Touch{Cell: cell}, wish.TrialSet{Cell: cell})
		}
		if f.Sign(true, "out "+name, v.Text("bench.tray.out"), v.Text("bench.tray.of", "what", v.Text("bench.tray.out"), "cell", word), ui.Plain) {
			out.Add(wish.Take(cell))
		}
		if l.Kind == optics.CylinderLens {
			axis(v, f, n, cell, word, out)
		}
	})
}

// axis is the axis of a cylinder and the buttons that turn it.
func axis(v voice.Voice, f *ui.Flow, n View, cell optics.Cell, word string, out *wish.List) {
	f.Break()
	now := n.frame().Lenses[cell].Axis
	f.Text(v.Text("bench.tray.axis", "axis", fact.Degrees(now)), ui.Body)
	for _, by := range []int{-5, -1, 1, 5} {
		turn := fact.Turn(by)
		name := v.Text("bench.tray.of", "what", v.Text("bench.tray.turn", "turn", turn), "cell", word)
		if f.Sign(true, fmt.Sprintf("%s axis %+d", cell, by), v.Value(turn), name, ui.Plain) {
			out.Add(wish.Touch{Cell: cell}, wish.Turn(cell, shape.Folded(int(n.Stands.Lenses[cell].Axis)+by)))
		}
	}
}

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
	case optics.PinholeLens:
		return v.Text("bench.lens.pinhole")
	case optics.OccluderLens:
		return v.Text("bench.lens.occluder")
	}
	return v.Text("bench.lens.none")
}

// Short is Name where there is little room.
func Short(v voice.Voice, l optics.Lens) string {
	if l.Kind == optics.CylinderLens {
		return v.Text("bench.lens.cyl", "power", fact.Power(l.Power))
	}
	return Name(v, l)
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

// handHeld are the lenses to hold up.
func handHeld(v voice.Voice, c *ui.Column, n View, out *wish.List) {
	held := n.Stands.Held
	c.Flow(func(fl *ui.Flow) {
		fl.Text(v.Text("bench.hand.title"), ui.Strong)
		for _, l := range n.Set.HandHeld() {
			label, look := v.Value(fact.Power(l.Power)), ui.Plain
			if held == l {
				look = ui.Selected
			}
			if !fl.Sign(true, "hold "+l.Code(), label, v.Text("bench.hand.hold", "power", label), look) {
				continue
			}
			if held != (optics.Lens{}) {
				out.Add(wish.Lower())
			}
			if held != l {
				out.Add(wish.HoldUp(l))
			}
		}
		if held != (optics.Lens{}) && fl.Button("lower", v.Text("bench.hand.lower"), ui.Plain) {
			out.Add(wish.Lower())
		}
	})
}

// covers are the occluders of both eyes.
func covers(v voice.Voice, c *ui.Column, n View, out *wish.List) {
	c.Flow(func(f *ui.Flow) {
		for _, side := range []sitting.Side{n.Tested.Other(), n.Tested} {
			covered := n.Covered[side.Index()]
			do := wish.Cover(side, !covered)
			label := v.Examiner().Action(do.Action)
			if f.Button("cover "+string(side), label, ui.Plain) {
				out.Add(do)
			}
		}
	})
}
