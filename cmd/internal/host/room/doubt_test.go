package room_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/wire"
)

// blind is a store whose notes cannot be read while a test wants it, or have some more.
type blind struct {
	store.Store
	is   bool
	more [][]byte

	seats func() // is called before they are read
}

func (b *blind) Seats(practical string) ([]store.Seat, error) {
	if b.seats != nil {
		b.seats()
	}
	return b.Store.Seats(practical)
}

func (b *blind) Notes(practical string) ([][]byte, error) {
	if b.is {
		return nil, storetest.ErrDisk
	}
	all, err := b.Store.Notes(practical)
	return append(all, b.more...), err
}

// The write of a deed fails, and then what is kept cannot be read: nobody knows whether it
// was done. Nobody does anything until that is found out, by the clock or by who tries the
// next deed; then the room is as it is kept.
func TestADeedOfWhichNobodyKnows(t *testing.T) {
	for _, d := range deeds {
		x := d.ready(t, well)
		lines, before := x.stands()
		require.NoError(t, d.do(x))
		_, after := x.stands()
		for _, kept := range []bool{false, true} {
			for _, byClock := range []bool{false, true} {
				t.Run(fmt.Sprintf("%s: kept %t, by the clock %t", d.name, kept, byClock), func(t *testing.T) {
					var eyes *blind
					armed := false
					x := d.ready(t, func(*ill, int, storetest.Write) (bool, error) {
						if !armed {
							return false, nil
						}
						armed = false
						eyes.is = true
						return kept, storetest.ErrDisk
					})
					eyes = &blind{Store: x.disk.Store}
					x.disk.Store = eyes
					armed = true
					assert.Error(t, d.do(x))
					assert.Error(t, second(x.room.Ticket("Z9", ab, "", x.now)))
					assert.Error(t, x.room.Pass(time.Second))
					_, err := x.room.Seat(x.session)
					assert.Equal(t, wire.NotKept, problem(err))
					eyes.is = false
					if byClock {
						require.NoError(t, x.room.Pass(time.Second))
					} else {
						assert.Error(t, x.room.Decline(99, ab, "", x.now), "there is no such request")
					}
					all, err := x.room.Notes()
					require.NoError(t, err)
					assert.NotContains(t, string(bytes.Join(all, nil)), `"started"`, "nothing was started")
					n, how := x.stands()
					if kept {
						assert.Equal(t, []any{lines + 1, after}, []any{n, how})
					} else {
						assert.Equal(t, []any{lines, before}, []any{n, how})
						require.NoError(t, d.do(x), "it can be done again")
					}
					_, err = x.room.Seat(x.session)
					assert.NotEqual(t, wire.NotKept, problem(err))
				})
			}
		}
	}
}

// Who waits at a seat while all are read again goes on at the one that was read, and
// nothing of what was done to it is lost.
func TestWhoWaitsWhileAllIsReadAgain(t *testing.T) {
	var eyes *blind
	fails := false
	x := newIll(t, func(*ill, int, storetest.Write) (bool, error) {
		if fails {
			eyes.is = true
		}
		return fails, map[bool]error{true: storetest.ErrDisk}[fails]
	})
	eyes = &blind{Store: x.disk.Store}
	x.disk.Store = eyes
	x.begins()
	left := x.left()
	fails = true
	require.Error(t, x.room.Grant("A7", time.Minute, ab, "a lamp", x.now))
	fails, eyes.is = false, false
	claimed := make(chan error)
	eyes.seats = func() {
		go func() { claimed <- second(x.room.Claim(x.session, "tab")) }()
		time.Sleep(20 * time.Millisecond) // most likely it waits by then
	}
	require.NoError(t, x.room.Pass(time.Second))
	if err := <-claimed; err != nil {
		assert.Equal(t, wire.NotKept, problem(err))
	}
	assert.Equal(t, left+time.Minute, x.left())
	require.NoError(t, x.room.Grant("A7", time.Minute, ab, "another lamp", x.now))
	assert.Equal(t, left+2*time.Minute, x.left())
}

