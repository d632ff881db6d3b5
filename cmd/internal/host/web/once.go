package web

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"fmt"
	"html/template"
	"maps"
	"net/http"
	"sync"
	"time"

	"conoid/cmd/internal/host/staff"
	"conoid/sim/fact"
)

// repeatLasts is how long a form that is sent again gets the reply that it got: long enough
// for who presses twice, or loads the page again that came of it. Our choice. What was shown
// once, such as tickets, is not kept for longer.
const repeatLasts = time.Minute

// onceField is a field that each form has, with a value that no other page has.
const onceField = "once"

// onceInput is that field of a form.
func onceInput() template.HTML {
	return template.HTML(`<input type="hidden" name="` + onceField + `" value="` + rand.Text() + `">`)
}

// errDone says that a form was sent before, and that it was done then.
var errDone = fact.Refuse("host.done-before")

// replies are those to forms that did something, by what was sent. The zero value has none.
type replies struct {
	mu sync.Mutex
	of map[[sha256.Size]byte]*answered
}

// answered is what a form was answered. It passes on what it takes down.
type answered struct {
	http.ResponseWriter

	mu     sync.Mutex // while it is made
	at     time.Time  // when it was begun
	status int        // 0 while nothing was done
	header http.Header
	body   bytes.Buffer
}

func (a *answered) WriteHeader(status int) {
	a.status, a.header = status, a.Header().Clone()
	a.ResponseWriter.WriteHeader(status)
}

func (a *answered) Write(b []byte) (int, error) {
	a.body.Write(b)
	return a.ResponseWriter.Write(b)
}

// find is the reply to what was sent, perhaps by another request that is being done. Those
// are forgotten that no session of now can have.
func (p *replies) find(sent [sha256.Size]byte, now time.Time) *answered {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.of == nil {
		p.of = map[[sha256.Size]byte]*answered{}
	}
	maps.DeleteFunc(p.of, func(_ [sha256.Size]byte, a *answered) bool { return now.Sub(a.at) > staff.SessionLasts })
	a := p.of[sent]
	if a == nil {
		a = &answered{at: now}
		p.of[sent] = a
		time.AfterFunc(repeatLasts, a.forget)
	}
	return a
}

// forget leaves no more of a reply than that there was one.
func (a *answered) forget() {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.header, a.body = nil, bytes.Buffer{}
}

// once does what a form says a single time, however often the same page sends the same: it
// is answered as it was the first time, and after a while with what became of it. What was
// refused can be sent again.
func (s *Staff) once(do http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodPost || r.FormValue(onceField) == "" {
			do.ServeHTTP(w, r)
			return
		}
		a := s.replies.find(whatWasSent(r), s.service.Now())
		a.mu.Lock()
		defer a.mu.Unlock()
		switch {
		case a.status == 0:
			a.ResponseWriter = w
			do.ServeHTTP(a, r)
			a.ResponseWriter = nil
			if a.status >= http.StatusBadRequest {
				a.status, a.body = 0, bytes.Buffer{}
			}
		case s.service.Now().Sub(a.at) >= repeatLasts || a.header == nil:
			s.page(w, r, http.StatusConflict, "refused", refusedPage{frame: s.refusal(r, errDone)})
		default:
			maps.Copy(w.Header(), a.header)
			w.WriteHeader(a.status)
			_, _ = w.Write(a.body.Bytes())
		}
	})
}

// whatWasSent is the SHA-256 of a form that was sent by somebody, with the names and sizes
// of its files.
func whatWasSent(r *http.Request) (sum [sha256.Size]byte) {
	text := fmt.Sprintf("%q %q %q", r.URL.Path, meOf(r).Name, r.Form.Encode())
	if r.MultipartForm != nil {
		for _, f := range r.MultipartForm.File["assignment"] {
			text += fmt.Sprintf(" %q %d", f.Filename, f.Size)
		}
	}
	return sha256.Sum256([]byte(text))
}
