package history

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"conoid/cases"
)

// Kind is what a student has done with one kind of eye.
type Kind struct {
	Name  cases.Difficulty
	Count int
	Left  float64 // mean defocus equivalent, dioptres
	Steps float64 // mean
	Clock time.Duration
}

// Plain is the kind of an eye that nothing makes hard.
const Plain cases.Difficulty = "none"

// Kinds sums up whole sittings by kind of eye, the weakest first.
func Kinds(list []Reached) []Kind {
	sums := map[cases.Difficulty]*Kind{}
	for _, h := range list {
		if !h.Whole() {
			continue
		}
		names := h.Kinds
		if len(names) == 0 {
			names = []cases.Difficulty{Plain}
		}
		for _, n := range names {
			k := sums[n]
			if k == nil {
				k = &Kind{Name: n}
				sums[n] = k
			}
			k.Count++
			k.Left += h.Left
			k.Steps += float64(h.Steps)
			k.Clock += h.Clock
		}
	}
	var out []Kind
	for _, n := range slices.Sorted(maps.Keys(sums)) {
		k := *sums[n]
		k.Left /= float64(k.Count)
		k.Steps /= float64(k.Count)
		k.Clock /= time.Duration(k.Count)
		out = append(out, k)
	}
	slices.SortStableFunc(out, func(a, b Kind) int { return cmp.Compare(b.Left, a.Left) })
	return out
}

// good is the mean defocus equivalent, dioptres, below which a kind of eye
// needs no more practice: the step of the trial lenses.
const good = 0.25

// Weakest is the kind of eye that went worst, if it needs more practice; else empty.
func Weakest(list []Reached) cases.Difficulty {
	if k := Kinds(list); len(k) > 0 && k[0].Left > good {
		return k[0].Name
	}
	return ""
}

// Proposed is the next case: of the library the first, from easy to hard, that
// was not yet brought within a step of the lenses and is of the weakest kind,
// or simply the first; nil when all are done.
func Proposed(library []*cases.Case, list []Reached) *cases.Case {
	done := map[string]bool{}
	for _, h := range list {
		if h.Whole() && h.Left <= good {
			done[h.Case] = true
		}
	}
	weakest := Weakest(list)
	var first *cases.Case
	for _, c := range library {
		if done[c.Hash()] {
			continue
		}
		if first == nil {
			first = c
		}
		if slices.Contains(c.Difficulties(), weakest) {
			return c
		}
	}
	return first
}

// LevelFor is the level of a random eye near the student's: of the last whole
// sittings that ended well, one more than most reached.
func LevelFor(list []Reached) int {
	level := 1
	for _, h := range list[max(0, len(list)-10):] {
		if h.Whole() && h.Left <= good {
			level = max(level, min(h.Level+1, cases.Levels))
		}
	}
	return level
}
