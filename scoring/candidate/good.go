package candidate

import (
	"conoid/sim/chart"
	"conoid/sim/expert"
)

// good are the styles that are accepted: each moves the lenses by what is said,
// and reopens what a check puts in doubt.
func good() []Candidate {
	styled := func(name string, change func(*style)) Candidate {
		return Candidate{Name: name, Group: Good, work: works(change)}
	}
	return []Candidate{
		{Name: "by the book", Group: Good, work: byTheBook},
		styled("with every check", nil),
		styled("from zero", func(s *style) { s.start, s.fromNone, s.fog = fromZero, true, 1.00 }),
		styled("fog from above", func(s *style) { s.start = fromAbove }),
		styled("clock dial", func(s *style) { s.dial = chart.Clock }),
		styled("sunburst", func(s *style) { s.dial = chart.Sunburst }),
		styled("fan alone for the axis", func(s *style) { s.fanAlone = true }),
		styled("half the cylinder in plus", func(s *style) { s.halved = true }),
		styled("colours before letters", func(s *style) { s.colours = coloursBefore }),
		styled("holds quarters up", func(s *style) { s.held = true }),
		styled("cylinder in halves, then quarters", func(s *style) { s.cylStep, s.fromNone = 2, true }),
		styled("axis once more", func(s *style) { s.twice = true }),
		styled("majority of three", func(s *style) { s.thrice, s.noDialLook = true, true }),
		styled("arrow by fives on both sides", func(s *style) { s.bothSides = true }),
		styled("sphere by one or two", func(s *style) { s.oneOrTwo = true }),
	}
}

// byTheBook is the expert.
func byTheBook(h ritualHands) {
	if _, err := expert.Examine(h.chair, h.Brief); err != nil {
		panic(stopped{err})
	}
}
