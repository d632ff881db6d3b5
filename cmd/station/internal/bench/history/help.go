package history

import (
	"slices"

	"conoid/cmd/internal/chair"
)

// enough is how many good sittings with a help show that less will do: one may be luck.
// The project's choice.
const enough = 2

// GoodPoints is how many points, of 100, a good sitting comes to. The project's choice.
const GoodPoints = 80

// well reports whether a sitting shows that its help was enough.
func (r Reached) well() bool {
	return r.Whole() && r.Left <= good && (r.Points == nil || *r.Points >= GoodPoints)
}

// HelpFor is how much help is proposed for the next sitting: less than in so many that
// went well.
func HelpFor(list []Reached) chair.Help {
	helps := chair.Helps()
	at := 0
	for at < len(helps)-1 {
		n := 0
		for _, r := range list {
			if r.well() && slices.Index(helps, r.Help) >= at { // with no more help than that
				n++
			}
		}
		if n < enough {
			break
		}
		at++
	}
	return helps[at]
}
