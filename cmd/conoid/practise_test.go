package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/station/page"
	"conoid/render/voice"
)

// dummy stands in for the bench, which takes long to build.
func dummy(context.Context, voice.Voice, io.Writer) (*bundle, error) {
	return &bundle{wasm: compressed([]byte(strings.Repeat("bench", 1000))), loader: []byte("loader")}, nil
}

func dummySite(t *testing.T, given *caseFile) *site {
	b, err := dummy(t.Context(), voice.English, io.Discard)
	require.NoError(t, err)
	s, err := newSite(b, given, "127.0.0.1:4680", false)
	require.NoError(t, err)
	return s
}

// A case of one's own can be written beside the bench, which opens with it as it is by
// then; one that nobody may read, or none, cannot.
func TestTheEditorBesideTheBench(t *testing.T) {
	const host = "127.0.0.1:4680"
	file := filepath.Join(t.TempDir(), "mine.toml")
	first := cases.Template(voice.English.Say)
	require.NoError(t, os.WriteFile(file, first, 0o600))
	b, err := dummy(t.Context(), voice.English, io.Discard)
	require.NoError(t, err)
	p := &practice{name: file, voice: voice.English}
	given := &caseFile{name: "mine.toml", data: first}
	what, edit, err := p.benchWith(b, given, host, "?case=case.toml")
	require.NoError(t, err)
	gets := func(path string) (int, string) {
		r := httptest.NewRequest("GET", path, nil)
		r.Host = host
		w := httptest.NewRecorder()
		what.ServeHTTP(w, r)
		return w.Code, body(t, w.Result())
	}
	path, is := strings.CutPrefix(edit, "#edit=")
	require.True(t, is)
	_, build := gets("/build.js")
	assert.NotContains(t, build, path, "who has not the address does not learn it")
	status, page := gets(path)
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, page, `href="/?case=case.toml#edit=`+path+`"`)
	_, text := gets("/case.toml")
	assert.Equal(t, string(first), text)
	second := append(first, "# more\n"...)
	require.NoError(t, os.WriteFile(file, second, 0o600))
	_, text = gets("/case.toml")
	assert.Equal(t, string(second), text, "as it is by now")
	status, _ = gets("/WRONG/")
	assert.Equal(t, http.StatusNotFound, status)

	handout, err := cases.Pack("a.toml", []byte("conoid-assignment = 1\ntitle = \"x\"\ncases = [\"ferry-clerk\"]\n"), nil)
	require.NoError(t, err)
	for _, given := range []*caseFile{nil, {name: "a.conoid-assignment", data: handout.Write()}} {
		_, edit, err := p.benchWith(b, given, host, "")
		require.NoError(t, err)
		assert.Empty(t, edit)
	}
}

func ask(s *site, method, path string, headers ...string) *http.Response {
	r := httptest.NewRequest(method, path, nil)
	r.Host = "127.0.0.1:4680"
	for i := 0; i < len(headers); i += 2 {
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		}
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w.Result()
}

func body(t *testing.T, r *http.Response) string {
	data, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	return string(data)
}

// Each file comes with its type (for WebAssembly, the one that the WebAssembly
// Web API asks for), compressed or not, and only anew when it has changed.
func TestSiteFiles(t *testing.T) {
	s := dummySite(t, &caseFile{name: "my «case».toml", data: []byte("conoid = 2")})
	for path, kind := range map[string]string{
		"/": "text/html; charset=utf-8", "/index.html": "text/html; charset=utf-8", "/style.css": "text/css; charset=utf-8",
		"/page.js": "text/javascript; charset=utf-8", "/build.js": "text/javascript; charset=utf-8", "/words.js": "text/javascript; charset=utf-8", "/wasm_exec.js": "text/javascript; charset=utf-8",
		"/bench.wasm": "application/wasm", "/case.toml": "text/plain; charset=utf-8",
	} {
		plain, small := ask(s, "GET", path), ask(s, "GET", path, "Accept-Encoding", "gzip, br;q=0.8")
		for _, r := range []*http.Response{plain, small} {
			assert.Equal(t, http.StatusOK, r.StatusCode, path)
			assert.Equal(t, kind, r.Header.Get("Content-Type"), path)
			assert.Equal(t, "nosniff", r.Header.Get("X-Content-Type-Options"), path)
			assert.Equal(t, page.Policy, r.Header.Get("Content-Security-Policy"), path)
			assert.Equal(t, "no-cache", r.Header.Get("Cache-Control"), path)
		}
		assert.Empty(t, plain.Header.Get("Content-Encoding"))
		assert.Equal(t, "br", small.Header.Get("Content-Encoding"))
		text := body(t, plain)
		unpacked, err := io.ReadAll(brotli.NewReader(small.Body))
		require.NoError(t, err)
		assert.Equal(t, text, string(unpacked), path)
		assert.Equal(t, strconv.Itoa(len(text)), plain.Header.Get("Content-Length"), path)

		assert.NotEqual(t, plain.Header.Get("ETag"), small.Header.Get("ETag"), path)
		again := ask(s, "GET", path, "If-None-Match", plain.Header.Get("ETag"))
		assert.Equal(t, http.StatusNotModified, again.StatusCode, path)
		assert.Empty(t, body(t, again))
		head := ask(s, "HEAD", path)
		assert.Equal(t, plain.Header, head.Header, path)
		assert.Empty(t, body(t, head))
	}
	assert.Contains(t, body(t, ask(s, "GET", "/build.js")), `"case":{"file":"case.toml","name":"my «case».toml"}`)
	assert.Contains(t, body(t, ask(s, "GET", "/build.js")), `"plain":"bench.wasm","size":5000`)
	assert.Equal(t, "conoid = 2", body(t, ask(s, "GET", "/case.toml")))
	assert.Equal(t, http.StatusNotFound, ask(dummySite(t, nil), "GET", "/case.toml").StatusCode)
}

