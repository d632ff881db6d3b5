package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"path"
	"strconv"
	"strings"

	"github.com/andybalholm/brotli"

	"conoid/cmd/station/page"
)

// site is what the browser gets: a few files, to this machine alone.
type site struct {
	host  string // with its port; "": whatever it is called, behind a certificate
	files map[string]served
	fresh func() ([]byte, error) // the case as its file is now; nil: as it was given
}

// served is a file, compressed once.
type served struct {
	kind string // MIME type
	data []byte // compressed with Brotli
	size int    // before that
	etag string
}

// caseFile is a case that is not from the library.
type caseFile struct {
	name string
	data []byte
}

var kinds = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".toml": "text/plain; charset=utf-8",
	".wasm": "application/wasm",
}

// newSite is the bench at a host. It may be given a case to open with; or with service
// it is that of a practical, whose patients are at the same host.
func newSite(b *bundle, given *caseFile, host string, service bool) (*site, error) {
	s := &site{host: host, files: map[string]served{}}
	names, err := fs.Glob(page.Files(), "*")
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		data, err := page.Files().ReadFile(name)
		if err != nil {
			return nil, err
		}
		s.addPlain(name, data)
	}
	size, err := b.size()
	if err != nil {
		return nil, err
	}
	build := page.Build{Bench: page.Program{Plain: wasmFile, Size: size}, Service: service}
	s.add(wasmFile, b.wasm, size)
	s.addPlain(loaderFile, b.loader)
	s.addPlain(page.WordsFile, page.Words())
	if given != nil {
		build.Case = &page.Given{File: givenFile, Name: given.name}
		s.addPlain(givenFile, given.data)
	}
	s.addPlain(page.BuildFile, build.Script())
	s.files["/"] = s.files["/index.html"]
	return s, nil
}

// addPlain adds a file that is not compressed yet.
func (s *site) addPlain(name string, data []byte) { s.add(name, compressed(data), len(data)) }

func (s *site) add(name string, data []byte, size int) {
	s.files["/"+name] = servedOf(name, data, size)
}

func servedOf(name string, data []byte, size int) served {
	return served{kind: kinds[path.Ext(name)], data: data, size: size, etag: fmt.Sprintf("%x", sha256.Sum256(data))[:32]}
}

// givenFile is the name that the case has which the bench opens with.
const givenFile = "case.toml"

// ServeHTTP answers only those who ask for this machine by its own name: a page
// from elsewhere whose name leads here gets nothing.
func (s *site) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Content-Security-Policy", page.Policy)
	_, port, _ := net.SplitHostPort(s.host)
	switch {
	case s.host == "":
		s.answer(w, r)
	case r.Host == "localhost:"+port:
		// The browser would keep sittings apart for the two names.
		http.Redirect(w, r, "http://"+s.host+r.URL.RequestURI(), http.StatusTemporaryRedirect)
	case r.Host != s.host:
		http.Error(w, "The bench is at http://"+s.host+"/", http.StatusMisdirectedRequest)
	default:
		s.answer(w, r)
	}
}

// answer gives a file.
func (s *site) answer(w http.ResponseWriter, r *http.Request) {
	f, known := s.files[r.URL.Path]
	if s.fresh != nil && r.URL.Path == "/"+givenFile {
		if data, err := s.fresh(); err == nil {
			f = servedOf(givenFile, compressed(data), len(data))
		}
	}
	switch {
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "The bench is only read.", http.StatusMethodNotAllowed)
	case !known:
		http.Error(w, "There is nothing here.", http.StatusNotFound)
	default:
		f.serve(w, r)
	}
}

func (f served) serve(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Cache-Control", "no-cache") // ask each time whether it has changed
	h.Set("Vary", "Accept-Encoding")
	etag, small := `"`+f.etag+`"`, accepts(r.Header.Get("Accept-Encoding"))
	if small {
		etag = `"` + f.etag + `-br"`
	}
	h.Set("ETag", etag)
	if r.Header.Get("If-None-Match") == etag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	length := f.size
	if small {
		h.Set("Content-Encoding", "br")
		length = len(f.data)
	}
	h.Set("Content-Length", strconv.Itoa(length))
	switch {
	case r.Method == http.MethodHead:
	case small:
		w.Write(f.data)
	default:
		io.Copy(w, unpacked(f.data))
	}
}

// accepts reports whether an Accept-Encoding header allows Brotli (RFC 9110,
// section 12.5.3). Who does not is on this machine as well, and gets files as they are.
func accepts(header string) bool {
	for part := range strings.SplitSeq(header, ",") {
		coding, weight, _ := strings.Cut(strings.ReplaceAll(part, " ", ""), ";")
		if strings.EqualFold(coding, "br") {
			q, err := strconv.ParseFloat(strings.TrimPrefix(weight, "q="), 64)
			return weight == "" || err == nil && q > 0
		}
	}
	return false
}

// quality is that of Brotli: with the next ones the bench shrinks by one to three hundredths, and
// takes up to four times as long.
const quality = 5

func compressed(data []byte) []byte {
	var out bytes.Buffer
	z := brotli.NewWriterLevel(&out, quality)
	z.Write(data) // into memory: cannot fail
	z.Close()
	return out.Bytes()
}

func unpacked(data []byte) io.Reader { return brotli.NewReader(bytes.NewReader(data)) }
