package paper

import (
	"image"
	"math"
	"slices"
)

// entry is what the painter remembers of a mark: a digest of all that decides its pixels, and the
// device pixels it may touch.
type entry struct {
	digest uint64
	reach  image.Rectangle
}

// maxDamages is the most rectangles that are repainted apart from each other.
const maxDamages = 8

// differ calls damage for the reach of each mark that came or went. Marks that stay in both lists in
// the same order leave the rest of the paper as it was: every pixel there has the same marks over it.
func (d *differ) differ(old, now []entry, damage func(image.Rectangle)) {
	for len(old) > 0 && len(now) > 0 && old[0] == now[0] {
		old, now = old[1:], now[1:]
	}
	for len(old) > 0 && len(now) > 0 && old[len(old)-1] == now[len(now)-1] {
		old, now = old[:len(old)-1], now[:len(now)-1]
	}
	d.match(old, now)
	for i, e := range old {
		if !d.stays[i] {
			damage(e.reach)
		}
	}
	for i, e := range now {
		if d.partner[i] < 0 {
			damage(e.reach)
		}
	}
}

// differ finds the marks that two scenes share. Its buffers are reused.
type differ struct {
	first   map[uint64]int // where a digest first occurs in the old list, of those not yet taken
	next    []int          // where the digest of a mark of the old list occurs again, or -1
	partner []int          // the place in the old list of each mark of the new one, or -1
	stays   []bool         // whether a mark of the old list has a partner
	tails   []int          // see longest
	before  []int
}

// match pairs equal marks of the two lists, in rising order in both.
func (d *differ) match(old, now []entry) {
	if d.first == nil {
		d.first = map[uint64]int{}
	}
	clear(d.first)
	d.next = slices.Grow(d.next[:0], len(old))[:len(old)]
	for i := len(old) - 1; i >= 0; i-- {
		d.next[i] = d.take(old[i].digest)
		d.first[old[i].digest] = i
	}
	d.partner = d.partner[:0]
	for _, e := range now {
		at := d.take(e.digest)
		d.partner = append(d.partner, at)
		if at >= 0 {
			d.first[e.digest] = d.next[at]
		}
	}
	d.longest()
	d.stays = slices.Grow(d.stays[:0], len(old))[:len(old)]
	clear(d.stays)
	for _, at := range d.partner {
		if at >= 0 {
			d.stays[at] = true
		}
	}
}

// take is the first place of a digest in the old list that is not yet taken, or -1.
func (d *differ) take(digest uint64) int {
	if at, ok := d.first[digest]; ok {
		return at
	}
	return -1
}

// longest keeps of the partners a longest rising subsequence and sets the others to -1. tails[k]
// is the index of the least last partner of the rising sequences of length k+1 so far, before[i] the
// index that comes before i in the best sequence that ends in i.
func (d *differ) longest() {
	d.tails = d.tails[:0]
	d.before = slices.Grow(d.before[:0], len(d.partner))[:len(d.partner)]
	for i, at := range d.partner {
		if at < 0 {
			continue
		}
		k, _ := slices.BinarySearchFunc(d.tails, at, func(j, at int) int { return d.partner[j] - at })
		d.before[i] = -1
		if k > 0 {
			d.before[i] = d.tails[k-1]
		}
		if k == len(d.tails) {
			d.tails = append(d.tails, i)
		} else {
			d.tails[k] = i
		}
	}
	next := -1
	if n := len(d.tails); n > 0 {
		next = d.tails[n-1]
	}
	for i := len(d.partner) - 1; i >= 0; i-- {
		if i == next {
			next = d.before[i]
		} else {
			d.partner[i] = -1
		}
	}
}

// addDamage adds a rectangle to a list, joined with those that it nearly fills a common box with,
// and keeps the list short.
func addDamage(list []image.Rectangle, r image.Rectangle) []image.Rectangle {
	if r.Empty() {
		return list
	}
	for i := 0; i < len(list); i++ {
		if u := list[i].Union(r); area(u) <= area(list[i])+area(r) {
			r = u
			list = slices.Delete(list, i, i+1)
			i = -1 // the larger one may take in others
		}
	}
	list = append(list, r)
	if len(list) <= maxDamages {
		return list
	}
	bestI, bestJ, least := 0, 1, math.MaxInt
	for i := range list {
		for j := i + 1; j < len(list); j++ {
			if grown := area(list[i].Union(list[j])) - area(list[i]) - area(list[j]); grown < least {
				bestI, bestJ, least = i, j, grown
			}
		}
	}
	u := list[bestI].Union(list[bestJ])
	list = slices.Delete(list, bestJ, bestJ+1)
	return addDamage(slices.Delete(list, bestI, bestI+1), u)
}

func area(r image.Rectangle) int { return r.Dx() * r.Dy() }
