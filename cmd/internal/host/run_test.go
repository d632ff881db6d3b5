package host

import (
	"context"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/scoring/practical"
)

// For a machine that sleeps, and a timekeeper that hangs, no more than a second passes.
func TestServed(t *testing.T) {
	for since, want := range map[time.Duration]time.Duration{
		0: 0, beat: beat, time.Second: time.Second, time.Second + 1: time.Second, 8 * time.Hour: time.Second,
	} {
		assert.Equal(t, want, served(since))
	}
}

// The timekeeper waits for the disk for an hour: the time of those who examine stands
// still meanwhile, and goes on as before.
func TestATimekeeperThatHangs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k, err := practical.NewKeys()
		require.NoError(t, err)
		p := practical.Plan{Title: "Friday", PerCase: 2 * time.Hour}
		for _, c := range cases.Library()[:1] {
			p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
		}
		plan, err := practical.New(p, k)
		require.NoError(t, err)
		var hang atomic.Bool
		disk := &storetest.Brittle{Store: storetest.NewMemory(), Before: func(int, storetest.Write) (bool, error) {
			if hang.CompareAndSwap(true, false) {
				time.Sleep(time.Hour)
			}
			return false, nil
		}}
		r, err := room.New(plan, nil, disk, nil, time.Now())
		require.NoError(t, err)
		require.NoError(t, r.Move(room.Opened, "", "", time.Now()))
		enter := func(number string) (session string) {
			ticket, err := r.Ticket(number, "", "", time.Now())
			require.NoError(t, err)
			session, err = r.Enter(ticket)
			require.NoError(t, err)
			require.NoError(t, r.Admit(number, "", time.Now()))
			_, err = r.Claim(session, "tab")
			require.NoError(t, err)
			return session
		}
		session := enter("A7")
		_, err = r.Begin(session, "tab")
		require.NoError(t, err)
		enter("B2") // who waits, so that their time is kept each second

		s := &Service{now: time.Now, rooms: []*room.Room{r}}
		ctx, stop := context.WithCancel(t.Context())
		go s.Run(ctx, func(err error) { t.Error(err) })
		elapsed := func() time.Duration {
			c, err := r.Beat(session, "tab")
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
