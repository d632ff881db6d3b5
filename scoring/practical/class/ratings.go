package class

import (
	"bytes"
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"conoid/scoring/cohort"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// ReadRatings reads what examiners thought of each candidate's work as a whole: the
// signed file that conoid practical rate writes, or a table with the columns candidate
// and rating, and rater where there are two. The error is a fact "practical.at".
func ReadRatings(p *practical.Plan, name string, data []byte) ([]practical.Rating, error) {
	if bytes.HasPrefix(data, []byte("{")) {
		return practical.RatingsOf(p, name, data).Ratings()
	}
	rows, err := table(name, data, column{[]string{"rating", "Einschätzung", "Einschaetzung"}, true},
		column{[]string{"rater", "examiner", "Einschätzende", "Einschätzender", "Prüfer", "Prüferin", "Prüfende"}, false})
	if err != nil {
		return nil, err
	}
	var out []practical.Rating
	for _, r := range rows {
		at := func(id string, pairs ...any) error {
			return fact.Refuse("practical.at", "file", name, "line", fact.Count(r.line), "what", fact.New(id, pairs...))
		}
		v, err := strconv.ParseFloat(strings.NewReplacer("\u2212", "-", ",", ".").Replace(r.values[0]), 64)
		one := practical.Rating{Work: p.Entry(r.candidate).Work(), Rating: v, Rater: practical.Candidate(r.values[1])}
		same := func(o practical.Rating) bool { return o.Work == one.Work }
		switch {
		case err != nil || !practical.RatingIs(v):
			return nil, at("practical.no-rating", "text", r.values[0], "least", fact.Number(-1000), "most", fact.Number(1000))
		case one.Rater != "" && practical.CheckRater(one.Rater) != nil:
			return nil, at("practical.no-rater", "text", r.values[1])
		case slices.ContainsFunc(out, func(o practical.Rating) bool { return same(o) && o.Rater == one.Rater }):
			return nil, at("practical.rated-twice", "candidate", r.candidate)
		case len(slices.DeleteFunc(slices.Clone(out), func(o practical.Rating) bool { return !same(o) })) == practical.MostRaters:
			return nil, at("practical.rated-enough", "most", fact.Count(practical.MostRaters))
		}
		out = append(out, one)
	}
	return out, nil
}

// Pair is how far two raters agree about the candidates whom both rated. What is less
// than 0 says that the first is the harder.
type Pair struct {
	First     string           `json:"first"`
	Second    string           `json:"second"`
	Agreement cohort.Agreement `json:"agreement"` // steps of rating, first less second
}

// Corrected is a rating that its rater gave anew.
type Corrected struct {
	Candidate string    `json:"candidate"`
	Rater     string    `json:"rater"`
	From      float64   `json:"from"` // the former rating, which does not count
	To        float64   `json:"to"`
	At        time.Time `json:"at"`
}

// corrected are the ratings of a candidate's work that were given anew, in their order.
func corrected(candidate, work string, all []practical.Rating) (out []Corrected) {
	for i, r := range all {
		if !r.Corrects || r.Work != work {
			continue
		}
		if before, is := practical.Given(all[:i], work, r.Rater); is {
			out = append(out, Corrected{candidate, r.Rater, before.Rating, r.Rating, r.At})
		}
	}
	return out
}

// rate takes the ratings of those who have a sheet: their mean for each candidate, and
// for each pair of raters their agreement.
func (c *Class) rate(p *practical.Plan, all []practical.Rating) error {
	if all == nil {
		return nil
	}
	standing := practical.Standing(all)
	c.ratings = map[string]float64{}
	type both struct{ first, second []float64 }
	pairs := map[[2]string]*both{}
	for _, s := range c.Sheets {
		work := p.Entry(s.Candidate).Work()
		mine := slices.DeleteFunc(slices.Clone(standing), func(r practical.Rating) bool { return r.Work != work })
		c.Corrected = append(c.Corrected, corrected(s.Candidate, work, all)...)
		slices.SortFunc(mine, func(a, b practical.Rating) int { return cmp.Compare(a.Rater, b.Rater) })
		for _, r := range mine {
			c.ratings[s.Candidate] += r.Rating / float64(len(mine))
		}
		if len(mine) < 2 {
			continue
		}
		who := [2]string{mine[0].Rater, mine[1].Rater}
		if pairs[who] == nil {
			pairs[who] = &both{}
			c.Raters = append(c.Raters, Pair{First: who[0], Second: who[1]})
		}
		pairs[who].first, pairs[who].second = append(pairs[who].first, mine[0].Rating), append(pairs[who].second, mine[1].Rating)
	}
	slices.SortFunc(c.Raters, func(a, b Pair) int { return cmp.Or(cmp.Compare(a.First, b.First), cmp.Compare(a.Second, b.Second)) })
	for i := range c.Raters {
		two := pairs[[2]string{c.Raters[i].First, c.Raters[i].Second}]
		a, err := cohort.Agree(two.first, two.second)
		if err != nil {
			return err
		}
		c.Raters[i].Agreement = *a
	}
	return nil
}
