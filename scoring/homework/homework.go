// Package homework holds what a class's work for an assignment comes to: each sitting
// with its marks, what is odd about it, the mistakes that many made, and how each
// student went on. It knows students by numbers and never by names.
//
// [Collect] makes a [Class] of the logs that were handed in. What is wrong with one of
// them never stops the rest: it is among the troubles.
package homework

import (
	"cmp"
	"encoding/json"
	"slices"
	"time"

	"conoid/cases"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Class is what a class's work comes to. As JSON it is as class.schema.json says.
type Class struct {
	Title     string    `json:"title"`
	Simulated int       `json:"simulated,omitempty"` // sittings that no person sat
	Cases     []Case    `json:"cases"`               // in the order of the assignment
	Rows      []*Row    `json:"sittings"`            // by student, place and attempt
	Students  []Student `json:"students"`            // by number
	Mistakes  []Mistake `json:"mistakes"`            // what pays most to teach first: see Mistake.Pays
	Parts     []Share   `json:"parts"`               // of the marks, the weakest first
	Troubles  []Trouble `json:"troubles"`
	Scheme    string    `json:"scheme,omitempty"` // the name of the marking scheme; "" for the assignment's or the cases' own
	Made      time.Time `json:"made"`
	Caution   string    `json:"caution"` // in the words of whoever writes it down
}

// Case is a case of the assignment.
type Case struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Truth string `json:"truth"` // the error of the tested eye
}

// Row is one sitting.
type Row struct {
	File    string    `json:"file"`
	Who     string    `json:"who"`     // the student's own number; "" where the log has none
	Place   int       `json:"place"`   // of its case in the assignment, from 1
	Attempt int       `json:"attempt"` // of this student at this case, from 1, in the order in which they began
	Begun   time.Time `json:"begun,omitzero"`

	Took   time.Duration `json:"-"`     // from the first of the student's own actions to the last, by the clock of the machine
	Given  int           `json:"given"` // actions that were done before the student began
	Hints  int           `json:"hints"`
	Looks  int           `json:"looks"` // how often they looked at what a patient does not show
	Done   bool          `json:"done"`  // an end point was stated
	Stated string        `json:"stated,omitempty"`
	Steps  int           `json:"steps"`

	Points   float64        `json:"points"`
	Parts    []scoring.Part `json:"parts"`
	Findings []string       `json:"findings"` // IDs, the dearest first
	Remarks  []fact.Fact    `json:"remarks"`

	log    []byte
	head   string // hash of the log's last line
	ended  time.Time
	seed   *uint64
	review *scoring.Report
	c      *cases.Case
	s      *sitting.Sitting
}

// Student is one student's work.
type Student struct {
	Who  string      `json:"who"`
	Rows []*Row      `json:"-"`
	Best []float64   `json:"best"` // points of the best attempt at each place; -1 for none
	Mean float64     `json:"mean"` // of those that there are
	Gain fact.Number `json:"gain"` // points from the first attempt at a place to the last, on average over places with several
	Many bool        `json:"many"` // there are places with several attempts
}

// Mistake is something that students did otherwise than the method has it.
type Mistake struct {
	ID       string  `json:"id"` // of the finding
	Students int     `json:"students"`
	Points   float64 `json:"points"` // that it cost all of them together
	Rows     []*Row  `json:"-"`
}

// Said is what a tutor says of a mistake.
type Said struct {
	Text   string
	Places []int // of the cases in which they say so and it was made
}

// Said are the tutor's own words on the mistake, in a language: of each case in which it was
// made, and what is the same of several once.
func (m Mistake) Said(language string) (out []Said) {
	for _, r := range m.Rows {
		for _, f := range r.review.Findings {
			text := f.Remarks.In(language)
			if f.ID != m.ID || text == "" {
				continue
			}
			i := slices.IndexFunc(out, func(s Said) bool { return s.Text == text })
			if i < 0 {
				i, out = len(out), append(out, Said{Text: text})
			}
			if !slices.Contains(out[i].Places, r.Place) {
				out[i].Places = append(out[i].Places, r.Place)
			}
		}
	}
	return out
}

// Share is a part of the marks, and the share of its points that the class reached.
type Share struct {
	Part  scoring.PartName `json:"part"`
	Share float64          `json:"share"` // 0 to 1
}

// Trouble is a file, or a log in one, that is not marked, and why.
type Trouble struct {
	File string    `json:"file"`
	Who  string    `json:"who,omitempty"`
	What fact.Fact `json:"what"`
}

// MarshalJSON implements json.Marshaler: what it took is in seconds, and of the parts of
// the marks there is what was reached, and not how. A list that is empty is there.
func (r *Row) MarshalJSON() ([]byte, error) {
	type row Row
	type reached struct {
		Part   scoring.PartName `json:"part"`
		Points float64          `json:"points"`
		Most   float64          `json:"most"`
	}
	parts := []reached{}
	for _, p := range r.Parts {
		parts = append(parts, reached{p.Name, float64(p.Points), float64(p.Most)})
	}
	return json.Marshal(struct {
		*row
		Seconds float64   `json:"seconds"`
		Parts   []reached `json:"parts"`

		Findings []string    `json:"findings"`
		Remarks  []fact.Fact `json:"remarks"`
	}{(*row)(r), r.Took.Seconds(), parts, append([]string{}, r.Findings...), append([]fact.Fact{}, r.Remarks...)})
}

