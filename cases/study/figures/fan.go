package figures

import (
	"fmt"
	"math"
	"math/rand/v2"

	"conoid/sim/eye"
	"conoid/sim/patient"
)

// fanShares are what everyday people say of the fan with a cylinder of so many
// dioptres lacking, in so much fog.
type fanShares struct {
	cyl, fog float64

	alike   float64 // share that finds all lines alike
	wide    float64 // share that finds them alike, or five or more the clearest
	right   float64 // share of those who name lines whose middle is the axis, to 20°
	nothing float64 // share that names no lines
	lines   float64 // mean number of lines named
}

// fanAnswers put the fan before drawn eyes.
func fanAnswers(seed uint64) func(eyes int) []Row {
	return func(eyes int) (out []Row) {
		for _, pupil := range pupils {
			row := func(what string, measured, low, high float64) {
				out = append(out, within(fmt.Sprintf("%s, %v mm, seed %d", what, pupil, seed), measured, low, high, ownGeometry))
			}
			of := func(cyl, fog float64) fanShares { return fanOf(seed, eyes, pupil, cyl, fog) }
			row("no cylinder, fog 0.50 D: alike", of(0, 0.5).alike, 0.82, math.Inf(1))
			row("0.25 D: alike, or five lines and more", of(0.25, 0.5).wide, 0.80, math.Inf(1))
			row("1.00 D: the axis", of(1, 0.5).right, 0.98, math.Inf(1))
			row("1.00 D, fog 1.00 D: the axis", of(1, 1).right, 0.85, math.Inf(1))
			row("1.00 D: lines named", of(1, 0.5).lines, 2.8, 4)
			row("2.00 D: lines named", of(2, 0.5).lines, 1.5, 2.5)
			row("0.50 D, fog 2.00 D: no line", of(0.5, 2).nothing, 0.85, math.Inf(1))
		}
		return out
	}
}

// ownGeometry marks a figure for which nothing was published.
const ownGeometry = "the project's choice, by geometry"

func fanOf(seed uint64, eyes int, pupil, cyl, fog float64) fanShares {
	m := patient.Manners()["everyday"]
	all := make([]fanShares, eyes)
	seeded(seed, eyes, func(b *bench, k int, r *rand.Rand) {
		a := astigmat{b.corrected(eye.New(pupil, youngAge, eye.Draw(r))), math.Ceil(180 * r.Float64())}
		look := []*patient.Look{a.look(a.residual(cyl, fog))}
		s := &all[k]
		for i := range looksAtMarks {
			said := m.Lines(asked(k, i, "fan"), patient.Once(look...), fanLines())
			n := len(said.Lines)
			s.alike += share(said.Kind == patient.Alike || said.Kind == patient.Unsure)
			s.wide += share(said.Kind == patient.Alike || said.Kind == patient.Unsure || n >= 5)
			s.nothing += share(n == 0)
			if n > 0 {
				s.lines += float64(n)
				s.right += share(right(said, a.axis))
			}
		}
	})
	out := fanShares{cyl: cyl, fog: fog}
	var n float64
	for _, s := range all {
		out.alike, out.wide, out.nothing = out.alike+s.alike, out.wide+s.wide, out.nothing+s.nothing
		out.right, out.lines = out.right+s.right, out.lines+s.lines
		n += looksAtMarks
	}
	named := max(1, n-out.nothing)
	return fanShares{cyl, fog, out.alike / n, out.wide / n, out.right / named, out.nothing / n, out.lines / named}
}
