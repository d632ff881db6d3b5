package web

import (
	"bytes"
	"crypto/rand"
	"embed"
	"html/template"
	"net/http"
	"sync"
	"time"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/tongue"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// staffCookie holds the session of somebody of the staff.
const staffCookie = "__Host-staff"

// How long a link and a session of the staff are good for.
const (
	linkLasts    = 30 * time.Minute
	sessionLasts = 8 * time.Hour
)

// mostUpload is the largest file that the staff hands in, in bytes: our choice.
const mostUpload = 8 << 20

// Staff serves the pages of the staff. Who came by the link that was printed has a
// session, until the service ends.
type Staff struct {
	service *host.Service
	voice   voice.Voice

	mu       sync.Mutex
	link     string // "" once it was used
	made     time.Time
	sessions map[string]time.Time // when each ends
}

// NewStaff is the pages of a service's staff; the voice is that of who names no language
// of ours.
func NewStaff(s *host.Service, v voice.Voice) *Staff {
	return &Staff{service: s, voice: v, link: rand.Text(), made: s.Now(), sessions: map[string]time.Time{}}
}

// Link is the path that lets somebody of the staff in, once.
func (s *Staff) Link() string { return "/staff/in/" + s.link }

// staffPolicy lets the pages load nothing but their style, and send to their own server.
const staffPolicy = "default-src 'none'; style-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// Handler has the pages of the staff.
func (s *Staff) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /staff/in/{link}", s.enter)
	mux.HandleFunc("GET /staff/style.css", func(w http.ResponseWriter, r *http.Request) {
		http.ServeFileFS(w, r, pages, "pages/style.css")
	})
	mux.Handle("/staff/", s.signedIn(s.inside()))
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

// inside are the pages for who is signed in.
func (s *Staff) inside() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /staff/{$}", s.home)
	mux.HandleFunc("POST /staff/make", s.make)
	mux.HandleFunc("GET /staff/p/{id}/{$}", s.at(s.board))
	mux.HandleFunc("POST /staff/p/{id}/move", s.at(s.move))
	mux.HandleFunc("POST /staff/p/{id}/admit", s.at(s.admit))
	mux.HandleFunc("POST /staff/p/{id}/tickets", s.at(s.tickets))
	mux.HandleFunc("GET /staff/p/{id}/notes", s.at(s.notes))
	mux.HandleFunc("GET /staff/p/{id}/results.zip", s.at(s.results))
	return mux
}

// enter lets in who has the link, once and for a while.
func (s *Staff) enter(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.service.Now()
	if s.link == "" || r.PathValue("link") != s.link || now.Sub(s.made) > linkLasts {
		s.page(w, r, http.StatusForbidden, "refused", s.refusal(r, fact.Refuse("host.link")))
		return
	}
	session := rand.Text()
	s.link, s.sessions[session] = "", now.Add(sessionLasts)
	http.SetCookie(w, &http.Cookie{
		Name: staffCookie, Value: session, Path: "/", Secure: true, HttpOnly: true, SameSite: http.SameSiteLaxMode,
		MaxAge: int(sessionLasts / time.Second),
	})
	http.Redirect(w, r, "/staff/", http.StatusSeeOther)
}

// signedIn serves who has a session.
func (s *Staff) signedIn(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		c, err := r.Cookie(staffCookie)
		s.mu.Lock()
		is := err == nil && s.service.Now().Before(s.sessions[c.Value])
		s.mu.Unlock()
		if !is {
			s.page(w, r, http.StatusForbidden, "refused", s.refusal(r, fact.Refuse("host.link")))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// at serves a page of a practical.
func (s *Staff) at(do func(w http.ResponseWriter, r *http.Request, x *room.Room)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		for _, x := range s.service.Rooms() {
			if x.Plan().ID == r.PathValue("id") {
				do(w, r, x)
				return
			}
		}
		s.page(w, r, http.StatusNotFound, "refused", s.refusal(r, fact.Refuse("host.no-practical")))
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
		"count":    func(n int) any { return fact.Count(n) },
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

// refusal is what a page says where something was not done.
func (s *Staff) refusal(r *http.Request, err error) frame {
	v := s.speaks(r)
	return frame{Refused: v.Sentence(v.Error(err))}
}

// frame is what every page has.
type frame struct{ Refused string }
