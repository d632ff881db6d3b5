package room_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
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

// After the release candidates are told which of their cases were withdrawn, by the numbers
// that they know them by; and whether there are points for a result at all.
func TestWhatIsToldOfReleasedMarks(t *testing.T) {
	h, _, _ := shuffled(t)
	sits := map[string]*candidate{}
	for _, number := range []string{"A7", "B2", "C3"} {
		sits[number] = h.admitted(number)
		sits[number].states(1)
		sits[number].states(2)
	}
	require.NoError(t, h.Move(room.Shut, "AB", "", h.now))
	for _, do := range []room.Deed{room.Withdrawn, room.Restored} {
		require.NoError(t, h.Beside().AskCase(do, 1, "AB", "its story gave it away", h.now))
		require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	}
	require.NoError(t, h.Beside().AskCase(room.Withdrawn, 2, "AB", "its story gave it away", h.now))
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	require.NoError(t, h.Ask(room.Voided, "C3", "AB", "wrote it down", h.now))
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	files, err := h.Beside().Files()
	require.NoError(t, err)
	made := &class.Class{}
	for _, number := range []string{"A7", "B2"} {
		made.Sheets = append(made.Sheets, &practical.Sheet{Candidate: number, Cases: []practical.CaseMark{{Points: 10}, {Points: 20, Withdrawn: true}}})
	}
	require.NoError(t, h.Marked(made, files, "AB", h.now))
	for number, c := range sits {
		told := c.seat()
		assert.False(t, told.Released || told.Shown || told.Points != nil || told.Withdrawn != nil, number)
	}
	require.NoError(t, h.Ask(room.Released, "", "AB", "", h.now))
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	for range 2 {
		for number, c := range sits {
			told := c.seat()
			assert.True(t, told.Released && told.Shown, number)
			if number == "C3" {
				assert.Nil(t, told.Points)
				assert.Nil(t, told.Withdrawn)
				continue
			}
			require.Len(t, told.Withdrawn, 1)
			assert.Equal(t, 20.0, told.Points[told.Withdrawn[0]-1], "case 2 of the practical")
		}
		h.restart()
	}
}