// What asks for another host comes from a page whose name was made to lead
// here (DNS rebinding).
func TestSiteRefuses(t *testing.T) {
	s := dummySite(t, nil)
	for _, host := range []string{"example.org", "example.org:4680", "127.0.0.1", "127.0.0.1:80", "[::1]:4680", "localhost", ""} {
		r := ask(s, "GET", "/", "Host", host)
		assert.Equal(t, http.StatusMisdirectedRequest, r.StatusCode, host)
		assert.NotContains(t, body(t, r), "<html", host)
	}
	r := ask(s, "GET", "/?case=ferry-clerk", "Host", "localhost:4680")
	assert.Equal(t, http.StatusTemporaryRedirect, r.StatusCode)
	assert.Equal(t, "http://127.0.0.1:4680/?case=ferry-clerk", r.Header.Get("Location"))

	for _, method := range []string{"POST", "PUT", "DELETE", "OPTIONS"} {
		r := ask(s, method, "/")
		assert.Equal(t, http.StatusMethodNotAllowed, r.StatusCode, method)
		assert.Equal(t, "GET, HEAD", r.Header.Get("Allow"))
	}
	for _, path := range []string{"/page.go", "/../main.go", "/bench.wasm.br", "/worker.js", "/favicon.ico"} {
		assert.Equal(t, http.StatusNotFound, ask(s, "GET", path).StatusCode, path)
	}
}

// RFC 9110, section 12.5.3: a weight of 0 means "not acceptable".
func TestAccepts(t *testing.T) {
	for header, want := range map[string]bool{
		"": false, "br": true, "gzip, deflate, br": true, "gzip;q=1.0, br;q=0.5": true, "BR": true,
		"br;q=0": false, "br; q=0.000": false, "gzip": false, "xbr": false, "br;q=x": false,
	} {
		assert.Equal(t, want, accepts(header), header)
	}
}

func TestBundleSize(t *testing.T) {
	b, err := dummy(t.Context(), voice.English, io.Discard)
	require.NoError(t, err)
	n, err := b.size()
	require.NoError(t, err)
	assert.Equal(t, 5000, n)
	b.wasm = b.wasm[:len(b.wasm)/2]
	_, err = b.size()
	assert.Error(t, err, "torn")
}

// The page may load nothing from elsewhere, so its files must not ask for it,
// and nothing in them may need what the policy forbids.
func TestPageKeepsToItself(t *testing.T) {
	for _, name := range pageFiles(t) {
		data, err := page.Files().ReadFile(name)
		require.NoError(t, err)
		for _, not := range []string{"http://", "https://", "//cdn", "eval(", " style=", " onclick=", "<script>", "<style"} {
			assert.NotContains(t, string(data), not, name)
		}
	}
	data, err := page.Files().ReadFile("index.html")
	require.NoError(t, err)
	assert.Contains(t, string(data), `<html lang="en">`)
}

// pageFiles are the names of the files of the page.
func pageFiles(t *testing.T) []string {
	names, err := fs.Glob(page.Files(), "*")
	require.NoError(t, err)
	require.Contains(t, names, "index.html")
	return names
}

