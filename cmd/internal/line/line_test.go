package line_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/lite"
	"conoid/cmd/internal/host/web"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/line"
	"conoid/scoring/practical"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

var errLost = errors.New("lost on the way")

// wires are a line in a test: a request may be lost, come twice, or its reply be lost.
type wires struct {
	service http.Handler
	cookie  string
	luck    *rand.Rand // nil: nothing is ever lost
	cut     atomic.Bool
	sent    int
}

func (w *wires) Send(_ context.Context, method, path string, body []byte) (int, []byte, error) {
	w.sent++
	if w.cut.Load() || w.loses() {
		return 0, nil, errLost
	}
	status, reply := w.once(method, path, body)
	if w.loses() {
		status, reply = w.once(method, path, body)
	}
	if w.loses() {
		return 0, nil, errLost
	}
	return status, reply, nil
}

func (w *wires) loses() bool { return w.luck != nil && w.luck.IntN(4) == 0 }

func (w *wires) once(method, path string, body []byte) (int, []byte) {
	r := httptest.NewRequest(method, path, bytes.NewReader(body))
	r.Header.Set("Cookie", w.cookie)
	rec := httptest.NewRecorder()
	w.service.ServeHTTP(rec, r)
	if c := rec.Result().Header.Get("Set-Cookie"); c != "" {
		w.cookie, _, _ = strings.Cut(c, ";")
	}
	return rec.Code, rec.Body.Bytes()
}

// place is a candidate's place at a service, with a case under way.
type place struct {
	*line.Chair
	wires *wires
	room  *room.Room
	plan  *practical.Plan
	key   cases.Key // of the results
	run   func()
	ctx   context.Context
}

// runOver has the chair send by a line of one's own.
func (p *place) runOver(s line.Sender) { go p.Run(p.ctx, s, "tab", func(wire.Clock) {}) }

// planned is the practical of all tests here, and the key of its results.
var planned = sync.OnceValues(func() (*practical.Plan, cases.Key) {
	k, err := practical.NewKeys()
	if err != nil {
		panic(err)
	}
	c := cases.Library()[0]
	plan, err := practical.New(practical.Plan{Title: "Friday", Cases: []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}}}, k)
	if err != nil {
		panic(err)
	}
	return plan, k.Key()
})

// own is what an expert does with the case where the patient is at hand.
var own = sync.OnceValue(func() *sitting.Sitting {
	plan, _ := planned()
	s := sitting.Start(plan.Patient(0).Setup(), plan.Entry("A7").Keys(0))
	if _, err := expert.Examine(s, expert.BriefOf(s.Setup())); err != nil {
		panic(err)
	}
	return s
})

func seated(t *testing.T) *place {
	plan, key := planned()
	s, err := lite.Open(filepath.Join(t.TempDir(), "host.db"))
	require.NoError(t, err)
	now := time.Now()
	r, err := room.New(plan, []byte("sealed"), s, []byte("secret"), now)
	require.NoError(t, err)
	require.NoError(t, r.Move(room.Opened, "", "", now))
	ticket, err := r.Ticket("A7", "", "", now)
	require.NoError(t, err)
	p := &place{room: r, plan: plan, key: key, wires: &wires{service: web.Seats{Rooms: func() []*room.Room { return []*room.Room{r} }, Now: time.Now, Wait: func(time.Time) {}}.Handler()}}
	ctx, stop := context.WithCancel(context.Background())
	t.Cleanup(func() { stop(); synctest.Wait(); require.NoError(t, s.Close()) })
	ask := func(path string, value any) wire.Seat {
		seat, err := line.Ask[wire.Seat](ctx, p.wires, http.MethodPost, path, value)
		require.NoError(t, err)
		return seat
	}
	ask(wire.EnterPath, wire.Enter{Ticket: ticket, ID: "id"})
	require.NoError(t, r.Admit("A7", "", now))
	ask(wire.ClaimPath, wire.Tab{Tab: "tab"})
	seat := ask(wire.BeginPath, wire.Tab{Tab: "tab"})
	p.Chair, err = line.New(seat.Patient, seat.Place, "Case 1")
	require.NoError(t, err)
	p.ctx = ctx
	p.run = func() { p.runOver(p.wires) }
	return p
}

// On a line that loses a quarter of everything, each way, an examination comes to what it
// comes to where the patient is at hand: nothing is lost, and nothing is done twice.
func TestALineThatLosesMuch(t *testing.T) {
	if testing.Short() {
		t.Skip("it sits whole cases")
	}
	synctest.Test(t, func(t *testing.T) {
		p := seated(t)
		p.wires.luck = rand.New(rand.NewPCG(1, 2))
		p.run()
		own := own()
		for _, e := range own.Events() {
			told, err := p.Do(e.Action, sitting.Aside{}).Wait()
			require.NoError(t, err)
			assert.Equal(t, e, told.Event)
		}
		assert.Equal(t, own.State(), p.State())
		assert.Equal(t, own.Steps(), p.Steps())
		assert.True(t, chair.Over(p))
		assert.Greater(t, p.wires.sent, len(own.Events())*4/3)
		results, err := p.room.Results()
		require.NoError(t, err)
		assert.Len(t, results, 1)
	})
}

