package room

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// pointsPaper is the paper with what candidates are shown of their marks.
const pointsPaper = "points.json"

// ErrUnmarked says that the marks have to be worked out first.
var ErrUnmarked error = fact.Refuse("host.unmarked")

// Collecting is how a class is worked out.
type Collecting struct {
	Key        cases.Key          // opens the results
	Beside     map[string][]byte  // see [Beside.Files]
	Borderline *float64           // the rating that just passes, as Passing has it; nil for no pass mark
	Progress   func(done, of int) // results that are marked
}

// Collect works out what the class comes to, as of a practical at machines.
func (o *Office) Collect(from Collecting, now time.Time) (*class.Class, error) {
	if !o.r.Stage().Over() {
		return nil, ErrStage
	}
	results, err := o.r.Results()
	if err != nil {
		return nil, err
	}
	todo := class.Collecting{Key: from.Key, Borderline: from.Borderline, Made: now.Round(0), Served: true}
	if err := readBeside(o.r.plan, from.Beside, &todo); err != nil {
		return nil, err
	}
	todo.Erased = o.Beside().Erased()
	void, of := o.voids(), 0
	for _, c := range slices.Sorted(maps.Keys(results)) {
		todo.Files = append(todo.Files, class.File{Name: c + practical.ResultEnding, Data: results[c], Void: void[c]})
		if void[c] == "" {
			of++
		}
	}
	todo.Progress = func(done int) { from.Progress(done, of) }
	return class.Collect(o.r.plan, todo)
}

// Marked keeps what the class comes to, as papers by their names, in place of what was
// worked out before. What is released stays as it is, unless there is nothing of it any
// more, because a candidate was erased.
func (o *Office) Marked(c *class.Class, papers map[string][]byte, who string, now time.Time) error {
	if err := o.r.begin(); err != nil {
		return err
	}
	defer o.r.deeds.Unlock()
	stage, void := o.r.Stage(), o.voids()
	if stage != Closed && !(stage == Out && o.marks() == "") {
		return ErrStage
	}
	if just, err := o.Beside().Passing(c.Borderline); err != nil || !sameRating(just, c.Borderline) {
		return cmp.Or(err, ErrChanged)
	}
	if slices.ContainsFunc(c.Sheets, func(s *practical.Sheet) bool { return void[s.Candidate] != "" || o.r.of(s.Candidate) == nil }) {
		return ErrChanged
	}
	if beside, err := o.Beside().Files(); err != nil || !sameBeside(beside, papers) {
		return cmp.Or(err, ErrChanged)
	}
	points, err := json.Marshal(pointsOf(o.r.plan, c))
	if err != nil {
		return err
	}
	kept := maps.Clone(papers)
	kept[pointsPaper] = points
	keep := func(w store.Writes) error { return w.SetPapers(o.r.plan.ID, kept) }
	if err := o.note(Note{Who: who, Do: Marked, Sum: sumOf(kept), Just: c.Borderline}, now, keep); err != nil || stage == Closed {
		return err
	}
	return o.readPoints()
}

// Passing is the rating that just passes with which the marks are worked out where somebody
// gives one, or none. After the release it is the one that two people released, and another
// one is refused.
func (b Beside) Passing(given *float64) (*float64, error) {
	b.o.mu.Lock()
	defer b.o.mu.Unlock()
	switch {
	case !b.o.out:
		return given, nil
	case given == nil || sameRating(given, b.o.just):
		return b.o.just, nil
	case b.o.just == nil:
		return nil, fact.Refuse("host.released-without")
	}
	return nil, fact.Refuse("host.released-with", "points", fact.Points(*b.o.just))
}

// Current reports whether a request is about the marks as they are now.
func (b Beside) Current(n Note) bool { return n.Sum != "" && n.Sum == b.o.marks() }

// Outdated is when the marks were last worked out, and what was done since that is not in
// them; nothing while they are up to date, or were never worked out.
func (b Beside) Outdated() (at time.Time, since []Note) {
	b.o.mu.Lock()
	defer b.o.mu.Unlock()
	return b.o.marked, slices.Clone(b.o.since)
}

// sameRating reports whether two ratings are the same, or both are none.
func sameRating(a, b *float64) bool {
	return a == nil && b == nil || a != nil && b != nil && *a == *b
}

// WithoutMarks are notes without what they tell of marks: points, the rating that just
// passes, and why somebody asked for something about marks, did it or declined it.
func WithoutMarks(all []Note) []Note {
	about := map[int]bool{} // requests, by their number
	rest := slices.Clone(all)
	for i, n := range rest {
		do := n.Do
		if do == Asked {
			do = n.Asks
		}
		marks := slices.Contains([]Deed{Marked, Released, Voided, Decided, Withdrawn, Restored}, do)
		if n.Do == Asked {
			about[n.N] = marks
		}
		if marks || about[n.For] {
			rest[i].Points, rest[i].Just, rest[i].Case, rest[i].Reason = nil, nil, 0, ""
		}
	}
	return rest
}

// sameBeside reports whether papers have what is set down beside the results, as it is now.
func sameBeside(beside, papers map[string][]byte) bool {
	for _, name := range []string{CodesPaper, DecisionsPaper, RatingsPaper} {
		if !bytes.Equal(beside[name], papers[name]) {
			return false
		}
	}
	return true
}

// pointsOf are the points of each candidate for their cases, in their own order.
func pointsOf(p *practical.Plan, c *class.Class) map[string][]float64 {
	all := map[string][]float64{}
	for _, s := range c.Sheets {
		for _, i := range s.Entry(p).Order() {
			all[s.Candidate] = append(all[s.Candidate], s.Cases[i].Points)
		}
	}
	return all
}

// sumOf is a SHA-256 of papers with their names.
func sumOf(papers map[string][]byte) string {
	h := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(papers)) {
		fmt.Fprintf(h, "%x %s\n", sha256.Sum256(papers[name]), name)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Papers are what was worked out of the practical; none where nothing was, and
// ErrUnmarked where it is not what the notes tell of.
func (o *Office) Papers() (map[string][]byte, error) {
	if o.marks() == "" {
		return nil, nil
	}
	return o.papers()
}

// CheckPapers says that papers are not those that the notes tell of.
func CheckPapers(notes []Note, papers map[string][]byte) error {
	b := &book{}
	for _, n := range notes {
		b.took(n)
	}
	if b.sum != "" && sumOf(papers) != b.sum {
		return ErrUnmarked
	}
	return nil
}

// readPoints reads what candidates are shown of their marks.
func (o *Office) readPoints() error {
	papers, err := o.papers()
	if err != nil {
		return err
	}
	points := map[string][]float64{}
	if o.r.plan.Show.Mark {
		err = json.Unmarshal(papers[pointsPaper], &points)
	}
	o.points.Store(&points)
	return err
}

// tellMarks tells a candidate what is released of their marks. After somebody was erased they
// have to be worked out anew, and until then it is as before the release.
func tellMarks(s *seat, t *wire.Seat) {
	p := s.r.points.Load()
	if p == nil {
		return
	}
	t.Released, t.Shown, t.Points = true, s.r.plan.Show.Mark, (*p)[s.candidate]
	if t.Points == nil {
		return
	}
	off := s.r.Beside().Withdrawn()
	for n, i := range s.entry().Order() {
		if _, is := off[i+1]; is {
			t.Withdrawn = append(t.Withdrawn, n+1)
		}
	}
}
