package web

import (
	"bytes"
	"embed"
	"errors"
	"html/template"
	"net/http"
	"strings"
	"time"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/tongue"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// mostUpload is the largest file that the staff hands in, in bytes: our choice.
const mostUpload = 8 << 20

// Staff serves the pages of the staff.
type Staff struct {
	service  *host.Service
	voice    voice.Voice
	links    *counts // tried wrongly, by address
	sessions *counts
	replies  replies
}

// NewStaff is the pages of a service's staff; the voice is that of who names no language
// of ours.
func NewStaff(s *host.Service, v voice.Voice) *Staff {
	return &Staff{service: s, voice: v, links: newCounts(perLink), sessions: newCounts(perStaff)}
}

// Link is a path that lets an assessor in, once: whoever started the service.
func (s *Staff) Link() (string, error) {
	link, err := s.service.Staff().Link(staff.Assessor, "", s.service.Now())
	return inPath + link, err
}

// staffPolicy lets the pages load nothing but their style, and send to their own server; they
// need no script.
const staffPolicy = "default-src 'none'; style-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// Handler has the pages of the staff.
func (s *Staff) Handler() http.Handler {
	mux := http.NewServeMux()
	people := peoplePages{s}
	mux.HandleFunc("GET "+inPath+"{link}", people.trying(people.door))
	mux.HandleFunc("POST "+inPath+"{link}", people.trying(s.once(http.HandlerFunc(people.enter)).ServeHTTP))
	for _, name := range []string{"style.css", "board.js"} {
		mux.HandleFunc("GET /staff/"+name, func(w http.ResponseWriter, r *http.Request) {
			http.ServeFileFS(w, r, pages, "pages/"+name)
		})
	}
	mux.Handle("/staff/", s.signedIn(s.once(s.inside())))
	return http.NewCrossOriginProtection().Handler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", staffPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		r.Body = http.MaxBytesReader(w, r.Body, mostUpload)
		mux.ServeHTTP(w, r)
	}))
}

// inside are the pages for who is signed in, each with the task that it is for.
func (s *Staff) inside() http.Handler {
	mux, people, one, rate := http.NewServeMux(), peoplePages{s}, practicalPages{s}, ratePages{s}
	beside := besidePages{one}
	mux.HandleFunc("GET /staff/{$}", s.first)
	mux.HandleFunc("GET /staff/", s.elsewhere)
	mux.HandleFunc("POST /staff/out", people.leave)
	for path, p := range map[string]struct {
		task staff.Task
		do   http.HandlerFunc
	}{
		"GET /staff/people":                    {staff.Watch, people.people},
		"POST /staff/people":                   {staff.Invite, people.invite},
		"POST /staff/people/end":               {staff.Invite, people.end},
		"POST /staff/make":                     {staff.Lead, s.make},
		"GET /staff/p/{id}/{$}":                {staff.Watch, s.at(one.board)},
		"POST /staff/p/{id}/move":              {staff.Hold, s.at(one.move)},
		"POST /staff/p/{id}/admit":             {staff.Hold, s.at(one.admit)},
		"POST /staff/p/{id}/tickets":           {staff.Hold, s.at(one.tickets)},
		"GET /staff/p/{id}/move/{do}":          {staff.Hold, s.at(one.why)},
		"GET /staff/p/{id}/seat/{candidate}":   {staff.Watch, s.at(one.seat)},
		"GET /staff/p/{id}/appeal/{candidate}": {staff.Read, s.at(one.appeal)},
		"GET /staff/p/{id}/look/{candidate}":   {staff.Read, s.at(beside.look)},
		"POST /staff/p/{id}/grant":             {staff.Hold, s.at(one.grant)},
		"POST /staff/p/{id}/shut":              {staff.Hold, s.at(one.shut)},
		"POST /staff/p/{id}/pause":             {staff.Hold, s.at(one.pause)},
		"POST /staff/p/{id}/renumber":          {staff.Hold, s.at(one.renumber)},
		"POST /staff/p/{id}/ask":               {staff.Mark, s.at(one.ask)},
		"POST /staff/p/{id}/answer":            {staff.Mark, s.at(one.answer)},
		"GET /staff/p/{id}/notes":              {staff.Watch, s.at(one.notes)},
		"GET /staff/p/{id}/marks":              {staff.Read, s.at(one.marks)},
		"POST /staff/p/{id}/mark":              {staff.Mark, s.at(one.mark)},
		"GET /staff/p/{id}/report/{file}":      {staff.Read, s.at(one.report)},
		"GET /staff/p/{id}/results.zip":        {staff.Read, s.at(one.results)},
		"GET /staff/p/{id}/codes":              {staff.Hold, s.at(beside.codes)},
		"POST /staff/p/{id}/codes":             {staff.Hold, s.at(beside.copies)},
		"POST /staff/p/{id}/decide":            {staff.Mark, s.at(beside.decide)},
		"POST /staff/p/{id}/case":              {staff.Mark, s.at(beside.askCase)},
		"GET /staff/p/{id}/checkpoint":         {staff.Read, s.at(beside.checkpoint)},
		"GET " + ratePath + "{$}":              {staff.Rate, rate.list},
		"GET " + ratePath + "{id}/{$}":         {staff.Rate, s.at(rate.next)},
		"POST " + ratePath + "{id}/{$}":        {staff.Rate, s.at(rate.rate)},
	} {
		mux.HandleFunc(path, s.may(p.task, p.do))
	}
	return mux
}

