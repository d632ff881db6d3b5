//go:build e2e && linux

package e2e

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/store"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/sitting"
)

// events is what the log in a data folder says; nil when there is none.
func events(t *testing.T, data string) []sitting.Event {
	logs, err := filepath.Glob(filepath.Join(data, "sittings", "*.jsonl"))
	require.NoError(t, err)
	if len(logs) == 0 {
		return nil
	}
	require.Len(t, logs, 1)
	text, err := os.ReadFile(logs[0])
	require.NoError(t, err)
	rec, err := sitting.ReadLog(bytes.NewReader(text))
	require.NoError(t, err)
	return rec.Events
}

// press presses a thing of the bench with the mouse, where a bench of the same
// size, at the same point of the same sitting, has it.
func (w *window) press(data, id string) {
	w.t.Helper()
	copied := w.t.TempDir()
	require.NoError(w.t, os.CopyFS(copied, os.DirFS(data)))
	s, err := store.Open(copied)
	require.NoError(w.t, err)
	a := bench.New(bench.Options{Store: s})
	for i := range 400 {
		a.Frame(ui.Input{Time: time.Duration(i) * 16 * time.Millisecond}, 1366, 768)
	}
	for _, t := range a.Status().Things {
		if t.ID == id && !t.Behind {
			c := t.Rect.Centre()
			w.do(fmt.Sprintf("mousemove %.0f %.0f", c.X, c.Y))
			w.do("click 1")
			return
		}
	}
	require.Failf(w.t, "not on the bench", "%q", id)
}

// A case is sat in the window with keys and mouse; the window dies in the
// middle, and goes on where it was.
func TestAWholeCaseInTheWindow(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	w := openWindow(t, "ferry-clerk", "--data", data)
	w.do("mousemove 700 500")
	grew := func(by int, what string, do func()) {
		t.Helper()
		before := len(events(t, data))
		do()
		w.until(what, func() bool { return len(events(t, data)) == before+by })
	}
	grew(1, "the other eye is covered", func() { w.do("key o") })
	grew(1, "the letters hang", func() { w.do("key l") })
	grew(1, "the letters are read", func() { w.do("key a") })
	grew(1, "the fan hangs", func() { w.press(data, "show fan") })
	grew(1, "the lines are asked about", func() { w.press(data, "ask which") })
	w.shot("window-sitting.png")
	require.NoError(t, w.cmd.Process.Signal(syscall.SIGTERM)) // which the program does not catch
	<-w.ended

	w = openWindow(t, "--data", data)
	time.Sleep(time.Second)
	w.do("mousemove 700 500")
	require.Len(t, events(t, data), 5)
	grew(1, "a quarter more plus", func() { w.do("key plus") })
	w.do("key e")
	for range 9 { // past the steppers to the acuity
		w.do("key Tab")
	}
	w.do("key ctrl+a")
	w.do("type 6/9")
	for range 9 {
		w.do("key Tab")
	}
	w.shot("window-end.png")
	grew(1, "the end point is stated", func() { w.do("key Return") })
	all := events(t, data)
	assert.Equal(t, sitting.End, all[len(all)-1].Action.Do)
	assert.Equal(t, "6/9", all[len(all)-1].Action.Acuity.Written)
	w.shot("window-result.png")
	w.close()
}
