package cases

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"conoid/sim/sitting"
)

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
// as there are names; every objective result can be made up from the trial set.
// The set has no title yet. It panics for a level or a count out of range.
func DrawSet(seed uint64, level, count int) (*Set, []*Case) {
	if level < 0 || level > Levels || count < 1 || count > mostInSet {
		panic(fmt.Sprintf("cases: DrawSet: level %d, count %d", level, count))
	}
	r := rand.New(rand.NewPCG(seed, setStream))
	side := sitting.Right
	if r.IntN(2) == 1 {
		side = sitting.Left
	}
	s := &Set{}
	var drawn []*Case
	so := tally{}
	for i, l := range levelsOf(level, count) {
		c := so.choose(r, l, side)
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
		c := Draw(r.Uint64(), level)
		if c.Tested != side || len(c.notMadeUp()) > 0 {
			continue
		}
		n++
		if u := t.uneven(c); best == nil || u < least {
			best, least = c, u
		}
	}
	return best
}

// uneven is how much a set has already of what a case brings: names first, then
// kinds of difficulty, then stories.
func (t tally) uneven(c *Case) int {
	kinds := 0
	for _, d := range c.Difficulties() {
		kinds += t[string(d)] * t[string(d)]
	}
	return 1_000_000*t[c.Name] + 100*kinds + t[c.Story]
}
