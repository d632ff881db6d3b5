package exam

import (
	"context"
	"encoding/json"
	"errors"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/wire"
)

var errLost = errors.New("lost on the way")

// sent is a request, and when it was sent.
type sent struct {
	path string
	body []byte
	at   time.Duration
}

// answers are a line in a test: the function says what comes of the request of a number,
// from 1, to a path.
type answers struct {
	start time.Time
	mu    sync.Mutex
	all   []sent
	says  func(ctx context.Context, path string, n int) (value any, err error)
}

func newAnswers(says func(ctx context.Context, path string, n int) (any, error)) *answers {
	return &answers{start: time.Now(), says: says}
}

// Send implements line.Sender.
func (a *answers) Send(ctx context.Context, _, path string, body []byte) (int, []byte, error) {
	a.mu.Lock()
	a.all = append(a.all, sent{path, body, time.Since(a.start)})
	a.mu.Unlock()
	value, err := a.says(ctx, path, len(a.to(path)))
	status := 200
	var p *wire.Problem
	if errors.As(err, &p) {
		status, value, err = 409, p, nil
	}
	reply, _ := json.Marshal(value)
	return status, reply, err
}

// to are the requests to a path.
func (a *answers) to(path string) (all []sent) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, s := range a.all {
		if s.path == path {
			all = append(all, s)
		}
	}
	return all
}

func stage(s wire.Stage) wire.Seat { return wire.Seat{Clock: wire.Clock{Stage: s}} }

var noSession = &wire.Problem{Kind: wire.NoSession}

// Replies at the door are lost, one after the other: the same ticket goes there again by
// itself, with the same ID; and who presses again, after too many, comes in with it too.
func TestRepliesThatAreLostAtTheDoor(t *testing.T) {
	for _, lost := range []struct{ enters, claims, presses int }{{0, 0, 1}, {4, 0, 1}, {0, 4, 1}, {4, 4, 1}, {5, 0, 2}, {9, 0, 2}, {2, 5, 2}, {5, 9, 3}} {
		synctest.Test(t, func(t *testing.T) {
			a := newAnswers(func(_ context.Context, path string, n int) (any, error) {
				if path == wire.EnterPath && n <= lost.enters || path == wire.ClaimPath && n <= lost.claims {
					return nil, errLost
				}
				return stage(wire.Lobby), nil
			})
			s := newService(a, nil)
			for press := range lost.presses {
				s.enter("AAAA")
				time.Sleep(time.Minute)
				said, err := s.heard()
				if press < lost.presses-1 {
					assert.Nil(t, said)
					assert.ErrorIs(t, err, errLost)
					continue
				}
				require.NotNil(t, said, lost)
				assert.Equal(t, wire.Lobby, said.Stage)
				assert.NoError(t, err)
			}
			enters := a.to(wire.EnterPath)
			assert.Len(t, enters, lost.enters+1, "not after the reply came")
			assert.Len(t, a.to(wire.ClaimPath), lost.claims+1)
			for _, e := range enters {
				assert.Equal(t, enters[0].body, e.body)
			}
			var e wire.Enter
			require.NoError(t, json.Unmarshal(enters[0].body, &e))
			assert.Len(t, e.ID, 32, "128 bits")
			if lost.enters == 4 {
				assert.Equal(t, 7500*time.Millisecond, enters[4].at, "half a second, 1, 2 and 4")
			}
		})
	}
}

// A ticket that is refused is not sent again by itself, and another one has another ID; a
// place that is no more by the time it is taken is asked for anew.
func TestATicketThatIsRefused(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAnswers(func(_ context.Context, path string, n int) (any, error) {
			if path == wire.EnterPath && n == 1 || path == wire.ClaimPath && n == 1 {
				return nil, noSession
			}
			return stage(wire.Lobby), nil
		})
		s := newService(a, nil)
		for i, ticket := range []string{"AAAA", "BBBB", "BBBB"} {
			s.enter(ticket)
			time.Sleep(time.Minute)
			said, err := s.heard()
			assert.Equal(t, i == 2, said != nil)
			if i < 2 {
				assert.ErrorContains(t, err, "served.no-session")
			}
		}
		enters := a.to(wire.EnterPath)
		require.Len(t, enters, 3)
		ids := map[string]bool{}
		for _, sent := range enters {
			var e wire.Enter
			require.NoError(t, json.Unmarshal(sent.body, &e))
			ids[e.ID] = true
		}
		assert.Len(t, ids, 3)
	})
}

// A look at how things stand hangs; what the candidate does goes out at once all the same,
// and what the look brings in the end is of no matter.
func TestALookThatHangs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAnswers(func(_ context.Context, path string, n int) (any, error) {
			if path == wire.StatePath && n == 1 {
				time.Sleep(10 * time.Second)
				return stage(wire.Ready), nil
			}
			if path == wire.BeginPath {
				time.Sleep(time.Second)
			}
			return stage(wire.Running), nil
		})
		s := newService(a, nil)
		s.look()
		time.Sleep(time.Second)
		_, waits := s.waits()
		assert.False(t, waits, "nobody did anything")
		s.begin()
		s.begin() // pressed twice
		synctest.Wait()
		_, waits = s.waits()
		assert.True(t, waits)
		time.Sleep(2 * time.Second)
		said, err := s.heard()
		require.NotNil(t, said)
		assert.NoError(t, err)
		assert.Equal(t, wire.Running, said.Stage)
		assert.Len(t, a.to(wire.BeginPath), 1)
		time.Sleep(time.Minute)
		said, _ = s.heard()
		assert.Equal(t, wire.Running, said.Stage)
	})
}

