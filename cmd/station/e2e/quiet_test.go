//go:build e2e

package e2e

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
)

// taken is how many frames were taken in a stretch of time in which nobody does anything.
func (b *browser) taken(in time.Duration) int {
	b.t.Helper()
	count := func() int { return eval[int](b, "frames.taken()") }
	b.until("the bench comes to rest", func() bool {
		before := count()
		time.Sleep(300 * time.Millisecond)
		return count() == before
	})
	before := count()
	time.Sleep(in)
	return count() - before
}

// Where nothing moves no frame is taken; with a patient in the chair, one for each second of the
// clock and some for a blink. Whatever is done wakes the bench at once.
func TestAQuietBenchTakesNoFrames(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	assert.Zero(t, b.taken(2*time.Second), "at home")
	b.press("case net-mender")
	b.press("examine")
	b.until("the patient sits", func() bool { return b.status().Screen == "bench" && !b.status().Busy })
	b.press("menu")
	assert.LessOrEqual(t, b.taken(2*time.Second), 40, "paused: at most a blink")
	b.keys(kb.Escape)
	b.press("show fan")
	b.until("it hangs", func() bool { return b.status().Events == 1 })
	count := func() int { return eval[int](b, "frames.taken()") }
	before := count()
	time.Sleep(4 * time.Second)
	n := count() - before
	t.Logf("%d frames in 4 s with a patient in the chair", n)
	assert.LessOrEqual(t, n, 80, "of 240 that there could be")
	assert.Positive(t, n, "the clock goes on")
}
