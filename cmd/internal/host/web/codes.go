package web

import (
	"maps"
	"net/http"
	"strconv"
	"strings"

	"conoid/cmd/internal/host/room"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// besidePages are those about what is set down beside the results of a practical.
type besidePages struct{ practicalPages }

// codesPage takes down the codes from the slips. It does not show those of the results:
// who copies them copies the paper.
type codesPage struct {
	frame
	Plan  *practical.Plan
	Stage room.Stage
	Rows  []codeRow
	Table string // as it was pasted
}

// codeRow is a slip, and how it compares once it is kept.
type codeRow struct {
	Candidate, Typed string
	On               class.Comparison
}

func (s besidePages) codes(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.codesSaying(w, r, x, nil, nil)
}

// codesSaying shows what was typed where it was refused, and else what is kept.
func (s besidePages) codesSaying(w http.ResponseWriter, r *http.Request, x *room.Room, typed map[string]string, err error) {
	p := codesPage{Plan: x.Plan(), Table: r.FormValue("table")}
	var rows []boardRow
	p.Stage, rows = rowsOf(x)
	compareRows(x, rows)
	for _, b := range rows {
		row := codeRow{b.Candidate, b.On.Paper, b.On}
		if typed != nil {
			row.Typed = typed[b.Candidate]
		}
		p.Rows = append(p.Rows, row)
	}
	var status int
	p.frame, status = s.frame(r, err)
	s.page(w, r, status, "codes", p)
}

// compareRows puts the code on paper beside each number; nothing while there are none.
func compareRows(x *room.Room, rows []boardRow) {
	slips := x.Beside().Slips()
	if len(slips) == 0 {
		return
	}
	on := map[string]class.Comparison{}
	for _, c := range compared(slips, rows) {
		on[c.Candidate] = c
	}
	for i := range rows {
		rows[i].On = on[rows[i].Candidate]
	}
}

// compared are the codes of the results of rows beside those on slips.
func compared(slips class.Slips, rows []boardRow) []class.Comparison {
	var codes []class.Comparison
	for _, b := range rows {
		if b.Code != "" {
			codes = append(codes, class.Comparison{Candidate: b.Candidate, Code: b.Code, Void: b.Void})
		}
	}
	return slips.Compare(codes)
}

// openOf counts the codes on paper, as the report does; nil where all agree with a result
// that counts.
func openOf(x *room.Room, rows []boardRow) *class.Compared {
	if n := class.CountCodes(compared(x.Beside().Slips(), rows)); n.Open() > 0 {
		return &n
	}
	return nil
}

// copies takes down what was typed for each number, and what was pasted as a table.
func (s besidePages) copies(w http.ResponseWriter, r *http.Request, x *room.Room) {
	typed := map[string]string{}
	for _, c := range x.Plan().Candidates {
		typed[c] = r.FormValue("code-" + c)
	}
	codes := maps.Clone(typed)
	var err error
	if table := strings.TrimSpace(r.FormValue("table")); table != "" {
		var pasted class.Slips
		pasted, err = class.ReadSlips(s.speaks(r).Text("staff.codes.table"), []byte(table))
		maps.Copy(codes, pasted)
	}
	if err == nil {
		err = x.Beside().Copy(codes, meOf(r).Name, s.service.Now())
	}
	if err != nil {
		s.codesSaying(w, r, x, typed, err)
		return
	}
	http.Redirect(w, r, "/staff/p/"+x.Plan().ID+"/codes", http.StatusSeeOther)
}

// decide asks for other points for a case.
func (s besidePages) decide(w http.ResponseWriter, r *http.Request, x *room.Room) {
	candidate := r.FormValue("candidate")
	points, err := number(r.FormValue("points"))
	n, bad := strconv.Atoi(r.FormValue("case"))
	if bad != nil {
		err = fact.Refuse("host.form")
	}
	if err == nil {
		err = x.Beside().AskDecision(candidate, n, points, meOf(r).Name, reason(r), s.service.Now())
	}
	if err != nil {
		s.seatSaying(w, r, x, candidate, err)
		return
	}
	s.didMarks(w, r, x, nil)
}

// askCase asks that a case counts for nobody, or that it counts again.
func (s besidePages) askCase(w http.ResponseWriter, r *http.Request, x *room.Room) {
	n, err := strconv.Atoi(r.FormValue("case"))
	if err != nil {
		err = fact.Refuse("host.form")
	} else {
		err = x.Beside().AskCase(room.Deed(r.FormValue("do")), n, meOf(r).Name, reason(r), s.service.Now())
	}
	s.didMarks(w, r, x, err)
}

// look shows what a candidate did at a case, with the truth. Who rates works has no task that
// leads here.
func (s besidePages) look(w http.ResponseWriter, r *http.Request, x *room.Room) {
	candidate := r.PathValue("candidate")
	n, _ := strconv.Atoi(r.FormValue("case")) // 0 is no case
	page, err := s.service.Look(x, candidate, n, s.speaks(r))
	if err != nil {
		s.seatSaying(w, r, x, candidate, err)
		return
	}
	w.Header().Set("Content-Security-Policy", reportPolicy)
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(page)
}

// checkpoint hands out how far the notes have come, signed.
func (s besidePages) checkpoint(w http.ResponseWriter, r *http.Request, x *room.Room) {
	data, err := s.service.Checkpoint(x)
	if err != nil {
		s.boardSaying(w, r, x, nil, err)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", `attachment; filename="checkpoint-`+x.Plan().ID+`.json"`)
	_, _ = w.Write(data)
}
