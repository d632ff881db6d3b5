package web

import (
	"cmp"
	"errors"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// make makes a practical of what the form says.
func (s *Staff) make(w http.ResponseWriter, r *http.Request) {
	p, err := planOf(r, s.speaks(r).Text("staff.rehearsal-name"))
	var opens time.Time
	if err == nil {
		opens, err = opening(r.FormValue("opens"), s.service.Now())
	}
	var x *room.Room
	if err == nil {
		x, err = s.service.Make(p, meOf(r).Name, opens)
	}
	if err != nil {
		s.homeSaying(w, r, err)
		return
	}
	http.Redirect(w, r, "/staff/p/"+x.Plan().ID+"/", http.StatusSeeOther)
}

// planOf is the plan that a form asks for; usual is the title of a rehearsal without one.
func planOf(r *http.Request, usual string) (p practical.Plan, err error) {
	if err := r.ParseMultipartForm(mostUpload); err != nil {
		if tooLarge := new(http.MaxBytesError); errors.As(err, &tooLarge) {
			return p, fact.Refuse("host.too-large", "most", fact.Count(mostUpload>>20))
		}
		return p, fact.Refuse("host.form")
	}
	p.Title, p.Shuffle, p.Show.Clock = strings.TrimSpace(r.FormValue("title")), r.FormValue("shuffle") != "", true
	p.Show.Mark = r.FormValue("show-marks") != ""
	p.Rehearsal = r.FormValue("rehearsal") != ""
	if p.PerCase, err = minutes(r.FormValue("per-case")); err != nil {
		return p, err
	}
	for _, c := range strings.FieldsFunc(r.FormValue("numbers"), func(c rune) bool { return strings.ContainsRune(" \t\r\n,;", c) }) {
		p.Candidates = append(p.Candidates, practical.Candidate(c))
	}
	if len(p.Candidates) == 0 {
		return p, fact.Refuse("host.no-numbers")
	}
	if p.Extra, err = extraOf(r.FormValue("extra")); err != nil {
		return p, err
	}
	if p.Rehearsal {
		c := cases.Library()[0]
		p.Cases = []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}}
		p.Title = cmp.Or(p.Title, usual)
		return p, nil
	}
	h, err := handoutOf(r)
	if err != nil {
		return p, err
	}
	if p.Title == "" {
		p.Title = h.Title
	}
	return p, fill(&p, h)
}

// extraOf is more time by number, as a share of what the others have, as it is written at the
// command line, with blanks between. A share may have a comma.
func extraOf(text string) (map[string]float64, error) {
	all := map[string]float64{}
	for _, one := range strings.Fields(text) {
		number, share, _ := strings.Cut(strings.TrimRight(one, ",;"), "=")
		number = practical.Candidate(number)
		n, err := strconv.ParseFloat(strings.Replace(share, ",", ".", 1), 64)
		if err != nil || practical.CheckCandidate(number) != nil {
			return nil, fact.Refuse("host.extra", "text", one)
		}
		if _, is := all[number]; is {
			return nil, fact.Refuse("host.extra-twice", "candidate", number)
		}
		all[number] = n
	}
	return all, nil
}

// withoutDigit are the numbers that may be names.
func withoutDigit(numbers []string) (names []string) {
	for _, c := range numbers {
		if !strings.ContainsAny(c, "0123456789") {
			names = append(names, c)
		}
	}
	return names
}

// opening is a time as browsers give it, by the clock of the service; none is the zero
// value. One that is over would ask nobody, and where clocks are put forward some are left
// out.
func opening(text string, now time.Time) (at time.Time, err error) {
	const form = "2006-01-02T15:04"
	if text = strings.TrimSpace(text); text == "" {
		return at, nil
	}
	at, err = time.ParseInLocation(form, text, now.Location())
	switch {
	case err != nil:
		return at, fact.Refuse("host.opening", "text", text)
	case at.Format(form) != text:
		return at, fact.Refuse("host.opening-left-out", "text", text)
	case !at.After(now):
		return at, fact.Refuse("host.opening-over", "text", text)
	}
	return at, nil
}

// minutes is a time in minutes; none is no limit.
func minutes(text string) (time.Duration, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	d := time.Duration(0)
	if err == nil && n > 0 && n <= 240 {
		d = time.Duration(n * float64(time.Minute)).Round(time.Second)
	}
	if d == 0 { // too short a time is not none
		return 0, fact.Refuse("host.minutes", "text", text)
	}
	return d, nil
}

// handoutOf is the assignment that was handed in.
func handoutOf(r *http.Request) (*cases.Handout, error) {
	f, head, err := r.FormFile("assignment")
	if err != nil {
		return nil, fact.Refuse("host.no-assignment")
	}
	defer f.Close()
	data, err := io.ReadAll(f)
	if err != nil {
		return nil, fact.Refuse("host.form")
	}
	switch {
	case cases.IsHandout(data):
		return cases.ReadHandout(head.Filename, data)
	case cases.IsAssignment(data):
		return cases.Pack(head.Filename, data, func(l cases.Listed) ([]byte, error) {
			return nil, fact.Refuse("host.not-packed", "file", l.File)
		})
	}
	return nil, fact.Refuse("host.no-assignment")
}

// fill puts the cases of an assignment into a plan. Those of the library are refused: every
// bench carries them, with their errors.
func fill(p *practical.Plan, h *cases.Handout) error {
	for _, e := range h.Enclosed {
		if e.Sealed() {
			return fact.Refuse("host.sealed", "file", e.Name)
		}
		c, err := cases.Read(e.Name, []byte(e.Text))
		if err != nil {
			return err
		}
		if slices.ContainsFunc(cases.Library(), func(l *cases.Case) bool { return l.Hash() == c.Hash() }) {
			return fact.Refuse("host.library", "file", e.Name)
		}
		p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: e.Text})
	}
	return nil
}
