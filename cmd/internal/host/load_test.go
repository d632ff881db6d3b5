//go:build load

package host_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/line"
	"conoid/scoring/candidate"
	"conoid/scoring/practical"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

var (
	seats  = flag.Int("seats", 1000, "how many candidates of TestLoad")
	sat    = flag.Duration("sat", 2*time.Minute, "how long they examine in TestLoad")
	thinks = flag.Duration("thinks", 4*time.Second, "how long a candidate thinks before an action, on average")
)

// wires are a candidate's line to the service. A reply is lost, or a request sent twice,
// now and then; with worse it is a bad one.
type wires struct {
	client  *http.Client
	service string
	worse   bool

	mu     sync.Mutex
	cookie string
	chance *rand.Rand
}

var errLost = errors.New("lost on the way")

// Send implements line.Sender.
func (w *wires) Send(ctx context.Context, method, path string, body []byte) (int, []byte, error) {
	w.mu.Lock()
	what := w.chance.IntN(100)
	w.mu.Unlock()
	if w.worse && what >= 90 {
		return 0, nil, errLost
	}
	status, reply, err := w.once(ctx, method, path, body)
	switch {
	case err != nil || path == wire.EnterPath: // a ticket is good once
	case what < 2:
		return w.once(ctx, method, path, body)
	case what < 3, w.worse && what < 10:
		return 0, nil, errLost
	case w.worse && what < 15:
		time.Sleep(2 * time.Second)
	case w.worse && what < 20:
		return status, reply[:len(reply)/2], nil
	}
	return status, reply, err
}

func (w *wires) once(ctx context.Context, method, path string, body []byte) (int, []byte, error) {
	r, err := http.NewRequestWithContext(ctx, method, w.service+path, bytes.NewReader(body))
	if err != nil {
		return 0, nil, err
	}
	w.mu.Lock()
	r.Header.Set("Cookie", w.cookie)
	w.mu.Unlock()
	resp, err := w.client.Do(r)
	if err != nil {
		return 0, nil, err
	}
	defer resp.Body.Close()
	reply, err := io.ReadAll(resp.Body)
	if c := resp.Header.Get("Set-Cookie"); c != "" {
		w.mu.Lock()
		w.cookie, _, _ = strings.Cut(c, ";")
		w.mu.Unlock()
	}
	return resp.StatusCode, reply, err
}

// crowd are simulated candidates at a service.
type crowd struct {
	p      *process
	client *http.Client
	enough atomic.Bool // the candidates state what they have
	think  time.Duration
	worse  bool

	enters meter // how long coming in took, padding included
	failed atomic.Int32
	mu     sync.Mutex
	acked  map[string]map[int][]sitting.Event // what each was told, by candidate and place
	steps  atomic.Int64
}

func newCrowd(p *process, think time.Duration, worse bool) *crowd {
	t := &http.Transport{MaxIdleConns: 0, MaxIdleConnsPerHost: 5000}
	p.t.Cleanup(t.CloseIdleConnections)
	return &crowd{
		p: p, client: &http.Client{Transport: t, Timeout: 30 * time.Second}, think: think, worse: worse,
		acked: map[string]map[int][]sitting.Event{},
	}
}

// posts posts a value until it is answered.
func (c *crowd) posts(w *wires, path string, value any) (wire.Seat, error) {
	for {
		seat, err := line.Ask[wire.Seat](context.Background(), w, "POST", path, value)
		var p *wire.Problem
		if err == nil || errors.As(err, &p) && p.Kind != wire.NotKept && p.Kind != wire.TooMany {
			return seat, err
		}
		time.Sleep(500 * time.Millisecond)
	}
}

