//go:build !js

package bench

import (
	"context"
	"encoding/json"
	"math"
	"net/http"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/wire"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/sim/sitting"
)

// oracle is a service, or what calls itself one, that says the same of everything, until
// nobody has a place there any more.
type oracle struct {
	said []byte
	ends atomic.Bool
}

func (o *oracle) Send(context.Context, string, string, []byte) (int, []byte, error) {
	if o.ends.Load() {
		return http.StatusUnauthorized, []byte(`{"kind":"no-session"}`), nil
	}
	return http.StatusOK, o.said, nil
}

// Whatever a service says of places, times and points, the bench shows a page and goes on.
func FuzzStrangeSeats(f *testing.F) {
	const patient = `{"tested":"right","age":40,"room":{"vertex":0.012,"distance":6},"events":[]}`
	for _, stage := range []wire.Stage{wire.Lobby, wire.Ready, wire.Running, wire.Over, "nowhere"} {
		f.Add(string(stage), 1, 4, int64(time.Minute), int64(time.Minute), int64(time.Hour), 4, 50.0, false, patient)
		f.Add(string(stage), 0, 0, int64(-1), int64(-time.Hour), int64(-time.Hour), 0, -1e308, false, "null")
		f.Add(string(stage), 1000, -1000, int64(math.MinInt64), int64(math.MinInt64), int64(math.MinInt64), 1, 1e308, true, patient)
		f.Add(string(stage), -1000, 1000, int64(math.MaxInt64), int64(math.MaxInt64), int64(math.MaxInt64), 2, 1e-320, false, patient)
	}
	f.Add(string(wire.Over), 1, 10_000, int64(0), int64(0), int64(0), 10_000, 50.0, false, "null")
	f.Fuzz(func(t *testing.T, stage string, place, places int, elapsed, left, total int64, points int, each float64, held bool, patient string) {
		synctest.Test(t, func(t *testing.T) {
			rest := time.Duration(left)
			said := wire.Seat{
				Clock: wire.Clock{Stage: wire.Stage(stage), Place: place, Held: held, Elapsed: time.Duration(elapsed), Left: &rest},
				Title: stage, Candidate: patient, Code: patient, Places: places,
				PerCase: time.Duration(left), Total: time.Duration(total), Spent: time.Duration(elapsed), ShowClock: true,
			}
			if json.Unmarshal([]byte(patient), &said.Patient) != nil {
				return
			}
			for range min(max(0, points), 10_000) {
				said.Points = append(said.Points, each)
			}
			reply, err := json.Marshal(said)
			if err != nil {
				return // a number that nobody can send
			}
			o := &oracle{said: reply}
			h := newHands(t, 1280, 800, Options{Service: o})
			goes := func() {
				time.Sleep(6 * time.Second)
				synctest.Wait()
				h.settle()
			}
			goes()
			require.NotEmpty(t, h.labels())
			if p := said.Patient; said.Stage == wire.Running && p != nil && p.Tested == sitting.Right && len(p.Events) == 0 {
				require.True(t, at[*chairside.Screen](h) || held && at[*exam.ServedHeld](h))
			}
			o.ends.Store(true)
			goes()
			goes()
			require.False(t, at[*chairside.Screen](h) || at[*exam.ServedHeld](h), "a case ends whose place is gone")
		})
	})
}
