// Package editor serves a page on which a tutor writes a case file: a form with a
// field for every key, and beside it what comes of the case.
//
// The page holds the file as it was opened and what was changed since; the server
// holds nothing but the name of the file. So each request says what it is about, undoing
// is the page's own affair, and what is not changed stays to the byte.
package editor

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"embed"
	"encoding/json"
	"mime"
	"net/http"
	"path/filepath"
	"strings"

	"conoid/cases"
	"conoid/cmd/internal/tongue"
	"conoid/render/voice"
)

// Editor serves the page for one file, to this machine alone.
type Editor struct {
	voice voice.Voice
	asked bool // for its language, so that the browser's is not
	file  *file
	host  string // with its port
	token string // begins every path, so that no other page knows one
	bench string // where the bench is that opens with the case; "" for none
	work  Work
	last  latest
}

// Work tells what a case amounts to, the quick things first, until ctx ends.
type Work func(ctx context.Context, v voice.Voice, c *cases.Case, tell func(Event)) error

// New opens a file for a page at a host. Asked says that the language of the voice was
// asked for; else the browser's goes before it.
func New(v voice.Voice, asked bool, path, host string, work Work) (*Editor, error) {
	f := &file{path: path}
	if link, err := filepath.EvalSymlinks(path); err == nil {
		f.path = link
	}
	e := &Editor{voice: v, asked: asked, file: f, host: host, token: rand.Text(), work: work}
	_, err := e.opened(v)
	return e, err
}

// Beside says where on its server the bench is that opens with the case.
func (e *Editor) Beside(bench string) { e.bench = bench }

// Path is where on its server the page is, and all that belongs to it.
func (e *Editor) Path() string { return "/" + e.token + "/" }

// Address is where the page is.
func (e *Editor) Address() string { return "http://" + e.host + e.Path() }

//go:embed page
var page embed.FS

// policy lets the page load and send nothing but to and from its own server.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src data:; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// mostBody is more than a case file and its changes need, in bytes.
const mostBody = 1 << 20

// ServeHTTP answers only the page itself: who asks for this machine by another name, comes
// from another page, or does not know the token, gets nothing.
func (e *Editor) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Content-Security-Policy", policy)
	h.Set("Cache-Control", "no-store")
	token, name, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
	switch {
	case r.Host != e.host:
		http.Error(w, "This is not served by that name.", http.StatusMisdirectedRequest)
	case subtle.ConstantTimeCompare([]byte(token), []byte(e.token)) == 0:
		http.Error(w, "There is nothing here.", http.StatusNotFound)
	case !e.own(r):
		http.Error(w, "This is for the page of the editor alone.", http.StatusForbidden)
	default:
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		e.serve(w, r, name)
	}
}

// own reports whether a request comes from the page, or opens it: browsers say in
// Origin which page sends something (RFC 6454), and in Sec-Fetch-Site whether it is
// another one's.
func (e *Editor) own(r *http.Request) bool {
	if origin := r.Header.Get("Origin"); origin != "" && origin != "http://"+e.host {
		return false
	}
	site := r.Header.Get("Sec-Fetch-Site")
	if r.Method == http.MethodGet {
		return site == "" || site == "same-origin" || site == "none"
	}
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	return r.Header.Get("Origin") != "" && (site == "" || site == "same-origin") && kind == "application/json"
}

func (e *Editor) serve(w http.ResponseWriter, r *http.Request, name string) {
	v := e.voiceOf(r)
	switch r.Method + " " + name {
	case "GET ":
		e.servePage(w, v)
	case "GET editor.css":
		serveFile(w, name, "text/css; charset=utf-8")
	case "GET editor.js":
		serveFile(w, name, "text/javascript; charset=utf-8")
	case "GET file":
		state, err := e.opened(v)
		answer(w, v, state, err)
	case "POST look":
		e.serveLook(w, r, v)
	case "POST save":
		e.serveSave(w, r, v)
	default:
		http.Error(w, "There is nothing here.", http.StatusNotFound)
	}
}

// voiceOf is the voice of the language that was asked for, or else of the first one
// that the browser names and we have.
func (e *Editor) voiceOf(r *http.Request) voice.Voice {
	if e.asked {
		return e.voice
	}
	if code, ok := tongue.Accepted(r.Header.Get("Accept-Language")); ok {
		return voice.In(code)
	}
	return e.voice
}

func serveFile(w http.ResponseWriter, name, kind string) {
	data, err := page.ReadFile("page/" + name)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Write(data)
}

// answer sends a value, or what went wrong.
func answer(w http.ResponseWriter, v voice.Voice, value any, err error) {
	if err != nil {
		fail(w, v, http.StatusUnprocessableEntity, err)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	json.NewEncoder(w).Encode(value)
}

func fail(w http.ResponseWriter, v voice.Voice, code int, err error) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	json.NewEncoder(w).Encode(map[string]string{"text": v.Sentence(v.Error(err))})
}
