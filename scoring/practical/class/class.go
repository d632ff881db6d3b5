// Package class holds what a class comes to that sat a practical: its marks, what
// is wrong with files that came back, and the statistics of both. It is apart
// from package practical, which is at every station, because no station needs
// them.
package class

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"conoid/cases"
	"conoid/scoring"
	"conoid/scoring/cohort"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// File is a file that came back, or the reason why it could not be read.
type File struct {
	Name   string
	Data   []byte
	Err    error
	Passed bool   // it is no result, so that nobody waits for it; Err says why
	Void   string // why the result of it does not count; "" when it does
}

// Trouble is something about the files that people have to look at.
type Trouble struct {
	Kind      Kind      `json:"kind"`
	File      string    `json:"file,omitempty"`
	Candidate string    `json:"candidate,omitempty"` // as far as it is known
	What      fact.Fact `json:"what"`
}

// Kind is a kind of trouble.
type Kind string

// The kinds of trouble.
const (
	Damaged   Kind = "damaged"           // cut off, changed, or not to be read
	AlteredIn Kind = "altered"           // whole, but with answers that the case does not give
	Duplicate Kind = "duplicate"         // a second result of a candidate
	Foreign   Kind = "another practical" // of another practical
	Late      Kind = "late"              // begun too late, or more time taken than allowed; marked all the same
	Missing   Kind = "missing"           // a candidate without a result
	Doubtful  Kind = "doubtful"          // with times that cannot be true, or that nothing explains; marked all the same
	Passed    Kind = "passed over"       // no result, and not opened
	Unsent    Kind = "not for others"    // marked, but not written for other systems
	Void      Kind = "void"              // whole, and not marked because people decided so
	Erased    Kind = "erased"            // nothing is kept of the candidate any more, because people decided so
)

// Unmarked reports whether a result is behind a trouble that should have been marked,
// and is not.
func (k Kind) Unmarked() bool {
	return k != Missing && k != Late && k != Doubtful && k != Passed && k != Unsent && k != Void && k != Erased
}

// Name is the ID of the words for a kind.
func (k Kind) Name() string { return "practical.kind." + strings.ReplaceAll(string(k), " ", "-") }

// Class is what a class comes to.
type Class struct {
	Practical    string               `json:"practical"`
	Title        string               `json:"title"`
	Rehearsal    bool                 `json:"rehearsal,omitempty"`
	Simulated    int                  `json:"simulated,omitempty"` // results that no person sat
	Served       bool                 `json:"served,omitempty"`    // worked out by the service that held it, whose clock counted
	SignedBy     string               `json:"signedBy"`
	Scheme       string               `json:"scheme,omitempty"` // the name of the marking scheme; "" for the practical's own
	Cases        []Case               `json:"cases"`
	Sheets       []*practical.Sheet   `json:"candidates"` // marked, by number
	Troubles     []Trouble            `json:"troubles"`
	Decisions    []practical.Decision `json:"decisions"`
	Codes        []Comparison         `json:"codes,omitempty"`   // with those on paper, by candidate
	Figures      *cohort.Class        `json:"figures,omitempty"` // by case; nil when nobody was marked
	Parts        *cohort.Class        `json:"parts,omitempty"`   // by part of each case
	PartsOf      []PartOf             `json:"-"`                 // what the items of Parts are
	Rated        int                  `json:"rated"`             // candidates whom examiners rated
	Raters       []Pair               `json:"raters,omitempty"`  // pairs who rated the same candidates
	Corrected    []Corrected          `json:"correctedRatings,omitempty"`
	Borderline   *float64             `json:"borderline,omitempty"` // the rating that just passes; nil where no pass mark was asked for
	PassMark     cohort.Value         `json:"passMark"`             // points
	Reach        int                  `json:"reach"`                // candidates who reach the pass mark
	Miss         int                  `json:"miss"`                 // and who do not; both 0 where there is none
	WithExtra    *Group               `json:"withExtra,omitempty"`  // candidates who had more time; nil when nobody had
	WithoutExtra *Group               `json:"withoutExtra,omitempty"`
	Places       []Place              `json:"places,omitempty"` // where the order was another for each
	Cut          *cohort.Cut          `json:"cut,omitempty"`    // how the pass mark came about
	LookAgain    []cohort.Total       `json:"lookAgain,omitempty"`
	Findings     []FindingCount       `json:"findings"`
	Listening    []Listening          `json:"listening"` // of the candidates, in their order
	Made         time.Time            `json:"made"`
	Caution      string               `json:"caution"` // in the words of whoever writes it down
	ratings      map[string]float64   // by candidate, the mean of two where there are; nil without any
}

