package room_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
)

// seat is how things stand for a candidate.
func (c *candidate) seat() *wire.Seat {
	s, err := c.h.Seat(c.session)
	require.NoError(c.h.t, err)
	return s
}

// The time of one candidate stands still, for a reason that is in the record, and nothing
// can be done at that place; the others go on. A restart, a new ticket and a halt for all
// change nothing of it.
func TestTheTimeOfOneStandsStill(t *testing.T) {
	h := newHall(t)
	c, other := h.admitted("A7"), h.admitted("B2")
	c.begins()
	other.begins()
	_, err := c.does(1, 1, "x", fan)
	require.NoError(t, err)
	h.passes(10 * time.Second)
	left := 20*time.Minute - 10*time.Second
	assert.Error(t, h.Pause("A7", "IN", " ", h.now), "a reason is needed")
	assert.ErrorIs(t, h.Pause("C3", "IN", "unwell", h.now), room.ErrNobody)
	assert.ErrorIs(t, h.GoOn("A7", "IN", h.now), room.ErrStage, "it does not stand still")
	require.NoError(t, h.Pause("a7", "IN", "unwell", h.now))
	assert.ErrorIs(t, h.Pause("A7", "IN", "again", h.now), room.ErrPaused)
	still := func(held bool) {
		t.Helper()
		s := c.seat()
		assert.Equal(t, held, s.Held)
		assert.Equal(t, wire.Running, s.Stage)
		assert.Equal(t, left, *s.Left)
		assert.False(t, other.seat().Held && h.Stage() == room.Open)
	}
	still(true)
	_, err = c.does(1, 2, "y", which)
	assert.Equal(t, wire.Held, problem(err))
	_, err = h.Begin(c.session, "tab")
	assert.Equal(t, wire.Held, problem(err))
	again, err := c.does(1, 1, "x", fan)
	require.NoError(t, err, "what was done is told")
	assert.True(t, again.Held)
	beat, err := h.Beat(c.session, "tab", false)
	require.NoError(t, err)
	assert.True(t, beat.Held)
	h.passes(time.Minute)
	still(true)
	_, err = other.does(1, 1, "x", fan)
	require.NoError(t, err)
	require.NoError(t, h.Grant("A7", time.Minute, "IN", "a lamp went out", h.now))
	left += time.Minute
	still(true)
	for range 2 {
		h.restart()
		still(true)
	}
	_, board := h.Board()
	assert.Equal(t, "unwell", board[0].Paused)
	assert.Empty(t, board[1].Paused)
	c = h.admitted("A7") // by a new ticket
	still(true)
	require.NoError(t, h.Move(room.Halted, "IN", "an alarm", h.now))
	require.NoError(t, h.GoOn("A7", "IN", h.now))
	still(true) // for everybody
	require.NoError(t, h.Pause("A7", "IN", "unwell again", h.now))
	require.NoError(t, h.Move(room.Resumed, "IN", "", h.now))
	still(true)
	h.passes(time.Minute)
	require.NoError(t, h.GoOn("A7", "IN", h.now))
	still(false)
	assert.Len(t, c.begins().Patient.Events, 1)
	h.passes(5 * time.Second)
	left -= 5 * time.Second
	still(false)
	_, err = c.does(1, 2, "y", which)
	require.NoError(t, err)
	c.statesNext(1, 3)
	c.begins()
	h.passes(2 * time.Second)
	c.statesNext(2, 1)
	rec, err := practical.ReadResult(h.plan, "A7", h.result("A7"), assessor().Key())
	require.NoError(t, err)
	assert.Empty(t, rec.Doubts(h.plan, h.now))
	sheet, err := practical.NewMarker(h.plan, h.plan).Mark(rec)
	require.NoError(t, err)
	held := map[string]time.Duration{}
	for _, i := range sheet.Interruptions {
		held[i.Reason] += i.Length()
	}
	assert.Equal(t, map[string]time.Duration{"unwell": 21 * time.Minute, "unwell again": time.Minute}, held, "through two restarts")
	assert.Equal(t, 15*time.Second, rec.Cases()[0].Elapsed)
}

