package host

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"conoid/cases"
	"conoid/cmd/internal/debrief"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/report/classes"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// The files of an appeal pack that are not one for each case.
const (
	aboutFile  = "README.txt"
	marksFile  = "marks.json"
	besideFile = "decided.json"
	notesFile  = "notes.jsonl"
	chainFile  = "notes.sha256"
)

// Appeal is all that bears on the marks of a candidate, as a zip, once they are released:
// the result; for each case its log, the case, how it is marked, and a debrief; the marks;
// the notes that concern the candidate or everybody, and the SHA-256 of all; and what to
// check it with. It has the truth in it.
func (s *Service) Appeal(x *room.Room, candidate string, v voice.Voice) ([]byte, error) {
	candidate = practical.Candidate(candidate)
	if x.Stage() != room.Out {
		return nil, room.ErrStage
	}
	result, rec, err := s.resultOf(x, candidate)
	if err != nil {
		return nil, err
	}
	a := &appeal{x: x, v: v, candidate: candidate}
	a.put(candidate+practical.ResultEnding, result)
	if err := a.marks(); err != nil {
		return nil, err
	}
	if err := a.beside(); err != nil {
		return nil, err
	}
	if err := a.notes(); err != nil {
		return nil, err
	}
	for place, sat := range rec.Cases() {
		if err := a.sat(place+1, sat); err != nil {
			return nil, fact.Because(err, "practical.case", "n", fact.Count(place+1))
		}
	}
	return a.zip(rec.Code())
}

// Look is the debrief of a case of a candidate, by its number in the practical, from 1, once
// nobody can do anything any more. It has the truth in it.
func (s *Service) Look(x *room.Room, candidate string, n int, v voice.Voice) ([]byte, error) {
	if !x.Stage().Over() {
		return nil, room.ErrStage
	}
	candidate = practical.Candidate(candidate)
	_, rec, err := s.resultOf(x, candidate)
	if err != nil {
		return nil, err
	}
	all := rec.Cases()
	i := slices.IndexFunc(all, func(sat practical.Sat) bool { return sat.Case == n-1 })
	if i < 0 {
		return nil, fact.Refuse("host.not-begun", "n", fact.Count(n))
	}
	return (&appeal{x: x, v: v, candidate: candidate}).debrief(all[i])
}

// resultOf is the result of a candidate who is through.
func (s *Service) resultOf(x *room.Room, candidate string) (file []byte, rec *practical.Record, err error) {
	results, err := x.Results()
	if err != nil {
		return nil, nil, err
	}
	if file = results[candidate]; file == nil {
		return nil, nil, room.ErrNobody
	}
	rec, err = practical.ReadResult(x.Plan(), candidate+practical.ResultEnding, file, s.keys.Key())
	return file, rec, err
}

// appeal is a pack that is being made.
type appeal struct {
	x         *room.Room
	v         voice.Voice
	candidate string
	names     []string
	files     [][]byte
	folders   []string // which case each of them has, in words
}

func (a *appeal) put(name string, data []byte) {
	a.names, a.files = append(a.names, name), append(a.files, data)
}

// report reads the class's report, as it was released.
func (a *appeal) report(all any) error {
	papers, err := a.x.Papers()
	if err != nil {
		return err
	}
	data := papers[Paper(a.v.Language, classes.DataFile)]
	if data == nil {
		return room.ErrUnmarked
	}
	return json.Unmarshal(data, all)
}

// marks takes what the class's report has of the candidate.
func (a *appeal) marks() error {
	var all struct{ Candidates []json.RawMessage }
	if err := a.report(&all); err != nil {
		return err
	}
	for _, sheet := range all.Candidates {
		var who struct{ Candidate string }
		if err := json.Unmarshal(sheet, &who); err != nil {
			return err
		}
		if who.Candidate == a.candidate {
			a.put(marksFile, append(sheet, '\n'))
		}
	}
	return nil
}

// beside is what people set down beside a result.
type beside struct {
	Void      string               `json:"void,omitempty"` // why the result does not count
	Decisions []practical.Decision `json:"decisions,omitempty"`
	Mean      *float64             `json:"meanRating,omitempty"`
	Ratings   []rating             `json:"ratings,omitempty"`
	Code      *class.Comparison    `json:"code,omitempty"` // with the one on paper
}

// rating is one of a rater who did not see whose work it was, and who is not named.
type rating struct {
	Rater  string  `json:"rater"`
	Rating float64 `json:"rating"`
	Former bool    `json:"former,omitempty"` // the rater gave another one in its place, and it does not count
}

