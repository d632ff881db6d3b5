package sitting

import (
	"errors"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

// checkCell checks the actions on the cells of a frame and works out which
// cell is meant when none is named.
func (b *Bench) checkCell(a Action) (Action, error) {
	f := b.state.Frames[a.Eye.Index()]
	lens := a.Lens
	switch a.Do {
	case Put, Exchange:
		if lens == (optics.Lens{}) {
			return a, refuse(fact.New("sitting.which-lens"))
		}
	case Turn:
		lens = optics.Lens{}
	}
	cell, err := meant(a, f, lens)
	if err != nil {
		return a, err
	}
	a.Cell = In(cell)
	old := f.Lenses[cell]
	switch a.Do {
	case Put:
		if old != (optics.Lens{}) {
			return a, refuse(fact.New("sitting.cell-full", "cell", cell, "lens", old))
		}
	case Take:
		if old == (optics.Lens{}) {
			return a, refuse(fact.New("sitting.cell-empty", "cell", cell))
		}
		if lens != (optics.Lens{}) && lens != old {
			return a, refuse(fact.New("sitting.other-lens", "cell", cell, "old", old, "lens", lens))
		}
		a.Lens = optics.Lens{}
		return a, nil
	case Exchange:
		if old == (optics.Lens{}) {
			return a, refuse(fact.New("sitting.put-in", "cell", cell))
		}
		if lens.Kind == optics.CylinderLens && lens.Axis == 0 {
			if old.Kind != optics.CylinderLens {
				return a, refuse(fact.New("sitting.which-axis"))
			}
			lens.Axis = old.Axis
		}
	case Turn:
		if old.Kind != optics.CylinderLens {
			return a, refuse(fact.New("sitting.nothing-to-turn", "cell", cell))
		}
		if a.Axis < 1 || a.Axis > 180 {
			return a, refuse(fact.New("sitting.no-axis", "axis", fact.Degrees(a.Axis)))
		}
		a.Lens = optics.Lens{}
		return a, nil
	}
	if lens.Kind == optics.CylinderLens && lens.Axis == 0 {
		return a, refuse(fact.New("sitting.which-axis"))
	}
	if err := b.set.Check(lens); err != nil {
		return a, because(err)
	}
	a.Lens = lens
	return a, nil
}

// meant is the cell that an action is about.
func meant(a Action, f optics.Frame, lens optics.Lens) (optics.Cell, error) {
	if c, named := a.Cell.Cell(); named && c < optics.Cells {
		return c, nil
	} else if named {
		return 0, refuse(fact.New("sitting.no-cell", "cells", optics.AllCells()))
	}
	if a.Do == Put {
		return free(f, lens)
	}
	kind := lens.Kind
	if a.Do == Turn {
		kind = optics.CylinderLens
	}
	var found []optics.Cell
	for c, l := range f.Lenses {
		if l == (optics.Lens{}) || kind != optics.NoLens && l.Kind != kind {
			continue
		}
		if a.Do == Take && kind != optics.NoLens && l != lens {
			continue
		}
		found = append(found, optics.Cell(c))
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		if a.Do == Exchange {
			return 0, refuse(fact.New("sitting.nothing-to-exchange"))
		}
		return 0, refuse(fact.New("sitting.no-such-lens", "eye", a.Eye))
	}
	return 0, refuse(fact.New("sitting.which-cell", "cells", optics.AllCells()))
}

// free is where a new lens goes: a sphere to the back cell, others before it.
func free(f optics.Frame, lens optics.Lens) (optics.Cell, error) {
	first := optics.Back
	if lens.Kind != optics.SphereLens {
		first = optics.Front1
	}
	for i := range optics.Cells {
		if c := (first + optics.Cell(i)) % optics.Cells; f.Lenses[c] == (optics.Lens{}) {
			return c, nil
		}
	}
	return 0, refuse(fact.New("sitting.all-full"))
}

func (b *Bench) checkHold(a Action) (Action, error) {
	if a.Lens == (optics.Lens{}) {
		return a, refuse(fact.New("sitting.which-held"))
	}
	if err := b.set.CheckHeld(a.Lens); err != nil {
		return a, because(err)
	}
	if held := b.state.Frames[a.Eye.Index()].Held; held != (optics.Lens{}) {
		return a, refuse(fact.New("sitting.held-already", "lens", held))
	}
	return a, nil
}

// because refuses an action for what the set says of a lens.
func because(err error) error {
	var why fact.Told
	if errors.As(err, &why) {
		return &Refusal{why.Tell()}
	}
	return err
}
