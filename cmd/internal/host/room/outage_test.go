package room_test

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
)

// well is a store that keeps everything.
func well(*ill, int, storetest.Write) (bool, error) { return false, nil }

// left is how much time the candidate has, without being heard for it.
func (x *ill) left() time.Duration {
	_, all := x.room.Board()
	return *all[0].Clock.Left
}

func (x *ill) acts(place, i int) (*wire.Done, error) {
	return x.room.Act(x.session, wire.Act{Tab: "tab", Place: place, N: i + 1, ID: fmt.Sprint(place, i), Action: script[i]})
}

func (x *ill) begins() {
	x.comesIn()
	_, err := x.room.Begin(x.session, "tab")
	require.NoError(x.t, err)
}

// The end point is kept though the disk said that it is not, and the page is loaded
// again instead of sending it again: the case is handed in.
func TestAnEndThatIsNotSentAgain(t *testing.T) {
	lines := 0
	x := newIll(t, func(_ *ill, _ int, what storetest.Write) (bool, error) {
		if what == storetest.Line {
			lines++
		}
		if what == storetest.Line && lines == 1+len(script) {
			return true, storetest.ErrDisk
		}
		return false, nil
	})
	x.begins()
	for i := range script {
		_, err := x.acts(1, i)
		assert.Equal(t, i == len(script)-1, problem(err) == wire.NotKept)
	}
	seat, err := x.room.Claim(x.session, "another tab")
	require.NoError(t, err)
	assert.Equal(t, wire.Ready, seat.Stage)
	assert.Equal(t, 2, seat.Place)
}

// While the disk is full nothing can be done, and no time passes for anybody; once there
// is room again it goes on.
func TestAFullDisk(t *testing.T) {
	full := false
	x := newIll(t, func(*ill, int, storetest.Write) (bool, error) {
		if full {
			return false, storetest.ErrDisk
		}
		return false, nil
	})
	x.begins()
	x.passes(t, 2*time.Second)
	_, err := x.acts(1, 0)
	require.NoError(t, err)
	left := x.left()

	full = true
	_, err = x.acts(1, 1)
	assert.Equal(t, wire.NotKept, problem(err))
	for range 4 * 3600 {
		assert.Error(t, x.room.Pass(time.Second/4))
	}
	_, err = x.acts(1, 1)
	assert.Equal(t, wire.NotKept, problem(err))
	again, err := x.acts(1, 0)
	require.NoError(t, err, "what is kept is told")
	assert.Equal(t, 1, again.Event.N)
	assert.Equal(t, left, x.left())

	full = false
	require.NoError(t, x.room.Pass(time.Second/4), "it looks whether there is room")
	assert.Equal(t, left, x.left())
	x.passes(t, 4*time.Second) // until the bench sends it again
	_, err = x.acts(1, 1)
	require.NoError(t, err)
	assert.Equal(t, left, x.left(), "that was no time of the candidate's")
	x.passes(t, time.Second)
	_, err = x.acts(1, 2)
	require.NoError(t, err)
	_, all := x.room.Board()
	assert.Equal(t, wire.Ready, all[0].Clock.Stage)
}

func (x *ill) passes(t *testing.T, d time.Duration) {
	for range d / (time.Second / 4) {
		x.now = x.now.Add(time.Second / 4)
		require.NoError(t, x.room.Pass(time.Second/4))
	}
}

// Whoever does nothing after something could not be kept gets no time without an end.
func TestWhatIsNotSentAgain(t *testing.T) {
	fails := false
	x := newIll(t, func(_ *ill, _ int, what storetest.Write) (bool, error) {
		if fails && what == storetest.Line {
			return false, storetest.ErrDisk
		}
		return false, nil
	})
	x.begins()
	fails = true
	_, err := x.acts(1, 0)
	assert.Equal(t, wire.NotKept, problem(err))
	require.NoError(t, x.room.Pass(time.Second/4))
	for range 5 * 60 {
		require.NoError(t, x.room.Pass(time.Second))
		_, err = x.room.Beat(x.session, "tab", false)
		require.NoError(t, err)
	}
	assert.Equal(t, 18*time.Minute, x.left(), "of five minutes three do not count")
}

