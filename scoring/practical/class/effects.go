package class

import (
	"conoid/scoring/cohort"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Group is some of the candidates, and how they did.
type Group struct {
	N    int          `json:"n"`
	Mean cohort.Value `json:"mean"` // points
}

// Place is a place in the order in which cases were sat.
type Place struct {
	Place int          `json:"place"` // from 1
	N     int          `json:"n"`     // cases sat there, or not begun for want of time
	Off   cohort.Value `json:"off"`   // mean of their points, each less the mean of its case
}

// leastGroup is the least of a group of which a mean is told: a mean of fewer tells how
// one of them did, and little about the group. The project's choice.
const leastGroup = 3

// effects describes what may have had to do with the marks besides the candidates.
func (c *Class) effects(p *practical.Plan) {
	for _, s := range c.Sheets {
		if !c.PassMark.OK {
			break
		}
		if s.Points >= c.PassMark.V {
			c.Reach++
		} else {
			c.Miss++
		}
	}
	var with, without []float64
	for _, s := range c.Sheets {
		if s.Extra > 0 {
			with = append(with, s.Points)
		} else {
			without = append(without, s.Points)
		}
	}
	if len(with) > 0 {
		c.WithExtra, c.WithoutExtra = &Group{len(with), meanOf(with)}, &Group{len(without), meanOf(without)}
	}
	if p.Shuffle {
		c.places(p)
	}
}

// places are the points at each place in the order, of the cases that count. The mean of
// a case is taken off, so that a place is not taken for hard that had hard cases.
func (c *Class) places(p *practical.Plan) {
	at := make([][]float64, len(p.Cases))
	for i, k := range c.Cases {
		if k.Withdrawn || len(c.Sheets) == 0 {
			continue
		}
		mean := 0.0
		for _, s := range c.Sheets {
			mean += s.Cases[i].Points / float64(len(c.Sheets))
		}
		for _, s := range c.Sheets {
			for place, of := range s.Entry(p).Order() {
				if of == i {
					at[place] = append(at[place], s.Cases[i].Points-mean)
				}
			}
		}
	}
	for place, off := range at {
		if len(off) > 0 {
			c.Places = append(c.Places, Place{place + 1, len(off), meanOf(off)})
		}
	}
}

// meanOf is the mean of a group that is large enough.
func meanOf(points []float64) cohort.Value {
	if len(points) < leastGroup {
		return cohort.None(fact.New("practical.small-group", "least", fact.Count(leastGroup)))
	}
	sum := 0.0
	for _, x := range points {
		sum += x
	}
	return cohort.Number(sum / float64(len(points)))
}
