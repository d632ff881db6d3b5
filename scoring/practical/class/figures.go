package class

import (
	"errors"
	"fmt"

	"conoid/scoring"
	"conoid/scoring/cohort"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// describe works out the figures of a class.
func (c *Class) describe(borderline *float64) error {
	if len(c.Sheets) == 0 {
		c.PassMark = cohort.None(fact.New("practical.nobody-marked"))
		return nil
	}
	byCase, byPart := c.results()
	if len(byCase.Items) == 0 {
		c.PassMark = cohort.None(fact.New("practical.all-withdrawn"))
		return nil
	}
	var err error
	if c.Figures, err = cohort.Describe(byCase); err != nil {
		return err
	}
	if c.Parts, err = cohort.Describe(byPart); err != nil {
		return err
	}
	c.passMark(byCase, borderline)
	return nil
}

// results are the points by case, and by part of each case. A case that was not
// begun has no points: the candidate was there, and the time was up.
func (c *Class) results() (byCase, byPart cohort.Results) {
	for _, s := range c.Sheets {
		byCase.Candidates, byPart.Candidates = append(byCase.Candidates, s.Candidate), append(byPart.Candidates, s.Candidate)
		byCase.Points, byPart.Points = append(byCase.Points, nil), append(byPart.Points, nil)
	}
	for i, k := range c.Cases {
		if k.Withdrawn {
			continue
		}
		name := fmt.Sprintf("%d %s", i+1, k.Title)
		byCase.Items = append(byCase.Items, cohort.Item{Name: name, Most: c.Sheets[0].Cases[i].Most})
		for n, s := range c.Sheets {
			byCase.Points[n] = append(byCase.Points[n], cohort.Number(s.Cases[i].Points))
		}
		for j, part := range c.parts(i) {
			if part.Most == 0 {
				continue
			}
			byPart.Items = append(byPart.Items, cohort.Item{Name: name + ": " + part.Name, Most: part.Most})
			c.PartsOf = append(c.PartsOf, PartOf{i, scoring.PartName(part.Name)})
			for n, s := range c.Sheets {
				v := cohort.Number(0)
				if p := s.Cases[i].Parts; len(p) > 0 {
					v = cohort.Number(float64(p[j].Points))
				}
				byPart.Points[n] = append(byPart.Points[n], v)
			}
		}
	}
	return byCase, byPart
}

// parts are the parts of case i, as the first who sat it has them.
func (c *Class) parts(i int) (out []cohort.Item) {
	for _, s := range c.Sheets {
		for _, p := range s.Cases[i].Parts {
			out = append(out, cohort.Item{Name: string(p.Name), Most: float64(p.Most)})
		}
		if out != nil {
			break
		}
	}
	return out
}

// passMark sets the pass mark by borderline regression, where there are ratings.
func (c *Class) passMark(r cohort.Results, borderline *float64) {
	if c.ratings == nil || borderline == nil {
		why := "practical.no-ratings"
		if c.ratings != nil {
			why = "practical.no-borderline"
		}
		c.PassMark = cohort.None(fact.New(why))
		return
	}
	totals, _ := r.Totals()
	var rated []cohort.Rated
	for _, t := range totals {
		if v, ok := c.ratings[t.Candidate]; ok {
			rated = append(rated, cohort.Rated{Candidate: t.Candidate, Points: t.Points, Rating: v})
		}
	}
	c.Rated = len(rated)
	cut, err := cohort.Borderline(rated, *borderline, c.Figures.Most)
	if err != nil {
		var told fact.Told
		if errors.As(err, &told) {
			c.PassMark = cohort.None(told.Tell())
		}
		return
	}
	c.Cut, c.PassMark = cut, cut.Points
	if again, err := cohort.ToReview(totals, cut.Points, c.Figures.SEM); err == nil {
		c.LookAgain = again
	}
}

// Passes reports whether a sheet reaches the pass mark; false twice when there is
// none.
func (c *Class) Passes(s *practical.Sheet) (passes, defined bool) {
	return c.PassMark.OK && s.Points >= c.PassMark.V, c.PassMark.OK
}