// beside takes what people set down about the candidate, if they did.
func (a *appeal) beside() error {
	var all struct {
		Decisions []practical.Decision
		Codes     []class.Comparison
	}
	if err := a.report(&all); err != nil {
		return err
	}
	b := beside{Void: a.x.Beside().Void(a.candidate)}
	b.Decisions = slices.DeleteFunc(all.Decisions, func(d practical.Decision) bool { return d.Candidate != a.candidate })
	if i := slices.IndexFunc(all.Codes, func(c class.Comparison) bool { return c.Candidate == a.candidate }); i >= 0 {
		b.Code = &all.Codes[i]
		b.Code.Whose = "" // it says something of somebody else
	}
	ratings := a.x.Beside().RatingsOf(a.candidate)
	counting := practical.Standing(ratings)
	for _, r := range ratings {
		b.Ratings = append(b.Ratings, rating{r.Rater, r.Rating, !slices.Contains(counting, r)})
	}
	if n := float64(len(counting)); n > 0 {
		b.Mean = new(float64)
		for _, r := range counting {
			*b.Mean += r.Rating / n
		}
	}
	data, err := json.MarshalIndent(b, "", "  ")
	if len(data) > len("{}") {
		a.put(besideFile, append(data, '\n'))
	}
	return err
}

// notes takes the lines that concern the candidate or everybody. Of the others there is
// the hash, so that the chain can be followed through them.
func (a *appeal) notes() error {
	lines, err := a.x.Notes()
	if err != nil {
		return err
	}
	all, err := room.ReadNotes(lines)
	if err != nil {
		return err
	}
	var own, chain bytes.Buffer
	concerns := room.Concern(all, a.candidate)
	for i, n := range all {
		sum := sha256.Sum256(lines[i])
		fmt.Fprintf(&chain, "%d %s\n", n.N, hex.EncodeToString(sum[:]))
		if concerns[i] || n.Candidate == "" && n.Do != room.Rated {
			own.Write(append(lines[i], '\n'))
		}
	}
	a.put(notesFile, own.Bytes())
	a.put(chainFile, chain.Bytes())
	return nil
}

// sat takes what there is of the case at a place of the candidate's order.
func (a *appeal) sat(place int, sat practical.Sat) error {
	p := a.x.Plan()
	page, err := a.debrief(sat)
	if err != nil {
		return err
	}
	name := fmt.Sprintf("case-%d/", place)
	a.folders = append(a.folders, a.v.Text("host.appeal.case", "folder", name, "n", fact.Count(sat.Case+1), "title", p.Cases[sat.Case].Title))
	a.put(name+"log.jsonl", []byte(sat.Log))
	a.put(name+"case.toml", []byte(p.Cases[sat.Case].Text))
	a.put(name+"scheme.toml", []byte(cases.WriteScheme(p.Scheme(sat.Case))))
	a.put(name+"debrief.html", page)
	return nil
}

// debrief does a case again, and tells of it.
func (a *appeal) debrief(sat practical.Sat) ([]byte, error) {
	p, c := a.x.Plan(), a.x.Plan().Patient(sat.Case)
	rec, err := sitting.ReadLog(strings.NewReader(sat.Log))
	if err != nil {
		return nil, err
	}
	s := sitting.Start(c.Setup(), rec.Header.Keys)
	if err := s.Redo(rec.Events); err != nil {
		return nil, err
	}
	par, err := scoring.ParWith(c, s, scoring.ParSeeds)
	if err != nil {
		return nil, err
	}
	d, err := debrief.Of(c, s, nil, par)
	if err != nil {
		return nil, err
	}
	if d.Report, err = scoring.ReviewBy(p.Scheme(sat.Case), p.MarkedBy(sat.Case), s, par); err != nil {
		return nil, err
	}
	d.Who = a.candidate
	if err := d.Expert(); err != nil {
		return nil, err
	}
	return d.HTML(a.v)
}

// zip packs all, with a page that says what there is and how to check it.
func (a *appeal) zip(code string) ([]byte, error) {
	var about, sums, b bytes.Buffer
	p := a.x.Plan()
	about.WriteString(a.v.Text("host.appeal", "title", p.Title, "practical", p.ID, "candidate", a.candidate, "code", code, "by", p.SignedBy()) + "\n\n")
	about.WriteString(strings.Join(a.folders, "\n") + "\n\n" + a.v.Text("caution") + "\n")
	a.put(aboutFile, about.Bytes())
	for i, name := range a.names {
		fmt.Fprintf(&sums, "%x  %s\n", sha256.Sum256(a.files[i]), name)
	}
	a.put(sumsFile, sums.Bytes())
	z := zip.NewWriter(&b)
	for i, name := range a.names {
		f, err := z.Create(name)
		if err == nil {
			_, err = f.Write(a.files[i])
		}
		if err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}
