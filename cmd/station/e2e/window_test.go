//go:build e2e && linux

package e2e

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// window is the bench in a window, on a screen that nobody sees.
type window struct {
	t       *testing.T
	display string
	cmd     *exec.Cmd
	errs    *bytes.Buffer
	ended   chan error
}

// openWindow starts the desktop program under Xvfb and waits until it shows
// something.
func openWindow(t *testing.T, args ...string) *window {
	station := program(t, "conoid/cmd/station", "-tags", "desktop")
	w := &window{t: t, display: screen(t), errs: &bytes.Buffer{}, ended: make(chan error, 1)}
	w.cmd = exec.Command(station, args...)
	w.cmd.Env = append(os.Environ(), "DISPLAY="+w.display)
	w.cmd.Stderr = w.errs
	require.NoError(t, w.cmd.Start())
	go func() { w.ended <- w.cmd.Wait() }()
	t.Cleanup(func() { w.cmd.Process.Kill() })
	w.until("the window is painted", func() bool {
		data, err := w.try("window.png") // the screen itself may still be starting
		return err == nil && colours(t, data) > 2
	})
	return w
}

// displays counts the screens, so that none is given twice: one that ends may
// still take its socket away when the next one has begun.
var displays = 1000 + os.Getpid()%50000

// screen starts Xvfb and waits until it answers.
func screen(t *testing.T) string {
	displays++
	display := fmt.Sprintf(":%d", displays)
	x := exec.Command("Xvfb", display, "-screen", "0", "1400x800x24", "+extension", "GLX", "-nolisten", "tcp", "-noreset")
	require.NoError(t, x.Start())
	t.Cleanup(func() {
		x.Process.Signal(os.Interrupt)
		x.Wait()
	})
	for end := time.Now().Add(20 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		ask := exec.Command("xdotool", "getdisplaygeometry")
		ask.Env = append(os.Environ(), "DISPLAY="+display)
		if ask.Run() == nil {
			return display
		}
		require.True(t, time.Now().Before(end), "Xvfb does not answer")
	}
}

func (w *window) until(what string, f func() bool) {
	w.t.Helper()
	for end := time.Now().Add(30 * time.Second); !f(); time.Sleep(100 * time.Millisecond) {
		select {
		case err := <-w.ended:
			require.FailNow(w.t, "the window is gone", "%v\n%s", err, w.errs)
		default:
		}
		require.True(w.t, time.Now().Before(end), "waited in vain: %s", what)
	}
}

// do sends mouse and keys as xdotool words: "mousemove 10 10 click 1", "key
// Tab", "type 1.50".
func (w *window) do(words string) {
	w.t.Helper()
	cmd := exec.Command("xdotool", strings.Fields(words)...)
	cmd.Env = append(os.Environ(), "DISPLAY="+w.display)
	out, err := cmd.CombinedOutput()
	require.NoError(w.t, err, string(out))
	time.Sleep(300 * time.Millisecond)
}

// shot is a picture of the screen, kept in the folder that CONOID_SHOTS names.
func (w *window) shot(name string) []byte {
	w.t.Helper()
	data, err := w.try(name)
	require.NoError(w.t, err)
	return data
}

func (w *window) try(name string) ([]byte, error) {
	path := filepath.Join(w.t.TempDir(), name)
	if dir := os.Getenv("CONOID_SHOTS"); dir != "" {
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return nil, err
		}
		path = filepath.Join(dir, name)
	}
	out, err := exec.Command("import", "-display", w.display, "-window", "root", path).CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("%w: %s", err, out)
	}
	return os.ReadFile(path)
}

// The window starts, paints, takes a key, keeps what it is told to keep where
// it is told to, and closes.
func TestWindow(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	w := openWindow(t, "ferry-clerk", "--data", data)
	before := w.shot("window-before.png")
	w.do("mousemove 700 400 key Tab")
	w.do("key Tab")
	assert.NotEqual(t, before, w.shot("window-after.png"), "the focus has moved")
	assert.DirExists(t, data)
	w.close()
}

// close closes the window as its frame does.
func (w *window) close() {
	w.t.Helper()
	ids := w.find()
	require.Len(w.t, ids, 1)
	cmd := exec.Command("xdotool", "windowclose", ids[0])
	cmd.Env = append(os.Environ(), "DISPLAY="+w.display)
	out, err := cmd.CombinedOutput()
	require.NoError(w.t, err, string(out))
	select {
	case <-w.ended:
	case <-time.After(10 * time.Second):
		require.FailNow(w.t, "the window does not close")
	}
}

func (w *window) find() []string {
	cmd := exec.Command("xdotool", "search", "--name", "^Conoid$")
	cmd.Env = append(os.Environ(), "DISPLAY="+w.display)
	out, err := cmd.Output()
	require.NoError(w.t, err)
	return strings.Fields(string(out))
}

// Where there is no screen the program says so, and what to do instead.
func TestNoScreen(t *testing.T) {
	for _, display := range []string{"", "DISPLAY=:4711"} {
		cmd := exec.Command(program(t, "conoid/cmd/station", "-tags", "desktop"))
		cmd.Env = []string{"HOME=" + t.TempDir(), display}
		out, err := cmd.CombinedOutput()
		require.Error(t, err)
		assert.Equal(t, 1, cmd.ProcessState.ExitCode())
		assert.Contains(t, string(out), "station: there is no screen")
		assert.NotContains(t, string(out), "goroutine")
	}
}

// Wrong words are told before a window opens.
func TestWindowRefuses(t *testing.T) {
	station, display := program(t, "conoid/cmd/station", "-tags", "desktop"), screen(t)
	for _, args := range [][]string{{"nobody"}, {"lost.toml"}, {"1", "2"}, {"--sead"}, {"--data", "/dev/null/x"}} {
		cmd := exec.Command(station, args...)
		cmd.Env = append(os.Environ(), "DISPLAY="+display)
		out, err := cmd.CombinedOutput()
		require.Error(t, err, args)
		assert.Contains(t, string(out), "station: ", fmt.Sprint(args))
		assert.NotContains(t, string(out), "goroutine", fmt.Sprint(args))
	}
}
