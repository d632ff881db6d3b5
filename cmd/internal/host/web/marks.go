package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/report/classes"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// marksPage is what the class comes to.
type marksPage struct {
	frame
	Plan     *practical.Plan
	Stage    room.Stage
	Now      host.Marking
	Busy     bool     // the marks are being worked out
	Marked   bool     // they were
	Files    []string // of the report, to download
	Seats    []boardRow
	Requests []room.Note
	Asked    bool            // the release
	Rated    int             // works that were rated; with any there can be a pass mark
	Just     string          // the rating that just passes, as it was typed
	Settled  *float64        // likewise, as it was released
	Open     *class.Compared // nil where all agree
	Cases    []caseRow
	PassMark *host.PassMark // nil while there is no report
	Before   time.Time      // they were worked out, and are out of date
	Since    []room.Note    // by this; none while they are up to date
	More     int            // and by so much more
	points   map[string][]float64
	released func(room.Note) bool // whether a request is about the marks as they are now
}

// Current reports whether a request for the release is about the marks as they are now.
func (p marksPage) Current(n room.Note) bool { return p.released(n) }

// marks shows what the class comes to, and each code beside its number.
func (s practicalPages) marks(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.marksSaying(w, r, x, nil)
}

func (s practicalPages) marksSaying(w http.ResponseWriter, r *http.Request, x *room.Room, err error) {
	p := marksPage{Plan: x.Plan(), Files: []string{classes.TableFile, classes.DataFile}, Just: r.FormValue("borderline")}
	now, is := s.service.Marking(x)
	p.Now, p.Busy = now, is && !now.Over
	papers, unread := x.Papers()
	p.Marked = len(papers) > 0 && unread == nil
	for _, name := range besideFiles {
		if p.Marked && papers[name] != nil {
			p.Files = append(p.Files, name)
		}
	}
	p.PassMark, p.released = s.service.PassMark(x), x.Beside().Current
	p.Before, p.Since = x.Beside().Outdated()
	if p.More = len(p.Since) - mostLines; p.More > 0 {
		p.Since = p.Since[:mostLines]
	}
	p.Rated = x.Beside().Rated()
	if p.Settled = x.Beside().Borderline(); p.Settled != nil && p.Just == "" {
		p.Just = strconv.FormatFloat(*p.Settled, 'f', -1, 64)
	}
	var status int
	p.frame, status = s.frame(r, firstOf(err, unread, now.Err))
	p.Requests = x.Requests()
	if slices.ContainsFunc(p.Requests, func(n room.Note) bool { return n.Asks == room.Decided }) {
		p.points = s.service.Points(x)
	}
	p.Asked = slices.ContainsFunc(p.Requests, func(n room.Note) bool { return n.Asks == room.Released })
	p.Stage, p.Seats = rowsOf(x)
	compareRows(x, p.Seats)
	p.Open, p.Cases = openOf(x, p.Seats), casesOf(x, sentBy(r, err).Of("case"))
	s.page(w, r, status, "marks", p)
}

// PointsNow are the points that the case of a request has now; nil while the marks are not
// worked out.
func (p marksPage) PointsNow(n room.Note) *float64 { return pointsAt(p.points[n.Candidate], n.Case-1) }

// caseRow is a case, and the form with which it no longer counts, or counts again.
type caseRow struct {
	N      int // in the plan, from 1
	Title  string
	Why    string // it counts for nobody; "" when it counts
	Do     room.Deed
	Wanted bool // it is asked for
	Sent   sent // that was refused
}

func casesOf(x *room.Room, refused sent) (rows []caseRow) {
	off, asked := x.Beside().Withdrawn(), x.Requests()
	for i, c := range x.Plan().Cases {
		row := caseRow{N: i + 1, Title: c.Title, Why: off[i+1], Do: room.Withdrawn}
		if row.Why != "" {
			row.Do = room.Restored
		}
		row.Wanted = slices.ContainsFunc(asked, func(n room.Note) bool { return n.Asks == row.Do && n.Case == row.N })
		if refused.Typed("case") == strconv.Itoa(row.N) {
			row.Sent = refused
		}
		rows = append(rows, row)
	}
	return rows
}

// pointsAt is what there is of points at an index; nil for none.
func pointsAt(points []float64, i int) *float64 {
	if i < 0 || i >= len(points) {
		return nil
	}
	return &points[i]
}

// patient is who a case is about, by its number in the practical, from 1. Candidates may
// know it by another number: that of their own order.
func patient(p *practical.Plan, n int) string {
	if n < 1 || n > len(p.Cases) {
		return ""
	}
	return p.Cases[n-1].Title
}

// firstOf is the first error that there is.
func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// besideFiles are those of what is set down beside the results, in the same words in any
// language.
var besideFiles = []string{room.CodesPaper, room.DecisionsPaper, room.RatingsPaper}

// mark has the marks worked out.
func (s practicalPages) mark(w http.ResponseWriter, r *http.Request, x *room.Room) {
	var borderline *float64
	var err error
	if text := strings.TrimSpace(r.FormValue("borderline")); text != "" {
		borderline = new(float64)
		*borderline, err = number(text)
	}
	if err == nil {
		err = s.service.Mark(x, borderline, meOf(r).Name)
	}
	if err != nil {
		s.marksSaying(w, r, x, err)
		return
	}
	http.Redirect(w, r, "/staff/p/"+x.Plan().ID+"/marks", http.StatusSeeOther)
}

// reportPolicy lets the page of a class have the style that it brings.
const reportPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// kinds are those of the files of a report.
var kinds = map[string]string{
	classes.PageFile:  "text/html; charset=utf-8",
	classes.TableFile: "text/csv; charset=utf-8",
	classes.DataFile:  "application/json",

	room.CodesPaper:     "text/csv; charset=utf-8",
	room.DecisionsPaper: "application/jsonl",
	room.RatingsPaper:   "application/jsonl",
}

// report is a file of the report, in the language of the browser.
func (s practicalPages) report(w http.ResponseWriter, r *http.Request, x *room.Room) {
	file := r.PathValue("file")
	papers, err := x.Papers()
	name := host.Paper(s.speaks(r).Language, file)
	if slices.Contains(besideFiles, file) {
		name = file
	}
	data, is := papers[name]
	switch {
	case err != nil:
		s.marksSaying(w, r, x, err)
		return
	case !is:
		s.page(w, r, http.StatusNotFound, "refused", refusedPage{frame: s.refusal(r, fact.Refuse("host.unmarked"))})
		return
	case file != classes.PageFile:
		w.Header().Set("Content-Disposition", `attachment; filename="`+x.Plan().ID+"-"+file+`"`)
	}
	w.Header().Set("Content-Security-Policy", reportPolicy)
	w.Header().Set("Content-Type", kinds[file])
	_, _ = w.Write(data)
}
