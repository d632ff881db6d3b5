//go:build e2e

package e2e

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/ui"
)

// has reports whether a thing can be used now.
func has(s bench.Status, id string) bool {
	return slices.ContainsFunc(s.Things, func(t ui.Thing) bool { return t.ID == id && !t.Behind && !t.Disabled })
}

// guided does what the guide says, to the end, with a reload in the middle.
func (b *browser) guided(use func(id string)) {
	b.t.Helper()
	reloaded := false
	for i := 0; ; i++ {
		require.Less(b.t, i, 100, "the guide leads nowhere")
		b.until("the bench waits", func() bool { return !b.status().Busy })
		s := b.status()
		switch {
		case s.Screen == "result":
			return
		case s.Events >= 12 && !reloaded:
			b.shot("whole-middle.png")
			b.reload()
			b.begun()
			after := b.status()
			assert.Equal(b.t, s.Events, after.Events, "a reload loses nothing")
			assert.Equal(b.t, s.Said, after.Said)
			reloaded = true
		case has(s, "end now"):
			use("acuity 6/6")
			use("end now")
		default:
			before := s.Events
			use("guide 0")
			b.until("something came of it", func() bool {
				s := b.status()
				return s.Events > before || has(s, "end now") || s.Screen == "result"
			})
		}
	}
}

// replayed marks the browser's log with the program at the terminal, which does
// every step of it again: an answer that it would not give is an error.
func (b *browser) replayed() string {
	b.t.Helper()
	log := eval[string](b, `localStorage.getItem(Object.keys(localStorage).find(k => k.startsWith("conoid/sittings/") && k.endsWith(".jsonl")))`)
	name := filepath.Join(b.t.TempDir(), "browser.jsonl")
	require.NoError(b.t, os.WriteFile(name, []byte(log), 0o600))
	out, err := exec.Command(program(b.t, "conoid/cmd/conoid"), "mark", name).CombinedOutput()
	require.NoError(b.t, err, string(out))
	return string(out)
}

func TestAWholeCaseByMouse(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	b.press("guided")
	b.begun()
	b.guided(b.press)
	b.shot("whole-mouse.png")
	assert.Contains(t, b.replayed(), "The end point is")
}

func TestAWholeCaseByKeyboard(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	use := func(id string) {
		b.tabTo(b.find(id).Label)
		b.keys(kb.Enter)
	}
	use("guided")
	b.begun()
	b.guided(use)
	assert.Contains(t, b.replayed(), "The end point is")
}
