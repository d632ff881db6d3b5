package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// reason is what a form gives as the reason.
func reason(r *http.Request) string { return strings.TrimSpace(r.FormValue("reason")) }

// whyPage asks for the reason of a deed that is about everybody. The board asks for none:
// it is brought up to date while somebody would type.
type whyPage struct {
	frame
	Plan  *practical.Plan
	Do    room.Deed
	Needs bool // a reason
	Early bool // somebody else has to confirm it
	Opens time.Time
	Typed string // the reason, where it was refused

	// Candidates where the practical is to be closed: let in and not through, and never let in.
	Sitting, Absent int
}

// asksWhy reports whether a deed that is about everybody has a page that asks for its reason,
// as things stand.
func (s *Staff) asksWhy(x *room.Room, do room.Deed) bool {
	return slices.Contains(next[x.Stage()], do) && (do == room.Halted || do == room.Shut || do == room.Opened && x.Early(s.service.Now()))
}

func (s practicalPages) why(w http.ResponseWriter, r *http.Request, x *room.Room) {
	do := room.Deed(r.PathValue("do"))
	if !meOf(r).Role.May(taskOf(do)) {
		s.refuse(w, r, staff.ErrRole)
		return
	}
	if !slices.Contains(next[x.Stage()], do) {
		s.boardSaying(w, r, x, nil, room.ErrStage)
		return
	}
	s.whySaying(w, r, x, do, nil)
}

func (s practicalPages) whySaying(w http.ResponseWriter, r *http.Request, x *room.Room, do room.Deed, err error) {
	p := whyPage{Plan: x.Plan(), Do: do, Needs: s.asksWhy(x, do), Early: do == room.Opened && x.Early(s.service.Now()), Opens: x.Opens(), Typed: r.FormValue("reason")}
	var status int
	p.frame, status = s.frame(r, err)
	_, rows := rowsOf(x)
	for _, row := range rows {
		switch {
		case row.sits():
			p.Sitting++
		case row.Class != string(wire.Over):
			p.Absent++
		}
	}
	s.page(w, r, status, "why", p)
}

// seatPage is how one candidate stands, and what can be done about it.
type seatPage struct {
	frame
	Plan  *practical.Plan
	Stage room.Stage
	Row   boardRow
	Sent  sent // that was refused

	Points []*float64 // of each case now; nil while the marks are not worked out

	// What two people decided, for who may read it.
	Void    string // why the result counts for nothing; "" when it counts
	Decided []room.Note
	Cases   []caseRow
}

// Sits reports whether the candidate was let in and is not through.
func (p seatPage) Sits() bool { return p.Row.sits() }

func (s practicalPages) seat(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.seatSaying(w, r, x, r.PathValue("candidate"), nil)
}

func (s practicalPages) seatSaying(w http.ResponseWriter, r *http.Request, x *room.Room, candidate string, err error) {
	stage, rows := rowsOf(x)
	i := slices.IndexFunc(rows, func(b boardRow) bool { return b.Candidate == practical.Candidate(candidate) })
	if i < 0 {
		s.boardSaying(w, r, x, nil, room.ErrNobody)
		return
	}
	p := seatPage{Plan: x.Plan(), Stage: stage, Row: rows[i], Sent: sentBy(r, err), Points: make([]*float64, len(x.Plan().Cases))}
	var status int
	p.frame, status = s.frame(r, err)
	if stage == room.Closed && p.May(string(staff.Mark)) {
		points := s.service.Points(x)[rows[i].Candidate]
		for k := range p.Points {
			p.Points[k] = pointsAt(points, k)
		}
	}
	if stage.Over() && p.May(string(staff.Read)) && p.Row.Code != "" {
		p.Void, p.Decided, p.Cases = x.Beside().Void(p.Row.Candidate), x.Beside().Decided(p.Row.Candidate), casesOf(x, sent{})
	}
	s.page(w, r, status, "seat", p)
}

