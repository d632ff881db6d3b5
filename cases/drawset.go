package cases

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"conoid/sim/sitting"
)

// wantedMisses is in how many claims the record cards of a set are to be off.
const wantedMisses = 2

// setStream keeps the draws of sets apart from those of single cases.
const setStream = 3

// choices is how many people are drawn for each place of a set: the one that
// keeps it most even is taken. With so many even the rarest kinds of difficulty
// have their turn.
const choices = 400

// DrawSet draws count cases, from easy to hard: the same for the same seed and
// level. Level 0 takes all levels equally often, as far as the count allows;
// another level takes only that one. Right and left eyes take turns, all kinds
// of difficulty come about equally often, and no two people share a name as long
// as there are names; every objective result can be made up from the trial set, and
// every record card is off in two claims or more, as long as people with such a card
// are drawn: where it is right, who copies it does as well as who listens. People,
// stories and names of files are drawn apart from the eyes. The set has no title yet.
// It panics for a level or a count out of range.
func DrawSet(seed uint64, level, count int) (*Assignment, []*Case) {
	if level < 0 || level > Levels || count < 1 || count > mostInSet {
		panic(fmt.Sprintf("cases: DrawSet: level %d, count %d", level, count))
	}
	r, people := rand.New(rand.NewPCG(seed, setStream)), peopleOf(seed, "set")
	side := sitting.Right
	if r.IntN(2) == 1 {
		side = sitting.Left
	}
	s := &Assignment{}
	var drawn []*Case
	so := tally{}
	for i, l := range levelsOf(level, count) {
		c := so.choose(r, l, side)
		dress(people, c, so)
		so.count(c)
		c.ID = fmt.Sprintf("%0*d-%s", len(fmt.Sprint(max(count, 10))), i+1, strings.ToLower(c.Name))
		drawn = append(drawn, c)
		s.Cases = append(s.Cases, Listed{File: c.ID + ".toml"})
		side = side.Other()
	}
	return s, drawn
}

// levelsOf is the level of each place of a set.
func levelsOf(level, count int) []int {
	out := make([]int, count)
	for i := range out {
		out[i] = level
		if level == 0 {
			out[i] = 1 + i%Levels
		}
	}
	slices.Sort(out)
	return out
}

// tally counts what a set has of each name, story and kind of difficulty.
type tally map[string]int

func (t tally) count(c *Case) {
	t[c.Name]++
	t[c.Story]++
	for _, d := range c.Difficulties() {
		t[string(d)]++
	}
}

// choose is the person of a level and a side with whom the set stays most even.
func (t tally) choose(r *rand.Rand, level int, side sitting.Side) *Case {
	var best *Case
	least := 0
	for n := 0; n < choices; {
		c := drawForSet(r, level)
		if c.grade() != level || c.Tested != side || len(notMadeUp(c)) > 0 {
			continue
		}
		n++
		if best != nil && t.kinds(c) >= least { // whatever its card is, which takes long to see
			continue
		}
		if u := t.uneven(c); best == nil || u < least {
			best, least = c, u
		}
	}
	return best
}

// Shares of the people drawn for a set who have a small pupil, and a large cylinder. By
// their age alone nobody has the first (see sim/eye), and hardly anybody has the second,
// so that a set would never have what is hard about them. Small pupils, in millimetres,
// are as likely from least to most, of people from agedFrom years on, as pupils grow
// smaller with age. All of it is the project's choice.
const (
	smallPupils, largeCylinders = 0.20, 0.15
	leastSmall, mostSmall       = 2.2, 2.9
	agedFrom                    = 50
)

// drawForSet draws somebody for a set: from level 2 on, at times one of those who are
// else too rare.
func drawForSet(r *rand.Rand, level int) *Case {
	switch x := r.Float64(); {
	case level > 1 && x < smallPupils:
		return drawSmallPupil(r, level)
	case level > 1 && x < smallPupils+largeCylinders:
		return drawWith(r, level, func(r *rand.Rand) float64 { return drawTail(r, largeFrom+0.25) })
	}
	return drawWith(r, level, drawCylinder)
}

// drawSmallPupil draws somebody with a small pupil, which makes the level one higher.
func drawSmallPupil(r *rand.Rand, level int) *Case {
	for {
		c := drawWith(r, level-1, drawCylinder)
		if c.Age < agedFrom {
			continue
		}
		d := math.Round(10*(leastSmall+r.Float64()*(mostSmall-leastSmall))) / 10
		c.Eyes[0].Pupil, c.Eyes[1].Pupil = &d, &d
		c.Level = c.grade()
		return c
	}
}

// uneven is how much a set has already of what a case brings: a record card that is right
// first, then kinds of difficulty.
func (t tally) uneven(c *Case) int {
	right := max(0, wantedMisses-len(c.CardMisses()))
	return 1_000_000*right + t.kinds(c)
}

// kinds is how much a set has already of the difficulty that a case brings.
func (t tally) kinds(c *Case) (n int) {
	for _, d := range c.Difficulties() {
		n += t[string(d)] * t[string(d)]
	}
	return n
}