// A reply that never comes is waited for no longer than twenty seconds.
func TestALineThatDies(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAnswers(func(ctx context.Context, path string, n int) (any, error) {
			if n == 1 {
				<-ctx.Done()
				return nil, ctx.Err()
			}
			return stage(wire.Lobby), nil
		})
		s := newService(a, nil)
		s.enter("AAAA")
		time.Sleep(20*time.Second + 499*time.Millisecond)
		assert.Len(t, a.to(wire.EnterPath), 1)
		time.Sleep(time.Second / 2)
		assert.Len(t, a.to(wire.EnterPath), 2)
		time.Sleep(time.Minute)
		said, _ := s.heard()
		assert.NotNil(t, said)
	})
}

// A page that comes over a bad line asks until it knows whether it has a place; before that
// it asks for no ticket. One that had a place and has none says so.
func TestAPageThatComes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAnswers(func(_ context.Context, path string, n int) (any, error) {
			if path == wire.ClaimPath {
				return stage(wire.Lobby), nil
			}
			switch n {
			case 1, 2:
				return nil, errLost
			case 3:
				return stage(wire.Lobby), nil
			}
			return stage(wire.Door), nil
		})
		s := newService(a, nil)
		s.comes()
		for i := range 2 {
			assert.False(t, s.knows(), i)
			synctest.Wait()
			s.wait(lobbyAsks, nil)
			time.Sleep(time.Second)
		}
		synctest.Wait()
		assert.True(t, s.knows())
		said, err := s.heard()
		require.NotNil(t, said)
		assert.NoError(t, err)
		assert.Len(t, a.to(wire.ClaimPath), 1)
		s.wait(lobbyAsks, said)
		synctest.Wait()
		said, err = s.heard()
		assert.Nil(t, said)
		assert.ErrorContains(t, err, "served.ended")
	})
}

// A page at the end asks on, with its points too: once the place is no more, as that of who
// was erased, nothing of it is shown.
func TestAPlaceThatIsErased(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		over := stage(wire.Over)
		over.Points = []float64{90}
		a := newAnswers(func(_ context.Context, _ string, n int) (any, error) {
			if n < 3 {
				return over, nil
			}
			return stage(wire.Door), nil
		})
		s := newService(a, nil)
		s.look()
		for i := range 3 {
			synctest.Wait()
			said, err := s.heard()
			if i == 2 {
				assert.Nil(t, said)
				assert.ErrorContains(t, err, "served.ended")
				return
			}
			require.NotNil(t, said)
			s.wait(overAsks, said)
		}
	})
}

// A beat goes out every five seconds, and within one of when the page is hidden or can be
// seen again; one whose reply does not come keeps the next from nothing.
func TestBeats(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAnswers(func(ctx context.Context, _ string, n int) (any, error) {
			if n == 4 {
				<-ctx.Done()
				return nil, ctx.Err()
			}
			return wire.Clock{Stage: wire.Running, Elapsed: time.Minute}, nil
		})
		from := time.Now()
		s := newService(a, func() bool {
			since := time.Since(from)
			return since > 7500*time.Millisecond && since < 12500*time.Millisecond
		})
		ctx, stop := context.WithCancel(t.Context())
		go s.beat(ctx)
		time.Sleep(24*time.Second + time.Second/2)
		stop()
		synctest.Wait()
		var told []string
		for _, b := range a.to(wire.BeatPath) {
			var tab wire.Tab
			require.NoError(t, json.Unmarshal(b.body, &tab))
			assert.Equal(t, s.tab, tab.Tab)
			what := b.at.String()
			if tab.Hidden {
				what += " hidden"
			}
			told = append(told, what)
		}
		assert.Equal(t, []string{"5s", "8s hidden", "13s", "18s", "24s"}, told, "the one at 18 s hangs until 23 s")
	})
}

// The time that is shown stands still when the service's does: after 15 seconds in which
// nothing was heard.
func TestTheTimeThatIsShown(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newService(nil, nil)
		left := time.Minute
		s.hear(wire.Clock{Stage: wire.Running, Elapsed: time.Second, Left: &left})
		time.Sleep(10 * time.Second)
		assert.Equal(t, 11*time.Second, s.now().Elapsed)
		assert.Equal(t, 50*time.Second, *s.now().Left)
		time.Sleep(time.Hour)
		assert.Equal(t, 16*time.Second, s.now().Elapsed)
		assert.Equal(t, 45*time.Second, *s.now().Left)
		assert.Equal(t, time.Hour+10*time.Second, s.quiet())
	})
}