// PartOf is a part of the marks of a case.
type PartOf struct {
	Case int // index in Cases
	Part scoring.PartName
}

// Case is a case of a class.
type Case struct {
	ID        string `json:"id"`
	Title     string `json:"title"`
	Truth     string `json:"truth"`
	Withdrawn bool   `json:"withdrawn,omitempty"`
	Reason    string `json:"reason,omitempty"`
}

// FindingCount is how many candidates did something otherwise than the method
// has it, in at least one case.
type FindingCount struct {
	ID         string `json:"id"`
	Candidates int    `json:"candidates"`
}

// Collecting is what a class report is made of.
type Collecting struct {
	Files      []File
	Key        cases.Key            // of the assessor
	Decisions  []practical.Decision // read from a [practical.Ledger]
	By         *practical.Plan      // whose schemes count: the plan itself, or Remarked
	Scheme     string               // the name of By; "" for the practical's own
	Ratings    []practical.Rating   // see ReadRatings; nil when there are none
	Borderline *float64             // the rating that just passes; nil where no pass mark is asked for
	Slips      Slips                // the codes on paper; nil when they are not compared here
	Made       time.Time
	Served     bool           // by the service that held it
	Erased     []string       // candidates of whom nothing is kept any more
	Progress   func(done int) // files done; may be nil
}

// Collect verifies, replays and marks results, and describes the class. What is
// wrong with one file never stops the rest: it is among the troubles.
func Collect(p *practical.Plan, c Collecting) (*Class, error) {
	out := &Class{
		Practical: p.ID, Title: p.Title, Rehearsal: p.Rehearsal, SignedBy: p.SignedBy(), Scheme: c.Scheme,
		Decisions: append([]practical.Decision{}, c.Decisions...), Sheets: []*practical.Sheet{}, Troubles: []Trouble{}, Findings: []FindingCount{}, Listening: []Listening{},
		Borderline: c.Borderline, Made: c.Made, Served: c.Served,
	}
	records, names := out.sort(p, c)
	m := practical.NewMarker(p, cmp.Or(c.By, p))
	for i, r := range records {
		s, err := m.Mark(r)
		var altered *practical.Altered
		switch {
		case errors.As(err, &altered):
			out.trouble(AlteredIn, names[i], r.Candidate(), fact.New("practical.trouble.why", "cause", err))
		case err != nil:
			out.trouble(Damaged, names[i], r.Candidate(), fact.New("practical.trouble.why", "cause", err))
		default:
			s.File = names[i]
			s.Apply(c.Decisions)
			out.Sheets = append(out.Sheets, s)
			for _, why := range s.Late {
				out.trouble(Late, names[i], s.Candidate, why)
			}
			s.Doubts = r.Doubts(p, c.Made)
			for _, why := range s.Doubts {
				out.trouble(Doubtful, names[i], s.Candidate, why)
			}
		}
		if c.Progress != nil {
			c.Progress(i + 1)
		}
	}
	slices.SortFunc(out.Sheets, func(a, b *practical.Sheet) int {
		return byNumber(a.Candidate, b.Candidate)
	})
	out.missing(p, c.Erased)
	out.cases(p, c.Decisions)
	for _, s := range out.Sheets {
		out.Listening = append(out.Listening, listening(s))
	}
	if err := out.rate(p, c.Ratings); err != nil {
		return nil, err
	}
	err := out.describe(c.Borderline)
	out.effects(p)
	return out, err
}

func (c *Class) trouble(k Kind, file, candidate string, what fact.Fact) {
	c.Troubles = append(c.Troubles, Trouble{k, file, candidate, what})
}

