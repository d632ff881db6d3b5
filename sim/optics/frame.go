package optics

import (
	"fmt"
	"strings"

	"conoid/sim/fact"
)

// Cell is one of the places of a trial frame that hold a lens.
type Cell uint8

// The cells, from the one next to the eye outward.
const (
	Back Cell = iota
	Front1
	Front2
	Front3
)

// Cells is the number of cells of a frame.
const Cells = 4

// AllCells are the cells, from the one next to the eye outward.
func AllCells() []Cell { return []Cell{Back, Front1, Front2, Front3} }

var cellNames = [Cells]string{"back", "front 1", "front 2", "front 3"}

// String is the name of c: "back", "front 1", "front 2" or "front 3".
func (c Cell) String() string {
	if int(c) < len(cellNames) {
		return cellNames[c]
	}
	return fmt.Sprintf("no cell (%d)", uint8(c))
}

// Name is the name of c in the words.
func (c Cell) Name() string {
	if int(c) < len(cellNames) {
		return "cell." + strings.ReplaceAll(cellNames[c], " ", "-")
	}
	return "cell.none"
}

// ParseCell reads the name of a cell, in any case and with or without its
// space: "back", "front 1", "Front2".
func ParseCell(s string) (Cell, error) {
	name := strings.ToLower(strings.Join(strings.Fields(s), ""))
	for i, n := range cellNames {
		if name == strings.ReplaceAll(n, " ", "") {
			return Cell(i), nil
		}
	}
	return 0, fact.Refuse("optics.no-cell", "text", s, "cells", AllCells())
}

// MarshalText writes the name of c.
func (c Cell) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads c as ParseCell does.
func (c *Cell) UnmarshalText(text []byte) (err error) {
	*c, err = ParseCell(string(text))
	return err
}

// The usual places of the lenses, in metres.
const (
	UsualVertex  = 0.012 // from the cornea to the back cell; common practice
	UsualSpacing = 0.005 // from cell to cell; chosen here, 3 to 5 mm is common practice
)

// Frame is one side of a trial frame and what stands in it. The cells stand
// Spacing apart in front of the back cell, and a hand-held lens is held one
// more Spacing in front of the foremost cell. All lenses are thin.
type Frame struct {
	Vertex  float64     // m, from the cornea to the back cell
	Spacing float64     // m, from each place to the next
	Lenses  [Cells]Lens // indexed by Cell
	Held    Lens        // the hand-held lens
}

// NewFrame is an empty frame whose back cell stands vertex metres from the
// cornea, with the usual spacing.
func NewFrame(vertex float64) Frame { return Frame{Vertex: vertex, Spacing: UsualSpacing} }

// Prescription is the plain sum of the powers in the cells, with a minus
// cylinder: what the student states and what is marked, as if all stood in the
// back cell. A hand-held lens is no part of it.
func (f Frame) Prescription() Rx {
	var sum Power
	for _, l := range f.Lenses {
		sum = sum.Add(l.Rx().Power())
	}
	return sum.Rx()
}

// AtCornea is the vergence in dioptres at the cornea of light from a chart
// distance metres in front of the cornea, carried through the hand-held lens
// and then every cell in order. The chart must hang in front of the whole
// frame; math.Inf(1) is allowed.
func (f Frame) AtCornea(distance float64) Power {
	v := fromChart(distance, f.Vertex+Cells*f.Spacing).Add(f.Held.Rx().Power())
	for c := Cells - 1; c >= 0; c-- {
		v = v.Travel(f.Spacing).Add(f.Lenses[c].Rx().Power())
	}
	return v.Travel(f.Vertex)
}

// Effective is the single lens in the back cell that gives the same vergence
// at the cornea as all the lenses where they really stand, hand-held lens
// included, for a chart at distance metres: what is really worn. It has a
// minus cylinder.
func (f Frame) Effective(distance float64) Rx {
	leaving := f.AtCornea(distance).Travel(-f.Vertex)
	return leaving.Sub(fromChart(distance, f.Vertex)).Rx()
}

// Required is the vergence in dioptres at the cornea when rx alone stands
// vertex metres in front of the cornea and the chart hangs at distance metres:
// the vergence that an eye with this correction needs.
func Required(rx Rx, vertex, distance float64) Power {
	return fromChart(distance, vertex).Add(rx.Power()).Travel(vertex)
}

// Blocked reports whether an occluder stands in any place.
func (f Frame) Blocked() bool { return f.has(OccluderLens) }

// HasPinhole reports whether a pinhole stands in any place.
func (f Frame) HasPinhole() bool { return f.has(PinholeLens) }

func (f Frame) has(k Kind) bool {
	for _, l := range f.Lenses {
		if l.Kind == k {
			return true
		}
	}
	return f.Held.Kind == k
}

// fromChart is the vergence of light from a chart distance metres in front of
// the cornea, where it meets a lens that stands at metres in front of the
// cornea.
func fromChart(distance, at float64) Power {
	if !(distance > at) {
		panic(fmt.Sprintf("optics: the chart hangs %g m and the lens stands %g m in front of the eye", distance, at))
	}
	return Sphere(-1 / (distance - at))
}
