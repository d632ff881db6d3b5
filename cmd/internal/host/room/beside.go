package room

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// The papers that are set down beside the results. Each is a file as conoid practical
// collect takes it.
const (
	CodesPaper     = "codes.csv"
	DecisionsPaper = "decisions.jsonl"
	RatingsPaper   = "ratings.jsonl"
)

// ErrNoWork says that there is no work of that name to rate.
var ErrNoWork error = fact.Refuse("host.no-work")

// Beside is what people set down beside the results, between the close and the release,
// and what bears on the marks: codes on paper, decisions, and ratings. Whatever is set
// down, the marks have to be worked out anew.
type Beside struct{ o *Office }

// Beside is what is set down beside the results.
func (o *Office) Beside() Beside { return Beside{o} }

// SignWith gives the keys that decisions and ratings are signed with: those that the
// practical was made with.
func (b Beside) SignWith(k *practical.Keys) { b.o.r.keys = k }

// Slips are the codes on paper.
func (b Beside) Slips() class.Slips {
	b.o.mu.Lock()
	defer b.o.mu.Unlock()
	return maps.Clone(b.o.slips)
}

// Void is why the result of a candidate is void; "" when it is not.
func (b Beside) Void(candidate string) string { return b.o.voids()[candidate] }

// Erased are the candidates of whom nothing is kept any more.
func (b Beside) Erased() (all []string) {
	for _, n := range b.o.gone() {
		all = append(all, n.Candidate)
	}
	return all
}

// Copy takes in codes on paper, by candidate; an empty one takes back what was there.
// What is there already is not noted again.
func (b Beside) Copy(codes map[string]string, who string, now time.Time) error {
	if err := b.o.r.begin(); err != nil {
		return err
	}
	defer b.o.r.deeds.Unlock()
	if b.o.r.Stage() != Closed {
		return ErrStage
	}
	spelled := class.Slips{}
	for c, code := range codes {
		c = practical.Candidate(c)
		if err := b.o.r.plan.Admits(c); err != nil {
			return err
		}
		spelled[c] = class.Spelled(code)
		if n := len(spelled[c]); n > 0 && n != wholeCode {
			return fact.Refuse("host.code", "candidate", c, "text", code)
		}
	}
	there := b.Slips()
	for _, c := range slices.Sorted(maps.Keys(spelled)) {
		if spelled[c] == there[c] {
			continue
		}
		if err := b.o.note(Note{Who: who, Do: Copied, Candidate: c, Code: spelled[c]}, now); err != nil {
			return err
		}
	}
	return nil
}

// wholeCode is how long a code is, with the dashes between its groups.
const wholeCode = 4*4 + 3

// works are the candidates whose work can be rated, by its name: who is through, and whose
// result is not void. A rehearsal counts for nothing, and has none.
func (b Beside) works() map[string]string {
	all, void := map[string]string{}, b.o.voids()
	if b.o.r.plan.Rehearsal {
		return all
	}
	for _, s := range b.o.r.all() {
		if through(s) && void[s.candidate] == "" {
			all[b.o.r.plan.Entry(s.candidate).Work()] = s.candidate
		}
	}
	return all
}

// Of is the candidate whose work has a name.
func (b Beside) Of(work string) (candidate string, err error) {
	if b.o.r.Stage() != Closed {
		return "", ErrStage
	}
	candidate, is := b.works()[work]
	if !is {
		return "", ErrNoWork
	}
	return candidate, nil
}

// Left are the names of the works that somebody can still rate, in their order, which is
// nobody's; and how many there are in all. There are none before the close, and after
// the release.
func (b Beside) Left(who string) (left []string, all int) {
	if b.o.r.Stage() != Closed {
		return nil, 0
	}
	past, works := practical.Standing(b.o.ratings()), b.works()
	for _, w := range slices.Sorted(maps.Keys(works)) {
		n, mine := 0, false
		for _, p := range past {
			if p.Work == w {
				n, mine = n+1, mine || p.Rater == b.o.rater(who)
			}
		}
		if !mine && n < practical.MostRaters {
			left = append(left, w)
		}
	}
	return left, len(works)
}

// RatedBy are the ratings that somebody gave of works that can be rated, by the name of the
// work. None that was given anew is among them, and after the release there are none.
func (b Beside) RatedBy(who string) []practical.Rating {
	if b.o.r.Stage() != Closed {
		return nil
	}
	works, rater := b.works(), b.o.rater(who)
	all := slices.DeleteFunc(practical.Standing(b.o.ratings()), func(r practical.Rating) bool {
		_, is := works[r.Work]
		return !is || r.Rater != rater
	})
	slices.SortFunc(all, func(r, o practical.Rating) int { return strings.Compare(r.Work, o.Work) })
	return all
}

// Rated is how many works were rated.
func (b Beside) Rated() int {
	works := map[string]bool{}
	for _, r := range b.o.ratings() {
		works[r.Work] = true
	}
	return len(works)
}

// Borderline is the rating that just passes, as the marks were last worked out, or released;
// nil for none.
func (b Beside) Borderline() *float64 {
	b.o.mu.Lock()
	defer b.o.mu.Unlock()
	return b.o.just
}

// Unusual reports whether somebody's rating of a work may be a slip; see
// [practical.RatingUnusual]. What they gave it before says nothing of what is usual.
func (b Beside) Unusual(work string, rating float64, who string) bool {
	rater := b.o.rater(who)
	others := slices.DeleteFunc(practical.Standing(b.o.ratings()), func(r practical.Rating) bool { return r.Work == work && r.Rater == rater })
	return practical.RatingUnusual(others, rating)
}

