package room_test

import (
	"fmt"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/wire"
)

// Somebody uses a candidate's ticket first. They are in the lobby, where a face is looked
// at; the candidate is refused, is given another ticket, and has the place alone.
func TestATicketStolenBeforeItIsUsed(t *testing.T) {
	x := newIll(t, well)
	require.NoError(t, x.room.Move(room.Opened, "", "", x.now))
	ticket, err := x.room.Ticket("A7", "", "", x.now)
	require.NoError(t, err)
	thief, err := x.room.Enter(ticket, "theirs")
	require.NoError(t, err)
	_, err = x.room.Claim(thief, "theirs")
	require.NoError(t, err)
	seat, err := x.room.Begin(thief, "theirs")
	require.NoError(t, err)
	assert.Equal(t, wire.Lobby, seat.Stage, "nobody has let them in")
	_, err = x.room.Enter(ticket, "id")
	assert.Equal(t, wire.NoSession, problem(err))

	x.begins()
	_, err = x.room.Seat(thief)
	assert.Equal(t, wire.NoSession, problem(err))
	x.sits()
	x.ends()
}

// Who finds a ticket that was used, or one in whose place another was given, gets in with
// neither; and is told the same as with one that never was.
func TestATicketStolenAfterItWasUsed(t *testing.T) {
	x := newIll(t, well)
	x.begins()
	before, err := x.room.Ticket("B2", "", "", x.now)
	require.NoError(t, err)
	used, err := x.room.Ticket("B2", "", "", x.now)
	require.NoError(t, err)
	session, err := x.room.Enter(used, "id")
	require.NoError(t, err)
	_, never := x.room.Enter(strings.Repeat("A", 12), "id")
	for _, ticket := range []string{before, used, "", session} {
		_, err := x.room.Enter(ticket, "another")
		assert.Equal(t, never, err)
	}
	_, err = x.room.Seat(session)
	assert.NoError(t, err, "whoever has the place keeps it")
	x.sits()
	x.ends()
}

// One ticket is used in many places at once: one gets in.
func TestATicketThatManyUseAtOnce(t *testing.T) {
	x := newIll(t, func(*ill, int, storetest.Write) (bool, error) {
		runtime.Gosched() // so that others come while it is being kept
		return false, nil
	})
	for i := range 20 {
		ticket, err := x.room.Ticket(fmt.Sprint("T", i), "", "", x.now)
		require.NoError(t, err)
		var in atomic.Int32
		var all sync.WaitGroup
		for k := range 8 {
			all.Go(func() {
				if _, err := x.room.Enter(ticket, fmt.Sprint(k)); err == nil {
					in.Add(1)
				}
			})
		}
		all.Wait()
		assert.EqualValues(t, 1, in.Load())
	}
}

// Two pages of one candidate: the one that took the place last has it, what the other
// sends is refused, and nothing is done twice.
func TestTwoPages(t *testing.T) {
	x := newIll(t, well)
	x.begins()
	_, err := x.acts(1, 0)
	require.NoError(t, err)
	_, err = x.room.Claim(x.session, "another")
	require.NoError(t, err)
	for i := range 2 { // again, and the next
		_, err = x.acts(1, i)
		assert.Equal(t, wire.Elsewhere, problem(err))
	}
	_, err = x.room.Beat(x.session, "tab", false)
	assert.Equal(t, wire.Elsewhere, problem(err))
	_, err = x.room.Begin(x.session, "tab")
	assert.Equal(t, wire.Elsewhere, problem(err))
	seat, err := x.room.Claim(x.session, "tab")
	require.NoError(t, err)
	assert.Len(t, seat.Patient.Events, 1)
	x.sits()
	x.ends()
}

// All that was sent in a practical is sent again on the next day, when it is over, when it
// is closed, and when the service was started anew: nothing happens.
func TestRequestsOfTheDayBefore(t *testing.T) {
	x := newIll(t, well)
	x.begins()
	x.sits()
	x.ends()
	was, err := x.room.Results()
	require.NoError(t, err)
	replay := func() {
		for place := range short().Cases {
			for i := range script {
				done, err := x.acts(place+1, i)
				if place == 0 || err != nil {
					assert.Equal(t, wire.NotNow, problem(err))
					continue
				}
				assert.Equal(t, x.acked[place][i], done.Event, "the last case is told of, and nothing done")
			}
		}
		for _, err := range []error{second(x.room.Begin(x.session, "tab")), second(x.room.Beat(x.session, "tab", false))} {
			assert.Contains(t, []wire.Kind{"", wire.NotNow}, problem(err))
		}
		is, err := x.room.Results()
		require.NoError(t, err)
		assert.Equal(t, was, is)
	}
	x.now = x.now.Add(24 * time.Hour)
	replay()
	require.NoError(t, x.room.Move(room.Shut, "", "", x.now))
	replay()
	x.start()
	replay()
	x.ends()
}