// sort opens the files and leaves out what cannot be marked.
func (c *Class) sort(p *practical.Plan, from Collecting) (records []*practical.Record, names []string) {
	var whole []*practical.Record // each once
	var in []File
	defer func() { c.compare(from.Slips, whole, in) }()
	first := map[string]int{} // by candidate
	twice := map[string]bool{}
	for _, f := range from.Files {
		switch {
		case f.Passed:
			c.trouble(Passed, f.Name, "", fact.New("practical.trouble.why", "cause", f.Err))
			continue
		case f.Err != nil:
			c.trouble(Damaged, f.Name, "", fact.New("practical.trouble.unread", "cause", f.Err))
			continue
		}
		r, err := practical.ReadResult(p, f.Name, f.Data, from.Key)
		if err != nil {
			kind, candidate := Damaged, ""
			if errors.Is(err, practical.ErrOther) {
				kind = Foreign
			}
			var forged *sitting.LogError
			if errors.As(err, &forged) {
				kind = AlteredIn
			}
			if look, bad := practical.LookAt(f.Name, f.Data); bad == nil && practical.CheckCandidate(look.Candidate) == nil {
				candidate = look.Candidate
			}
			c.trouble(kind, f.Name, candidate, within(err))
			continue
		}
		i, again := first[r.Candidate()]
		if !again || records[i].Code() != r.Code() {
			whole, in = append(whole, r), append(in, f)
		}
		switch {
		case f.Void != "":
			c.trouble(Void, f.Name, r.Candidate(), fact.New("practical.trouble.void", "reason", f.Void))
		case !again:
			first[r.Candidate()] = len(records)
			records, names = append(records, r), append(names, f.Name)
		case records[i].Code() == r.Code():
			c.trouble(Duplicate, f.Name, r.Candidate(), fact.New("practical.trouble.same", "file", names[i]))
		default:
			id := "practical.trouble.twice"
			if records[i].Started().Equal(r.Started()) {
				id = "practical.trouble.two-codes"
				if records[i].Carried() && r.Carried() {
					id = "practical.trouble.carried-twice"
				}
			}
			if !twice[r.Candidate()] {
				c.trouble(Duplicate, names[i], r.Candidate(), fact.New(id, "code", records[i].Code()))
			}
			c.trouble(Duplicate, f.Name, r.Candidate(), fact.New(id, "code", r.Code()))
			twice[r.Candidate()] = true
		}
	}
	var keep []*practical.Record
	var kept []string
	for i, r := range records {
		if !twice[r.Candidate()] {
			keep, kept = append(keep, r), append(kept, names[i])
		}
	}
	return keep, kept
}

// within is an error about a file without the name of the file, which stands
// beside it.
func within(err error) fact.Fact {
	var told fact.Told
	if !errors.As(err, &told) {
		return fact.New("practical.trouble.why", "cause", err)
	}
	f := told.Tell()
	switch cause := errors.Unwrap(told); {
	case f.ID == "practical.in-file" && cause != nil:
		return fact.New("practical.trouble.why", "cause", cause)
	case f.ID == "practical.at":
		return fact.New("practical.trouble.at", "line", f.Values["line"], "what", f.Values["what"])
	}
	return fact.New("practical.trouble.why", "cause", err)
}

// missing reports the candidates who are expected and have no sheet and no
// trouble yet; of some it is known that they were erased.
func (c *Class) missing(p *practical.Plan, erased []string) {
	for _, number := range p.Candidates {
		if slices.Contains(erased, number) {
			c.trouble(Erased, "", number, fact.New("practical.trouble.erased"))
			continue
		}
		if !slices.ContainsFunc(c.Sheets, func(s *practical.Sheet) bool { return s.Candidate == number }) &&
			!slices.ContainsFunc(c.Troubles, func(t Trouble) bool { return t.Candidate == number && t.Kind != Foreign }) {
			c.trouble(Missing, "", number, fact.New("practical.trouble.no-result"))
		}
	}
}

func (c *Class) cases(p *practical.Plan, ds []practical.Decision) {
	for i, k := range p.Cases {
		patient := p.Patient(i)
		c.Cases = append(c.Cases, Case{ID: k.ID, Title: k.Title, Truth: patient.Of(patient.Tested).Error.ASCII()})
	}
	for _, d := range ds {
		if d.Do == practical.Withdraw || d.Do == practical.Restore {
			k := &c.Cases[d.Case-1]
			k.Withdrawn, k.Reason = d.Do == practical.Withdraw, d.Reason
		}
	}
	seen := map[string]int{}
	for _, s := range c.Sheets {
		if s.Simulated {
			c.Simulated++
		}
		mine := map[string]bool{}
		for _, k := range s.Cases {
			for _, f := range k.Findings {
				if !mine[f] && !k.Withdrawn {
					mine[f] = true
					seen[f]++
				}
			}
		}
	}
	for id, n := range seen {
		c.Findings = append(c.Findings, FindingCount{id, n})
	}
	slices.SortFunc(c.Findings, func(a, b FindingCount) int {
		return cmp.Or(cmp.Compare(b.Candidates, a.Candidates), cmp.Compare(a.ID, b.ID))
	})
}
