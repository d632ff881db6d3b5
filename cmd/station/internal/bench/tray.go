package bench

import (
	"fmt"
	"math"

	"conoid/cmd/station/internal/ui"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// tray is the lens in every cell and its neighbours, the lenses to hold up and
// the covers.
func (a *App) tray(c *ui.Column, st sitting.State) {
	t := a.seat
	f := st.Frames[t.tested().Index()]
	empty := -1
	for cell, l := range f.Lenses {
		if l == (optics.Lens{}) {
			if empty < 0 {
				empty = cell
			}
			continue
		}
		a.slot(c, cell, l)
	}
	if f.Lenses == [optics.Cells]optics.Lens{} {
		c.Para(a.l("tray.empty"), ui.Quiet)
		c.Gap(8)
	}
	c.Flow(func(fl *ui.Flow) {
		if fl.ButtonIf(empty >= 0, "put in", a.l("tray.put"), ui.Plain) {
			a.dialog = lensDialog(empty)
		}
		fl.Text(a.l("tray.together", f.Prescription().String()), ui.Note)
	})
	c.Rule()
	a.handHeld(c, f)
	c.Rule()
	a.covers(c, st)
}

// slot is one lens in its cell.
func (a *App) slot(c *ui.Column, cell int, l optics.Lens) {
	name := optics.Cell(cell).String()
	c.Flow(func(f *ui.Flow) {
		f.Text(a.l("tray.cell", a.l("cell."+name), a.lensShort(l)), ui.Strong)
		if l.Kind == optics.SphereLens || l.Kind == optics.CylinderLens {
			for _, by := range []float64{-0.25, 0.25} {
				sign := fmt.Sprintf("%+.2f", by)
				if f.Sign(true, name+sign, trueMinus(sign), a.l("tray.by", trueMinus(sign), a.l("cell."+name)), ui.Plain) {
					a.seat.cell = cell
					a.change(cell, l, by)
				}
			}
		}
		if f.Sign(true, "other "+name, a.l("tray.other"), a.l("tray.of", a.l("tray.other"), a.l("cell."+name)), ui.Plain) {
			a.seat.cell = cell
			a.dialog = lensDialog(cell)
		}
		if f.Sign(true, "out "+name, a.l("tray.out"), a.l("tray.of", a.l("tray.out"), a.l("cell."+name)), ui.Plain) {
			a.perform(sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Cell(cell))})
		}
		if l.Kind == optics.CylinderLens {
			f.Break()
			f.Text(a.l("tray.axis", a.axisNow(cell, l)), ui.Body)
			for _, by := range []int{-5, -1, 1, 5} {
				sign := fmt.Sprintf("%+d", by)
				if f.Sign(true, name+" axis "+sign, trueMinus(sign), a.l("tray.of", a.l("tray.turn", trueMinus(sign)), a.l("cell."+name)), ui.Plain) {
					a.seat.cell = cell
					a.turnTo(cell, folded(int(l.Axis)+by))
				}
			}
		}
	})
}

func (a *App) axisNow(cell int, l optics.Lens) int {
	if t := a.seat.turn; t != nil && !t.arrow && t.cell == cell {
		return t.to
	}
	return int(l.Axis)
}

// lensShort is lensName where there is little room.
func (a *App) lensShort(l optics.Lens) string {
	if l.Kind == optics.CylinderLens {
		return a.l("lens.cyl", dioptres(l.Power))
	}
	return a.lensName(l)
}

// lensName is a lens in words.
func (a *App) lensName(l optics.Lens) string {
	power := trueMinus(fmt.Sprintf("%+.2f", l.Power))
	switch l.Kind {
	case optics.SphereLens:
		return a.l("lens.sphere", power)
	case optics.CylinderLens:
		return a.l("lens.cylinder", power)
	case optics.PinholeLens:
		return a.l("lens.pinhole")
	case optics.OccluderLens:
		return a.l("lens.occluder")
	}
	return a.l("lens.none")
}

// change puts the lens in a cell a quarter of a dioptre, or a step of the set,
// up or down: over zero it is taken out.
func (a *App) change(cell int, l optics.Lens, by float64) {
	set := a.seat.s.Setup().Room.Set
	power := math.Round(4*(l.Power+by)) / 4
	if power == 0 {
		a.perform(sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Cell(cell))})
		return
	}
	next := l.WithPower(power)
	if set.Check(next) != nil {
		step := 1
		if by < 0 {
			step = -1
		}
		n, ok := set.Neighbour(l, step)
		if !ok {
			a.notice = a.l("tray.last")
			return
		}
		next = n
	}
	a.perform(sitting.Action{Do: sitting.Exchange, Cell: sitting.In(optics.Cell(cell)), Lens: next})
}

// cylinder makes the cylinder stronger or weaker, by a key.
func (a *App) cylinder(by string) {
	f := a.seat.s.State().Frames[a.seat.tested().Index()]
	cell, ok := a.turnable(f)
	if !ok {
		a.notice = a.l("tray.nocyl")
		return
	}
	d := -0.25
	if by == "+0.25" {
		d = 0.25
	}
	a.change(cell, f.Lenses[cell], d)
}