// sits is a candidate from the door to the end.
func (c *crowd) sits(i int) error {
	number := fmt.Sprint("N", i)
	w := &wires{client: c.client, service: "http://" + c.p.address, chance: rand.New(rand.NewPCG(uint64(i), 1)), worse: c.worse}
	ticket := asks[string](c.p, "ticket/"+number)
	start := time.Now()
	if _, err := line.Ask[wire.Seat](context.Background(), &wires{client: w.client, service: w.service, chance: rand.New(rand.NewPCG(9, 9))}, "GET", wire.StatePath, nil); err != nil {
		return err
	}
	status, _, err := w.once(context.Background(), "POST", wire.EnterPath, []byte(`{"ticket":"`+ticket+`"}`))
	if err != nil || status != http.StatusOK {
		return fmt.Errorf("enter: %d, %v", status, err)
	}
	c.enters.add(time.Since(start))
	asks[string](c.p, "admit/"+number)
	tab := wire.Tab{Tab: "tab"}
	if _, err := c.posts(w, wire.ClaimPath, tab); err != nil {
		return err
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go c.beats(ctx, w)
	for {
		seat, err := c.posts(w, wire.BeginPath, tab)
		if err != nil {
			return err
		}
		if seat.Stage == wire.Over {
			return nil
		}
		if seat.Patient == nil {
			return fmt.Errorf("%s at %s", number, seat.Stage)
		}
		if err := c.examines(w, i, seat); err != nil {
			return err
		}
	}
}

func (c *crowd) beats(ctx context.Context, w *wires) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(5 * time.Second):
		}
		_, _ = line.Ask[wire.Clock](ctx, w, "POST", wire.BeatPath, wire.Tab{Tab: "tab"})
	}
}

// hands are a candidate's at a chair, who thinks before each action.
type hands struct {
	*line.Chair
	c      *crowd
	chance *rand.Rand
}

var errEnough = errors.New("the time of the test is up")

// Do implements expert.Chair.
func (h hands) Do(a sitting.Action) (sitting.Event, error) {
	const spread = 0.8 // of the logarithm: our choice
	mean := h.c.think.Seconds() / math.Exp(spread*spread/2)
	time.Sleep(time.Duration(mean * math.Exp(spread*h.chance.NormFloat64()) * float64(time.Second)))
	if h.c.enough.Load() && a.Do != sitting.End {
		return sitting.Event{}, errEnough
	}
	told, err := h.Chair.Do(a, sitting.Aside{}).Wait()
	h.c.steps.Add(1)
	return told.Event, err
}

// examines has a simulated skill do a case, to the end.
func (c *crowd) examines(w *wires, i int, seat wire.Seat) error {
	chair, err := line.New(seat.Patient, seat.Place, "")
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go chair.Run(ctx, w, "tab", func(wire.Clock) {})
	all := candidate.All()
	k, of := all[i%len(all)], cases.Library()[(seat.Place-1)%patients]
	err = k.Examine(hands{chair, c, rand.New(rand.NewPCG(uint64(i), uint64(seat.Place)))}, k.InputOf(of), uint64(i))
	if _, stated := chair.EndPoint(chair.Brief().Tested); !stated {
		if chair.Gone() != nil {
			return chair.Gone()
		}
		if err != nil && !errors.Is(err, errEnough) {
			return err
		}
		if _, err := chair.Do(sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1}}, sitting.Aside{}).Wait(); err != nil {
			return err
		}
	}
	number := fmt.Sprint("N", i)
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.acked[number] == nil {
		c.acked[number] = map[int][]sitting.Event{}
	}
	c.acked[number][seat.Place] = chair.Events()
	return nil
}

// all has so many candidates come in, one after the other within a while, and sit.
func (c *crowd) all(n int, within time.Duration) {
	var wait sync.WaitGroup
	for i := range n {
		wait.Go(func() {
			time.Sleep(within * time.Duration(i) / time.Duration(n))
			if err := c.sits(i); err != nil {
				c.failed.Add(1)
				c.p.t.Errorf("N%d: %v", i, err)
			}
		})
	}
	wait.Wait()
}

