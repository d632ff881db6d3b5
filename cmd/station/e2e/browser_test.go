//go:build e2e

// Package e2e has the tests that need a real browser, or a real window: the
// program is built, served and used from outside, with mouse and keys.
package e2e

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/ui"
)

// browser is the bench in a browser.
type browser struct {
	t       *testing.T
	ctx     context.Context
	address string

	mu       sync.Mutex
	trouble  []string // errors of the page, and what it asked of other hosts
	received float64  // bytes, as they came over the line
}

// program is a command of this module, built once.
var program = func() func(t *testing.T, name string, flags ...string) string {
	built := map[string]string{}
	return func(t *testing.T, name string, flags ...string) string {
		if built[name] == "" {
			path := filepath.Join(scratch, filepath.Base(name))
			out, err := exec.Command("go", append(append([]string{"build"}, flags...), "-o", path, name)...).CombinedOutput()
			require.NoError(t, err, string(out))
			built[name] = path
		}
		return built[name]
	}
}()

// longest is how long a browser may be used.
var longest = 5 * time.Minute

// scratch is a folder for all tests.
var scratch string

func TestMain(m *testing.M) {
	var err error
	if scratch, err = os.MkdirTemp("", "conoid-e2e-"); err != nil {
		panic(err)
	}
	code := m.Run()
	os.RemoveAll(scratch)
	os.Exit(code)
}

// practise serves the bench as a user does, and returns its address.
func practise(t *testing.T, args ...string) string {
	return serve(t, "The bench is at ", append([]string{"practise", "--no-open"}, args...)...)
}

// serve runs a command that serves a page until the end of the test, and returns the address
// that its first line says.
func serve(t *testing.T, says string, args ...string) string {
	cmd := exec.Command(program(t, "conoid/cmd/conoid"), append(args, "--port", "0", "--language", "en")...)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		require.NoError(t, cmd.Process.Signal(syscall.SIGINT))
		require.NoError(t, cmd.Wait(), "Ctrl-C is a good end")
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	return strings.TrimSpace(strings.TrimPrefix(line, says))
}

// open opens the bench in a browser of its own, and waits for it.
func open(t *testing.T, address string, w, h int) *browser {
	b := visit(t, address, w, h)
	b.ready()
	return b
}

// visit opens an address in a browser of its own, with nothing stored. At the end of
// the test nothing must have gone wrong in the page.
func visit(t *testing.T, address string, w, h int) *browser {
	return visitWith(t, address, t.TempDir(), w, h)
}

// visitWith opens an address in a browser that keeps what it stores in a folder.
func visitWith(t *testing.T, address, profile string, w, h int, more ...chromedp.ExecAllocatorOption) *browser {
	path, err := exec.LookPath("chromium")
	require.NoError(t, err)
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.UserDataDir(profile), chromedp.WindowSize(w, h),
		chromedp.Flag("use-gl", "angle"), chromedp.Flag("use-angle", "swiftshader"),
		chromedp.Flag("enable-unsafe-swiftshader", true), chromedp.Flag("disable-quic", true))
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), append(options, more...)...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, longest)
	t.Cleanup(cancel)
	b := &browser{t: t, ctx: ctx, address: address}
	require.NoError(t, chromedp.Listen(ctx, b.heard))
	t.Cleanup(func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		require.Empty(t, b.trouble)
	})
	b.do(chromedp.EmulateViewport(int64(w), int64(h)), chromedp.Navigate(address))
	return b
}

