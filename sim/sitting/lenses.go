package sitting

import "conoid/sim/optics"

// checkCell checks the actions on the cells of a frame and works out which
// cell is meant when none is named.
func (s *Sitting) checkCell(a Action) (Action, error) {
	f := s.state.Frames[a.Eye.Index()]
	lens := a.Lens
	switch a.Do {
	case Put, Exchange:
		if lens == (optics.Lens{}) {
			return a, refuse("which lens? write its power, such as +0.50, -1.00x35, pinhole or occluder")
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
			return a, refuse("the %s cell is full (%v): take that lens out, exchange it, or name another cell", cell, old)
		}
	case Take:
		if old == (optics.Lens{}) {
			return a, refuse("the %s cell is empty", cell)
		}
		if lens != (optics.Lens{}) && lens != old {
			return a, refuse("the %s cell holds %v, not %v", cell, old, lens)
		}
		a.Lens = optics.Lens{}
		return a, nil
	case Exchange:
		if old == (optics.Lens{}) {
			return a, refuse("the %s cell is empty: put the lens in", cell)
		}
		if lens.Kind == optics.CylinderLens && lens.Axis == 0 {
			if old.Kind != optics.CylinderLens {
				return a, refuse("a new cylinder needs an axis: write it as -1.00x35")
			}
			lens.Axis = old.Axis
		}
	case Turn:
		if old.Kind != optics.CylinderLens {
			return a, refuse("the %s cell holds no cylinder to turn", cell)
		}
		if a.Axis < 1 || a.Axis > 180 {
			return a, refuse("axis %d: an axis goes from 1 to 180", a.Axis)
		}
		a.Lens = optics.Lens{}
		return a, nil
	}
	if lens.Kind == optics.CylinderLens && lens.Axis == 0 {
		return a, refuse("a new cylinder needs an axis: write it as -1.00x35")
	}
	if err := s.setup.Room.Set.Check(lens); err != nil {
		return a, refuse("%v", err)
	}
	a.Lens = lens
	return a, nil
}

// meant is the cell that an action is about.
func meant(a Action, f optics.Frame, lens optics.Lens) (optics.Cell, error) {
	if c, named := a.Cell.Cell(); named && c < optics.Cells {
		return c, nil
	} else if named {
		return 0, refuse("there is no cell %q", c)
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
			return 0, refuse("no lens of that kind is in the frame to exchange: put one in")
		}
		return 0, refuse("there is no such lens in the frame of the %s eye", a.Eye)
	}
	return 0, refuse("more than one lens could be meant: name the cell (back, front 1, front 2 or front 3)")
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
	return 0, refuse("all cells of the frame are full: take a lens out first")
}

func (s *Sitting) checkHold(a Action) (Action, error) {
	if a.Lens == (optics.Lens{}) {
		return a, refuse("which lens? the hand-held lenses are spheres, such as +0.50")
	}
	if err := s.setup.Room.Set.CheckHeld(a.Lens); err != nil {
		return a, refuse("%v", err)
	}
	if held := s.state.Frames[a.Eye.Index()].Held; held != (optics.Lens{}) {
		return a, refuse("%v is held up already: lower it first", held)
	}
	return a, nil
}