// Rate keeps what somebody thought of the work of a name, signed and chained; or, again, what
// counts in place of what they gave it before, which stays in the file. There raters have names
// such as R1, in the order in which they came.
func (b Beside) Rate(work string, rating float64, again bool, who string, now time.Time) error {
	if err := b.o.r.begin(); err != nil {
		return err
	}
	defer b.o.r.deeds.Unlock()
	if _, err := b.Of(work); err != nil {
		return err
	}
	r := practical.Rating{At: now, Work: work, Rater: b.o.rater(who), Rating: rating, Corrects: again}
	line, err := practical.RatingsOf(b.o.r.plan, RatingsPaper, b.o.ledger(Rated)).Rate(b.o.r.keys, r)
	if err != nil {
		return err
	}
	return b.o.note(Note{Who: who, Do: Rated, Signed: strings.TrimSuffix(string(line), "\n")}, now)
}

// RatingsOf are the ratings of a candidate's work, with those that were given anew.
func (b Beside) RatingsOf(candidate string) []practical.Rating {
	work := b.o.r.plan.Entry(practical.Candidate(candidate)).Work()
	return slices.DeleteFunc(b.o.ratings(), func(r practical.Rating) bool { return r.Work != work })
}

// Files are the papers of what was set down, without what is about who was erased; there
// is none of what nothing is set down of.
func (b Beside) Files() (files map[string][]byte, err error) {
	p, k := b.o.r.plan, b.o.r.keys
	decisions, ratings := b.o.ledger(Decided), b.o.ledger(Rated)
	for _, n := range b.o.gone() {
		if decisions, err = forgotten(p, k, n, decisions); err != nil {
			return nil, err
		}
		if len(ratings) == 0 {
			continue
		}
		without, some, err := practical.RatingsOf(p, RatingsPaper, ratings).Forget(k, n.Candidate, n.At)
		if err != nil {
			return nil, err
		}
		if some > 0 {
			ratings = without
		}
	}
	files = map[string][]byte{DecisionsPaper: decisions, RatingsPaper: ratings, CodesPaper: codesTable(b.Slips())}
	maps.DeleteFunc(files, func(_ string, data []byte) bool { return len(data) == 0 })
	return files, nil
}

// codesTable is a table of the codes on paper; nothing when there are none.
func codesTable(s class.Slips) []byte {
	if len(s) == 0 {
		return nil
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write([]string{"candidate", "code"}) // a buffer takes all
	for _, c := range slices.Sorted(maps.Keys(s)) {
		_ = w.Write([]string{c, s[c]})
	}
	w.Flush()
	return b.Bytes()
}

// readBeside takes papers in for the marks.
func readBeside(p *practical.Plan, files map[string][]byte, c *class.Collecting) (err error) {
	if data := files[CodesPaper]; data != nil {
		if c.Slips, err = class.ReadSlips(CodesPaper, data); err != nil {
			return err
		}
	}
	if c.Decisions, err = practical.LedgerOf(p, DecisionsPaper, files[DecisionsPaper]).Decisions(); err != nil {
		return err
	}
	c.Ratings, err = practical.RatingsOf(p, RatingsPaper, files[RatingsPaper]).Ratings()
	return err
}

// CheckBeside says what is wrong with the decisions and ratings that notes tell of: each
// is signed, and follows the one before.
func CheckBeside(p *practical.Plan, notes []Note) error {
	b := &book{}
	for _, n := range notes {
		b.took(n)
	}
	_, err := practical.LedgerOf(p, DecisionsPaper, b.ledger(Decided)).Decisions()
	if err == nil {
		_, err = practical.RatingsOf(p, RatingsPaper, b.ledger(Rated)).Ratings()
	}
	return err
}

// ledger is the file of the signed lines of a deed.
func (b *book) ledger(do Deed) []byte {
	b.mu.Lock()
	defer b.mu.Unlock()
	return bytes.Clone(b.signed[do])
}

// ratings are those that were given, of whomever. Their signatures are checked where they
// are used, when one is added and when the folder is verified.
func (b *book) ratings() []practical.Rating {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.rated)
}

// gone are the notes of who was erased.
func (b *book) gone() []Note {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.erased)
}

// rater is the name of a rater in the file.
func (b *book) rater(who string) string {
	b.mu.Lock()
	defer b.mu.Unlock()
	i := slices.IndexFunc(b.raters, func(o string) bool { return strings.EqualFold(o, who) })
	if i < 0 {
		i = len(b.raters)
	}
	return fmt.Sprintf("R%d", i+1)
}

// tookBeside takes in what a line says of what is set down; for who holds mu.
func (b *book) tookBeside(n Note) {
	switch n.Do {
	case Copied:
		if b.slips == nil {
			b.slips = class.Slips{}
		}
		if b.slips[n.Candidate] = n.Code; n.Code == "" {
			delete(b.slips, n.Candidate)
		}
	case Decided, Withdrawn, Restored:
		b.signed.add(Decided, n.Signed)
		b.decided.took(n)
	case Rated:
		b.signed.add(Rated, n.Signed)
		b.tookRating(n)
	case Erased:
		b.erased = append(b.erased, n)
		delete(b.slips, n.Candidate)
		return
	default:
		return
	}
	b.outdates(n)
}

// ledgers are the files of decisions and ratings, by their deed.
type ledgers map[Deed][]byte

// add adds a signed line to a file.
func (l *ledgers) add(file Deed, line string) {
	if *l == nil {
		*l = ledgers{}
	}
	(*l)[file] = append(append((*l)[file], line...), '\n')
}

func (b *book) tookRating(n Note) {
	var r practical.Rating
	if json.Unmarshal([]byte(n.Signed), &r) == nil {
		b.rated = append(b.rated, r)
	}
	if !slices.ContainsFunc(b.raters, func(o string) bool { return strings.EqualFold(o, n.Who) }) {
		b.raters = append(b.raters, n.Who)
	}
}
