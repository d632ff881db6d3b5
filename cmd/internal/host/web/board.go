package web

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// homePage is the list of practicals, and the form for another one.
type homePage struct {
	frame
	Rooms []homeRow
	Sent  sent // that was refused
}

type homeRow struct {
	ID, Title string
	Rehearsal bool
	Made      time.Time
	Stage     room.Stage
	Numbers   int
	Waits     int // requests that who looks can confirm
}

func (s *Staff) home(w http.ResponseWriter, r *http.Request) { s.homeSaying(w, r, nil) }

func (s *Staff) homeSaying(w http.ResponseWriter, r *http.Request, err error) {
	p := homePage{Sent: sentBy(r, err)}
	var status int
	p.frame, status = s.frame(r, err)
	for _, x := range slices.Backward(s.service.Rooms()) {
		plan := x.Plan()
		p.Rooms = append(p.Rooms, homeRow{plan.ID, plan.Title, plan.Rehearsal, x.MadeAt(), x.Stage(), len(plan.Candidates), waitsFor(x, p.Me)})
	}
	s.page(w, r, status, "home", p)
}

// waitsFor is how many requests wait for somebody: those of others, while anything can change.
func waitsFor(x *room.Room, me staff.Person) (n int) {
	if !me.Role.May(staff.Mark) || x.Stage() == room.Out {
		return 0
	}
	for _, asked := range x.Requests() {
		if !strings.EqualFold(asked.Who, me.Name) {
			n++
		}
	}
	return n
}

// practicalPages are those about one practical.
type practicalPages struct{ *Staff }

// boardPage is how all candidates of a practical stand.
type boardPage struct {
	frame
	Plan    *practical.Plan
	Stage   room.Stage
	Deeds   []room.Deed // that take it on
	Seats   []boardRow
	Entry   string // the address for candidates
	Tickets []ticketRow
	Now     time.Time
	Names   []string // numbers that may be names, while others can be written
	Done    int
	Lives   bool        // it is brought up to date by itself
	Asked   []room.Note // requests that nobody has answered, for who may ask and confirm
	Early   bool        // it takes two people to open it yet
	Opens   time.Time
	Halt    string // why the time stands still for all; empty: it does not
}

type ticketRow struct{ Candidate, Ticket string }

func (s practicalPages) board(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.boardSaying(w, r, x, nil, nil)
}

func (s practicalPages) boardSaying(w http.ResponseWriter, r *http.Request, x *room.Room, tickets []ticketRow, err error) {
	p := boardPage{Plan: x.Plan(), Entry: origin(r) + "/", Tickets: tickets, Now: s.service.Now(), Opens: x.Opens()}
	var status int
	p.frame, status = s.frame(r, err)
	if broken := x.Broken(); broken != nil && err == nil {
		p.Refused = s.refusal(r, broken).Refused // nothing that is pressed here is done
	}
	p.Stage, p.Seats = rowsOf(x)
	if p.Stage == room.Scheduled {
		p.Names = withoutDigit(p.Plan.Candidates)
	}
	if p.Stage == room.Held {
		p.Halt = x.Halt()
	}
	p.Early = p.Stage == room.Scheduled && x.Early(s.service.Now())
	for _, row := range p.Seats {
		if row.Class == "over" {
			p.Done++
		}
	}
	if p.Me.Role.May(staff.Mark) {
		p.Asked = x.Requests()
	}
	p.Deeds = slices.DeleteFunc(slices.Clone(next[p.Stage]), func(d room.Deed) bool {
		return !p.Me.Role.May(taskOf(d)) || p.Early && slices.ContainsFunc(p.Asked, func(n room.Note) bool { return n.Asks == d })
	})
	p.Lives = len(tickets) == 0 && !p.Still && !p.Stage.Over()
	if p.Lives {
		w.Header().Set("Content-Security-Policy", livePolicy)
	}
	s.page(w, r, status, "board", p)
}

// livePolicy lets a board that brings itself up to date have the script for that, and ask its
// own server.
const livePolicy = staffPolicy + "; script-src 'self'; connect-src 'self'"

// next are the deeds that a stage can be left by.
var next = map[room.Stage][]room.Deed{
	room.Scheduled: {room.Opened},
	room.Open:      {room.Halted, room.Shut},
	room.Held:      {room.Resumed, room.Shut},
}

// taskOf is the task that a deed which takes a practical on belongs to.
func taskOf(d room.Deed) staff.Task {
	if d == room.Halted || d == room.Resumed {
		return staff.Hold
	}
	return staff.Lead
}

