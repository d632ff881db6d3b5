package chairside

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// undo puts the last change of a lens back. It is an action like any other: the log has
// one more, and nothing of it is lost.
func (s *Screen) undo(d *desk.Desk) desk.Next {
	if s.visit.Busy() {
		d.Notice.Refuse(fact.Refuse("bench.undo.wait"))
		return desk.Stay{}
	}
	act, ok := reverse(s.visit.Brief(), s.visit.Talk())
	if !ok {
		d.Notice.Refuse(fact.Refuse("bench.undo.nothing"))
		return desk.Stay{}
	}
	return s.do(d, act)
}

// turnLift turns the cylinder that is held up: it is lowered and held up again.
func (s *Screen) turnLift(d *desk.Desk, held optics.Lens, axis int) desk.Next {
	if held.Kind != optics.CylinderLens || int(held.Axis) == axis {
		return desk.Stay{}
	}
	s.hands.lifts.Axis = axis
	if next := s.do(d, wish.Lower().Action); next != (desk.Stay{}) {
		return next
	}
	return s.do(d, wish.HoldUp(optics.CylinderOf(held.Power, float64(axis))).Action)
}

// reverse is the action that puts back what was last changed of the lenses in the cells
// before the tested eye; an unbroken turn is one change. Once more puts back the putting
// back. False where nothing was changed.
func reverse(b chair.Brief, told []chair.Told) (sitting.Action, bool) {
	eye := b.Tested.Index()
	frame := func(n int) optics.Frame { // after n events
		if n == 0 {
			return sitting.NewBench(b.Tested, b.Objective, b.Room).State().Frames[eye]
		}
		return told[n-1].After.Frames[eye]
	}
	for n := len(told); n > 0; {
		from := n - 1
		for from > 0 && oneTurn(told[from-1].Event.Action, told[from].Event.Action) {
			from--
		}
		if act, changed := back(frame(n), frame(from)); changed {
			return act, true
		}
		n = from
	}
	return sitting.Action{}, false
}

// oneTurn reports whether two actions in a row are one turn.
func oneTurn(a, b sitting.Action) bool {
	return a.Do == sitting.Turn && b.Do == sitting.Turn && a.Eye == b.Eye && a.Cell == b.Cell
}

// back is the action that makes the cells of a frame what they were; false where they are.
func back(now, was optics.Frame) (sitting.Action, bool) {
	for i := range optics.Cells {
		is, l, cell := now.Lenses[i], was.Lenses[i], sitting.In(optics.Cell(i))
		switch {
		case is == l:
			continue
		case l == optics.Lens{}:
			return sitting.Action{Do: sitting.Take, Cell: cell}, true
		case is == optics.Lens{}:
			return sitting.Action{Do: sitting.Put, Cell: cell, Lens: l}, true
		case is.Kind == l.Kind && is.Power == l.Power: // only its axis differs
			return sitting.Action{Do: sitting.Turn, Cell: cell, Axis: int(l.Axis)}, true
		}
		return sitting.Action{Do: sitting.Exchange, Cell: cell, Lens: l}, true
	}
	return sitting.Action{}, false
}