// A practical whose notes are no chain opens, so that the others can be held, and can be
// read: but nothing is done there, by the staff or a candidate, whose time stands still. It
// is said at which line.
func TestNotesThatAreNoChain(t *testing.T) {
	x := newIll(t, well)
	x.begins()
	lines, err := x.disk.Notes(short().ID)
	require.NoError(t, err)
	seats, err := x.disk.Seats(short().ID)
	require.NoError(t, err)
	var n room.Note
	require.NoError(t, json.Unmarshal(lines[1], &n))
	n.Who = "QQ"
	other, err := json.Marshal(n)
	require.NoError(t, err)
	for name, c := range map[string]struct {
		lines [][]byte
		at    int // where the chain breaks; 0 for nowhere
	}{
		"whole":       {lines, 0},
		"changed":     {[][]byte{lines[0], other, lines[2]}, 3},
		"missing":     {[][]byte{lines[0], lines[2]}, 2},
		"no note":     {[][]byte{lines[0], []byte("{")}, 2},
		"begins so":   {lines[1:], 1},
		"the last":    {[][]byte{lines[0], lines[1], []byte("null")}, 3},
		"cut off":     {lines[:2], 0}, // that only a checkpoint can tell
		"none at all": {nil, 0},
	} {
		disk := storetest.NewMemory()
		require.NoError(t, disk.SetPractical(store.Practical{ID: short().ID, Stage: string(room.Open)}))
		require.NoError(t, disk.SetSeat(seats[0]))
		require.NoError(t, disk.SetRecord(short().ID, "A7", seats[0].Record))
		for i, l := range c.lines {
			require.NoError(t, disk.Note(short().ID, i+1, l))
		}
		r, err := room.New(short(), nil, disk, []byte("secret"), morning)
		require.NoError(t, err, name)
		room.Lend(lender(), r)
		left := func() time.Duration {
			seat, err := r.Seat(x.session)
			require.NoError(t, err, name)
			assert.Equal(t, c.at > 0, seat.Held, name)
			return *seat.Left
		}
		was := left()
		require.NoError(t, r.Pass(time.Second))
		is := left()
		_, acted := r.Act(x.session, wire.Act{Tab: "tab", Place: 1, N: 1, ID: "x", Action: fan})
		_, failed := r.Ticket("B2", ab, "", morning)
		now, err := disk.Notes(short().ID)
		require.NoError(t, err)
		if c.at == 0 {
			assert.NoError(t, r.Broken(), name)
			assert.Equal(t, time.Second, was-is, name)
			assert.NoError(t, acted, name)
			assert.NoError(t, failed, name)
			assert.Len(t, now, len(c.lines)+2, "the start, and the ticket")
			continue
		}
		says := fmt.Sprintf("host.broken (n %d, practical %s)", c.at, short().ID)
		assert.EqualError(t, r.Broken(), says, name)
		assert.EqualError(t, failed, says, name)
		assert.Equal(t, was, is, name)
		assert.Equal(t, wire.Held, problem(acted), name)
		assert.Len(t, now, len(c.lines), name)
		_, board := r.Board()
		assert.Len(t, board, 1, name)
	}
}

// Notes that are read again after a write that failed, and are no chain any more by then,
// are added to by nobody.
func TestNotesThatBreakMeanwhile(t *testing.T) {
	fails := false
	x := newIll(t, func(*ill, int, storetest.Write) (bool, error) {
		if fails {
			fails = false
			return false, storetest.ErrDisk
		}
		return false, nil
	})
	x.begins()
	eyes := &blind{Store: x.disk.Store}
	x.disk.Store = eyes
	fails = true
	require.ErrorIs(t, second(x.room.Ticket("B2", ab, "", x.now)), storetest.ErrDisk)
	lines, err := eyes.Store.Notes(short().ID)
	require.NoError(t, err)
	eyes.more = [][]byte{[]byte(`{"n":9}`)}
	says := fmt.Sprintf("host.broken (n %d, practical %s)", len(lines)+1, short().ID)
	for range 2 {
		assert.EqualError(t, second(x.room.Ticket("B2", ab, "", x.now)), says)
	}
	after, err := eyes.Store.Notes(short().ID)
	require.NoError(t, err)
	assert.Equal(t, lines, after)
	seat, err := x.room.Seat(x.session)
	require.NoError(t, err)
	assert.True(t, seat.Held)
}
