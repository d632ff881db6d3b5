package work

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/ui"
)

// ticking is a clock on which every look takes a time.
func ticking(step time.Duration) func() time.Time {
	now := time.Time{}
	return func() time.Time {
		now = now.Add(step)
		return now
	}
}

// The screen that says that one has to wait comes first; then the work is done
// piece by piece, and what the user does meanwhile comes after it, in order.
func TestWorkIsDoneBetweenFrames(t *testing.T) {
	l := New(ticking(slice)) // one piece in a frame
	var done []string
	l.Do(func() {
		for range 3 {
			l.Pause()
		}
		done = append(done, "work")
	})
	frame := func(text string) (in ui.Input, busy bool) {
		in.Text = text
		busy, _ = l.Labour(&in)
		return in, busy
	}
	in, busy := frame("a")
	assert.False(t, busy)
	assert.Empty(t, in.Text, "the waiting screen is described without it")
	assert.Empty(t, done)
	l.Painted()
	frames := 0
	for in, busy = frame("b"); busy; in, busy = frame("") {
		assert.Empty(t, done)
		frames++
	}
	assert.Equal(t, 3, frames, "it paused so many times")
	assert.Equal(t, []string{"work"}, done)
	assert.Equal(t, "a", in.Text)
	in, _ = frame("c")
	assert.Equal(t, "b", in.Text)
	in, _ = frame("")
	assert.Equal(t, "c", in.Text)
	assert.False(t, l.Left())
}

// In the middle of what nobody else may touch, only work stops before which nothing else
// is done.
func TestWithin(t *testing.T) {
	l := New(ticking(slice))
	pieces := func() {
		for range 3 {
			l.Within()
		}
	}
	frames := func() (n int) {
		for in := (ui.Input{}); l.Left(); n++ {
			l.Labour(&in)
			l.Painted()
		}
		return n
	}
	l.Behind(pieces)
	assert.Equal(t, 1, frames(), "behind, it goes on")
	l.View(pieces)
	assert.Equal(t, 1, frames())
	l.Do(pieces)
	assert.Equal(t, 1+3+1, frames(), "a frame that says so, three stops, the rest")
	l.Within() // outside of work it does nothing
}

// Work that nobody waits for any more is given up at its next pause.
func TestNewWorkBehindTakesThePlaceOfTheOld(t *testing.T) {
	l := New(ticking(slice))
	old, fresh := false, false
	l.Behind(func() {
		l.Pause()
		old = true
	})
	l.Labour(&ui.Input{})
	l.Behind(func() { fresh = true })
	for range 3 {
		l.Labour(&ui.Input{})
	}
	assert.False(t, old)
	assert.True(t, fresh)
	assert.False(t, l.Left())
}

// A picture is made piece by piece, before what is done behind; it is not given up for the next one, and
// the screen is described again only when it is there.
func TestAPictureIsMadeBeforeWhatIsDoneBehind(t *testing.T) {
	l := New(ticking(slice))
	var done []string
	l.Behind(func() { done = append(done, "behind") })
	l.View(func() {
		l.Pause()
		done = append(done, "picture")
	})
	l.View(func() { done = append(done, "next") })
	var again []bool
	for range 3 {
		assert.True(t, l.Left())
		_, now := l.Labour(&ui.Input{})
		again = append(again, now)
	}
	assert.Equal(t, []string{"picture", "behind"}, done)
	assert.Equal(t, []bool{false, true, true}, again)
	assert.False(t, l.Left())
}
