//go:build load && unix

package host_test

import (
	"context"
	"errors"
	"net/http"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/crowd"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/line"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

func newLine(t *testing.T, p *process) *crowd.Line {
	client := &http.Client{Transport: &http.Transport{}, Timeout: time.Minute}
	t.Cleanup(client.CloseIdleConnections)
	return &crowd.Line{Client: client, Service: "http://" + p.address}
}

func posts[T any](t *testing.T, l *crowd.Line, path string, value any) T {
	got, err := line.Ask[T](t.Context(), l, "POST", path, value)
	require.NoError(t, err)
	return got
}

// The service's process is stopped for some seconds, as by a machine that is suspended,
// while a candidate examines and sends: they lose no more time by it than a second and a
// half, what was sent meanwhile is done once and answered, and all of it is collected.
func TestSuspended(t *testing.T) {
	const asleep = 6 * time.Second
	p := newProcess(t)
	k := newLine(t, p)
	tab := wire.Tab{Tab: "tab"}
	posts[wire.Seat](t, k, wire.EnterPath, wire.Enter{Ticket: asks[string](p, "ticket/A7"), ID: "id"})
	asks[string](p, "admit/A7")
	posts[wire.Seat](t, k, wire.ClaimPath, tab)
	acked := map[int][]sitting.Event{}
	for place := 1; place <= patients; place++ {
		seat := posts[wire.Seat](t, k, wire.BeginPath, tab)
		c, err := line.New(seat.Patient, seat.Place, "")
		require.NoError(t, err)
		ctx, stop := context.WithCancel(t.Context())
		go c.Run(ctx, k, "tab", func(wire.Clock) {})
		does := func(a sitting.Action) {
			_, err := c.Do(a, sitting.Aside{}).Wait()
			require.NoError(t, err)
		}
		does(sitting.Action{Do: sitting.Show, Chart: chart.Fan})
		before, from := posts[wire.Clock](t, k, wire.BeatPath, tab).Elapsed, time.Now()

		require.NoError(t, p.cmd.Process.Signal(syscall.SIGSTOP))
		sent := c.Do(sitting.Action{Do: sitting.Show, Chart: chart.Letter}, sitting.Aside{})
		time.Sleep(asleep)
		require.NoError(t, p.cmd.Process.Signal(syscall.SIGCONT))
		_, err = sent.Wait()
		require.NoError(t, err)
		time.Sleep(2 * time.Second)

		after, ran := posts[wire.Clock](t, k, wire.BeatPath, tab).Elapsed, time.Since(from)-asleep
		t.Logf("stopped for %v: %v of the candidate's time in %v in which it ran", asleep, after-before, ran)
		assert.LessOrEqual(t, after-before, ran+1500*time.Millisecond)
		assert.GreaterOrEqual(t, after-before, ran-1500*time.Millisecond, "and no more is given than that")
		does(sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1}})
		stop()
		acked[place] = c.Events()
		assert.Len(t, acked[place], 3)
	}
	p.kill()
	told, err := crowd.Compare(p.folder, map[string]map[int][]sitting.Event{"A7": acked})
	require.NoError(t, err)
	assert.Empty(t, told.Doubts)
	assert.Zero(t, told.Lost+told.Doubled)
	assert.Equal(t, patients, told.Logs)
}

// The service is killed after a candidate came in and before they heard of it: the same
// ticket lets them in again with the same ID, and nobody with another.
func TestKilledAtTheDoor(t *testing.T) {
	p := newProcess(t)
	k, other := newLine(t, p), newLine(t, p)
	ticket := asks[string](p, "ticket/A7")
	posts[wire.Seat](t, k, wire.EnterPath, wire.Enter{Ticket: ticket, ID: "id"})
	k.Forget() // the reply does not come
	p.kill()
	p.start()
	refused := func(k *crowd.Line, id string) {
		t.Helper()
		_, err := line.Ask[wire.Seat](t.Context(), k, "POST", wire.EnterPath, wire.Enter{Ticket: ticket, ID: id})
		var problem *wire.Problem
		require.True(t, errors.As(err, &problem), "%v", err)
		assert.Equal(t, wire.NoSession, problem.Kind)
	}
	refused(other, "another")
	assert.Equal(t, wire.Lobby, posts[wire.Seat](t, k, wire.EnterPath, wire.Enter{Ticket: ticket, ID: "id"}).Stage)
	assert.Equal(t, "tab", posts[wire.Seat](t, k, wire.ClaimPath, wire.Tab{Tab: "tab"}).Tab)
	refused(k, "id")
}
