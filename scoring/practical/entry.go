package practical

import (
	"cmp"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"slices"
	"time"

	"conoid/sim/sitting"
)

// Entry is what one candidate gets of a practical: the cases in an order, with
// the luck of their patients, and the times.
type Entry struct {
	plan      *Plan
	candidate string // whose times they are
	luck      string // the number from which the order and the keys follow
}

// Entry is what a candidate gets of the practical.
func (p *Plan) Entry(candidate string) Entry {
	return Entry{p, Candidate(candidate), Candidate(candidate)}
}

// Order is the order in which the candidate sits the cases, as indices of Cases.
func (e Entry) Order() []int {
	order := make([]int, len(e.plan.Cases))
	for i := range order {
		order[i] = i
	}
	if e.plan.Shuffle {
		slices.SortStableFunc(order, func(a, b int) int {
			return cmp.Compare(e.draw("order", a), e.draw("order", b))
		})
	}
	return order
}

// Keys are those of case i: the same for the candidate each time, so that nobody
// can try again for luck, and unknown to whoever does not open the practical.
func (e Entry) Keys(i int) sitting.Keys {
	return sitting.Keys{Letters: sitting.Key(e.bits("letters", i)), Noise: sitting.Key(e.bits("noise", i))}
}

// draw is a number at random from the seed of the practical.
func (e Entry) draw(what string, i int) uint64 {
	return binary.BigEndian.Uint64(e.bits(what, i))
}

// bits are 128 bits at random from the seed of the practical.
func (e Entry) bits(what string, i int) []byte {
	h := hmac.New(sha256.New, e.plan.secret.Seed)
	fmt.Fprintf(h, "%s\n%s\n%d\n", what, e.luck, i)
	return h.Sum(nil)[:16]
}

// Times are the times that the candidate has for each case and in all, extra time
// included; 0 is no limit.
func (e Entry) Times() (perCase, total time.Duration) {
	more := 1 + e.plan.Extra[e.candidate]
	with := func(d time.Duration) time.Duration { return time.Duration(float64(d) * more).Round(time.Second) }
	return with(e.plan.PerCase), with(e.plan.Total)
}

// Header begins the log of case i.
func (e Entry) Header(i int) sitting.Header {
	return sitting.Header{Conoid: sitting.Version, Case: e.plan.read[i].Hash(), Title: e.plan.Cases[i].Title, Keys: e.Keys(i)}
}

// left is the time that is left for a case that took so long until now, with which the
// total is taken into account, when those before took spent. False is no limit.
func left(perCase, total, spent, open time.Duration) (time.Duration, bool) {
	left, limited := perCase-open, perCase > 0
	if rest := total - spent - open; total > 0 && (!limited || rest < left) {
		left, limited = rest, true
	}
	return max(left, 0), limited
}
