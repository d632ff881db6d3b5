package room_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/scoring/practical"
)

// A case that turns out unfair is withdrawn by two people, for a reason, and put back so; the
// marks are then those of the cases that count.
func TestACaseIsWithdrawn(t *testing.T) {
	h := newClosed(t)
	ask := func(do room.Deed, n int, why string) error { return h.Beside().AskCase(do, n, "AB", why, h.now) }
	confirmed := func() error { return h.Confirm(h.Requests()[0].N, "CD", h.now) }
	collected := func() (withdrawn bool, most float64) {
		c, err := h.Collect(room.Collecting{Key: assessor().Key(), Beside: map[string][]byte{room.DecisionsPaper: []byte(h.file(room.DecisionsPaper))}, Progress: func(int, int) {}}, h.now)
		require.NoError(t, err)
		return c.Cases[1].Withdrawn, c.Sheets[0].Most
	}
	require.NoError(t, h.markedWith())
	for name, wrong := range map[string]error{
		"no such case": ask(room.Withdrawn, 3, "its story gave it away"), "case 0": ask(room.Withdrawn, 0, "its story gave it away"), "no reason": ask(room.Withdrawn, 2, ""),
		"of somebody": h.Ask(room.Withdrawn, "A7", "AB", "its story gave it away", h.now), "another deed": ask(room.Released, 2, "its story gave it away"),
	} {
		assert.Error(t, wrong, name)
	}
	assert.ErrorIs(t, ask(room.Restored, 2, "it counts already"), room.ErrCaseSo)
	require.NoError(t, ask(room.Withdrawn, 2, "its story gave it away"))
	assert.Error(t, ask(room.Withdrawn, 2, "once more"), "it is asked for already")
	assert.Empty(t, h.Beside().Withdrawn(), "nobody has confirmed it")
	assert.ErrorIs(t, h.Confirm(h.Requests()[0].N, "AB", h.now), room.ErrOwn)
	_, all := collected()
	require.NoError(t, confirmed())
	h.unmarked("they have to be worked out without it")
	h.restart()
	assert.Equal(t, map[int]string{2: "its story gave it away"}, h.Beside().Withdrawn())
	withdrawn, most := collected()
	assert.True(t, withdrawn)
	assert.Equal(t, all/2, most, "of the case that is left")
	assert.ErrorIs(t, ask(room.Withdrawn, 2, "once more"), room.ErrCaseSo)

	require.NoError(t, ask(room.Restored, 2, "it was fair after all"))
	require.NoError(t, confirmed())
	assert.Empty(t, h.Beside().Withdrawn())
	withdrawn, most = collected()
	assert.False(t, withdrawn)
	assert.Equal(t, all, most)
	decided, err := practical.LedgerOf(h.plan, "x", []byte(h.file(room.DecisionsPaper))).Decisions()
	require.NoError(t, err)
	require.Len(t, decided, 2)
	assert.Equal(t, []practical.Deed{practical.Withdraw, practical.Restore}, []practical.Deed{decided[0].Do, decided[1].Do})
	for _, n := range room.WithoutMarks([]room.Note{{Do: room.Withdrawn, Case: 2, Reason: "its story"}, {Do: room.Restored, Case: 2, Reason: "it was fair"}}) {
		assert.Zero(t, n.Case, "it is about marks")
		assert.Empty(t, n.Reason)
	}

	require.NoError(t, ask(room.Withdrawn, 1, "its story gave it away"))
	open := h.Requests()[0].N
	h.released()
	assert.ErrorIs(t, h.Confirm(open, "CD", h.now), room.ErrStage, "never after the release")
	assert.ErrorIs(t, ask(room.Withdrawn, 2, "its story gave it away"), room.ErrStage)
}