func second[T any](_ T, err error) error { return err }

// The reply to who comes in is lost, and the service is killed after it; what is sent again
// with the same ID is answered with a session that has the place, as often as it is sent,
// and with any other ID it is refused. Once a page has claimed the place it is over with that.
func TestAReplyThatIsLostAtTheDoor(t *testing.T) {
	x := newIll(t, well)
	require.NoError(t, x.room.Move(room.Opened, "", "", x.now))
	ticket, err := x.room.Ticket("A7", "", "", x.now)
	require.NoError(t, err)
	_, err = x.room.Enter(ticket, "mine") // and the reply does not come
	require.NoError(t, err)
	refused := func(ticket, id, why string) {
		t.Helper()
		_, err := x.room.Enter(ticket, id)
		assert.Equal(t, wire.NoSession, problem(err), why)
	}
	for range 2 {
		refused(ticket, "theirs", "who has seen the ticket")
		x.start()
		refused(ticket, "theirs", "and after the service was killed")
		x.session, err = x.room.Enter(ticket, "mine")
		require.NoError(t, err)
		seat, err := x.room.Seat(x.session)
		require.NoError(t, err)
		assert.Equal(t, wire.Lobby, seat.Stage)
	}
	again, err := x.room.Enter(strings.ToLower(ticket), "mine")
	require.NoError(t, err)
	assert.Equal(t, x.session, again, "which of two replies comes does not matter")
	require.NoError(t, x.room.Admit("A7", "", x.now))
	_, err = x.room.Claim(x.session, "tab")
	require.NoError(t, err)
	for range 2 {
		refused(ticket, "mine", "a page has the place")
		x.start()
	}
	x.sits()
	x.ends()

	for _, id := range []string{"", strings.Repeat("x", 65)} {
		_, err = x.room.Enter(ticket, id)
		assert.Equal(t, wire.Malformed, problem(err))
	}
}

// Whose reply was lost gets in no more once another ticket was given out; and what lets
// them in cannot be worked out from what is kept, nor at another service.
func TestWhatIsKeptOfWhoComesIn(t *testing.T) {
	x := newIll(t, well)
	before, err := x.room.Ticket("A7", "", "", x.now)
	require.NoError(t, err)
	session, err := x.room.Enter(before, "id")
	require.NoError(t, err)
	kept, err := x.disk.Seat(short().ID, "A7")
	require.NoError(t, err)
	assert.NotEqual(t, session, string(kept.Session), "only a hash is kept")
	assert.Empty(t, kept.Ticket)
	other, err := room.New(short(), nil, x.disk, []byte("another secret"), x.now)
	require.NoError(t, err)
	_, err = other.Enter(before, "id")
	assert.Equal(t, wire.NoSession, problem(err))
	assert.Equal(t, session, room.SessionOf(x.room, before, "id"))
	for _, another := range []string{room.SessionOf(other, before, "id"), room.SessionOf(x.room, before, "ID"), room.SessionOf(x.room, "AAAA", "id")} {
		assert.NotEqual(t, session, another)
		assert.Len(t, another, 32, "256 bits")
	}

	_, err = x.room.Ticket("A7", "", "", x.now)
	require.NoError(t, err)
	_, err = x.room.Enter(before, "id")
	assert.Equal(t, wire.NoSession, problem(err))
	_, err = x.room.Seat(session)
	assert.Equal(t, wire.NoSession, problem(err))
}

// Who waits in the lobby while the practical is closed is told that nobody is let in.
func TestWhoWaitsWhenItIsClosed(t *testing.T) {
	x := newIll(t, well)
	require.NoError(t, x.room.Move(room.Opened, "", "", x.now))
	ticket, err := x.room.Ticket("A7", "", "", x.now)
	require.NoError(t, err)
	x.session, err = x.room.Enter(ticket, "id")
	require.NoError(t, err)
	for _, shut := range []bool{false, true} {
		seat, err := x.room.Seat(x.session)
		require.NoError(t, err)
		assert.Equal(t, wire.Lobby, seat.Stage)
		assert.Equal(t, shut, seat.Shut)
		if !shut {
			require.NoError(t, x.room.Move(room.Shut, "", "the time is over", x.now))
		}
	}
}
