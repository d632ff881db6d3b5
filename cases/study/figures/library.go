package figures

import (
	"fmt"
	"math"
	"math/rand/v2"

	"conoid/cases"
	"conoid/cases/study/population"
)

// ofLibrary is how well the method works on the cases of the library, whose
// aberrations were chosen so that it does, and on as many unselected eyes as there
// are to be. With few eyes the expert examines each case less often.
func ofLibrary(eyes int) (out []Row) {
	sittings := 20
	if eyes < 20 {
		sittings = 4
	}
	lib := cases.Library()
	works := worksOf(len(lib), func(i int) *cases.Case { return lib[i] }, sittings)
	for i, c := range lib {
		bound, check := population.CylinderBound, population.CheckBound
		if c.MannerName == "scattered" {
			bound, check = population.ScatteredCylinder, population.ScatteredCheck
		}
		if sittings < 20 {
			bound += 0.15 // the mean of a few sittings
		}
		w := works[i]
		out = append(out,
			within(c.ID+": mean cylinder found, less the true one, D", w.Cylinder, -bound, bound, ownSelection),
			within(c.ID+": share of checks with +0.50 that stay alike", w.Check, check-1e-9, math.Inf(1), ownSelection),
			within(c.ID+": noiseless balance of the blocks off by, D", w.Blocks, 0, population.BlocksBound, ownSelection),
		)
		if c.Of(c.Tested).Error.Cyl <= -1 {
			out = append(out, within(c.ID+": noiseless balance of the arrow off by, °", w.Arrow, 0, population.ArrowBound, ownSelection))
		}
	}
	return append(out, unselected(eyes, sittings)...)
}

// ownSelection marks a figure that eyes were chosen by.
const ownSelection = "the project's choice; seeds of aberrations were refused until it came out"

// unselectedSeed is that of the eyes that nobody chose.
const unselectedSeed = 60

func unselected(eyes, sittings int) []Row {
	works := worksOf(eyes, func(i int) *cases.Case { return population.Unselected(unselectedSeed, i) }, sittings)
	var mean, near, check, passed, blocks, arrow float64
	for _, w := range works {
		mean += w.Cylinder / float64(eyes)
		near += share(math.Abs(w.Cylinder) <= population.CylinderBound) / float64(eyes)
		check += w.Check / float64(eyes)
		passed += share(w.Check >= population.CheckBound) / float64(eyes)
		blocks += share(w.Blocks <= population.BlocksBound) / float64(eyes)
		arrow += share(w.Arrow <= population.ArrowBound) / float64(eyes)
	}
	row := func(what string, measured, low, high float64) Row {
		return within(fmt.Sprintf("unselected eyes, seed %d: %s", unselectedSeed, what), measured, low, high, "none: what comes of eyes as they come")
	}
	return []Row{
		row("mean cylinder found, less the true one, D", mean, -0.12, 0.12),
		row("share whose mean is within 0.12 D", near, 0, 1),
		row("share of checks with +0.50 that stay alike", check, 0, 1),
		row("share with at least 85 % of them", passed, 0, 1),
		row("share with the blocks balanced within 0.12 D", blocks, 0, 1),
		row("share with the arrow balanced within 3°", arrow, 0, 1),
	}
}

// worksOf is how well the method works on each of so many people.
func worksOf(n int, of func(i int) *cases.Case, sittings int) []population.Works {
	out := make([]population.Works, n)
	each(n, func(_ *bench, i int, _ *rand.Rand) {
		w, err := population.HowOf(of(i), sittings)
		if err != nil {
			panic(err) // the expert does nothing that is refused
		}
		out[i] = w
	})
	return out
}