// All that the page says has words in every language, and all its words are
// used.
func TestPageHasWords(t *testing.T) {
	used := map[string]bool{}
	for _, name := range pageFiles(t) {
		data, err := page.Files().ReadFile(name)
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`"(page\.[a-z-]+|caution)"`).FindAllStringSubmatch(string(data), -1) {
			used[m[1]] = m[1] != "page.js"
		}
	}
	script := string(page.Words())
	for _, language := range assets.Languages() {
		for id, is := range used {
			if !is {
				continue // the name of a file
			}
			assert.NotEmpty(t, assets.Words(language, id), "%s %s", language, id)
		}
		for _, key := range assets.Keys(language) {
			if strings.HasPrefix(key, "page.") {
				assert.True(t, used[key], "%s: nothing says it", key)
				assert.Contains(t, script, `"`+key+`"`)
			}
		}
	}
	assert.Contains(t, script, "measures nobody")
	assert.Contains(t, script, "conoid sit --plain")
}

// A practice from its address to Ctrl-C.
func TestPractise(t *testing.T) {
	ctx, interrupt := context.WithCancel(t.Context())
	out, printed := io.Pipe()
	opened := make(chan string, 1)
	p := practice{voice: voice.English, name: "3", bundle: dummy, out: printed, errs: io.Discard, open: func(address string) error {
		opened <- address
		return errors.New("there is no screen")
	}}
	ended := make(chan error, 1)
	go func() {
		ended <- p.serve(ctx)
		printed.Close()
	}()
	lines := bufio.NewScanner(out)
	require.True(t, lines.Scan())
	address, ok := strings.CutPrefix(lines.Text(), "The bench is at ")
	require.True(t, ok, lines.Text())
	assert.Regexp(t, `^http://127\.0\.0\.1:\d+/\?case=[a-z-]+$`, address)
	lines.Scan()
	assert.Equal(t, address, <-opened)
	lines.Scan()
	assert.Equal(t, "No browser could be opened (there is no screen): open the address by hand.", lines.Text())

	r, err := http.Get(address)
	require.NoError(t, err)
	defer r.Body.Close()
	assert.Contains(t, body(t, r), "<title>Conoid")

	interrupt()
	lines.Scan()
	lines.Scan()
	assert.Equal(t, "The bench is closed. The browser keeps the sittings.", lines.Text())
	require.NoError(t, <-ended)
}

func TestPractiseOnAFile(t *testing.T) {
	text := conoid(t, "case", "new")
	path := filepath.Join(t.TempDir(), "mine.toml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	p := practice{name: path}
	query, given, err := p.given()
	require.NoError(t, err)
	assert.Equal(t, "?case=case.toml", query)
	assert.Equal(t, &caseFile{name: "mine.toml", data: []byte(text)}, given)
}

func TestPractiseRefuses(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer taken.Close()
	_, port, err := net.SplitHostPort(taken.Addr().String())
	require.NoError(t, err)
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"nobody"}, exitFailed, "nobody"},
		{[]string{"lost.toml"}, exitFailed, "the case cannot be read: lost.toml"},
		{[]string{"1", "2"}, exitUsage, `“2” is one argument too many`},
		{[]string{"--port", "70000"}, exitUsage, `--port cannot be “70000”`},
		{[]string{"--port", port}, exitFailed, "port " + port + " is taken, perhaps by another conoid practise: go on at http://127.0.0.1:" + port + "/, or choose another with --port"},
	} {
		var out, errs bytes.Buffer
		code := run(append([]string{"practise", "--no-open"}, c.args...), strings.NewReader(""), &out, &errs)
		assert.Equal(t, c.code, code, c.args)
		assert.Contains(t, errs.String(), c.says)
		assert.Empty(t, out.String(), c.args)
	}
}

// What was compressed is kept for as long as the program is the same.
func TestPacked(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	program := func() string {
		data, err := packed(dir)
		require.NoError(t, err)
		text, err := io.ReadAll(unpacked(data))
		require.NoError(t, err)
		return string(text)
	}
	_, err := packed(dir)
	require.Error(t, err, "nothing was built")
	write(wasmFile, "one")
	assert.Equal(t, "one", program())
	write(packedFile, string(compressed([]byte("kept"))))
	assert.Equal(t, "kept", program())
	write(wasmFile, "two")
	assert.Equal(t, "two", program())
	assert.Equal(t, "two", program())
}

func TestSourceFolder(t *testing.T) {
	root, err := sourceFolder()
	require.NoError(t, err)
	assert.True(t, exists(filepath.Join(root, "cmd", "conoid", "practise.go")))
	assert.False(t, isSource(t.TempDir()))
}
