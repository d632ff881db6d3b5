package cohort

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"conoid/sim/fact"
)

// Rated is one candidate's points beside an examiner's global rating: how good
// the work was as a whole, on the institution's scale, more being better.
type Rated struct {
	Candidate string  `json:"candidate"`
	Points    float64 `json:"points"`
	Rating    float64 `json:"rating"`
}

// Cut is a pass mark by borderline regression: points = Intercept + Slope x
// rating, read off at the borderline rating.
type Cut struct {
	N         int     `json:"n"`         // candidates rated
	Rating    float64 `json:"rating"`    // the borderline rating
	Slope     Value   `json:"slope"`     // points for one step of rating
	Intercept Value   `json:"intercept"` // points at rating 0
	RSquared  Value   `json:"rSquared"`  // part of the variance of points that the ratings explain, 0 to 1
	Residual  Value   `json:"residual"`  // standard deviation about the line, divisor n - 2, points
	Points    Value   `json:"points"`    // the pass mark
	SE        Value   `json:"se"`        // standard error of the pass mark, points
	Beyond    bool    `json:"beyond"`    // the borderline lies outside the ratings given: the line is prolonged
}

// Borderline sets a pass mark. Points of every candidate lie within 0 and
// most. There is none if fewer than three are rated, if all are rated alike, if
// points do not rise with ratings, or if the line comes to points that cannot
// be had. It is meaningful where examiners rate the work that earned the
// points, without seeing the points.
//
// The standard error of the cut is that of a regression's mean at a value,
// s sqrt(1/n + (x - mean)² / Sxx): Draper and Smith, Applied Regression
// Analysis (from memory).
//
// Source of the method: Hejri, Jalili, Muijtjens and van der Vleuten (2013),
// J Res Med Sci 18(10):887-891.
func Borderline(rated []Rated, borderline, most float64) (*Cut, error) {
	if err := checkRated(rated, borderline, most); err != nil {
		return nil, err
	}
	n := len(rated)
	c := &Cut{N: n, Rating: borderline}
	if n < fewest {
		c.none(fact.New("cohort.few-rated", "least", fact.Count(fewest), "n", fact.Count(n)))
		return c, nil
	}
	x, y := make([]float64, n), make([]float64, n)
	for i, r := range rated {
		x[i], y[i] = r.Rating, r.Points
	}
	if flat(x) {
		c.none(fact.New("cohort.rated-alike"))
		return c, nil
	}
	c.Beyond = borderline < slices.Min(x) || borderline > slices.Max(x)
	c.fit(x, y)
	c.read(x, most)
	return c, nil
}

func (c *Cut) none(why fact.Fact) {
	v := None(why)
	c.Slope, c.Intercept, c.RSquared, c.Residual, c.Points, c.SE = v, v, v, v, v, v
}

// fit lays the line of least squares.
func (c *Cut) fit(x, y []float64) {
	intercept, slope := stat.LinearRegression(x, y, nil, false)
	var squares float64
	for i := range x {
		e := y[i] - intercept - slope*x[i]
		squares += e * e
	}
	c.Slope, c.Intercept = Number(slope), Number(intercept)
	c.Residual = Number(math.Sqrt(squares / float64(len(x)-2)))
	c.RSquared = None(fact.New("cohort.points-alike"))
	if !flat(y) {
		r := correlation(x, y)
		c.RSquared = Number(r * r)
	}
}

// read takes the pass mark off the line.
func (c *Cut) read(x []float64, most float64) {
	at := c.Intercept.V + c.Slope.V*c.Rating
	switch {
	case !c.RSquared.OK || c.RSquared.V < 1e-12 || c.Slope.V < 0: // level but for the last bits of a float
		c.Points = None(fact.New("cohort.points-do-not-rise"))
	case at < 0 || at > most:
		c.Points = None(fact.New("cohort.line-beyond", "at", fact.Points(at), "most", fact.Points(most)))
	default:
		c.Points = Number(at)
	}
	if !c.Points.OK {
		c.SE = c.Points
		return
	}
	n, d := float64(len(x)), c.Rating-stat.Mean(x, nil)
	c.SE = Number(c.Residual.V * math.Sqrt(1/n+d*d/(stat.Variance(x, nil)*(n-1))))
}

func checkRated(rated []Rated, borderline, most float64) error {
	if !usable(borderline) {
		return fact.Refuse("cohort.borderline", "rating", fact.Number(borderline))
	}
	if !(most > 0) || !usable(most) {
		return fact.Refuse("cohort.most", "most", fact.Number(most), "largest", fact.Number(largest))
	}
	for _, r := range rated {
		if !usable(r.Rating) {
			return fact.Refuse("cohort.rating", "candidate", r.Candidate, "rating", fact.Number(r.Rating))
		}
		if !(r.Points >= 0 && r.Points <= most) {
			return fact.Refuse("cohort.rated-points", "candidate", r.Candidate, "points", fact.Number(r.Points), "most", fact.Number(most))
		}
	}
	return nil
}

// ToReview lists, in the order of totals, the candidates whose total lies
// within one standard error of measurement of the cut, to either side: there
// the mark alone does not tell a pass from a fail, and a person looks again.
// That one SEM is the width is common practice. The error says why there is no
// such list.
func ToReview(totals []Total, cut, sem Value) ([]Total, error) {
	switch {
	case !cut.OK:
		return nil, fact.Refuse("cohort.no-review-cut", "why", cut.Why)
	case !sem.OK:
		return nil, fact.Refuse("cohort.no-review-sem", "why", sem.Why)
	}
	near := []Total{}
	for _, t := range totals {
		if math.Abs(t.Points-cut.V) <= sem.V {
			near = append(near, t)
		}
	}
	return near, nil
}
