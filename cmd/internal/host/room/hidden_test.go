package room_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/wire"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// A page says that it is hidden: it is told since when, and for how long in all, of the
// time in which a case is under way and nothing stands still; another page begins anew.
func TestAHiddenPage(t *testing.T) {
	h := newHall(t)
	c := h.admitted("A7")
	beats := func(tab string, hidden bool) {
		t.Helper()
		_, err := h.Beat(c.session, tab, hidden)
		require.NoError(t, err)
	}
	is := func(now, inAll time.Duration, why string) {
		t.Helper()
		_, all := h.Board()
		assert.Equal(t, []time.Duration{now, inAll}, []time.Duration{all[0].Hidden, all[0].Unseen}, why)
	}
	beats("tab", true)
	h.passes(10 * time.Second)
	is(0, 0, "no case is under way")
	c.begins()
	h.passes(10 * time.Second)
	is(0, 0, "it did not say so since")
	beats("tab", true)
	is(0, 0, "from now on")
	h.passes(5 * time.Second)
	beats("tab", true)
	h.passes(15 * time.Second)
	is(20*time.Second, 20*time.Second, "as it said last, though nothing was heard since")
	require.NoError(t, h.Move(room.Halted, "", "an alarm", h.now))
	h.passes(time.Minute)
	is(20*time.Second, 20*time.Second, "the time stands still")
	require.NoError(t, h.Move(room.Resumed, "", "", h.now))
	beats("tab", false)
	is(0, 20*time.Second, "it can be seen")
	beats("tab", true)
	h.passes(3 * time.Second)
	is(3*time.Second, 23*time.Second, "again")
	_, err := h.Claim(c.session, "another")
	require.NoError(t, err)
	is(0, 23*time.Second, "another page")
	_, err = h.Beat(c.session, "tab", true)
	assert.Equal(t, wire.Elsewhere, problem(err))
	h.passes(3 * time.Second)
	is(0, 23*time.Second, "what the former one says is of no matter")
	beats("another", true)
	h.passes(2 * time.Second)
	_, err = h.Act(c.session, wire.Act{Tab: "another", Place: 1, N: 1, ID: "x", Action: sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1}}})
	require.NoError(t, err)
	is(0, 25*time.Second, "the case is handed in")
}