// statesNext ends the case at a place with event n.
func (c *candidate) statesNext(place, n int) {
	a := script[len(script)-1]
	_, err := c.does(place, n, "end", a)
	require.NoError(c.h.t, err)
}

// result is the file of a candidate who is through.
func (h *hall) result(number string) []byte {
	all, err := h.Results()
	require.NoError(h.t, err)
	return all[number]
}

// Between two cases the time stands still as well; and who is paused is handed in when the
// place or the practical is closed.
func TestWhoIsPausedIsHandedIn(t *testing.T) {
	h := newHall(t)
	a, b, waits := h.admitted("A7"), h.admitted("B2"), h.admitted("C3")
	a.begins()
	b.begins()
	h.passes(10 * time.Second)
	for _, number := range []string{"A7", "B2", "C3"} {
		require.NoError(t, h.Pause(number, "IN", "unwell", h.now))
	}
	assert.Equal(t, wire.Ready, waits.seat().Stage)
	assert.True(t, waits.seat().Held)
	_, err := h.Begin(waits.session, "tab")
	assert.Equal(t, wire.Held, problem(err))
	h.passes(time.Minute)
	require.NoError(t, h.End("A7", "IN", "went home", h.now))
	assert.Equal(t, wire.Over, a.seat().Stage)
	assert.ErrorIs(t, h.Pause("A7", "IN", "late", h.now), room.ErrStage)
	require.NoError(t, h.GoOn("C3", "IN", h.now))
	waits.begins()
	require.NoError(t, h.Move(room.Shut, "AB", "the time is over", h.now))
	assert.Equal(t, wire.Over, b.seat().Stage)
	assert.False(t, b.seat().Held)
	assert.ErrorIs(t, h.GoOn("B2", "IN", h.now), room.ErrStage)
	for _, number := range []string{"A7", "B2"} {
		rec, err := practical.ReadResult(h.plan, number, h.result(number), assessor().Key())
		require.NoError(t, err)
		assert.Equal(t, 10*time.Second, rec.Cases()[0].Elapsed)
		assert.Empty(t, rec.Doubts(h.plan, h.now))
	}
}

// shuffled are two numbers of a practical that sit its cases in other orders.
func shuffled(t *testing.T) (h *hall, wrong, right string) {
	for {
		h = newHall(t, func(p *practical.Plan) {
			p.Show.Mark = true
			p.Shuffle, p.Candidates, p.Extra = true, []string{"A7", "B2", "C3"}, map[string]float64{"B2": 0.5}
		})
		if h.plan.Entry("A7").Order()[0] != h.plan.Entry("B2").Order()[0] {
			return h, "A7", "B2"
		}
	}
}

