package face

import "time"

// Everybody blinks once in every span, up to late into it: so a blink comes four
// to seven seconds after the one before.
const (
	span  = 5500 * time.Millisecond
	late  = 1500 * time.Millisecond
	blink = 240 * time.Millisecond
)

// start is when the n-th blink begins.
func start(n int64) time.Duration {
	return time.Duration(n)*span + time.Duration(mixed(uint64(n)+1)%uint64(late))
}

// Lid is how far the lids are closed at a time, 0 to 1. It goes by the clock alone
// and not by anything that the eyes see.
func Lid(at time.Duration) float64 {
	into := at - start(int64(at/span))
	if into < 0 || into >= blink {
		return 0
	}
	half := float64(blink) / 2
	if d := float64(into) / half; d <= 1 {
		return d
	}
	return 2 - float64(into)/half
}

// Next is when the lids begin to move after a time, or at once while they do.
func Next(at time.Duration) time.Duration {
	n := int64(at / span)
	switch begins := start(n); {
	case at < begins:
		return begins
	case at < begins+blink:
		return at
	}
	return start(n + 1)
}
