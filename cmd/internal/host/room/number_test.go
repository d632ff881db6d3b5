package room_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
)

// Two who came in by one another's tickets get their own numbers by one deed, with what each
// has done and what lets them in: one in a case, with the order and luck that it was begun
// with; one before, who is stopped, with those of their own number.
func TestExchangingTwoNumbers(t *testing.T) {
	h, one, two := shuffled(t)
	a, b := h.admitted(one), h.admitted(two)
	a.begins()
	_, err := a.does(1, 1, "x", fan)
	require.NoError(t, err)
	h.passes(5 * time.Second)
	require.NoError(t, h.Pause(two, "IN", "a wrong ticket", h.now))
	h.admitted("C3")
	require.NoError(t, h.End("C3", "IN", "went home", h.now))
	refused := func(is error, from, to, reason string) {
		t.Helper()
		before, _ := h.Notes()
		err := h.Exchange(from, to, "IN", reason, h.now)
		if assert.Error(t, err); is != nil {
			assert.ErrorIs(t, err, is)
		}
		after, _ := h.Notes()
		assert.Equal(t, before, after)
		assert.Equal(t, []string{one, two}, []string{a.seat().Candidate, b.seat().Candidate})
	}
	refused(nil, one, two, " ")
	refused(nil, one, one, "wrong tickets")
	refused(room.ErrStage, one, "C3", "wrong tickets")
	refused(room.ErrNobody, one, "D4", "wrong tickets")
	require.NoError(t, h.Exchange(one, "b2", "IN", "wrong tickets", h.now))
	check := func(done int) {
		t.Helper()
		assert.Equal(t, []string{two, one}, []string{a.seat().Candidate, b.seat().Candidate})
		_, board := h.Board()
		assert.Len(t, board, 3)
		assert.Len(t, a.seat().Patient.Events, done)
		assert.Equal(t, 30*time.Minute-5*time.Second, *a.seat().Left, "the time is that of the right number")
		assert.True(t, b.seat().Held)
	}
	check(1)
	_, err = a.does(1, 2, "y", which)
	require.NoError(t, err)
	h.restart()
	check(2)
	require.NoError(t, h.GoOn(one, "IN", h.now))
	b.begins()
	_, err = b.does(1, 1, "x", fan)
	require.NoError(t, err)
	h.passes(5 * time.Second)
	assert.Equal(t, 20*time.Minute-5*time.Second, *b.seat().Left)
	a.statesNext(1, 3)
	h.restart()
	assert.Equal(t, wire.Ready, a.seat().Stage)
	require.NoError(t, h.Move(room.Shut, "AB", "the time is over", h.now))

	begun := map[string]string{one: "", two: one}
	for number, as := range begun {
		rec, err := practical.ReadResult(h.plan, number, h.result(number), assessor().Key())
		require.NoError(t, err)
		assert.Empty(t, rec.Doubts(h.plan, h.now))
		sheet, err := practical.NewMarker(h.plan, h.plan).Mark(rec)
		require.NoError(t, err)
		assert.Equal(t, as, sheet.BegunAs)
		assert.Equal(t, h.plan.Entry(one).Order()[0], rec.Cases()[0].Case, "both: one was begun so, and one has that number")
		require.NotEmpty(t, sheet.Rulings)
		assert.Equal(t, practical.Renumbered, sheet.Rulings[0].Do)
		assert.Equal(t, []string{number, "wrong tickets"}, []string{sheet.Rulings[0].To, sheet.Rulings[0].Reason})
	}
	assert.Equal(t, []room.Deed{room.Ticketed, room.Admitted, room.Exchanged}, h.deedsOf(two))
	assert.Equal(t, []room.Deed{room.Ticketed, room.Admitted, room.Paused, room.Exchanged, room.WentOn}, h.deedsOf(one))
	done, err := h.Collect(room.Collecting{Key: assessor().Key(), Progress: func(int, int) {}}, h.now)
	require.NoError(t, err)
	assert.Empty(t, done.Troubles)
}

// deedsOf are the deeds that the notes have about a number.
func (h *hall) deedsOf(number string) (did []room.Deed) {
	h.t.Helper()
	lines, err := h.Notes()
	require.NoError(h.t, err)
	notes, err := room.ReadNotes(lines)
	require.NoError(h.t, err)
	for i, is := range room.Concern(notes, number) {
		if is {
			did = append(did, notes[i].Do)
		}
	}
	return did
}