// collected kills the service, opens its folder and reads all results, as is done when
// they are collected; what each was told is what their log has.
func (c *crowd) collected() (lost, doubled int) {
	t := c.p.t
	c.p.kill()
	s, err := host.Open(c.p.folder, time.Now)
	require.NoError(t, err)
	defer s.Close()
	r := s.Rooms()[0]
	results, err := r.Results()
	require.NoError(t, err)
	assert.Len(t, results, len(c.acked))
	marker := practical.NewMarker(r.Plan(), r.Plan())
	for number, told := range c.acked {
		rec, err := practical.ReadResult(r.Plan(), number, results[number], s.Key())
		if !assert.NoError(t, err, number) {
			continue
		}
		sheet, err := marker.Mark(rec)
		if !assert.NoError(t, err, number) {
			continue
		}
		assert.Empty(t, sheet.Doubts, number)
		for place, sat := range rec.Cases() {
			assert.Equal(t, practical.Stated, sat.Ended)
			kept, err := sitting.ReadLog(strings.NewReader(sat.Log))
			require.NoError(t, err)
			lost += max(0, len(told[place+1])-len(kept.Events))
			doubled += max(0, len(kept.Events)-len(told[place+1]))
			for j := range kept.Events {
				kept.Events[j].Aside = nil
			}
			assert.Equal(t, told[place+1], kept.Events, number)
		}
	}
	return lost, doubled
}

// kills kills the service some times, each after so many steps, has it be gone for a
// while, and ends the test after as many steps again.
func (c *crowd) kills(times, steps int, gone time.Duration) {
	for k := 1; ; k++ {
		for c.steps.Load() < int64(k*steps) {
			time.Sleep(time.Millisecond)
		}
		if k > times {
			c.enough.Store(true)
			return
		}
		c.p.kill()
		time.Sleep(gone)
		c.p.start()
	}
}

func load() string {
	text, _ := os.ReadFile("/proc/loadavg")
	return strings.TrimSpace(string(text))
}

// What a service of so many seats does: how many requests, how long they take before they
// wait for the grid, what memory it has. Nothing may be lost or doubled.
func TestLoad(t *testing.T) {
	t.Logf("load average at the start: %s", load())
	p := newProcess(t)
	c := newCrowd(p, *thinks, false)
	var all sync.WaitGroup
	start := time.Now()
	all.Go(func() { c.all(*seats, 10*time.Second) })
	time.Sleep(12 * time.Second)
	in := asks[measured](p, "measured")
	time.Sleep(*sat)
	ran := asks[measured](p, "measured")
	over := time.Since(start) - 12*time.Second
	c.enough.Store(true)
	all.Wait()
	enters := c.enters.read()
	t.Logf("%d seats; 2 %% sent twice, 1 %% of the replies lost; they think %v on average", *seats, *thinks)
	t.Logf("coming in, 12 s: %d requests, before padding p50 %v, p99 %v; to the lobby, padding included, p99 %v", in.Requests, in.P50, in.P99, enters.P99)
	t.Logf("examining: %.0f requests/s, before padding p50 %v, p99 %v", float64(ran.Requests)/over.Seconds(), ran.P50, ran.P99)
	t.Logf("memory of the service: %d MB in use, %d MB from the system; load average %s", ran.HeapMB, ran.SysMB, load())
	lost, doubled := c.collected()
	t.Logf("%d events; lost %d, doubled %d; %d logs collected, %d candidates failed", c.steps.Load(), lost, doubled, patients*len(c.acked), c.failed.Load())
	assert.Zero(t, lost+doubled)
}

// A rehearsal over bad lines, in which the service is killed twice: nothing that was
// acknowledged is lost, and all logs are collected.
func TestRehearsal(t *testing.T) {
	p := newProcess(t)
	c := newCrowd(p, time.Second, true)
	var all sync.WaitGroup
	all.Go(func() { c.all(200, 5*time.Second) })
	c.kills(2, 2000, 2*time.Second)
	all.Wait()
	lost, doubled := c.collected()
	t.Logf("200 seats, the service killed twice: %d events; lost %d, doubled %d; %d logs collected", c.steps.Load(), lost, doubled, patients*len(c.acked))
	assert.Zero(t, lost+doubled)
	assert.Len(t, c.acked, 200)
}

// The service is killed again and again while candidates who never think have it write.
func TestKilled(t *testing.T) {
	p := newProcess(t)
	c := newCrowd(p, 0, false)
	var all sync.WaitGroup
	all.Go(func() { c.all(20, 0) })
	c.kills(5, 150, 0)
	all.Wait()
	lost, doubled := c.collected()
	t.Logf("20 seats, the service killed five times: %d events; lost %d, doubled %d; %d logs collected", c.steps.Load(), lost, doubled, patients*len(c.acked))
	assert.Zero(t, lost+doubled)
	assert.Len(t, c.acked, 20)
}
