package wish

import (
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Put puts a lens into an empty cell.
func Put(cell optics.Cell, l optics.Lens) Do {
	return Do{sitting.Action{Do: sitting.Put, Cell: sitting.In(cell), Lens: l}}
}

// Exchange puts a lens in the place of another.
func Exchange(cell optics.Cell, l optics.Lens) Do {
	return Do{sitting.Action{Do: sitting.Exchange, Cell: sitting.In(cell), Lens: l}}
}

// Take takes the lens out of a cell.
func Take(cell optics.Cell) Do {
	return Do{sitting.Action{Do: sitting.Take, Cell: sitting.In(cell)}}
}

// Turn turns the cylinder in a cell to an axis.
func Turn(cell optics.Cell, axis int) Do {
	return Do{sitting.Action{Do: sitting.Turn, Cell: sitting.In(cell), Axis: axis}}
}

// HoldUp holds a lens up.
func HoldUp(l optics.Lens) Do { return Do{sitting.Action{Do: sitting.Hold, Lens: l}} }

// Lower takes it down again.
func Lower() Do { return Do{sitting.Action{Do: sitting.Lower}} }

// Into puts a lens into a cell of a frame, in the place of the one that is
// there.
func Into(f optics.Frame, cell optics.Cell, l optics.Lens) Do {
	if f.Lenses[cell] == (optics.Lens{}) {
		return Put(cell, l)
	}
	return Exchange(cell, l)
}

// Cover covers an eye, or opens it.
func Cover(side sitting.Side, covered bool) Do {
	do := sitting.Cover
	if !covered {
		do = sitting.Uncover
	}
	return Do{sitting.Action{Do: do, Eye: side}}
}

// ShowChart hangs a chart on the wall.
func ShowChart(name chart.Name) Do {
	return Do{sitting.Action{Do: sitting.Show, Chart: name}}
}

// ShowLetter hangs a single letter of a size on the wall, logMAR.
func ShowLetter(size float64) Do {
	return Do{sitting.Action{Do: sitting.Show, Chart: chart.Letter, Size: &size}}
}

// Point turns the arrow to a label.
func Point(to int) Do { return Do{sitting.Action{Do: sitting.Point, Axis: to}} }

// Explain explains the task.
func Explain() Do { return Do{sitting.Action{Do: sitting.Explain}} }

// Note writes on the record card.
func Note(field sitting.Field, text string) Do {
	return Do{sitting.Action{Do: sitting.Note, Field: field, Text: text}}
}
