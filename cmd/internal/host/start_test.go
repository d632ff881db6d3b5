package host

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
)

// Starting takes a while, in which nobody is served. The times in the records go on with the
// clock of the service all the same, and no candidate loses anything by it.
func TestAServiceThatTakesLongToStart(t *testing.T) {
	k, err := runKeys()
	require.NoError(t, err)
	synctest.Test(t, func(t *testing.T) {
		r := held(t, nil)
		session := enters(t, r, "A7")
		_, err := r.Begin(session, "tab")
		require.NoError(t, err)
		s := &Service{now: time.Now, rooms: []*room.Room{r}, last: time.Now()}
		time.Sleep(7 * time.Second)
		ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second)
		defer cancel()
		s.Run(ctx, func(err error) { t.Error(err) })
		clock, err := r.Beat(session, "tab", false)
		require.NoError(t, err)
		assert.InDelta(t, 3*time.Second, clock.Elapsed, float64(beat), "the start counts for nobody")
		now := time.Now()
		require.NoError(t, r.Grant("A7", time.Minute, "IN", "a loud room", now))
		require.NoError(t, r.End("A7", "IN", "went home", now))
		require.NoError(t, r.Move(room.Shut, "AB", "", now))
		done, err := r.Collect(room.Collecting{Key: k.Key(), Progress: func(int, int) {}}, now)
		require.NoError(t, err)
		assert.WithinDuration(t, now, done.Sheets[0].Rulings[0].At, beat)
	})
}
