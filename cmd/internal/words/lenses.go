package words

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// about takes the words apart that say where: "left" or "right" at the end,
// and "in front 2", "front 2" or "back". What is left is given back.
func about(w []string) (rest []string, side sitting.Side, cell sitting.Place) {
	for range 2 { // in either order
		if n := len(w); n > 0 {
			switch sitting.Side(strings.ToLower(w[n-1])) {
			case sitting.Left, sitting.Right:
				side, w = sitting.Side(strings.ToLower(w[n-1])), w[:n-1]
			}
		}
		w, cell = cutCell(w, cell)
	}
	return w, side, cell
}

// cutCell takes the name of a cell from the end.
func cutCell(w []string, already sitting.Place) (rest []string, cell sitting.Place) {
	if already != 0 {
		return w, already
	}
	for n := 1; n <= 2 && n <= len(w); n++ {
		c, err := optics.ParseCell(strings.Join(w[len(w)-n:], " "))
		if err != nil {
			continue
		}
		w = w[:len(w)-n]
		if k := len(w); k > 0 && is(w[k-1], "in", "from", "to", "the") {
			w = w[:k-1]
		}
		return w, sitting.In(c)
	}
	return w, 0
}

func is(word string, any ...string) bool { return slices.Contains(any, strings.ToLower(word)) }

// drop leaves out a first word that carries nothing.
func drop(w []string, words ...string) []string {
	for len(w) > 0 && is(w[0], words...) {
		w = w[1:]
	}
	return w
}

// without leaves words out that carry nothing, wherever they stand.
func without(w []string, words ...string) []string {
	return slices.DeleteFunc(w, func(word string) bool { return is(word, words...) })
}

func parsePut(w []string, s Scene) (sitting.Action, error) {
	w, side, cell := about(plain(w))
	if len(w) == 0 {
		return sitting.Action{}, unclear(fact.Refuse("command.which-lens", "examples", []fact.Command{"put +0.50", "put -1.00x35", "put pinhole"}))
	}
	l, err := lens(w)
	return sitting.Action{Eye: side, Cell: cell, Lens: l}, err
}

// lens reads a lens.
func lens(w []string) (optics.Lens, error) {
	l, err := optics.ParseLens(strings.Join(w, " "))
	if err != nil {
		return l, unclear(fact.Because(err, "command.lens"))
	}
	return l, nil
}

// frame is the frame that a command is about.
func (s Scene) frame(side sitting.Side) optics.Frame {
	if side == "" {
		side = s.Tested
	}
	return s.Frames[side.Index()]
}

// only is the cell that holds the only lens of a kind.
func only(f optics.Frame, kind optics.Kind) (cell optics.Cell, found int) {
	for c, l := range f.Lenses {
		if l.Kind == kind {
			if found == 0 {
				cell = optics.Cell(c)
			}
			found++
		}
	}
	return cell, found
}

// kindOf reads the name of a kind of lens.
func kindOf(word string) optics.Kind {
	switch {
	case is(word, "sphere"):
		return optics.SphereLens
	case is(word, "cyl"):
		return optics.CylinderLens
	}
	return optics.NoLens
}

func parseTake(w []string, s Scene) (sitting.Action, error) {
	w, side, cell := about(without(plain(w), "out", "the"))
	a := sitting.Action{Eye: side, Cell: cell}
	if len(w) == 1 {
		if kind := kindOf(w[0]); kind != optics.NoLens {
			c, n := only(s.frame(side), kind)
			switch n {
			case 0:
				return a, unclear(fact.Refuse("command.no-" + name(kind)))
			case 1:
				a.Cell = sitting.In(c)
				return a, nil
			}
			return a, unclear(fact.Refuse("command.many-"+name(kind)+"s", "example", fact.Command("take front 1")))
		}
	}
	var err error
	if len(w) > 0 {
		a.Lens, err = lens(w)
	}
	return a, err
}

// name is a kind of lens in the IDs of refusals.
func name(k optics.Kind) string {
	if k == optics.CylinderLens {
		return "cylinder"
	}
	return "sphere"
}

// cutOldFirst takes "old first" from the end.
func cutOldFirst(w []string) (rest []string, cut bool) {
	if n := len(w); n >= 2 && is(w[n-2], "old") && is(w[n-1], "first") {
		return w[:n-2], true
	}
	return w, false
}

func parseChange(w []string, s Scene) (sitting.Action, error) {
	a := sitting.Action{Do: sitting.Exchange}
	w, a.OldFirst = cutOldFirst(plain(w))
	w, a.Eye, a.Cell = about(w)
	w = drop(w, "the")
	kind := optics.NoLens
	if len(w) > 1 {
		if kind = kindOf(w[0]); kind != optics.NoLens {
			w = w[1:]
		}
	}
	if a.Cell == 0 { // change front 1 to -0.50
		if i := slices.IndexFunc(w, func(v string) bool { return is(v, "to") }); i > 0 {
			if c, err := optics.ParseCell(strings.Join(w[:i], " ")); err == nil {
				a.Cell, w = sitting.In(c), w[i:]
			}
		}
	}
	w = drop(w, "to", "for")
	if len(w) == 0 {
		return a, unclear(fact.Refuse("command.exchange-for", "examples", []fact.Command{"change sphere to +0.75", "change cyl to -1.00"}))
	}
	if d, err := optics.ParseDioptre(strings.Join(w, " ")); err == nil && kind == optics.CylinderLens {
		if d == 0 {
			return a, unclear(fact.Refuse("command.no-power", "example", fact.Command("take cyl")))
		}
		a.Lens = optics.Lens{Kind: optics.CylinderLens, Power: d}
		return a, nil
	}
	var err error
	a.Lens, err = lens(w)
	return a, err
}

