package host

import (
	"context"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
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

// For a machine that sleeps, and a timekeeper that hangs, no more than a second passes.
func TestServed(t *testing.T) {
	for since, want := range map[time.Duration]time.Duration{
		0: 0, beat: beat, time.Second: time.Second, time.Second + 1: time.Second, 8 * time.Hour: time.Second,
	} {
		assert.Equal(t, want, served(since))
	}
}

var runKeys = sync.OnceValues(practical.NewKeys)

// held is a room with a practical of two cases that is open, over a store that may fail.
func held(t *testing.T, before func(int, storetest.Write) (bool, error)) *room.Room {
	k, err := runKeys()
	require.NoError(t, err)
	p := practical.Plan{Title: "Friday", PerCase: 2 * time.Hour}
	for _, c := range cases.Library()[:2] {
		p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
	}
	plan, err := practical.New(p, k)
	require.NoError(t, err)
	r, err := room.New(plan, nil, &storetest.Brittle{Store: storetest.NewMemory(), Before: before}, nil, time.Now())
	require.NoError(t, err)
	require.NoError(t, r.Move(room.Opened, "", "", time.Now()))
	return r
}

// enters has a candidate come in, at a page that has the place.
func enters(t *testing.T, r *room.Room, number string) (session string) {
	ticket, err := r.Ticket(number, "", "", time.Now())
	require.NoError(t, err)
	session, err = r.Enter(ticket, "id")
	require.NoError(t, err)
	require.NoError(t, r.Admit(number, "", time.Now()))
	_, err = r.Claim(session, "tab")
	require.NoError(t, err)
	return session
}

// A service is suspended, for seconds or for a night: a candidate loses no more than a
// second and a half by it, is not held to have been silent, and goes on.
func TestASuspendedService(t *testing.T) {
	r := held(t, nil)
	session := enters(t, r, "A7")
	_, err := r.Begin(session, "tab")
	require.NoError(t, err)
	s := &Service{now: time.Now, rooms: []*room.Room{r}}
	passes := func(since time.Duration) { s.pass(since, func(err error) { t.Error(err) }) }
	elapsed := func() time.Duration {
		c, err := r.Beat(session, "tab", false)
		require.NoError(t, err)
		return c.Elapsed
	}
	var ran time.Duration
	for n, asleep := range []time.Duration{0, 5 * time.Second, time.Minute, 8 * time.Hour} {
		for range 40 {
			passes(beat)
		}
		ran += 40 * beat
		before := elapsed()
		assert.LessOrEqual(t, before, ran+time.Duration(n)*1500*time.Millisecond)
		passes(beat + asleep)
		_, all := r.Board()
		assert.False(t, all[0].Away, asleep)
		assert.Zero(t, all[0].Lost)
		done, err := r.Act(session, wire.Act{Tab: "tab", Place: 1, N: n + 1, ID: "x", Action: sitting.Action{Do: sitting.Show, Chart: chart.Fan}})
		require.NoError(t, err)
		assert.LessOrEqual(t, done.Elapsed-before, beat+1500*time.Millisecond, asleep)
		assert.GreaterOrEqual(t, done.Elapsed-before, beat, asleep)
	}
	require.NoError(t, r.Move(room.Shut, "AB", "the end", time.Now()))
	results, err := r.Results()
	require.NoError(t, err)
	k, err := runKeys()
	require.NoError(t, err)
	rec, err := practical.ReadResult(r.Plan(), "A7", results["A7"], k.Key())
	require.NoError(t, err)
	sheet, err := practical.NewMarker(r.Plan(), r.Plan()).Mark(rec)
	require.NoError(t, err)
	assert.InDelta(t, (8*time.Hour + 65*time.Second).Seconds(), sheet.Times.Interrupted.Seconds(), 3, "as long as nobody was served")
}

// The timekeeper waits for the disk for an hour: the time of those who examine stands
// still meanwhile, and goes on as before.
func TestATimekeeperThatHangs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var hang atomic.Bool
		r := held(t, func(int, storetest.Write) (bool, error) {
			if hang.CompareAndSwap(true, false) {
				time.Sleep(time.Hour)
			}
			return false, nil
		})
		session := enters(t, r, "A7")
		_, err := r.Begin(session, "tab")
		require.NoError(t, err)
		other := enters(t, r, "B2") // who is between cases, so that their time is kept each second
		_, err = r.Begin(other, "tab")
		require.NoError(t, err)
		end := sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1}}
		_, err = r.Act(other, wire.Act{Tab: "tab", Place: 1, N: 1, ID: "x", Action: end})
		require.NoError(t, err)

		s := &Service{now: time.Now, rooms: []*room.Room{r}}
		ctx, stop := context.WithCancel(t.Context())
		go s.Run(ctx, func(err error) { t.Error(err) })
		elapsed := func() time.Duration {
			c, err := r.Beat(session, "tab", false)
			require.NoError(t, err)
			return c.Elapsed
		}
		time.Sleep(10*time.Second + beat/2)
		assert.Equal(t, 10*time.Second, elapsed())
		hang.Store(true)
		time.Sleep(time.Hour)
		before := elapsed()
		assert.LessOrEqual(t, before, 11*time.Second)
		time.Sleep(10 * time.Second)
		assert.InDelta(t, (before + 10*time.Second).Seconds(), elapsed().Seconds(), 1.25, "what is capped is one beat")
		stop()
		synctest.Wait()
	})
}
