//go:build e2e

package e2e

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
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
			b.told()
			b.reload()
			b.begun()
			b.watched()
			after := b.status()
			assert.Equal(b.t, s.Events, after.Events, "a reload loses nothing")
			assert.Equal(b.t, s.Said, after.Said)
			reloaded = true
		case has(s, "end now"):
			use("acuity 6/6")
			use("end now")
		default:
			before, press := s.Events, "guide 0"
			waits := has(s, "just ask")
			if waits {
				press = "just ask"
			}
			use(press)
			b.until("something came of it", func() bool {
				s := b.status()
				return s.Events > before || !waits && has(s, "just ask") || has(s, "end now") || s.Screen == "result"
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

// watched has the page note its long tasks, from those before on.
func (b *browser) watched() {
	b.t.Helper()
	eval[bool](b, `window.long = [], new PerformanceObserver(l => long.push(...l.getEntries().map(e => e.duration))).observe({type: "longtask", buffered: true}), true`)
}

// told tells how many tasks were long, and the longest, as the browser has it: over 50 ms
// (Long Tasks API, W3C).
func (b *browser) told() {
	b.t.Helper()
	b.t.Logf("tasks of more than 50 ms: %d; the longest, ms: %s; frames: %d", eval[int](b, "(window.long ??= []).length"),
		eval[string](b, "long.sort((a, b) => b - a).slice(0, 8).map(Math.round).join(' ')"), eval[int](b, "frames.taken()"))
}

func TestAWholeCaseByMouse(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	b.watched()
	b.told()
	eval[bool](b, "long.length = 0, true")
	b.press("guided")
	b.begun()
	b.guided(b.press)
	b.shot("whole-mouse.png")
	b.told()
	assert.Contains(t, b.replayed(), "The end point is")
}

// expected chooses by keys what the patient will say, and gives what says so.
func (b *browser) expected() (id string) {
	b.t.Helper()
	s := b.status()
	at := slices.IndexFunc(s.Things, func(t ui.Thing) bool { return t.Focused })
	require.GreaterOrEqual(b.t, at, 0, "nothing has the focus")
	switch id = s.Things[at].ID; id {
	case "expect lines":
		b.keys(kb.ArrowUp)
		return "expect"
	case "expect row less":
		return "expect"
	}
	require.True(b.t, strings.HasPrefix(id, "expect "), id)
	return id
}

func TestAWholeCaseByKeyboard(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	use := func(id string) {
		if id == "just ask" { // the focus stands on what can be expected
			id = b.expected()
		}
		b.tabTo(b.find(id).Label)
		b.keys(kb.Enter)
	}
	use("guided")
	b.begun()
	b.guided(use)
	assert.Contains(t, b.replayed(), "The end point is")
}