// code is a power as the log writes it.
func code(d float64) string { return optics.SphereOf(d).Code() }

func parseAdd(w []string, s Scene) (sitting.Action, error) {
	w, oldFirst := cutOldFirst(plain(w))
	w, side, cell := about(w)
	kind := optics.SphereLens
	if n := len(w); n > 1 {
		w = slices.DeleteFunc(slices.Clone(w), func(v string) bool { return is(v, "to", "the") })
		if k := kindOf(w[len(w)-1]); k != optics.NoLens {
			kind, w = k, w[:len(w)-1]
		}
	}
	by, err := optics.ParseDioptre(strings.Join(w, " "))
	if err != nil || by == 0 {
		return sitting.Action{}, unclear(fact.Refuse("command.how-much", "examples", []fact.Command{"add +0.25", "add -0.25 cyl"}))
	}
	f := s.frame(side)
	at, n := only(f, kind)
	if c, named := cell.Cell(); named {
		at = c
		if f.Lenses[at].Kind != kind {
			return sitting.Action{}, unclear(fact.Refuse("command.cell-no-"+name(kind), "cell", at))
		}
		n = 1
	}
	switch {
	case n == 0 && kind == optics.CylinderLens:
		return sitting.Action{}, unclear(fact.Refuse("command.put-cylinder", "example", fact.Command("put "+code(by)+"x35")))
	case n == 0:
		return sitting.Action{Do: sitting.Put, Eye: side, Lens: optics.SphereOf(by)}, nil
	case n > 1 && kind == optics.CylinderLens:
		return sitting.Action{}, unclear(fact.Refuse("command.many-cylinders", "example", fact.Command("add "+code(by)+" cyl in front 1")))
	}
	a := addTo(f.Lenses[at], by, sitting.Action{Eye: side, Cell: sitting.In(at)})
	a.OldFirst = oldFirst && a.Do == sitting.Exchange
	return a, nil
}

// addTo exchanges a lens for the sum, or takes it out when nothing is left.
func addTo(old optics.Lens, by float64, a sitting.Action) sitting.Action {
	sum := math.Round((old.Power+by)*1e6)/1e6 + 0
	if sum == 0 {
		a.Do = sitting.Take
		return a
	}
	a.Do, a.Lens = sitting.Exchange, old.WithPower(sum)
	return a
}

func parseTurn(w []string, s Scene) (sitting.Action, error) {
	w, side, cell := about(plain(w))
	a := sitting.Action{Eye: side, Cell: cell}
	w = drop(w, "the", "cyl", "axis", "to", "by")
	if n := len(w); n > 1 && a.Cell == 0 { // turn front 1 to 35
		before := w[:n-1]
		if is(before[len(before)-1], "to", "by") {
			before = before[:len(before)-1]
		}
		if rest, c := cutCell(before, 0); len(rest) == 0 {
			a.Cell, w = c, w[n-1:]
		}
	}
	if len(w) == 1 {
		f := s.frame(a.Eye)
		at, _ := only(f, optics.CylinderLens)
		if c, named := a.Cell.Cell(); named {
			at = c
		}
		if axis, ok := degrees(w[0], f.Lenses[at].Axis); ok {
			a.Axis = axis
			return a, nil
		}
	}
	return a, unclear(fact.Refuse("command.which-axis", "axis", fact.Command("turn 35"), "turn", fact.Command("turn +5")))
}

// degrees reads an axis or a label in whole degrees, or a turn from where
// something is now when it has a sign. A turn goes round past 180.
func degrees(word string, now float64) (int, bool) {
	word = strings.Replace(strings.TrimSuffix(word, "°"), "−", "-", 1)
	n, err := strconv.Atoi(word)
	if err != nil || n < -1000 || n > 1000 {
		return 0, false
	}
	if word[0] == '+' || word[0] == '-' {
		return int(optics.Axis(math.Round(now) + float64(n))), true
	}
	return n, n != 0
}

// hour reads a label as the hour of a clock, a thirtieth of it, or half of one, with the degrees
// beyond: 1 o'clock, 12½ Uhr, 1.5 o'clock +7.
func hour(w []string) (label int, ok bool) {
	if len(w) < 2 || len(w) > 3 || !is(w[1], "oclock") {
		return 0, false
	}
	h, err := strconv.ParseFloat(strings.NewReplacer("½", ".5", ",", ".").Replace(w[0]), 64)
	if err != nil || h < 1 || h >= 13 || 2*h != math.Round(2*h) {
		return 0, false
	}
	if len(w) == 2 {
		return int(optics.Axis(30 * h)), true
	}
	if strings.IndexAny(w[2], "+-−") != 0 {
		return 0, false
	}
	return degrees(w[2], 30*h)
}

func parseHold(w []string, s Scene) (sitting.Action, error) {
	w, side, _ := about(without(plain(w), "up"))
	if len(w) == 0 {
		return sitting.Action{}, unclear(fact.Refuse("command.which-lens", "examples", []fact.Command{"hold +0.50"}))
	}
	l, err := lens(w)
	return sitting.Action{Eye: side, Lens: l}, err
}

func parseLower(w []string, s Scene) (sitting.Action, error) {
	_, side, _ := about(plain(w))
	if side == "" && s.frame("").Held == (optics.Lens{}) && s.frame(s.Tested.Other()).Held != (optics.Lens{}) {
		side = s.Tested.Other()
	}
	return sitting.Action{Eye: side}, nil
}