func put(power float64) sitting.Action {
	return sitting.Action{Do: sitting.Exchange, Cell: sitting.In(optics.Back), Lens: optics.SphereOf(power)}
}

// While the line is cut lenses move, steps of one lens become one, answers wait, and
// too much is refused; when it is back all of it comes, in order.
func TestALineThatIsCut(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := seated(t)
		p.wires.cut.Store(true)
		p.run()
		fan := p.Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, sitting.Aside{})
		time.Sleep(time.Second) // it is under way, and does not come
		was := p.State().Frames[p.Brief().Tested.Index()].Lenses[optics.Back].Power
		var lenses []*chair.Pending
		for i := range 5 {
			lenses = append(lenses, p.Do(put(was-0.25*float64(i+1)), sitting.Aside{}))
		}
		asked := p.Do(sitting.Action{Do: sitting.Ask, Question: patient.WhichLines}, sitting.Aside{})
		assert.Equal(t, chart.Fan, p.State().Chart, "it hangs at once")
		assert.Equal(t, was-1.25, p.State().Frames[p.Brief().Tested.Index()].Lenses[optics.Back].Power)
		assert.Empty(t, p.Events())
		assert.Len(t, p.Pending(), 7)
		_, err := p.Do(sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters}, sitting.Aside{}).Wait()
		assert.Error(t, err, "refused at once: letters are not in view")
		for range 5 {
			p.Do(sitting.Action{Do: sitting.Ask, Question: patient.WhichLines}, sitting.Aside{})
		}
		_, err = p.Do(sitting.Action{Do: sitting.Ask, Question: patient.WhichLines}, sitting.Aside{}).Wait()
		assert.ErrorContains(t, err, "line.full")

		p.wires.cut.Store(false)
		for _, sent := range append([]*chair.Pending{fan, asked}, lenses...) {
			_, err := sent.Wait()
			require.NoError(t, err)
		}
		synctest.Wait()
		assert.Len(t, p.Events(), 8, "a chart, one lens, six questions")
		assert.Equal(t, was-1.25, p.Events()[1].Action.Lens.Power)
		assert.Empty(t, p.Pending())
	})
}

// Another page of the same candidate takes the place: this one is told, and nothing
// that waits here is done.
func TestAnotherPageTakesThePlace(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := seated(t)
		p.run()
		_, err := p.Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, sitting.Aside{}).Wait()
		require.NoError(t, err)
		_, err = line.Ask[wire.Seat](t.Context(), p.wires, http.MethodPost, wire.ClaimPath, wire.Tab{Tab: "another"})
		require.NoError(t, err)
		_, err = p.Do(sitting.Action{Do: sitting.Ask, Question: patient.WhichLines}, sitting.Aside{}).Wait()
		var problem *wire.Problem
		require.ErrorAs(t, err, &problem)
		assert.Equal(t, wire.Elsewhere, problem.Kind)
		assert.Equal(t, err, p.Gone())
		_, err = p.Do(sitting.Action{Do: sitting.Ask, Question: patient.WhichLines}, sitting.Aside{}).Wait()
		assert.ErrorIs(t, err, p.Gone())
	})
}

// repeats says the same to whatever is sent, and counts.
type repeats struct {
	status int
	reply  string
	sent   int
	stop   func()
}

// Send implements line.Sender.
func (r *repeats) Send(context.Context, string, string, []byte) (int, []byte, error) {
	if r.sent++; r.sent > 10 {
		r.stop()
	}
	return r.status, []byte(r.reply), nil
}

// A service that refuses what is sent for what was done meanwhile, and tells of nothing, or
// of what is known or far ahead, is not sent the same without an end: the chair ends, and
// all is asked for anew.
func TestAServiceThatTellsNothingNew(t *testing.T) {
	fan := `"at":2,"action":{"do":"show","chart":"fan"}}`
	for _, c := range []struct {
		status int
		reply  string
		sent   int
	}{
		{409, `{"kind":"behind"}`, 1}, {409, `{"kind":"behind","since":[{"n":1,` + fan + `]}`, 2}, {409, `{"kind":"behind","since":[{"n":2,` + fan + `]}`, 1},
		{200, `{"stage":"running","event":{"n":1,` + fan + `}`, 2}, {200, `{"stage":"running","event":{"n":0,` + fan + `}`, 1},
	} {
		var p wire.Patient
		require.NoError(t, json.Unmarshal([]byte(`{"tested":"right","room":{"vertex":0.012,"distance":6}}`), &p))
		x, err := line.New(&p, 1, "Case 1")
		require.NoError(t, err)
		for range 2 {
			x.Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, sitting.Aside{})
		}
		ctx, stop := context.WithCancel(t.Context())
		r := &repeats{status: c.status, reply: c.reply, stop: stop}
		x.Run(ctx, r, "tab", func(wire.Clock) {})
		stop()
		assert.ErrorContains(t, x.Gone(), "line.unfit", c.reply)
		assert.Equal(t, c.sent, r.sent, c.reply)
		assert.Empty(t, x.Pending())
	}
}
