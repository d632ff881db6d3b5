package web

import (
	"net/http"
	"slices"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/report/classes"
	"conoid/scoring/practical"
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
	Asked    bool // the release
}

// marks shows what the class comes to, and each code beside its number.
func (s practicalPages) marks(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.marksSaying(w, r, x, nil)
}

func (s practicalPages) marksSaying(w http.ResponseWriter, r *http.Request, x *room.Room, err error) {
	p := marksPage{Plan: x.Plan(), Files: []string{classes.TableFile, classes.DataFile}}
	now, is := s.service.Marking(x)
	p.Now, p.Busy = now, is && !now.Over
	papers, unread := x.Papers()
	p.Marked = len(papers) > 0 && unread == nil
	var status int
	p.frame, status = s.frame(r, firstOf(err, unread, now.Err))
	p.Requests = x.Requests()
	p.Asked = slices.ContainsFunc(p.Requests, func(n room.Note) bool { return n.Asks == room.Released })
	p.Stage, p.Seats = rowsOf(x)
	s.page(w, r, status, "marks", p)
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

// mark has the marks worked out.
func (s practicalPages) mark(w http.ResponseWriter, r *http.Request, x *room.Room) {
	if err := s.service.Mark(x, meOf(r).Name); err != nil {
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
}

// report is a file of the report, in the language of the browser.
func (s practicalPages) report(w http.ResponseWriter, r *http.Request, x *room.Room) {
	file := r.PathValue("file")
	papers, err := x.Papers()
	data, is := papers[host.Paper(s.speaks(r).Language, file)]
	switch {
	case err != nil:
		s.marksSaying(w, r, x, err)
		return
	case !is:
		s.page(w, r, http.StatusNotFound, "refused", s.refusal(r, fact.Refuse("host.unmarked")))
		return
	case file != classes.PageFile:
		w.Header().Set("Content-Disposition", `attachment; filename="`+x.Plan().ID+"-"+file+`"`)
	}
	w.Header().Set("Content-Security-Policy", reportPolicy)
	w.Header().Set("Content-Type", kinds[file])
	_, _ = w.Write(data)
}