func (s practicalPages) move(w http.ResponseWriter, r *http.Request, x *room.Room) {
	do := room.Deed(r.FormValue("do"))
	if !meOf(r).Role.May(taskOf(do)) {
		s.refuse(w, r, staff.ErrRole)
		return
	}
	carry := x.Move
	if do == room.Opened && x.Stage() == room.Scheduled && x.Early(s.service.Now()) {
		carry = func(do room.Deed, who, reason string, now time.Time) error { return x.Ask(do, "", who, reason, now) }
	}
	err := carry(do, meOf(r).Name, reason(r), s.service.Now())
	if err != nil && practical.CheckReason(reason(r)) != nil && s.asksWhy(x, do) {
		s.whySaying(w, r, x, do, err)
		return
	}
	s.did(w, r, x, err)
}

func (s practicalPages) admit(w http.ResponseWriter, r *http.Request, x *room.Room) {
	candidate := practical.Candidate(r.FormValue("candidate"))
	of := func(b room.Standing) bool { return b.Candidate == candidate }
	_, all := x.Board()
	if i := slices.IndexFunc(all, of); i >= 0 && !all[i].Here {
		s.did(w, r, x, errAbsent) // who comes next would be in, unseen
		return
	}
	err := x.Admit(candidate, meOf(r).Name, s.service.Now())
	_, all = x.Board()
	if i := slices.IndexFunc(all, of); err != nil && i >= 0 && all[i].Clock.Stage != wire.Lobby {
		err = errAdmitted
	}
	s.did(w, r, x, err)
}

// The errors of who is to be let in on a page that is not up to date.
var (
	errAdmitted error = fact.Refuse("host.admitted")
	errAbsent   error = fact.Refuse("host.absent")
)

// did goes back to the board, or says there why something was not done. One that holds still
// is gone on with where the candidate is.
func (s practicalPages) did(w http.ResponseWriter, r *http.Request, x *room.Room, err error) {
	if err != nil {
		s.boardSaying(w, r, x, nil, err)
		return
	}
	to := "/staff/p/" + x.Plan().ID + "/"
	if r.FormValue("still") != "" {
		to += stillQuery
		if c := r.FormValue("candidate"); c != "" {
			to += "#n-" + url.PathEscape(practical.Candidate(c))
		}
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}

// tickets gives out tickets: to one candidate, or to all who have none and no place. They
// are shown this once.
func (s practicalPages) tickets(w http.ResponseWriter, r *http.Request, x *room.Room) {
	_, all := x.Board()
	has := map[string]bool{}
	for _, b := range all {
		has[b.Candidate] = b.Ticket || b.Here
	}
	given := x.Plan().Candidates
	if one := r.FormValue("candidate"); one != "" {
		if err := practical.CheckReason(reason(r)); err != nil && has[practical.Candidate(one)] {
			s.seatSaying(w, r, x, one, err)
			return
		}
		given, has = []string{one}, nil
	}
	var rows []ticketRow
	for _, c := range given {
		if has[c] {
			continue
		}
		ticket, err := x.Ticket(c, meOf(r).Name, reason(r), s.service.Now())
		if err != nil {
			s.boardSaying(w, r, x, rows, err)
			return
		}
		rows = append(rows, ticketRow{c, ticket})
	}
	var err error
	if len(rows) == 0 {
		err = fact.Refuse("host.no-tickets")
	}
	s.boardSaying(w, r, x, rows, err)
}

// notesPage is what was done to a practical.
type notesPage struct {
	frame
	Plan  *practical.Plan
	Notes []room.Note
}

func (s practicalPages) notes(w http.ResponseWriter, r *http.Request, x *room.Room) {
	lines, err := x.Notes()
	p := notesPage{Plan: x.Plan()}
	for _, l := range lines {
		var n room.Note
		if err == nil {
			err = json.Unmarshal(l, &n)
		}
		p.Notes = append(p.Notes, n)
	}
	var status int
	if p.frame, status = s.frame(r, err); !p.May(string(staff.Read)) {
		p.Notes = room.WithoutMarks(p.Notes)
	}
	s.page(w, r, status, "notes", p)
}

// results hands out the results of all who are through, with what was done to the
// practical.
func (s practicalPages) results(w http.ResponseWriter, r *http.Request, x *room.Room) {
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
		folder := "results/"
		if x.Beside().Void(c) != "" {
			folder = "void/" // whoever collects the results again leaves it out
		}
		put(folder+c+practical.ResultEnding, files[c])
	}
	if e := z.Close(); err != nil || e != nil {
		s.boardSaying(w, r, x, nil, fact.Refuse("host.zip"))
		return
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="results-`+x.Plan().ID+`.zip"`)
	_, _ = w.Write(b.Bytes())
}
