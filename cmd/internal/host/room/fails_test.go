package room_test

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// short is a practical of two cases, for tests in which they are sat often.
var short = sync.OnceValue(func() *practical.Plan {
	p := practical.Plan{Title: "Friday", PerCase: 20 * time.Minute}
	for _, c := range cases.Library()[:2] {
		p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
	}
	plan, err := practical.New(p, assessor())
	if err != nil {
		panic(err)
	}
	return plan
})

// lender is a room whose patients sit in all others of the short practical.
var lender = sync.OnceValue(func() *room.Room {
	r, err := room.New(short(), nil, storetest.NewMemory(), nil, morning)
	if err != nil {
		panic(err)
	}
	return r
})

// script is what is done with each case.
var script = []sitting.Action{
	{Do: sitting.Show, Chart: chart.Fan},
	which,
	{Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -1, Axis: 90}},
}

// ill is a service whose store fails, and a candidate and a staff who try again.
type ill struct {
	t       testing.TB
	disk    *storetest.Brittle
	room    *room.Room
	now     time.Time
	dead    bool   // until it is started again
	ticket  string // the only one that they need
	session string
	acked   [][]wire.Event
	passed  time.Duration // in cases
}

func newIll(t testing.TB, before func(x *ill, n int, what storetest.Write) (bool, error)) *ill {
	x := &ill{t: t, now: morning, acked: make([][]wire.Event, len(short().Cases))}
	x.disk = &storetest.Brittle{Store: storetest.NewMemory(), Before: func(n int, what storetest.Write) (bool, error) {
		if x.dead {
			return false, storetest.ErrDisk
		}
		return before(x, n, what)
	}}
	x.start()
	return x
}

// start starts the service, again when it was killed.
func (x *ill) start() {
	for range 3 {
		x.dead = false
		var err error
		if x.room, err = room.New(short(), []byte("sealed"), x.disk, []byte("secret"), x.now); err == nil {
			room.Lend(lender(), x.room)
			return
		}
	}
	require.Fail(x.t, "it does not start")
}

// tries does something until it is done, as benches and people do.
func (x *ill) tries(what string, do func() error) {
	x.t.Helper()
	var err error
	for range 5 {
		if err = do(); err == nil {
			return
		}
		if x.dead {
			x.now = x.now.Add(time.Hour)
			x.start()
			x.comesIn()
		}
	}
	require.NoError(x.t, err, what)
}

// comesIn has the candidate at the place: with the session that they have, or by their
// ticket where nobody has told them one.
func (x *ill) comesIn() {
	x.tries("open", func() error {
		if x.room.Stage() == room.Open {
			return nil
		}
		return x.room.Move(room.Opened, "", "", x.now)
	})
	if _, err := x.room.Seat(x.session); problem(err) == wire.NoSession {
		x.tries("ticket", func() (err error) {
			if x.ticket == "" {
				x.ticket, err = x.room.Ticket("A7", "", "", x.now)
			}
			return err
		})
		x.tries("enter", func() (err error) {
			if _, err := x.room.Seat(x.session); err == nil {
				return nil
			}
			x.session, err = x.room.Enter(x.ticket, "id") // kept, and killed before it was said: it is said now
			return err
		})
	}
	x.tries("admit", func() error {
		seat, err := x.room.Seat(x.session)
		if err != nil || seat.Stage != wire.Lobby {
			return err
		}
		return x.room.Admit("A7", "", x.now)
	})
	x.tries("claim", func() error {
		_, err := x.room.Claim(x.session, "tab")
		return err
	})
}

// sits sits all cases, in three seconds each.
func (x *ill) sits() {
	for place := 1; place <= len(short().Cases); place++ {
		x.tries("begin", func() error {
			_, err := x.room.Begin(x.session, "tab")
			return err
		})
		for i, a := range script {
			x.now, x.passed = x.now.Add(time.Second), x.passed+time.Second
			_ = x.room.Pass(time.Second) // what is kept of the time is said when somebody asks
			x.tries("act", func() error {
				done, err := x.room.Act(x.session, wire.Act{Tab: "tab", Place: place, N: i + 1, ID: fmt.Sprint(place, i), Action: a})
				if err == nil {
					x.acked[place-1] = append(x.acked[place-1], done.Event)
					assert.Equal(x.t, i < len(script)-1, done.Stage == wire.Running, "it is handed in with the end point")
				}
				return err
			})
		}
	}
}

// ends checks what came of it: what was acknowledged is kept and nothing else, logs
// verify, nothing is doubted, and no time was taken.
func (x *ill) ends() *practical.Record {
	x.tries("over", func() error {
		seat, err := x.room.Seat(x.session)
		if err == nil {
			assert.Equal(x.t, wire.Over, seat.Stage)
			assert.NotEmpty(x.t, seat.Code)
		}
		return err
	})
	results, err := x.room.Results()
	require.NoError(x.t, err)
	rec, err := practical.ReadResult(short(), "A7", results["A7"], assessor().Key())
	require.NoError(x.t, err)
	assert.Empty(x.t, rec.Doubts(short(), x.now))
	sats := rec.Cases()
	require.Len(x.t, sats, len(x.acked))
	var spent time.Duration
	for place, sat := range sats {
		spent += sat.Elapsed
		assert.Equal(x.t, practical.Stated, sat.Ended)
		assert.Equal(x.t, x.acked[place], eventsOf(x.t, sat.Log))
	}
	assert.LessOrEqual(x.t, spent, x.passed)
	return rec
}

// Every write of a practical fails once: nothing of it is kept; or all is, though the
// store says that it is not; or the service dies before it, or right after. Whoever
// tries again comes to the same end.
func TestEveryWriteFailsOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("it sits whole cases")
	}
	well := newIll(t, func(*ill, int, storetest.Write) (bool, error) { return false, nil })
	well.comesIn()
	well.sits()
	_, err := practical.NewMarker(short(), short()).Mark(well.ends())
	require.NoError(t, err)
	all := well.disk.Writes()
	require.Greater(t, all, 20)
	for _, how := range []struct {
		name       string
		kept, dies bool
	}{
		{"is not kept", false, false}, {"is kept and said not to be", true, false},
		{"is not kept for the service dies", false, true}, {"is the last before the service dies", true, true},
	} {
		for k := 1; k <= all; k++ {
			t.Run(fmt.Sprintf("write %d %s", k, how.name), func(t *testing.T) {
				x := newIll(t, func(x *ill, n int, _ storetest.Write) (bool, error) {
					if n != k {
						return false, nil
					}
					x.dead = how.dies
					return how.kept, storetest.ErrDisk
				})
				x.comesIn()
				x.sits()
				x.ends()
				assert.Equal(t, well.acked, x.acked, "what was marked")
			})
		}
	}
}
