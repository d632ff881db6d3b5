package sitting

import (
	"strings"

	"conoid/sim/optics"
)

// checkCell checks the actions on the cells of a frame and works out which
// cell is meant when none is named.
func (s *Sitting) checkCell(a Action) (Action, error) {
	f := s.state.Frames[a.Eye.Index()]
	lens, err := s.lens(a, f)
	if err != nil {
		return a, err
	}
	cell, err := meant(a, f, lens)
	if err != nil {
		return a, err
	}
	a.Cell = cell.String()
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
		a.Lens = ""
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
		a.Lens = ""
		return a, nil
	}
	if lens.Kind == optics.CylinderLens && lens.Axis == 0 {
		return a, refuse("a new cylinder needs an axis: write it as -1.00x35")
	}
	if err := s.setup.Room.Set.Check(lens); err != nil {
		return a, refuse("%v", err)
	}
	a.Lens = lens.Code()
	return a, nil
}

// lens reads the lens that an action names. A cylinder may be named without an
// axis, as "-1.00 cyl", when it takes another's place; its axis is then 0.
func (s *Sitting) lens(a Action, f optics.Frame) (optics.Lens, error) {
	if a.Do == Turn || a.Lens == "" {
		if a.Do == Put || a.Do == Exchange {
			return optics.Lens{}, refuse("which lens? write its power, such as +0.50, -1.00x35, pinhole or occluder")
		}
		return optics.Lens{}, nil
	}
	if d, ok := cylinderWithoutAxis(a.Lens); ok {
		return optics.Lens{Kind: optics.CylinderLens, Power: d}, nil
	}
	l, err := optics.ParseLens(a.Lens)
	if err != nil {
		return l, refuse("%v", err)
	}
	return l, nil
}

// meant is the cell that an action is about.
func meant(a Action, f optics.Frame, lens optics.Lens) (optics.Cell, error) {
	if a.Cell != "" {
		c, err := optics.ParseCell(a.Cell)
		if err != nil {
			return 0, refuse("%v", err)
		}
		return c, nil
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
	l, err := optics.ParseLens(a.Lens)
	if err != nil {
		return a, refuse("%v", err)
	}
	if err := s.setup.Room.Set.CheckHeld(l); err != nil {
		return a, refuse("%v", err)
	}
	if held := s.state.Frames[a.Eye.Index()].Held; held != (optics.Lens{}) {
		return a, refuse("%v is held up already: lower it first", held)
	}
	a.Lens = l.Code()
	return a, nil
}

// cylinderWithoutAxis reads "-1.00 cyl" or "-1.00 DC": a cylinder that takes
// the axis of the one whose place it takes.
func cylinderWithoutAxis(s string) (float64, bool) {
	t := strings.ToLower(strings.TrimSpace(s))
	for _, unit := range []string{"cylinder", "cyl", "dc"} {
		if power, ok := strings.CutSuffix(t, unit); ok {
			d, err := optics.ParseDioptre(strings.TrimSpace(power))
			return d, err == nil && d != 0
		}
	}
	return 0, false
}
