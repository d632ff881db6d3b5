package practical

import (
	"math"
	"slices"
	"time"

	"conoid/sim/fact"
)

// Rating is what one examiner thought of a candidate's work as a whole; more is better.
type Rating struct {
	N      int       `json:"n"` // 1, 2, 3 and so on
	At     time.Time `json:"at"`
	Work   string    `json:"work,omitempty"`  // see [Entry.Work]
	Rater  string    `json:"rater,omitempty"` // a short name, such as R1
	Rating float64   `json:"rating"`
	Forgot bool      `json:"forgot,omitempty"` // nothing else: a candidate was forgotten, with their ratings

	Corrects bool `json:"corrects,omitempty"` // stands in place of the rater's last one of that work, which stays in the file
}

// MostRaters is how many rate the work of one candidate.
const MostRaters = 2

// mostRating is the best rating that can be given; its negative is the worst.
const mostRating = 1000

// Work is a name for a candidate's work that tells nobody who it is: only who has opened
// the practical can work it out from the number.
func (e Entry) Work() string { return Spell(e.bits("rating", 0), 8) }

// RatingLedger is the signed file of the ratings of a practical.
type RatingLedger struct {
	plan *Plan
	file chained
}

// RatingsOf is the ratings of a practical whose file has a name, for messages, and
// holds data, which may be empty.
func RatingsOf(p *Plan, name string, data []byte) RatingLedger {
	return RatingLedger{p, p.chained(name, "ratings of", data)}
}

// Ratings reads the file. The error is a fact "practical.at" that names the line.
func (l RatingLedger) Ratings() ([]Rating, error) {
	out, err := linesOf[Rating](l.file)
	if err != nil {
		return nil, err
	}
	for i, r := range out {
		if wrong := r.check(out[:i]); wrong != nil {
			return nil, malformed(l.file.name, i+1, wrong.Fact)
		}
	}
	return out, nil
}

// Rate gives the line that has to be added to the file.
func (l RatingLedger) Rate(k *Keys, r Rating) ([]byte, error) {
	past, err := l.Ratings()
	if err != nil {
		return nil, err
	}
	r.N, r.At, r.Rater = len(past)+1, r.At.Round(0), Candidate(r.Rater)
	if wrong := r.check(past); wrong != nil {
		return nil, wrong
	}
	if !k.Public().Equal(l.plan.secret.Assessor) {
		return nil, fact.Refuse("practical.other-assessor-decides")
	}
	return l.file.line(k, r)
}

// Standing are the ratings that count, in their order: those that none corrects.
func Standing(all []Rating) (out []Rating) {
	corrected := map[[2]string]bool{}
	for _, r := range slices.Backward(all) {
		by := [2]string{r.Work, r.Rater}
		if !corrected[by] && !r.Forgot {
			out = append(out, r)
		}
		corrected[by] = r.Corrects
	}
	slices.Reverse(out)
	return out
}

// Given is the rating of a work that a rater gave last; false for none.
func Given(past []Rating, work, rater string) (Rating, bool) {
	for _, r := range slices.Backward(past) {
		if r.Work == work && r.Rater == rater && !r.Forgot {
			return r, true
		}
	}
	return Rating{}, false
}

// check says what is wrong with a rating after those before it.
func (r Rating) check(past []Rating) *fact.Error {
	before, rated := Given(past, r.Work, r.Rater)
	n := 0
	for _, o := range past {
		if o.Work == r.Work && !o.Forgot && !o.Corrects {
			n++
		}
	}
	switch {
	case r.N != len(past)+1:
		return fact.Refuse("practical.line.before")
	case r.Forgot:
		return nil
	case CheckRater(r.Rater) != nil:
		return fact.Refuse("practical.no-rater", "text", r.Rater)
	case !RatingIs(r.Rating):
		return NoRating(fact.Number(r.Rating))
	case r.Corrects && !rated:
		return fact.Refuse("practical.not-rated-by", "rater", r.Rater, "work", r.Work)
	case r.Corrects && before.Rating == r.Rating:
		return fact.Refuse("practical.rated-so", "rater", r.Rater, "rating", fact.Number(r.Rating))
	case r.Corrects:
		return nil
	case rated:
		return fact.Refuse("practical.rated-by", "rater", r.Rater)
	case n >= MostRaters:
		return fact.Refuse("practical.rated-enough", "most", fact.Count(MostRaters))
	}
	return nil
}

// NoRating says that something is no rating: a fact.Number, or what somebody typed.
func NoRating(text any) *fact.Error {
	return fact.Refuse("practical.no-rating", "text", text, "least", fact.Number(-mostRating), "most", fact.Number(mostRating))
}

// RatingIs reports whether a number is a rating: finite, and on no scale of thousands.
func RatingIs(v float64) bool { return !math.IsNaN(v) && math.Abs(v) <= mostRating }

// The ends of a scale as many institutions have it: common practice.
const leastUsual, mostUsual = 1, 5

// RatingUnusual reports whether a rating lies outside those that stand before it, or outside
// 1 to 5 while none of them does: it may be a slip, and stays in the file.
func RatingUnusual(past []Rating, v float64) bool {
	least, most := math.Inf(1), math.Inf(-1)
	for _, r := range Standing(past) {
		least, most = min(least, r.Rating), max(most, r.Rating)
	}
	if least >= leastUsual && most <= mostUsual {
		least, most = leastUsual, mostUsual
	}
	return v < least || v > most
}

// CheckRater says what is wrong with the name of a rater: letters and digits, as the
// number of a candidate.
func CheckRater(name string) error {
	if checkCandidate(name) != nil {
		return fact.Refuse("practical.no-rater", "text", name)
	}
	return nil
}

// Forget gives the file without the ratings of a candidate, signed anew, and with a line
// that says that somebody was forgotten, but not who; and how many ratings there were.
func (l RatingLedger) Forget(k *Keys, candidate string, at time.Time) ([]byte, int, error) {
	past, err := l.Ratings()
	if err != nil {
		return nil, 0, err
	}
	work := l.plan.Entry(candidate).Work()
	kept := slices.DeleteFunc(slices.Clone(past), func(r Rating) bool { return r.Work == work })
	out := RatingsOf(l.plan, l.file.name, nil)
	for _, r := range append(kept, Rating{At: at, Forgot: true}) {
		line, err := out.Rate(k, r)
		if err != nil {
			return nil, 0, err
		}
		out.file.data = append(out.file.data, line...)
	}
	return out.file.data, len(past) - len(kept), nil
}
