package cases

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"conoid/sim/optics"
)

// rowStream keeps what is drawn from a table apart from all other draws.
const rowStream = 4

// How far from a row of a table an error is drawn: dioptres of sphere and of cylinder,
// and degrees. The project's choice.
const (
	rowPower = 0.25
	rowAxis  = 10
)

// The ages, in years, that people drawn from a table have at the least and the most.
const (
	youngestRow = youngest
	oldestRow   = 89
)

// DrawFrom draws count cases from the rows of a table, from easy to hard. Of a row that
// is chosen at random reach the case only the decade of the age and, where the table
// says it, the side, and an error that is drawn anew near to its own: within 0.25 D in
// sphere and in cylinder, and 10 degrees. All else is drawn as in [Draw]. The set has no
// title yet. It panics for fewer than LeastRows rows and for a count out of range.
func DrawFrom(seed uint64, count int, rows []Row) (*Assignment, []*Case) {
	if count < 1 || count > mostInSet || len(rows) < LeastRows {
		panic(fmt.Sprintf("cases: DrawFrom: count %d, %d rows", count, len(rows)))
	}
	r, people := rand.New(rand.NewPCG(seed, rowStream)), peopleOf(seed, "table")
	var drawn []*Case
	for range count {
		drawn = append(drawn, drawRow(r, rows[r.IntN(len(rows))]))
	}
	slices.SortStableFunc(drawn, func(a, b *Case) int { return a.Level - b.Level })
	s, so := &Assignment{}, tally{}
	for i, c := range drawn {
		dress(people, c, so)
		so.count(c)
		c.ID = fmt.Sprintf("%0*d-%s", len(fmt.Sprint(max(count, 10))), i+1, strings.ToLower(c.Name))
		s.Cases = append(s.Cases, Listed{File: c.ID + ".toml"})
	}
	return s, drawn
}

// drawRow is somebody at random with the error and the decade of a row. They have no
// words yet.
func drawRow(r *rand.Rand, row Row) *Case {
	c := drawCase(r, drawCylinder)
	if row.Decade >= 0 {
		c.Age = min(max(float64(row.Decade+r.IntN(10)), youngestRow), oldestRow)
	}
	if row.Eye != "" {
		c.Tested = row.Eye
	}
	e := c.Of(c.Tested)
	e.Error = near(r, row.Rx, c.Age)
	e.Objective = drawObjective(r, e.Error)
	e.Aberrations = Aberrations{From: Drawn, Seed: 1 + r.Uint64N(1<<31)}
	fellow := c.Of(c.Tested.Other())
	*fellow = e.mirrored()
	fellow.Error = drawFellow(r, fellow.Error)
	fellow.Objective = drawObjective(r, fellow.Error)
	c.Level = c.grade()
	drawBestSpheres(r, c)
	return c
}

// near is an error near to that of a row, in quarters of a dioptre and whole degrees.
func near(r *rand.Rand, of optics.Rx, age float64) optics.Rx {
	rx := optics.Rx{Sphere: quarterNear(r, of.Sphere, -maxSphere, maxSphere), Cyl: quarterNear(r, of.Cyl, -maxCylinder, 0)}
	switch {
	case rx.Cyl == 0:
	case of.Cyl == 0:
		rx.Axis = drawAxis(r, min(age, oldest))
	default:
		least := math.Ceil(of.Axis - rowAxis)
		rx.Axis = optics.Axis(least + float64(r.IntN(int(math.Floor(of.Axis+rowAxis)-least)+1)))
	}
	return rx
}

// quarterNear is one of the quarters of a dioptre near to a power, each as likely.
func quarterNear(r *rand.Rand, power, least, most float64) float64 {
	from := math.Ceil(4*max(power-rowPower, least) - 1e-9)
	to := math.Floor(4*min(power+rowPower, most) + 1e-9)
	return (from+float64(r.IntN(int(to-from)+1)))/4 + 0
}
