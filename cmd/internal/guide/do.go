package guide

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

func ask(q patient.Question) sitting.Action { return sitting.Action{Do: sitting.Ask, Question: q} }

func show(c chart.Name) sitting.Action { return sitting.Action{Do: sitting.Show, Chart: c} }

func put(l optics.Lens) sitting.Action { return sitting.Action{Do: sitting.Put, Lens: l} }

func lower() sitting.Action { return sitting.Action{Do: sitting.Lower} }

// on puts a chart up first, unless it hangs already.
func (w *work) on(c chart.Name, then ...sitting.Action) []sitting.Action {
	if w.State.Chart == c {
		return then
	}
	return append([]sitting.Action{show(c)}, then...)
}

// point turns the arrow to a label, unless it points there already.
func (w *work) point(to int) []sitting.Action {
	if w.State.Pointer == to {
		return nil
	}
	return []sitting.Action{{Do: sitting.Point, Axis: to}}
}

// hold holds a sphere up, unless a lens is held up already.
func (w *work) hold(power float64) []sitting.Action {
	if w.frame.Held.Kind != optics.NoLens {
		return nil
	}
	return []sitting.Action{{Do: sitting.Hold, Lens: optics.SphereOf(power)}}
}

// add makes the sphere in the frame so much stronger or weaker, dioptres.
func (w *work) add(by float64) sitting.Action {
	for _, l := range w.frame.Lenses {
		if l.Kind == optics.SphereLens {
			return w.exchange(l, l.Power+by)
		}
	}
	return put(optics.SphereOf(hundredths(by)))
}

// exchange gives a lens in the frame another power, or takes it out when none is
// left.
func (w *work) exchange(l optics.Lens, power float64) sitting.Action {
	power = hundredths(power)
	if power == 0 {
		return w.take(l)
	}
	a := sitting.Action{Do: sitting.Exchange, Lens: l.WithPower(power)}
	if cell, only := w.cellOf(func(m optics.Lens) bool { return m.Kind == l.Kind }); !only {
		a.Cell = sitting.In(cell)
	}
	return a
}

// take takes a lens out of the frame.
func (w *work) take(l optics.Lens) sitting.Action {
	a := sitting.Action{Do: sitting.Take, Lens: l}
	if cell, only := w.cellOf(func(m optics.Lens) bool { return m == l }); !only {
		a.Cell = sitting.In(cell)
	}
	return a
}

// cellOf is the cell next to the eye with such a lens, and whether no other cell
// has one: then it need not be named.
func (w *work) cellOf(such func(optics.Lens) bool) (cell optics.Cell, only bool) {
	found := 0
	for c := optics.Cell(optics.Cells); c > 0; c-- {
		if such(w.frame.Lenses[c-1]) {
			cell = c - 1
			found++
		}
	}
	return cell, found == 1
}

func hundredths(d float64) float64 { return math.Round(d*100)/100 + 0 }

// asks reports whether all there is to do is to ask: what was advised before is done.
func asks(do []sitting.Action) bool { return len(do) == 1 && do[0].Do == sitting.Ask }