// grant gives a candidate more time.
func (s practicalPages) grant(w http.ResponseWriter, r *http.Request, x *room.Room) {
	text := strings.TrimSpace(r.FormValue("minutes"))
	more, err := minutes(text)
	switch {
	case text == "":
		err = fact.Refuse("host.no-minutes")
	case err != nil:
		err = fact.Refuse("host.minutes-only", "text", text)
	default:
		err = x.Grant(r.FormValue("candidate"), more, meOf(r).Name, reason(r), s.service.Now())
	}
	s.didAt(w, r, x, err)
}

// shut closes the place of a candidate.
func (s practicalPages) shut(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.didAt(w, r, x, x.End(r.FormValue("candidate"), meOf(r).Name, reason(r), s.service.Now()))
}

// pause has the time of a candidate stand still, or run again.
func (s practicalPages) pause(w http.ResponseWriter, r *http.Request, x *room.Room) {
	candidate, who, now := r.FormValue("candidate"), meOf(r).Name, s.service.Now()
	if r.FormValue("on") != "" {
		s.didAt(w, r, x, x.GoOn(candidate, who, now))
		return
	}
	s.didAt(w, r, x, x.Pause(candidate, who, reason(r), now))
}

// renumber gives a candidate the right number, or exchanges it with who has that.
func (s practicalPages) renumber(w http.ResponseWriter, r *http.Request, x *room.Room) {
	do, to := x.Renumber, strings.TrimSpace(r.FormValue("to"))
	if r.FormValue("exchange") != "" {
		do = x.Exchange
	}
	s.didAt(w, r, x, do(r.FormValue("candidate"), to, meOf(r).Name, reason(r), s.service.Now()))
}

// didAt goes back to the board, or says beside the candidate why something was not done.
func (s practicalPages) didAt(w http.ResponseWriter, r *http.Request, x *room.Room, err error) {
	if err != nil {
		s.seatSaying(w, r, x, r.FormValue("candidate"), err)
		return
	}
	s.did(w, r, x, nil)
}

// ask asks for what takes two people.
func (s practicalPages) ask(w http.ResponseWriter, r *http.Request, x *room.Room) {
	do, candidate := room.Deed(r.FormValue("do")), r.FormValue("candidate")
	var err error
	if do == room.Released && r.FormValue("codes") == "" {
		_, rows := rowsOf(x)
		if openOf(x, rows) != nil {
			err = fact.Refuse("host.codes-open")
		}
	}
	if err == nil {
		err = x.Ask(do, candidate, meOf(r).Name, reason(r), s.service.Now())
	}
	if err != nil && candidate != "" {
		s.seatSaying(w, r, x, candidate, err)
		return
	}
	s.didMarks(w, r, x, err)
}

// answer confirms what somebody else asked for, or declines it.
func (s practicalPages) answer(w http.ResponseWriter, r *http.Request, x *room.Room) {
	n, err := strconv.Atoi(r.FormValue("n"))
	switch {
	case err != nil:
		err = fact.Refuse("host.form")
	case r.FormValue("yes") != "":
		err = x.Confirm(n, meOf(r).Name, s.service.Now())
	default:
		err = x.Decline(n, meOf(r).Name, reason(r), s.service.Now())
	}
	if !x.Stage().Over() {
		s.did(w, r, x, err)
		return
	}
	s.didMarks(w, r, x, err)
}

// didMarks goes to the marks, or says there why something was not done.
func (s practicalPages) didMarks(w http.ResponseWriter, r *http.Request, x *room.Room, err error) {
	if err != nil {
		s.marksSaying(w, r, x, err)
		return
	}
	http.Redirect(w, r, "/staff/p/"+x.Plan().ID+"/marks", http.StatusSeeOther)
}

// appeal hands out all that bears on the marks of a candidate.
func (s practicalPages) appeal(w http.ResponseWriter, r *http.Request, x *room.Room) {
	candidate := r.PathValue("candidate")
	data, err := s.service.Appeal(x, candidate, s.speaks(r))
	if err != nil {
		s.seatSaying(w, r, x, candidate, err)
		return
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="appeal-`+x.Plan().ID+"-"+practical.Candidate(candidate)+`.zip"`)
	_, _ = w.Write(data)
}
