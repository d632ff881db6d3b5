package room_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/sitting"
)

// states ends the case at a place as the card has it.
func (c *candidate) states(place int) {
	seat := c.begins()
	card := seat.Patient.Objective[seat.Patient.Tested.Index()]
	_, err := c.does(place, 1, "end", sitting.Action{Do: sitting.End, Rx: &card})
	require.NoError(c.h.t, err)
}

// marked keeps marks of A7 that stand for those that Collect works out.
func (h *hall) marked(t *testing.T, points ...float64) {
	s := &practical.Sheet{Candidate: "A7", Cases: make([]practical.CaseMark, len(points))}
	for i, k := range h.plan.Entry("A7").Order() {
		s.Cases[k].Points = points[i]
	}
	require.NoError(t, h.Marked(&class.Class{Sheets: []*practical.Sheet{s}}, map[string][]byte{"en/class.html": []byte("x")}, "AB", h.now))
}

// shown are the points that a candidate is shown.
func (c *candidate) shown() []float64 {
	seat, err := c.h.Seat(c.session)
	require.NoError(c.h.t, err)
	return seat.Points
}

// Marks are released by two people, of whom the second confirms what the first asked for,
// and candidates are shown no mark before.
func TestReleaseTakesTwo(t *testing.T) {
	h := newHall(t)
	h.plan.Show.Mark = true
	c := h.admitted("A7")
	c.states(1)
	c.states(2)
	ask := func() error { return h.Ask(room.Released, "", "AB", "", h.now) }
	assert.ErrorIs(t, ask(), room.ErrStage, "it is open")
	require.NoError(t, h.Move(room.Shut, "AB", "", h.now))
	assert.ErrorIs(t, ask(), room.ErrUnmarked)
	h.marked(t, 3, 4)
	require.NoError(t, ask())
	assert.Error(t, ask(), "it is asked for already")
	assert.Nil(t, c.shown())
	n := h.Requests()[0].N
	for _, own := range []string{"AB", "ab", ""} {
		assert.ErrorIs(t, h.Confirm(n, own, h.now), room.ErrOwn, "nobody confirms their own request")
	}
	assert.ErrorIs(t, h.Confirm(n+1, "CD", h.now), room.ErrNoAsk)
	assert.Equal(t, room.Closed, h.Stage())

	h.marked(t, 5, 6)
	assert.ErrorIs(t, h.Confirm(n, "CD", h.now), room.ErrChanged, "other marks than those that were asked for")
	require.NoError(t, h.Decline(n, "CD", "worked out anew", h.now))
	assert.ErrorIs(t, h.Confirm(n, "CD", h.now), room.ErrNoAsk)
	require.NoError(t, ask())
	h.restart()
	require.Len(t, h.Requests(), 1, "a request outlives the service")
	assert.Nil(t, c.shown())
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	assert.Equal(t, room.Out, h.Stage())
	assert.Equal(t, []float64{5, 6}, c.shown())
	seat, err := h.Seat(c.session)
	require.NoError(t, err)
	assert.False(t, seat.Closed, "everything was stated")
	assert.Empty(t, h.Requests())
	h.restart()
	assert.Equal(t, []float64{5, 6}, c.shown())
	assert.Error(t, h.Marked(&class.Class{}, nil, "AB", h.now), "what is released stays")
	assert.ErrorIs(t, h.Ask(room.Voided, "A7", "AB", "seen with notes", h.now), room.ErrStage)

	_, err = h.Erase("A7", "AB", "asked for it", h.now)
	require.NoError(t, err)
	require.NoError(t, h.Marked(&class.Class{}, map[string][]byte{"en/class.html": []byte("y")}, "AB", h.now), "without who was erased")
	assert.ErrorIs(t, h.Marked(&class.Class{}, nil, "AB", h.now), room.ErrStage)
	assert.Equal(t, room.Out, h.Stage())
}

// Who sees no marks reads the notes without points, settings and reasons about marks; the
// reasons of everything else stay.
func TestNotesWithoutMarks(t *testing.T) {
	just, points := 3.0, 7.5
	all := []room.Note{
		{N: 1, Do: room.Granted, Reason: "a lamp went out", Candidate: "A7"},
		{N: 2, Do: room.Marked, Just: &just},
		{N: 3, Do: room.Asked, Asks: room.Decided, Case: 2, Points: &points, Reason: "was near", Candidate: "A7"},
		{N: 4, Do: room.Asked, Asks: room.Erasable, Reason: "asked for it", Candidate: "A7"},
		{N: 5, Do: room.Decided, For: 3, Case: 2, Points: &points, Reason: "was near", Candidate: "A7"},
		{N: 6, Do: room.Asked, Asks: room.Voided, Reason: "seen with notes", Candidate: "A7"},
		{N: 7, Do: room.Declined, For: 6, Reason: "it was a calendar", Candidate: "A7"},
		{N: 8, Do: room.Declined, For: 4, Reason: "not by that candidate", Candidate: "A7"},
		{N: 9, Do: room.Asked, Asks: room.Released, Just: &just},
	}
	kept := slices.Clone(all)
	rest := room.WithoutMarks(all)
	assert.Equal(t, kept, all, "they stay as they were")
	for _, n := range rest {
		assert.Nil(t, n.Points, n.N)
		assert.Nil(t, n.Just, n.N)
		assert.Zero(t, n.Case, n.N)
		assert.Equal(t, slices.Contains([]int{1, 4, 8}, n.N), n.Reason != "", n.N)
		assert.Equal(t, kept[n.N-1].Do, n.Do)
	}
}