// may serves who may do a task.
func (s *Staff) may(t staff.Task, do http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if !meOf(r).Role.May(t) {
			s.refuse(w, r, staff.ErrRole)
			return
		}
		do(w, r)
	}
}

// refuse is a page that says no more than why there is none.
func (s *Staff) refuse(w http.ResponseWriter, r *http.Request, err error) {
	status := http.StatusForbidden
	switch {
	case errors.Is(err, host.ErrNoPractical):
		status = http.StatusNotFound
	case errors.Is(err, errFlood):
		status = http.StatusTooManyRequests
	}
	p := refusedPage{frame: s.refusal(r, err), Out: errors.Is(err, staff.ErrLink) || errors.Is(err, errOut)}
	if errors.Is(err, errOut) && r.ParseForm() == nil {
		p.Typed = r.PostForm.Get("reason")
	}
	s.page(w, r, status, "refused", p)
}

// refusedPage says why there is none, and how to come in where that is it.
type refusedPage struct {
	frame
	Out   bool
	Typed string // the reason of what was not done, to be copied
}

// elsewhere is for an address that has no page, such as that of a form, when it is opened
// anew: it leads to the board of its practical, or to the first page.
func (s *Staff) elsewhere(w http.ResponseWriter, r *http.Request) {
	to := "/staff/"
	if rest, is := strings.CutPrefix(r.URL.Path, "/staff/p/"); is {
		id, _, _ := strings.Cut(rest, "/")
		if _, err := s.service.Room(id); err == nil {
			to += "p/" + id + "/"
		}
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}

// at serves a page of a practical.
func (s *Staff) at(do func(w http.ResponseWriter, r *http.Request, x *room.Room)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		x, err := s.service.Room(r.PathValue("id"))
		if err != nil {
			s.refuse(w, r, err)
			return
		}
		do(w, r, x)
	}
}

// speaks is the voice of the first language that the browser names and we have.
func (s *Staff) speaks(r *http.Request) voice.Voice {
	if code, is := tongue.Accepted(r.Header.Get("Accept-Language")); is {
		return voice.In(code)
	}
	return s.voice
}

//go:embed pages
var pages embed.FS

// page writes a page.
func (s *Staff) page(w http.ResponseWriter, r *http.Request, status int, name string, data any) {
	v := s.speaks(r)
	t := template.New("").Funcs(template.FuncMap{
		"t":        func(id string, pairs ...any) string { return v.Text("staff."+id, pairs...) },
		"language": func() string { return v.Language },
		"moment":   func(at time.Time) string { return at.Local().Format(v.Text("style.short")) },
		"clock":    func(at time.Time) string { return at.Local().Format(time.TimeOnly) },
		"exact":    func(at time.Time) string { return at.Local().Format(v.Text("style.short") + ":05") },
		"count":    func(n int) any { return fact.Count(n) },
		"place":    func(i int) any { return fact.Count(i + 1) },
		"points":   func(p *float64) any { return fact.Points(*p) },
		"number":   func(v float64) any { return fact.Points(v) },
		"patient":  patient,
		"once":     onceInput,
		"word":     func(id string, pairs ...any) string { return v.Text(id, pairs...) },
	})
	var b bytes.Buffer
	t, err := t.ParseFS(pages, "pages/frame.html", "pages/"+name+".html")
	if err == nil {
		err = t.ExecuteTemplate(&b, "frame", data)
	}
	if err != nil {
		http.Error(w, "The page could not be made.", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes())
}

// frame is what every page has.
type frame struct {
	Refused string
	Me      staff.Person // the zero value before somebody is signed in
	Still   bool         // the board is not to bring itself up to date
}

// stillQuery has the board hold still, and all that leads back to it. Who goes through it by
// keys, or listens, would otherwise be thrown back to its beginning every few seconds where the
// browser has no scripts.
const stillQuery = "?still=1"

// Keep is what an address needs that leads to the board, now or later.
func (f frame) Keep() string {
	if f.Still {
		return stillQuery
	}
	return ""
}

// May reports whether who looks may do a task.
func (f frame) May(task string) bool { return f.Me.Role.May(staff.Task(task)) }

// frame is that of a request; what was refused is said, if anything was.
func (s *Staff) frame(r *http.Request, err error) (f frame, status int) {
	f, status = frame{Me: meOf(r), Still: r.FormValue("still") != ""}, http.StatusOK
	if err != nil {
		v := s.speaks(r)
		f.Refused, status = v.Sentence(short(v, v.Error(err))), http.StatusUnprocessableEntity
		if errors.Is(err, room.ErrStage) {
			f.Refused += " " + v.Text("staff.meanwhile")
		}
	}
	return f, status
}

// mostLines is how many lines of what is wrong are read: our choice.
const mostLines = 10

// short is what is wrong, without the end of a long list, such as of hundreds of numbers.
func short(v voice.Voice, text string) string {
	lines := strings.Split(text, "\n")
	if n := len(lines) - mostLines; n > 0 {
		lines = append(lines[:mostLines], v.Text("staff.more-lines", "n", fact.Count(n)))
	}
	return strings.Join(lines, "\n")
}

// refusal is what a page says where something was not done.
func (s *Staff) refusal(r *http.Request, err error) frame {
	f, _ := s.frame(r, err)
	return f
}