// Review is the report of a sitting.
func (r *Row) Review() *scoring.Report { return r.review }

// Case is the case that was sat, with the scheme by which the sitting was marked.
func (r *Row) Case() *cases.Case { return r.c }

// Sitting is the sitting, done again.
func (r *Row) Sitting() *sitting.Sitting { return r.s }

// Seed is the seed of the log, where it has one.
func (r *Row) Seed() *uint64 { return r.seed }

// Log is the log as it was handed in, with plain ends of lines.
func (r *Row) Log() []byte { return r.log }

// describe works out what the rows have in common.
func (c *Class) describe() {
	c.order()
	c.students()
	c.Mistakes = append([]Mistake{}, MistakesIn(c.Rows)...)
	c.parts()
}

// order has the rows by student, place and beginning, and counts attempts.
func (c *Class) order() {
	slices.SortStableFunc(c.Rows, func(a, b *Row) int {
		return cmp.Or(byNumber(a.Who, b.Who), cmp.Compare(a.Place, b.Place), a.Begun.Compare(b.Begun))
	})
	for i, r := range c.Rows {
		r.Attempt = 1
		if i > 0 && c.Rows[i-1].Who == r.Who && c.Rows[i-1].Place == r.Place {
			r.Attempt = c.Rows[i-1].Attempt + 1
		}
	}
}

// byNumber has 9 before 10.
func byNumber(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) }

func (c *Class) students() {
	for i, r := range c.Rows {
		if i == 0 || c.Rows[i-1].Who != r.Who {
			c.Students = append(c.Students, Student{Who: r.Who})
		}
		last := &c.Students[len(c.Students)-1]
		last.Rows = append(last.Rows, r)
	}
	for i := range c.Students {
		c.Students[i].sum(len(c.Cases))
	}
}

func (s *Student) sum(places int) {
	s.Best = slices.Repeat([]float64{-1}, places)
	first, last := make([]*Row, places), make([]*Row, places)
	for _, r := range s.Rows {
		if !r.Done {
			continue
		}
		p := r.Place - 1
		s.Best[p] = max(s.Best[p], r.Points)
		if first[p] == nil {
			first[p] = r
		}
		last[p] = r
	}
	sum, n, gain, several := 0.0, 0, 0.0, 0
	for p, best := range s.Best {
		if best >= 0 {
			sum, n = sum+best, n+1
		}
		if first[p] != last[p] {
			gain, several = gain+last[p].Points-first[p].Points, several+1
		}
	}
	if n > 0 {
		s.Mean = sum / float64(n)
	}
	if several > 0 {
		s.Gain, s.Many = fact.Number(gain/float64(several)), true
	}
}

// Pays is how much there is to be gained by teaching it: the students who make it, times
// the points that it cost them.
func (m Mistake) Pays() float64 { return float64(m.Students) * m.Points }

// MistakesIn are what was done otherwise than the method has it in some sittings: what
// pays most to teach first.
func MistakesIn(rows []*Row) (out []Mistake) {
	at, who := map[string]int{}, map[string]map[string]bool{}
	for _, r := range rows {
		for _, f := range r.review.Findings {
			if f.Severity == scoring.Note {
				continue
			}
			i, known := at[f.ID]
			if !known {
				i = len(out)
				at[f.ID], who[f.ID] = i, map[string]bool{}
				out = append(out, Mistake{ID: f.ID})
			}
			m := &out[i]
			m.Points += float64(f.Cost)
			m.Rows = append(m.Rows, r)
			who[f.ID][r.Who] = true
			m.Students = len(who[f.ID])
		}
	}
	slices.SortFunc(out, func(a, b Mistake) int {
		return cmp.Or(cmp.Compare(b.Pays(), a.Pays()), cmp.Compare(b.Students, a.Students), cmp.Compare(a.ID, b.ID))
	})
	return out
}

func (c *Class) parts() {
	var order []scoring.PartName
	points, most := map[scoring.PartName]float64{}, map[scoring.PartName]float64{}
	for _, r := range c.Rows {
		if !r.Done {
			continue
		}
		for _, p := range r.Parts {
			if most[p.Name] == 0 {
				order = append(order, p.Name)
			}
			points[p.Name] += float64(p.Points)
			most[p.Name] += float64(p.Most)
		}
	}
	for _, name := range order {
		if most[name] > 0 {
			c.Parts = append(c.Parts, Share{name, points[name] / most[name]})
		}
	}
	slices.SortStableFunc(c.Parts, func(a, b Share) int { return cmp.Compare(a.Share, b.Share) })
}

// truth is the error of the tested eye as it is written.
func truth(c *cases.Case) string { return c.Of(c.Tested).Error.ASCII() }

// ascii is a refraction as it is written.
func ascii(rx optics.Rx) string { return rx.ASCII() }
