package sheet

import (
	"fmt"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// TrialSet is the whole trial set, for one cell.
type TrialSet struct {
	cell optics.Cell
	kind optics.Kind
	axis int // of a new cylinder
}

// NewTrialSet is the set for a lens in a cell. A new cylinder would go where
// the old one stands, or where the arrow points.
func NewTrialSet(w View, cell optics.Cell) *TrialSet {
	now := w.Nose.Stands.Lenses[cell]
	s := &TrialSet{cell: cell, kind: optics.SphereLens, axis: w.State.Pointer}
	if at, ok := w.Nose.Turnable(); ok {
		s.axis = int(w.Nose.Stands.Lenses[at].Axis)
	} else if cell != optics.Back && now == (optics.Lens{}) { // what goes in front is the cylinder
		s.kind = optics.CylinderLens
	}
	if now.Kind == optics.CylinderLens {
		s.kind, s.axis = optics.CylinderLens, int(now.Axis)
	}
	return s
}

// Draw implements Sheet.
func (s *TrialSet) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	v, before := d.Voice(), len(*out)
	f := w.Nose.Stands
	closed := d.UI.Dialog("trial set", v.Text("bench.set.title"), v.Text("bench.close"), 760, func(c *ui.Column) {
		s.chooseCell(v, c, f)
		s.choosePower(v, c, w.Nose.Set, func(l optics.Lens) {
			out.Add(wish.Touch{Cell: s.cell}, wish.Into(f, s.cell, l))
		})
	})
	return closeIf(closed || len(*out) > before)
}

func (s *TrialSet) chooseCell(v voice.Voice, c *ui.Column, f optics.Frame) {
	c.Para(v.Text("bench.set.cell"), ui.Strong)
	c.Gap(3)
	c.Flow(func(fl *ui.Flow) {
		for i, l := range f.Lenses {
			cell, look := optics.Cell(i), ui.Plain
			if cell == s.cell {
				look = ui.Selected
			}
			label := v.Text("bench.tray.cell", "cell", nose.CellName(v, cell), "lens", nose.Name(v, l))
			if fl.Button("into "+cell.String(), label, look) {
				s.cell = cell
			}
		}
	})
}

// kinds are the drawers of the set.
var kinds = [...]optics.Kind{optics.SphereLens, optics.CylinderLens, optics.PinholeLens}

func (s *TrialSet) choosePower(v voice.Voice, c *ui.Column, set optics.TrialSet, take func(optics.Lens)) {
	names := []string{v.Text("bench.set.spheres"), v.Text("bench.set.cylinders"), v.Text("bench.set.pieces")}
	at := 0
	for i, k := range kinds {
		if k == s.kind {
			at = i
		}
	}
	s.kind = kinds[c.Choice("kind", names, at)]
	switch s.kind {
	case optics.SphereLens:
		powers(v, c, set.Spheres(), func(d float64) { take(optics.SphereOf(d)) })
	case optics.CylinderLens:
		s.chooseAxis(v, c)
		powers(v, c, set.Cylinders(), func(d float64) { take(optics.CylinderOf(d, float64(s.axis))) })
	default:
		c.Flow(func(f *ui.Flow) {
			for _, l := range []optics.Lens{optics.Pinhole(), optics.Occluder()} {
				if f.Button("piece "+l.Code(), nose.Name(v, l), ui.Plain) {
					take(l)
				}
			}
		})
	}
}

func (s *TrialSet) chooseAxis(v voice.Voice, c *ui.Column) {
	c.Flow(func(f *ui.Flow) {
		f.Text(v.Text("bench.tray.axis", "axis", fact.Degrees(s.axis)), ui.Strong)
		for _, by := range []int{-30, -5, -1, 1, 5, 30} {
			turn := fact.Turn(by)
			if f.Sign(true, fmt.Sprintf("new axis %+d", by), v.Value(turn), v.Text("bench.tray.turn", "turn", turn), ui.Plain) {
				s.axis = shape.Folded(s.axis + by)
			}
		}
	})
}

// powers are lenses to take from the set, plus above minus.
func powers(v voice.Voice, c *ui.Column, list []float64, take func(d float64)) {
	for _, plus := range []bool{true, false} {
		c.Flow(func(f *ui.Flow) {
			for i := range list {
				d := list[i]
				if !plus {
					d = list[len(list)-1-i]
				}
				if d > 0 != plus {
					continue
				}
				if f.Button("lens "+optics.SphereOf(d).Code(), v.Value(fact.Power(d)), ui.Plain) {
					take(d)
				}
			}
		})
	}
}
