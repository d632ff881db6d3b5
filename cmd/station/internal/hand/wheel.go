package hand

import (
	"math"
	"time"
)

// pause is how long a wheel rests until a turn counts as a new one.
const pause = 250 * time.Millisecond

// wheel saves up parts of notches.
type wheel struct {
	rest float64
	last time.Duration
}

// turn is the whole notches that are full now. A change of direction or a
// pause begins anew.
func (w *wheel) turn(notches float64, at time.Duration) float64 {
	if w.rest*notches < 0 || at-w.last > pause {
		w.rest = 0
	}
	w.last = at
	whole, rest := math.Modf(w.rest + notches)
	w.rest = rest
	return whole
}