// heard notes what the page should not do.
func (b *browser) heard(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			for _, a := range e.Args {
				b.trouble = append(b.trouble, "console: "+string(a.Value)+a.Description)
			}
		}
	case *runtime.EventExceptionThrown:
		b.trouble = append(b.trouble, "exception: "+e.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			b.trouble = append(b.trouble, "log: "+e.Entry.Text+" "+e.Entry.URL)
		}
	case *network.EventRequestWillBeSent:
		asked, err := url.Parse(e.Request.URL)
		own, _ := url.Parse(b.address)
		if err != nil || asked.Scheme == "http" && asked.Host != own.Host || asked.Scheme == "https" {
			b.trouble = append(b.trouble, "request to another host: "+e.Request.URL)
		}
	case *page.EventJavascriptDialogOpening: // the page warns that it is left: so be it
		go chromedp.Call(b.ctx, page.HandleJavaScriptDialog, page.HandleJavaScriptDialogParams{Accept: true})
	case *network.EventLoadingFinished:
		b.received += e.EncodedDataLength
	}
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	require.NoError(b.t, chromedp.Do(b.ctx, steps...))
}

// eval is what a script comes to. Where the page goes to another one meanwhile, that one is
// asked: what a script does has to bear being done twice.
func eval[T any](b *browser, script string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script))
	for range 100 {
		if err == nil || !strings.Contains(err.Error(), "Inspected target navigated") {
			break
		}
		time.Sleep(20 * time.Millisecond)
		v, err = chromedp.Run(b.ctx, chromedp.Evaluate[T](script))
	}
	require.NoError(b.t, err, script)
	return v
}

// ready waits for the first picture of the bench.
func (b *browser) ready() {
	b.t.Helper()
	b.until("the bench is shown", func() bool {
		return eval[bool](b, `performance.getEntriesByName("shown").length > 0 && typeof conoid.status === "function"`)
	})
}

// most is how long something is waited for: never a figure, and long enough that a machine
// with much else to do is not taken for a defect.
const most = time.Minute

// until waits for something to come true.
func (b *browser) until(what string, f func() bool) {
	b.t.Helper()
	for end := time.Now().Add(most); !f(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			b.shot("failed.png")
			require.FailNow(b.t, "waited in vain: "+what, "on the page: %s", eval[string](b, `(document.getElementById("state") ?? document.querySelector("main")).textContent`))
		}
	}
}

// status is what is on the bench now.
func (b *browser) status() (s bench.Status) {
	b.t.Helper()
	require.NoError(b.t, json.Unmarshal([]byte(eval[string](b, "conoid.status()")), &s))
	return s
}

// find waits for a thing that can be used, by its label or its name.
func (b *browser) find(label string) (found ui.Thing) {
	b.t.Helper()
	b.until(fmt.Sprintf("there is %q", label), func() bool {
		s := b.status()
		i := slices.IndexFunc(s.Things, func(t ui.Thing) bool {
			return (t.Label == label || t.ID == label) && t.Role != ui.RoleText && !t.Behind && !t.Disabled && !s.Busy
		})
		if i >= 0 {
			found = s.Things[i]
		}
		return i >= 0
	})
	return found
}

// labels is what is on the screen, in order.
func (b *browser) labels() (out []string) {
	b.t.Helper()
	for _, t := range b.status().Things {
		out = append(out, t.Label)
	}
	return out
}

// frames lets the page draw so many frames.
func (b *browser) frames(n int) {
	b.t.Helper()
	_, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](fmt.Sprintf(
		`new Promise(done => { let n = %d; const next = () => n-- > 0 ? requestAnimationFrame(next) : done(true); next(); })`, n),
		chromedp.EvalAwaitPromise))
	require.NoError(b.t, err)
}

// reload loads the page again, as a user does after a crash.
func (b *browser) reload() {
	b.t.Helper()
	b.do(chromedp.Reload())
	b.ready()
}

// shot keeps a picture of the page in the folder that CONOID_SHOTS names.
func (b *browser) shot(name string) []byte {
	b.t.Helper()
	png, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
	require.NoError(b.t, err)
	if dir := os.Getenv("CONOID_SHOTS"); dir != "" {
		require.NoError(b.t, os.MkdirAll(dir, 0o755))
		require.NoError(b.t, os.WriteFile(filepath.Join(dir, name), png, 0o644))
	}
	return png
}