// Who came in under a wrong number gets the right one, with all that was done and with
// what lets them in; order and luck stay those under which the first case was begun.
func TestCorrectingANumber(t *testing.T) {
	h, wrong, right := shuffled(t)
	c := h.admitted(wrong)
	c.begins()
	_, err := c.does(1, 1, "x", fan)
	require.NoError(t, err)
	_, err = c.does(1, 2, "y", which)
	require.NoError(t, err)
	h.passes(5 * time.Second)
	ticket, err := h.Ticket(right, "IN", "", h.now)
	require.NoError(t, err)
	lobby, err := h.Enter(ticket, "id")
	require.NoError(t, err)
	in := h.admitted("C3")
	refused := func(to, reason string, is error) {
		t.Helper()
		before, _ := h.Notes()
		err := h.Renumber(wrong, to, "IN", reason, h.now)
		if is != nil {
			assert.ErrorIs(t, err, is)
		}
		assert.Error(t, err)
		after, _ := h.Notes()
		assert.Equal(t, before, after)
		assert.Equal(t, wrong, c.seat().Candidate)
	}
	refused(right, "", nil)
	refused("Z9", "a wrong ticket", nil) // it is not in the list
	refused(wrong, "a wrong ticket", nil)
	refused("C3", "a wrong ticket", room.ErrThere)
	assert.ErrorIs(t, h.Renumber(right, "C3", "IN", "a wrong ticket", h.now), room.ErrLobby)
	assert.ErrorIs(t, h.Renumber("D4", right, "IN", "a wrong ticket", h.now), room.ErrNobody)
	require.NoError(t, h.Renumber(wrong, "b2", "IN", "a wrong ticket", h.now))

	_, err = h.Seat(lobby)
	assert.Equal(t, wire.NoSession, problem(err), "that was somebody else’s place")
	s := c.seat()
	assert.Equal(t, right, s.Candidate)
	assert.Equal(t, 30*time.Minute-5*time.Second, *s.Left, "the time is that of the right number")
	assert.Len(t, s.Patient.Events, 2)
	_, board := h.Board()
	require.Len(t, board, 2)
	assert.Equal(t, right, board[0].Candidate)
	_, err = c.does(1, 3, "z", which)
	require.NoError(t, err)
	h.restart()
	require.Len(t, c.seat().Patient.Events, 3)
	c.statesNext(1, 4)
	c.begins()
	_, err = c.does(2, 1, "x", fan)
	require.NoError(t, err)
	h.passes(2 * time.Second)
	c.statesNext(2, 2)

	// Whose number it was begins as usual, with the same order and luck.
	owner := h.admitted(wrong)
	assert.Empty(t, owner.begins().Patient.Events)
	assert.Equal(t, 20*time.Minute, *owner.seat().Left)
	_, err = owner.does(1, 1, "x", fan)
	require.NoError(t, err)
	h.passes(2 * time.Second)
	require.NoError(t, h.End(in.seat().Candidate, "IN", "went home", h.now))
	require.NoError(t, h.Move(room.Shut, "AB", "the time is over", h.now))
	assert.ErrorIs(t, h.Renumber(wrong, "C3", "IN", "late", h.now), room.ErrStage)

	rec, err := practical.ReadResult(h.plan, right, h.result(right), assessor().Key())
	require.NoError(t, err)
	assert.Empty(t, rec.Doubts(h.plan, h.now))
	sheet, err := practical.NewMarker(h.plan, h.plan).Mark(rec)
	require.NoError(t, err, "it is done again with the luck of the wrong number")
	assert.Equal(t, wrong, sheet.BegunAs)
	var order []int
	for _, sat := range rec.Cases() {
		order = append(order, sat.Case)
	}
	assert.Equal(t, h.plan.Entry(wrong).Order(), order)
	done, err := h.Collect(room.Collecting{Key: assessor().Key(), Progress: func(int, int) {}}, h.now)
	require.NoError(t, err)
	assert.Empty(t, done.Troubles)
	assert.Len(t, done.Sheets, 3)

	made := &practical.Sheet{Candidate: right, BegunAs: wrong, Cases: make([]practical.CaseMark, 2)}
	made.Cases[order[0]].Points, made.Cases[order[1]].Points = 3, 4
	require.NoError(t, h.Marked(&class.Class{Sheets: []*practical.Sheet{made}}, map[string][]byte{"x": []byte("y")}, "AB", h.now))
	require.NoError(t, h.Ask(room.Released, "", "AB", "", h.now))
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	assert.Equal(t, []float64{3, 4}, c.shown(), "as they were sat")
}

