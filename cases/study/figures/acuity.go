package figures

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"

	"conoid/sim/optics"
)

// pupils are the diameters, in millimetres, that the acuity figures are for.
var pupils = []float64{3, 4}

// youngAge is the age, in years, of the eyes in studies of young adults.
const youngAge = 25

// lettersSeed draws the eyes for which the letter observer was set.
const lettersSeed = 616

// blurTargets are what plus costs, in logMAR, and how far off that may be: what lies
// between the published losses, which rise from a table without a pupil
// (Blendowske 2015) to one of a clinic, and what the pupil makes of them.
var blurTargets = []struct{ plus, loss, tol float64 }{
	{0.5, 0.18, 0.08}, {1, 0.40, 0.10}, {1.5, 0.57, 0.10}, {2, 0.75, 0.12}, {3, 1.0, 0.15},
}

const blurSource = "between Blendowske 2015, Smith 1991 (from memory) and a clinic's table of 6,000 refractions; see “What was fitted”"

// sphericalBlur is measured on the eyes of a seed.
func sphericalBlur(seed uint64) func(eyes int) []Row {
	return func(eyes int) (out []Row) {
		for _, pupil := range pupils {
			loss := make([][]float64, len(blurTargets))
			for i := range loss {
				loss[i] = make([]float64, eyes)
			}
			seeded(seed, eyes, func(b *bench, k int, r *rand.Rand) {
				c := b.corrected(drawn(r, pupil, youngAge))
				for i, t := range blurTargets {
					loss[i][k] = c.loss(optics.Sphere(t.plus))
				}
			})
			for i, t := range blurTargets {
				what := fmt.Sprintf("logMAR lost by +%.2f D, %v mm, seed %d", t.plus, pupil, seed)
				out = append(out, about(what, stat.Mean(loss[i], nil), t.loss, t.tol, blurSource))
			}
		}
		return out
	}
}

func cylinderBlur(eyes int) []Row {
	cylinders := []float64{0.5, 1, 1.5, 2, 2.5, 3}
	axes := []float64{180, 45, 90}
	var out []Row
	for _, pupil := range pupils {
		loss := make([][][]float64, len(axes))
		best := make([]float64, eyes)
		for a := range axes {
			loss[a] = make([][]float64, len(cylinders))
			for i := range cylinders {
				loss[a][i] = make([]float64, eyes)
			}
		}
		seeded(lettersSeed, eyes, func(b *bench, k int, r *rand.Rand) {
			c := b.corrected(drawn(r, pupil, youngAge))
			best[k] = c.look(optics.Power{}).Acuity()
			for a, axis := range axes {
				for i, cyl := range cylinders {
					p := optics.Rx{Sphere: cyl / 2, Cyl: -cyl, Axis: axis}.Power()
					loss[a][i][k] = c.loss(p)
				}
			}
		})
		all := make([]float64, len(cylinders))
		byAxis := make([]float64, len(axes))
		for i := range cylinders {
			for a := range axes {
				m := stat.Mean(loss[a][i], nil)
				all[i] += m / float64(len(axes))
				byAxis[a] += m / float64(len(cylinders))
			}
		}
		out = append(out, within(fmt.Sprintf("slope over 0.5 to 3 D, logMAR/D, %v mm", pupil), slope(cylinders, all), 0.18-0.06, 0.22+0.06, "lens-induced astigmatism, Clin Optom 2023;15:105"))
		for i, c := range cylinders {
			out = append(out, about(fmt.Sprintf("logMAR with %.1f D cylinder, %v mm", c, pupil), stat.Mean(best, nil)+all[i], 0.017*c*c+0.125*c-0.116, 0.10, "Hoshikawa 2021"))
		}
		out = append(out, within(fmt.Sprintf("difference between axes, logMAR, %v mm", pupil), slices.Max(byAxis)-slices.Min(byAxis), 0, 0.05, "Remón 2017: no axis effect"))
	}
	return out
}

func bestByAge(eyes int) []Row {
	var out []Row
	for _, c := range []struct{ age, logMAR, tol float64 }{{21, -0.13, 0.05}, {25, -0.13, 0.05}, {27, -0.16, 0.08}, {78, -0.02, 0.06}} {
		best := make([]float64, eyes)
		seeded(lettersSeed, eyes, func(b *bench, k int, r *rand.Rand) {
			best[k] = b.corrected(drawn(r, 0, c.age)).best
		})
		out = append(out, about(fmt.Sprintf("best logMAR at %v years", c.age), stat.Mean(best, nil), c.logMAR, c.tol, "Elliott, Yang and Whitaker 1995"))
	}
	return out
}

func plusOne(eyes int) []Row {
	lines := make([]float64, eyes)
	each(eyes, func(b *bench, k int, r *rand.Rand) {
		age := 20 + 50*r.Float64()
		lines[k] = 10 * b.corrected(drawn(r, 0, age)).loss(optics.Sphere(1))
	})
	slices.Sort(lines)
	inside := 0.0
	for _, l := range lines {
		if l >= 2 && l <= 7 {
			inside += 1 / float64(eyes)
		}
	}
	return []Row{
		within("mean lines lost behind +1.00", stat.Mean(lines, nil), 3, 4.5, "Elliott and Cox 2004: 6/5 to 6/12 or 6/18"),
		within("share that loses 2 to 7 lines", inside, 0.95, math.Inf(1), "common practice"),
	}
}