// handHeld are the lenses to hold up.
func (a *App) handHeld(c *ui.Column, f optics.Frame) {
	c.Flow(func(fl *ui.Flow) {
		fl.Text(a.l("hand.title"), ui.Strong)
		for _, l := range a.seat.s.Setup().Room.Set.HandHeld() {
			label := trueMinus(fmt.Sprintf("%+.2f", l.Power))
			look := ui.Plain
			if f.Held == l {
				look = ui.Selected
			}
			if !fl.Sign(true, "hold "+l.Code(), label, a.l("hand.hold", label), look) {
				continue
			}
			held := f.Held
			if held != (optics.Lens{}) {
				a.perform(sitting.Action{Do: sitting.Lower})
			}
			if held != l {
				a.perform(sitting.Action{Do: sitting.Hold, Lens: l})
			}
		}
		if f.Held != (optics.Lens{}) && fl.Button("lower", a.l("hand.lower"), ui.Plain) {
			a.perform(sitting.Action{Do: sitting.Lower})
		}
	})
}

// covers are the occluders of both eyes.
func (a *App) covers(c *ui.Column, st sitting.State) {
	tested := a.seat.tested()
	c.Flow(func(f *ui.Flow) {
		for _, side := range []sitting.Side{tested.Other(), tested} {
			key, do := "cover.on", sitting.Cover
			if st.Covered[side.Index()] {
				key, do = "cover.off", sitting.Uncover
			}
			if f.Button("cover "+string(side), a.l(key, a.l("the."+string(side))), ui.Plain) {
				a.perform(sitting.Action{Do: do, Eye: side})
			}
		}
	})
}

// lensDialog is the whole trial set, for one cell.
func lensDialog(cell int) dialog {
	kind := optics.NoLens
	axis := 0
	target := cell
	return func(a *App) {
		st := a.seat.s.State()
		f := st.Frames[a.seat.tested().Index()]
		now := f.Lenses[target]
		if kind == optics.NoLens {
			kind = optics.SphereLens
			if now.Kind == optics.CylinderLens {
				kind = optics.CylinderLens
			}
		}
		if axis == 0 {
			axis = a.likelyAxis(f, now)
		}
		closed := a.ui.Dialog("trial set", a.l("set.title"), a.l("close"), 760, func(c *ui.Column) {
			a.chooseCell(c, f, &target)
			a.choosePower(c, target, &kind, &axis)
		})
		if closed {
			a.dialog = nil
		}
	}
}

// likelyAxis is where a new cylinder would go: where the old one stands, or
// where the arrow points.
func (a *App) likelyAxis(f optics.Frame, now optics.Lens) int {
	if now.Kind == optics.CylinderLens {
		return int(now.Axis)
	}
	if cell, ok := a.turnable(f); ok {
		return int(f.Lenses[cell].Axis)
	}
	return a.seat.s.State().Pointer
}

func (a *App) chooseCell(c *ui.Column, f optics.Frame, target *int) {
	c.Para(a.l("set.cell"), ui.Strong)
	c.Gap(3)
	c.Flow(func(fl *ui.Flow) {
		for cell, l := range f.Lenses {
			look := ui.Plain
			if cell == *target {
				look = ui.Selected
			}
			name := optics.Cell(cell).String()
			if fl.Button("into "+name, a.l("tray.cell", a.l("cell."+name), a.lensName(l)), look) {
				*target = cell
			}
		}
	})
}

func (a *App) choosePower(c *ui.Column, target int, kind *optics.Kind, axis *int) {
	set := a.seat.s.Setup().Room.Set
	kinds := []optics.Kind{optics.SphereLens, optics.CylinderLens, optics.PinholeLens}
	names := []string{a.l("set.spheres"), a.l("set.cylinders"), a.l("set.pieces")}
	at := 0
	for i, k := range kinds {
		if k == *kind {
			at = i
		}
	}
	*kind = kinds[c.Choice("kind", names, at)]
	switch *kind {
	case optics.SphereLens:
		a.powers(c, set.Spheres(), func(d float64) { a.into(target, optics.SphereOf(d)) })
	case optics.CylinderLens:
		c.Flow(func(f *ui.Flow) {
			f.Text(a.l("tray.axis", *axis), ui.Strong)
			for _, by := range []int{-30, -5, -1, 1, 5, 30} {
				sign := fmt.Sprintf("%+d", by)
				if f.Sign(true, "new axis "+sign, trueMinus(sign), a.l("tray.turn", trueMinus(sign)), ui.Plain) {
					*axis = folded(*axis + by)
				}
			}
		})
		a.powers(c, set.Cylinders(), func(d float64) { a.into(target, optics.CylinderOf(d, float64(*axis))) })
	default:
		c.Flow(func(f *ui.Flow) {
			for _, l := range []optics.Lens{optics.Pinhole, optics.Occluder} {
				if f.Button("piece "+l.Code(), a.lensName(l), ui.Plain) {
					a.into(target, l)
				}
			}
		})
	}
}

// powers are lenses to take from the set, plus above minus.
func (a *App) powers(c *ui.Column, list []float64, take func(d float64)) {
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
				label := trueMinus(fmt.Sprintf("%+.2f", d))
				if f.Button("lens "+label, label, ui.Plain) {
					take(d)
				}
			}
		})
	}
}

// into puts a lens into a cell, in the place of the one that is there.
func (a *App) into(cell int, l optics.Lens) {
	f := a.seat.s.State().Frames[a.seat.tested().Index()]
	do := sitting.Put
	if f.Lenses[cell] != (optics.Lens{}) {
		do = sitting.Exchange
	}
	a.seat.cell = cell
	a.dialog = nil
	a.perform(sitting.Action{Do: do, Cell: sitting.In(optics.Cell(cell)), Lens: l})
}