// Before a case was begun everything becomes that of the right number; who is paused stays
// so; and an order is kept under a third number.
func TestCorrectingANumberBeforeACase(t *testing.T) {
	h, wrong, right := shuffled(t)
	c := h.admitted(wrong)
	require.NoError(t, h.Pause(wrong, "IN", "a wrong ticket", h.now))
	require.NoError(t, h.Renumber(wrong, right, "IN", "a wrong ticket", h.now))
	assert.True(t, c.seat().Held)
	require.NoError(t, h.GoOn(right, "IN", h.now))
	c.begins()
	assert.Equal(t, 30*time.Minute, *c.seat().Left)
	require.NoError(t, h.Renumber(right, "C3", "IN", "another wrong ticket", h.now))
	c.statesNext(1, 1)
	require.NoError(t, h.End("C3", "IN", "went home", h.now))
	rec, err := practical.ReadResult(h.plan, "C3", h.result("C3"), assessor().Key())
	require.NoError(t, err)
	assert.Equal(t, h.plan.Entry(right).Order()[0], rec.Cases()[0].Case)

	assert.Equal(t, []room.Deed{room.Ticketed, room.Admitted, room.Paused, room.Renumbered, room.WentOn, room.Renumbered, room.Ended}, h.deedsOf("C3"))
	assert.Equal(t, []room.Deed{room.Ticketed, room.Admitted, room.Paused, room.Renumbered}, h.deedsOf(wrong))
	assert.Empty(t, h.deedsOf("D4"))
}

// early is a practical that one person may open an hour from now, in a service that was
// started again since it was made.
func early(t *testing.T, rehearsal bool) *room.Room {
	plan := *short()
	plan.Rehearsal = rehearsal
	disk := storetest.NewMemory()
	_, err := room.Make(&plan, []byte("sealed"), disk, []byte("secret"), room.Note{Who: "AB", Opens: morning.Add(time.Hour)}, morning)
	require.NoError(t, err)
	r, err := room.New(&plan, []byte("sealed"), disk, []byte("secret"), morning)
	require.NoError(t, err)
	return r
}

// Before its time a practical is opened by two, after it by one, and a rehearsal always.
func TestOpeningBeforeTheTime(t *testing.T) {
	at := morning.Add(time.Hour)
	for _, c := range []struct {
		rehearsal bool
		now       time.Time
		alone     bool
	}{{false, at.Add(-1), false}, {false, at, true}, {true, morning, true}} {
		r := early(t, c.rehearsal)
		err := r.Move(room.Opened, "AB", "", c.now)
		assert.Equal(t, c.alone, err == nil, c)
		if !c.alone {
			assert.ErrorIs(t, err, room.ErrEarly)
			assert.Equal(t, room.Scheduled, r.Stage())
		}
	}
	r := early(t, false)
	before := at.Add(-time.Minute)
	assert.Error(t, r.Ask(room.Opened, "", "AB", "", before), "a reason is needed")
	assert.ErrorIs(t, r.Ask(room.Opened, "", "AB", "all are here", at), room.ErrStage, "one person may")
	require.NoError(t, r.Ask(room.Opened, "", "AB", "all are here", before))
	assert.Error(t, r.Ask(room.Opened, "", "CD", "all are here", before), "it is asked for already")
	n := r.Requests()[0].N
	assert.ErrorIs(t, r.Confirm(n, "ab", before), room.ErrOwn)
	assert.Equal(t, room.Scheduled, r.Stage())
	require.NoError(t, r.Decline(n, "CD", "no", before))
	require.NoError(t, r.Ask(room.Opened, "", "AB", "all are here", before))
	require.NoError(t, r.Confirm(r.Requests()[0].N, "CD", before))
	assert.Equal(t, room.Open, r.Stage())
	assert.Empty(t, r.Requests())
	assert.ErrorIs(t, r.Ask(room.Opened, "", "AB", "again", before), room.ErrStage)

	r = early(t, false)
	require.NoError(t, r.Ask(room.Opened, "", "AB", "all are here", before))
	require.NoError(t, r.Move(room.Opened, "CD", "", at))
	assert.Empty(t, r.Requests(), "the time has come meanwhile")
}
