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
	return openWindowOn(t, screen(t), args...)
}

func openWindowOn(t *testing.T, display string, args ...string) *window {
	station := program(t, "conoid/cmd/station", "-tags", "desktop")
	w := &window{t: t, display: display, errs: &bytes.Buffer{}, ended: make(chan error, 1)}
	w.cmd = exec.Command(station, args...)
	w.cmd.Env = append(os.Environ(), "DISPLAY="+w.display)
	w.cmd.Stderr = w.errs
	require.NoError(t, w.cmd.Start())
	go func() { w.ended <- w.cmd.Wait() }()
	t.Cleanup(func() { w.cmd.Process.Kill() })
	w.until("the window is painted", func() bool { return colours(t, w.shot("window.png")) > 2 })
	return w
}

// screen starts Xvfb on a display number that is free.
func screen(t *testing.T) string {
	read, write, err := os.Pipe()
	require.NoError(t, err)
	defer read.Close()
	x := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "1400x800x24", "+extension", "GLX", "-nolisten", "tcp", "-noreset")
	x.ExtraFiles = []*os.File{write}
	require.NoError(t, x.Start())
	write.Close()
	t.Cleanup(func() {
		x.Process.Signal(os.Interrupt)
		x.Wait()
	})
	number := make([]byte, 16)
	n, err := read.Read(number)
	require.NoError(t, err)
	return ":" + strings.TrimSpace(string(number[:n]))
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
	path := filepath.Join(w.t.TempDir(), name)
	if dir := os.Getenv("CONOID_SHOTS"); dir != "" {
		require.NoError(w.t, os.MkdirAll(dir, 0o755))
		path = filepath.Join(dir, name)
	}
	out, err := exec.Command("import", "-display", w.display, "-window", "root", path).CombinedOutput()
	require.NoError(w.t, err, string(out))
	data, err := os.ReadFile(path)
	require.NoError(w.t, err)
	return data
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