// One candidate's action hangs in the store: all others go on, at the same case too,
// and come in; and nobody's time passes meanwhile.
func TestAStoreThatHangsForOne(t *testing.T) {
	var hang atomic.Bool
	hangs, goOn := make(chan struct{}), make(chan struct{})
	x := newIll(t, func(*ill, int, storetest.Write) (bool, error) {
		if hang.CompareAndSwap(true, false) {
			close(hangs)
			<-goOn
		}
		return false, nil
	})
	x.begins()
	var tickets []string
	for i := range 3 {
		ticket, err := x.room.Ticket(fmt.Sprint("B", i), "", "", x.now)
		require.NoError(t, err)
		tickets = append(tickets, ticket)
	}
	hang.Store(true)
	var all sync.WaitGroup
	all.Go(func() {
		_, err := x.acts(1, 0)
		assert.NoError(t, err)
	})
	<-hangs
	all.Go(func() { assert.NoError(t, x.room.Pass(time.Second)) })
	for i, ticket := range tickets {
		session, err := x.room.Enter(ticket, "id")
		require.NoError(t, err)
		require.NoError(t, x.room.Admit(fmt.Sprint("B", i), "", x.now))
		_, err = x.room.Claim(session, "tab")
		require.NoError(t, err)
		seat, err := x.room.Begin(session, "tab")
		require.NoError(t, err)
		for n, a := range script {
			done, err := x.room.Act(session, wire.Act{Tab: "tab", Place: seat.Place, N: n + 1, ID: "x", Action: a})
			require.NoError(t, err)
			assert.Equal(t, n+1, done.Event.N)
		}
	}
	assert.Equal(t, room.Open, x.room.Stage())
	close(goOn)
	all.Wait()
}

// A clock on the wall that is set, back or on, takes no time from anybody and gives none,
// while the service runs and while it does not; nor does a halt. Nothing of it is held
// against the candidate.
func TestTheClockOnTheWallIsSet(t *testing.T) {
	for _, by := range []time.Duration{-time.Hour, time.Hour} {
		t.Run(by.String(), func(t *testing.T) {
			x := newIll(t, well)
			x.begins()
			act := func(i int) {
				x.passes(t, 2*time.Second)
				x.passed += 2 * time.Second
				done, err := x.acts(1, i)
				require.NoError(t, err)
				x.acked[0] = append(x.acked[0], done.Event)
			}
			act(0)
			left := x.left()
			x.now = x.now.Add(by)
			require.NoError(t, x.room.Move(room.Halted, "", "an alarm", x.now))
			for range 3600 {
				x.now = x.now.Add(time.Second)
				require.NoError(t, x.room.Pass(time.Second))
			}
			require.NoError(t, x.room.Move(room.Resumed, "", "", x.now))
			assert.Equal(t, left, x.left())
			act(1)
			x.now = x.now.Add(by)
			x.start()
			assert.Equal(t, left-2*time.Second, x.left())
			act(2)
			_, err := x.room.Begin(x.session, "tab")
			require.NoError(t, err)
			for i := range script {
				x.passes(t, time.Second)
				x.passed += time.Second
				done, err := x.acts(2, i)
				require.NoError(t, err)
				x.acked[1] = append(x.acked[1], done.Event)
			}
			x.now = x.now.Add(max(0, -3*by)) // by which the results are read the clock is right
			x.ends()
		})
	}
}

// Many send at once, as pages and proxies may: the same action many times, and others
// in its place. One is done, and all who sent it are told of it.
func TestAnActionThatIsSentManyTimesAtOnce(t *testing.T) {
	x := newIll(t, well)
	x.begins()
	var all sync.WaitGroup
	var done, behind atomic.Int32
	for i := range 16 {
		all.Go(func() {
			_, err := x.room.Act(x.session, wire.Act{Tab: "tab", Place: 1, N: 1, ID: fmt.Sprint(i % 2), Action: script[0]})
			switch problem(err) {
			case "":
				done.Add(1)
			case wire.Behind:
				behind.Add(1)
			}
		})
		all.Go(func() { assert.NoError(t, x.room.Pass(time.Millisecond)) })
	}
	all.Wait()
	assert.EqualValues(t, 8, done.Load())
	assert.EqualValues(t, 8, behind.Load())
	seat, err := x.room.Seat(x.session)
	require.NoError(t, err)
	assert.Len(t, seat.Patient.Events, 1)
}

// A log takes no more than can be read again when results are collected; the end point
// can be stated all the same.
func TestALogThatIsFull(t *testing.T) {
	x := newIll(t, well)
	x.begins()
	most := practical.MostLines(len(short().Cases))
	for n := 1; n < most; n++ {
		_, err := x.room.Act(x.session, wire.Act{Tab: "tab", Place: 1, N: n, ID: "x", Action: script[0]})
		require.NoError(t, err)
	}
	_, err := x.room.Act(x.session, wire.Act{Tab: "tab", Place: 1, N: most, ID: "x", Action: script[0]})
	assert.Equal(t, wire.Refused, problem(err))
	end := script[len(script)-1]
	done, err := x.room.Act(x.session, wire.Act{Tab: "tab", Place: 1, N: most, ID: "x", Action: end})
	require.NoError(t, err)
	assert.Equal(t, wire.Ready, done.Stage)
	_, err = x.room.Begin(x.session, "tab")
	require.NoError(t, err)
	_, err = x.room.Act(x.session, wire.Act{Tab: "tab", Place: 2, N: 1, ID: "x", Action: end})
	require.NoError(t, err)
	results, err := x.room.Results()
	require.NoError(t, err)
	_, err = practical.ReadResult(short(), "A7", results["A7"], assessor().Key())
	assert.NoError(t, err)
}
