package web

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/json"
	"io"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// who stands for the staff in the notes until they sign in by name.
const who = "staff"

// homePage is the list of practicals, and the form for another one.
type homePage struct {
	frame
	Rooms []homeRow
}

type homeRow struct {
	ID, Title string
	Rehearsal bool
	Stage     room.Stage
	Seats     int
}

func (s *Staff) home(w http.ResponseWriter, r *http.Request) { s.homeSaying(w, r, nil) }

func (s *Staff) homeSaying(w http.ResponseWriter, r *http.Request, err error) {
	p, status := homePage{}, http.StatusOK
	if err != nil {
		p.frame, status = s.refusal(r, err), http.StatusUnprocessableEntity
	}
	for _, x := range slices.Backward(s.service.Rooms()) {
		stage, seats := x.Board()
		p.Rooms = append(p.Rooms, homeRow{x.Plan().ID, x.Plan().Title, x.Plan().Rehearsal, stage, len(seats)})
	}
	s.page(w, r, status, "home", p)
}

// make makes a practical of what the form says.
func (s *Staff) make(w http.ResponseWriter, r *http.Request) {
	p, err := planOf(r, s.speaks(r).Text("staff.rehearsal-name"))
	var x *room.Room
	if err == nil {
		x, err = s.service.Make(p)
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
		return p, fact.Refuse("host.form")
	}
	p.Title, p.Shuffle, p.Show.Clock = strings.TrimSpace(r.FormValue("title")), r.FormValue("shuffle") != "", true
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

// minutes is a time in minutes; none is no limit.
func minutes(text string) (time.Duration, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || !(n > 0 && n <= 240) {
		return 0, fact.Refuse("host.minutes", "text", text)
	}
	return time.Duration(n * float64(time.Minute)).Round(time.Second), nil
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

// fill puts the cases of an assignment into a plan.
func fill(p *practical.Plan, h *cases.Handout) error {
	for _, e := range h.Enclosed {
		if e.Sealed() {
			return fact.Refuse("host.sealed", "file", e.Name)
		}
		c, err := cases.Read(e.Name, []byte(e.Text))
		if err != nil {
			return err
		}
		p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: e.Text})
	}
	return nil
}

// boardPage is how all candidates of a practical stand.
type boardPage struct {
	frame
	Plan    *practical.Plan
	Stage   room.Stage
	Deeds   []room.Deed // that take it on
	Seats   []boardRow
	Entry   string // the address for candidates
	Tickets []ticketRow
	Done    int
}

type boardRow struct {
	room.Standing
	Class string // lobby, ready, running, away, over, none
	Left  any    // a time.Duration; nil: no limit, or no case is under way
}

type ticketRow struct{ Candidate, Ticket string }

func (s *Staff) board(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.boardSaying(w, r, x, nil, nil)
}

func (s *Staff) boardSaying(w http.ResponseWriter, r *http.Request, x *room.Room, tickets []ticketRow, err error) {
	p, status := boardPage{Plan: x.Plan(), Entry: "http://" + r.Host + "/", Tickets: tickets}, http.StatusOK
	if err != nil {
		p.frame, status = s.refusal(r, err), http.StatusUnprocessableEntity
	}
	var all []room.Standing
	p.Stage, all = x.Board()
	p.Deeds = next[p.Stage]
	known := map[string]room.Standing{}
	for _, b := range all {
		known[b.Candidate] = b
	}
	for _, c := range x.Plan().Candidates {
		b, is := known[c]
		if !is {
			b = room.Standing{Candidate: c}
		}
		row := boardRow{b, classOf(b, is), nil}
		if b.Clock.Left != nil {
			row.Left = *b.Clock.Left
		}
		if row.Class == "over" {
			p.Done++
		}
		p.Seats = append(p.Seats, row)
	}
	s.page(w, r, status, "board", p)
}

// next are the deeds that a stage can be left by.
var next = map[room.Stage][]room.Deed{
	room.Scheduled: {room.Opened},
	room.Open:      {room.Halted, room.Shut},
	room.Held:      {room.Resumed},
}

// classOf is how a candidate stands in one word.
func classOf(b room.Standing, known bool) string {
	switch {
	case !known || !b.Here && b.Clock.Stage == wire.Lobby:
		return "none"
	case b.Away && b.Clock.Stage == wire.Running:
		return "away"
	}
	return string(b.Clock.Stage)
}

func (s *Staff) move(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.did(w, r, x, x.Move(room.Deed(r.FormValue("do")), who, strings.TrimSpace(r.FormValue("reason")), s.service.Now()))
}

func (s *Staff) admit(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.did(w, r, x, x.Admit(r.FormValue("candidate"), who, s.service.Now()))
}

// did goes back to the board, or says there why something was not done.
func (s *Staff) did(w http.ResponseWriter, r *http.Request, x *room.Room, err error) {
	if err != nil {
		s.boardSaying(w, r, x, nil, err)
		return
	}
	http.Redirect(w, r, "/staff/p/"+x.Plan().ID+"/", http.StatusSeeOther)
}

// tickets gives out tickets: to one candidate, or to all who have none and no place. They
// are shown this once.
func (s *Staff) tickets(w http.ResponseWriter, r *http.Request, x *room.Room) {
	_, all := x.Board()
	has := map[string]bool{}
	for _, b := range all {
		has[b.Candidate] = b.Ticket || b.Here
	}
	given := x.Plan().Candidates
	if one := r.FormValue("candidate"); one != "" {
		given, has = []string{one}, nil
	}
	var rows []ticketRow
	for _, c := range given {
		if has[c] {
			continue
		}
		ticket, err := x.Ticket(c, who, strings.TrimSpace(r.FormValue("reason")), s.service.Now())
		if err != nil {
			s.boardSaying(w, r, x, rows, err)
			return
		}
		rows = append(rows, ticketRow{c, ticket})
	}
	s.boardSaying(w, r, x, rows, nil)
}

// notesPage is what was done to a practical.
type notesPage struct {
	frame
	Plan  *practical.Plan
	Notes []room.Note
}

func (s *Staff) notes(w http.ResponseWriter, r *http.Request, x *room.Room) {
	lines, err := x.Notes()
	p := notesPage{Plan: x.Plan()}
	for _, l := range lines {
		var n room.Note
		if err == nil {
			err = json.Unmarshal(l, &n)
		}
		p.Notes = append(p.Notes, n)
	}
	if err != nil {
		p.frame = s.refusal(r, err)
	}
	s.page(w, r, http.StatusOK, "notes", p)
}

// results hands out the results of all who are through, with what was done to the
// practical.
func (s *Staff) results(w http.ResponseWriter, r *http.Request, x *room.Room) {
	files, err := x.Results()
	if err != nil {
		s.boardSaying(w, r, x, nil, err)
		return
	}
	lines, err := x.Notes()
	if err != nil {
		s.boardSaying(w, r, x, nil, err)
		return
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	put := func(name string, data []byte) {
		if f, e := z.Create(name); e == nil && err == nil {
			_, err = f.Write(data)
		}
	}
	put("notes.jsonl", append(bytes.Join(lines, []byte("\n")), '\n'))
	put("practical"+practical.Ending, x.File())
	for _, c := range slices.Sorted(maps.Keys(files)) {
		put("results/"+c+practical.ResultEnding, files[c])
	}
	if e := z.Close(); err != nil || e != nil {
		s.boardSaying(w, r, x, nil, fact.Refuse("host.zip"))
		return
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="results-`+x.Plan().ID+`.zip"`)
	_, _ = w.Write(b.Bytes())
}
