//go:build e2e

package e2e

import (
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// below is the path that sites are served under.
const below = "/course/conoid/"

// webServer is a web server that knows nothing of the bench: it serves a folder below a
// path, without compression.
type webServer struct {
	*httptest.Server
	mu   sync.Mutex
	sent map[string]int // bytes, by path
}

// countBytes counts what goes over the line.
type countBytes struct {
	http.ResponseWriter
	n int
}

func (c *countBytes) Write(data []byte) (int, error) {
	n, err := c.ResponseWriter.Write(data)
	c.n += n
	return n, err
}

// serveFolder serves a folder; with brotli it sends what lies beside a file compressed,
// where there is such, as web servers can.
func serveFolder(t *testing.T, dir string, brotli bool) *webServer {
	s := &webServer{sent: map[string]int{}}
	files := http.StripPrefix(below, http.FileServer(http.Dir(dir)))
	if brotli {
		files = compressing(dir, files)
	}
	s.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		c := &countBytes{ResponseWriter: w}
		if strings.HasPrefix(r.URL.Path, below) {
			files.ServeHTTP(c, r)
		} else {
			http.NotFound(c, r)
		}
		s.mu.Lock()
		defer s.mu.Unlock()
		s.sent[r.URL.Path] += c.n
	}))
	t.Cleanup(s.Close)
	return s
}

// compressing sends the Brotli beside a file, to browsers that take it.
func compressing(dir string, files http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		data, err := os.ReadFile(filepath.Join(dir, filepath.Base(r.URL.Path)+".br"))
		if err != nil || !strings.Contains(r.Header.Get("Accept-Encoding"), "br") {
			files.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Content-Encoding", "br")
		w.Header().Set("Content-Type", "application/wasm")
		w.Header().Set("Cache-Control", "max-age=31536000, immutable")
		if r.Method != http.MethodHead {
			w.Write(data)
		}
	})
}

// total is all that was sent.
func (s *webServer) total() (n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, sent := range s.sent {
		n += sent
	}
	return n
}

// publish writes a site as a tutor does, which opens with a case if one is named.
func publish(t *testing.T, dir string, args ...string) {
	out, err := exec.Command(program(t, "conoid/cmd/conoid"), append([]string{"practise", "--site", dir}, args...)...).CombinedOutput()
	require.NoError(t, err, string(out))
}

// keeps waits until the browser keeps the whole bench.
func (b *browser) keeps() {
	b.t.Helper()
	b.until("the bench is kept for work without a network", func() bool {
		return eval[bool](b, `registered?.active?.state === "activated"`)
	})
}

// A link is enough: the site works below a path, comes from a bare web server without
// compression, goes over the line once, breaks none of its rules, and after that works
// without a network.
func TestSite(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	publish(t, dir)
	server := serveFolder(t, dir, false)
	b := open(t, server.URL+below, 1366, 768)
	assert.Equal(t, "de", eval[string](b, `build.manifests.de.match(/conoid-(..)/)[1]`))
	b.keeps()
	t.Logf("sent at the first visit: %.2f MB", float64(server.total())/1e6)
	assert.Less(t, server.total(), 5_500_000)

	server.Close()
	b.reload()
	b.press("The ferry clerk")
	b.press("examine")
	b.begun()
	b.press("Fan")
	b.press("Which lines are clearest?")
	assert.NotEmpty(t, b.answered(""))
	b.do(chromedp.Navigate(server.URL + below + "?case=net-mender"))
	b.ready()
	b.begun()
	assert.Contains(t, b.labels(), "The net mender")
}

// loaded is the build of the page that is open, and the files that it asked for.
func (b *browser) loaded() (build string, files []string) {
	b.t.Helper()
	build = eval[string](b, `document.querySelector("script[src^=build]")?.getAttribute("src") ?? ""`)
	return build, eval[[]string](b, `performance.getEntriesByType("resource").map(e => e.name.split("/").pop())`)
}

// An update while a patient is in the chair changes nothing there. It is taken whole at
// the next start, and the sitting goes on; or at home, by a press.
func TestSiteUpdate(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	publish(t, dir)
	server := serveFolder(t, dir, true)
	b := open(t, server.URL+below, 1366, 768)
	b.keeps()
	t.Logf("sent at the first visit, with Brotli: %.2f MB", float64(server.total())/1e6)
	assert.Less(t, server.total(), 4_700_000)
	b.reload() // from here on the page comes from what is kept
	first, _ := b.loaded()
	b.press("The ferry clerk")
	b.press("examine")
	b.begun()
	b.press("Fan")
	b.press("Which lines are clearest?")
	said := b.answered("")

	update := func(args ...string) {
		publish(t, dir, args...)
		eval[bool](b, `registered.update(), true`) // as the browser does at times by itself
		b.until("the new build waits", func() bool { return eval[bool](b, `conoid.newer`) })
	}
	update("2")
	before := b.status()
	assert.Equal(t, said, before.Said)
	assert.False(t, has(before, "renew"), "nothing is offered under a sitting")
	now, _ := b.loaded()
	assert.Equal(t, first, now)

	b.do(chromedp.Reload()) // at which the new build is taken, and the page loads once more
	b.until("the new build is there", func() bool { now, _ := b.loaded(); return now != first })
	b.ready()
	second, files := b.loaded()
	assert.Contains(t, files, second)
	assert.NotContains(t, files, first)
	b.begun()
	after := b.status()
	assert.Equal(t, before.Events, after.Events)
	assert.Equal(t, said, after.Said)
	assert.Equal(t, before.Frame, after.Frame)

	b.press("menu")
	b.press("leave")
	update()
	b.press("renew")
	b.until("the third build is there", func() bool { now, _ := b.loaded(); return now == first }) // as the first was
	b.ready()
	assert.Equal(t, "home", b.status().Screen)
	server.Close()
	b.reload()
	now, _ = b.loaded()
	assert.Equal(t, first, now)
}
