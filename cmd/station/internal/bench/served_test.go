//go:build !js

package bench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/web"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/line"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/scoring/practical"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// wires are a line to a service that is at hand.
type wires struct {
	http.Handler
	cookie string
	cut    atomic.Bool // nothing comes through
}

func (w *wires) Send(_ context.Context, method, path string, body []byte) (int, []byte, error) {
	if w.cut.Load() {
		return 0, nil, errors.New("no way")
	}
	r := httptest.NewRequest(method, path, bytes.NewReader(body))
	r.Header.Set("Cookie", w.cookie)
	reply := httptest.NewRecorder()
	w.ServeHTTP(reply, r)
	if c := reply.Header().Get("Set-Cookie"); c != "" {
		w.cookie, _, _ = strings.Cut(c, ";")
	}
	return reply.Code, reply.Body.Bytes(), nil
}

// roomOf is a practical at a service, which may be changed before.
func roomOf(t *testing.T, of practical.Plan, change []func(*practical.Plan)) *room.Room {
	k, err := practical.NewKeys()
	require.NoError(t, err)
	for _, do := range change {
		do(&of)
	}
	plan, err := practical.New(of, k)
	require.NoError(t, err)
	r, err := room.New(plan, nil, storetest.NewMemory(), nil, noon)
	require.NoError(t, err)
	r.Beside().SignWith(k)
	return r
}

// served is a service at which A7 has begun the first of so many cases, of a practical that may
// be changed.
func served(t *testing.T, n int, change ...func(*practical.Plan)) (*room.Room, *wires) {
	c := cases.Library()[0]
	of := practical.Plan{Title: "Friday"}
	for i := range n {
		of.Cases = append(of.Cases, practical.Case{ID: fmt.Sprint("case-", i), Title: c.Title, Text: string(cases.Write(c))})
	}
	r := roomOf(t, of, change)
	require.NoError(t, r.Move(room.Opened, "", "", noon))
	ticket, err := r.Ticket("A7", "", "", noon)
	require.NoError(t, err)
	w := &wires{Handler: web.Seats{Rooms: func() []*room.Room { return []*room.Room{r} }, Now: time.Now, Wait: func(time.Time) {}}.Handler()}
	ask := func(path string, value any) {
		_, err := line.Ask[wire.Seat](t.Context(), w, http.MethodPost, path, value)
		require.NoError(t, err)
	}
	ask(wire.EnterPath, wire.Enter{Ticket: ticket, ID: "id"})
	require.NoError(t, r.Admit("A7", "", noon))
	ask(wire.ClaimPath, wire.Tab{Tab: "tab"})
	ask(wire.BeginPath, wire.Tab{Tab: "tab"})
	return r, w
}

// While the time stands still, for one candidate or for all, nothing of the case is shown;
// then the bench is as it was left, with what was typed.
func TestTheTimeStandsStillAtAService(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, w := served(t, 1)
		h := newHands(t, 1280, 800, Options{Service: w})
		goes := func() { // until the next beat came
			time.Sleep(6 * time.Second)
			synctest.Wait()
			h.settle()
		}
		goes()
		require.True(t, at[*chairside.Screen](h))
		h.press("end")
		h.fill("end acuity", "6/9")
		for _, c := range []struct{ stop, on func() error }{
			{func() error { return r.Pause("A7", "IN", "unwell", noon) }, func() error { return r.GoOn("A7", "IN", noon) }},
			{func() error { return r.Move(room.Halted, "IN", "an alarm", noon) }, func() error { return r.Move(room.Resumed, "IN", "", noon) }},
		} {
			require.NoError(t, c.stop())
			goes()
			require.True(t, at[*exam.ServedHeld](h))
			assert.Contains(t, h.labels(), "The time stands still.")
			assert.Contains(t, h.labels(), "A7")
			assert.NotContains(t, h.labels(), "end acuity")
			goes()
			require.True(t, at[*exam.ServedHeld](h), "it is heard all the same")
			require.NoError(t, c.on())
			goes()
			require.True(t, at[*chairside.Screen](h))
			assert.Equal(t, "6/9", h.thing("end acuity").Value)
		}
		require.NoError(t, r.Pause("A7", "IN", "unwell", noon))
		goes()
		require.NoError(t, r.End("A7", "IN", "went home", noon))
		goes()
		goes()
		require.True(t, at[*exam.Served](h))
		assert.Contains(t, h.labels(), "Number A7: closed before the end. What was done is handed in.")
		assert.NotContains(t, h.labels(), "all cases are handed in")
	})
}

// At a service, too, a log takes as many actions as can be marked, the candidate is warned
// before, and the end point can be stated then.
func TestALogHasAnEndAtAService(t *testing.T) {
	long(t)
	synctest.Test(t, func(t *testing.T) {
		r, w := served(t, 50) // the more cases, the fewer actions
		h := newHands(t, 1366, 768, Options{Service: w})
		goes := func() {
			time.Sleep(time.Second)
			synctest.Wait()
			h.settle()
		}
		goes()
		require.True(t, at[*chairside.Screen](h))
		do := func(n int) {
			for range n {
				_, err := h.visit().Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, noon).Wait()
				require.NoError(t, err)
				time.Sleep(100 * time.Millisecond)
			}
			h.visit().Hear()
			h.a.desk.Notice.Clear()
			goes()
		}
		do(96)
		assert.Empty(t, h.notice(), "101 more")
		do(1)
		assert.Contains(t, h.notice(), "At most 100 actions more")
		do(89)
		assert.Empty(t, h.notice(), "it is told once")
		do(1)
		assert.Contains(t, h.notice(), "At most 10 actions more")
		do(10)
		_, err := h.visit().Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, noon).Wait()
		require.Error(t, err)
		assert.Contains(t, h.a.desk.Voice().Error(err), "No more than 197 actions can be recorded for a case. State the end point now")
		h.press("end")
		h.press("acuity 6/6")
		h.press("end now")
		goes()
		_, board := r.Board()
		assert.Equal(t, wire.Ready, board[0].Clock.Stage)
		assert.Equal(t, 2, board[0].Clock.Place)
	})
}