// Where the practical shows no marks, candidates are shown none.
func TestNoMarksAreShown(t *testing.T) {
	h := newHall(t)
	c := h.admitted("A7")
	c.states(1)
	c.states(2)
	require.NoError(t, h.Move(room.Shut, "AB", "", h.now))
	h.marked(t, 3, 4)
	require.NoError(t, h.Ask(room.Released, "", "AB", "", h.now))
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	assert.Nil(t, c.shown())
}

// What is void counts no more, for a reason and by two people; the marks are then worked
// out anew.
func TestVoidTakesTwo(t *testing.T) {
	h := newHall(t)
	c := h.admitted("A7")
	c.states(1)
	c.states(2)
	h.admitted("B2")
	require.NoError(t, h.Move(room.Shut, "AB", "the time is over", h.now))
	h.marked(t, 3, 4)
	assert.Error(t, h.Ask(room.Voided, "A7", "AB", " ", h.now), "a reason is needed")
	assert.ErrorIs(t, h.Ask(room.Voided, "C3", "AB", "seen with notes", h.now), room.ErrNobody)
	assert.ErrorIs(t, h.Ask(room.Opened, "", "AB", "x", h.now), room.ErrStage, "that takes nobody else")
	require.NoError(t, h.Ask(room.Voided, "a7", "AB", "seen with notes", h.now))
	require.NoError(t, h.Ask(room.Released, "", "AB", "", h.now))
	release := h.Requests()[1].N
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	papers, err := h.Papers()
	require.NoError(t, err)
	assert.Empty(t, papers, "they have to be worked out anew")
	assert.ErrorIs(t, h.Confirm(release, "CD", h.now), room.ErrUnmarked)
	assert.ErrorIs(t, h.Ask(room.Voided, "A7", "AB", "again", h.now), room.ErrNobody)
	h.restart()
	_, board := h.Board()
	assert.True(t, board[0].Void)
	assert.False(t, board[1].Void)
	assert.ErrorIs(t, h.Marked(&class.Class{Sheets: []*practical.Sheet{{Candidate: "A7"}}}, nil, "AB", h.now), room.ErrChanged)
	done, err := h.Collect(room.Collecting{Key: assessor().Key(), Progress: func(int, int) {}}, h.now)
	require.NoError(t, err)
	for _, s := range done.Sheets {
		assert.NotEqual(t, "A7", s.Candidate)
	}
	assert.Equal(t, class.Void, done.Troubles[0].Kind)
}

// Closing the practical hands in what is under way as it stands, for a reason.
func TestClosingHandsIn(t *testing.T) {
	h := newHall(t)
	a, b := h.admitted("A7"), h.admitted("B2")
	a.begins()
	_, err := a.does(1, 1, "x", fan)
	require.NoError(t, err)
	_, err = h.Ticket("C3", "AB", "", h.now)
	require.NoError(t, err)
	h.passes(10 * time.Second)
	assert.Error(t, h.Move(room.Shut, "AB", "", h.now), "a reason is needed")
	assert.Equal(t, room.Open, h.Stage())
	require.NoError(t, h.Move(room.Halted, "AB", "an alarm", h.now))
	require.NoError(t, h.Move(room.Shut, "AB", "an alarm that did not end", h.now))
	for _, c := range []*candidate{a, b} {
		seat, err := h.Seat(c.session)
		require.NoError(t, err)
		assert.Equal(t, wire.Over, seat.Stage)
		assert.NotEmpty(t, seat.Code)
		assert.True(t, seat.Closed, "the candidate is told what happened")
	}
	results, err := h.Results()
	require.NoError(t, err)
	require.Len(t, results, 2, "who was never let in has none")
	rec, err := practical.ReadResult(h.plan, "A7", results["A7"], assessor().Key())
	require.NoError(t, err)
	require.Len(t, rec.Cases(), 1)
	assert.Equal(t, practical.ByAssessor, rec.Cases()[0].Ended)
	assert.Equal(t, 10*time.Second, rec.Cases()[0].Elapsed)
	h.restart()
	results, err = h.Results()
	require.NoError(t, err)
	assert.Len(t, results, 2)
}

// More time is given to one candidate, and a place is closed, while the others go on.
func TestRulesOfOneSeat(t *testing.T) {
	h := newHall(t)
	c, other := h.admitted("A7"), h.admitted("B2")
	c.begins()
	other.begins()
	assert.Error(t, h.Grant("A7", time.Minute, "IN", "", h.now), "a reason is needed")
	assert.ErrorIs(t, h.Grant("C3", time.Minute, "IN", "a lamp went out", h.now), room.ErrNobody)
	require.NoError(t, h.Grant("a7", time.Minute, "IN", "a lamp went out", h.now))
	left := func(c *candidate) time.Duration {
		s, err := h.Seat(c.session)
		require.NoError(t, err)
		return *s.Left
	}
	assert.Equal(t, 21*time.Minute, left(c))
	assert.Equal(t, 20*time.Minute, left(other))
	h.restart()
	assert.Equal(t, 21*time.Minute, left(c))
	require.NoError(t, h.End("A7", "IN", "was unwell", h.now))
	assert.ErrorIs(t, h.End("A7", "IN", "again", h.now), room.ErrStage)
	_, err := c.does(1, 1, "x", fan)
	assert.Equal(t, wire.NotNow, problem(err))
	_, err = other.does(1, 1, "x", fan)
	require.NoError(t, err)
	require.NoError(t, h.Move(room.Shut, "AB", "the time is over", h.now))
	assert.ErrorIs(t, h.Grant("B2", time.Minute, "IN", "late", h.now), room.ErrStage)
}
