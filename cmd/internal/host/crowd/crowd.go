// Package crowd has simulated candidates who sit a practical at a service, each with
// the bench's own line and a skill of package candidate, and a bad network to put
// between. Tests under load use it.
package crowd

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/line"
	"conoid/scoring/candidate"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Crowd are candidates at a service.
type Crowd struct {
	Service string        // its address, such as http://127.0.0.1:4681
	Cases   []*cases.Case // of the practical, in the order in which all sit them
	Think   time.Duration // before each action, on average
	Lossy   bool          // of the requests 2 % are sent twice, and of the replies 1 % is lost
	Client  *http.Client

	Admit func(number string) error // has somebody let a candidate in who has come
	Came  func(took time.Duration)  // coming in took so long, to the lobby; nil: nobody asks

	enough atomic.Bool // the candidates state what they have
	steps  atomic.Int64
	mu     sync.Mutex
	told   map[string]map[int][]sitting.Event
}

// Enough has all state what they have.
func (c *Crowd) Enough() { c.enough.Store(true) }

// Steps is how many actions were done in all.
func (c *Crowd) Steps() int { return int(c.steps.Load()) }

// Told are the events that each candidate was told of, by number and place of the case,
// once the case was over.
func (c *Crowd) Told() map[string]map[int][]sitting.Event {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.told
}

// Line is a candidate's line to the service, over HTTP, with the cookie that they have.
type Line struct {
	Client  *http.Client
	Service string

	mu     sync.Mutex
	cookie string
	lossy  *rand.Rand // nil: nothing is lost
}

var errLost = errors.New("lost on the way")

// Send implements line.Sender. How long coming in takes is measured: nothing of that is
// lost.
func (l *Line) Send(ctx context.Context, method, path string, body []byte) (int, []byte, error) {
	status, reply, err := l.once(ctx, method, path, body)
	switch what := l.draw(); {
	case err != nil || path == wire.EnterPath:
	case what < 2:
		return l.once(ctx, method, path, body)
	case what < 3:
		return 0, nil, errLost
	}
	return status, reply, err
}

// draw is a number below 100, of which those under 3 are faults.
func (l *Line) draw() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.lossy == nil {
		return 99
	}
	return l.lossy.IntN(100)
}

func (l *Line) once(ctx context.Context, method, path string, body []byte) (int, []byte, error) {
	r, err := http.NewRequestWithContext(ctx, method, l.Service+path, bytes.NewReader(body))
	if err != nil {
		return 0, nil, err
	}
	l.mu.Lock()
	r.Header.Set("Cookie", l.cookie)
	l.mu.Unlock()
	resp, err := l.Client.Do(r)
	if err != nil {
		return 0, nil, err
	}
	defer resp.Body.Close()
	reply, err := io.ReadAll(resp.Body)
	if c := resp.Header.Get("Set-Cookie"); c != "" {
		l.mu.Lock()
		l.cookie, _, _ = strings.Cut(c, ";")
		l.mu.Unlock()
	}
	return resp.StatusCode, reply, err
}

// Forget has the cookie be gone, as if the reply that brought it had not come.
func (l *Line) Forget() { l.cookie = "" }

// posts posts a value until it is answered.
func posts(l *Line, path string, value any) (wire.Seat, error) {
	for {
		seat, err := line.Ask[wire.Seat](context.Background(), l, "POST", path, value)
		var p *wire.Problem
		if err == nil || errors.As(err, &p) && p.Kind != wire.NotKept && p.Kind != wire.TooMany && p.Kind != wire.Held {
			return seat, err
		}
		time.Sleep(500 * time.Millisecond)
	}
}

// Sit has a candidate sit from the door to the end. What they are like, and when they do
// what, follows from i.
func (c *Crowd) Sit(i int, number, ticket string) error {
	l := &Line{Client: c.Client, Service: c.Service}
	if c.Lossy {
		l.lossy = rand.New(rand.NewPCG(uint64(i), 1))
	}
	start := time.Now()
	if _, err := posts(l, wire.EnterPath, wire.Enter{Ticket: ticket, ID: number}); err != nil {
		return fmt.Errorf("%s comes in: %w", number, err)
	}
	if c.Came != nil {
		c.Came(time.Since(start))
	}
	if err := c.Admit(number); err != nil {
		return fmt.Errorf("%s is let in: %w", number, err)
	}
	tab := wire.Tab{Tab: "tab"}
	if _, err := posts(l, wire.ClaimPath, tab); err != nil {
		return err
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go beats(ctx, l)
	for {
		seat, err := posts(l, wire.BeginPath, tab)
		if err != nil {
			return err
		}
		if seat.Stage == wire.Over {
			return nil
		}
		if seat.Patient == nil {
			return fmt.Errorf("%s has no patient: %s", number, seat.Stage)
		}
		if err := c.examine(l, i, number, seat); err != nil {
			return err
		}
	}
}

func beats(ctx context.Context, l *Line) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(5 * time.Second):
		}
		_, _ = line.Ask[wire.Clock](ctx, l, "POST", wire.BeatPath, wire.Tab{Tab: "tab"})
	}
}

// hands are a candidate's at a chair, who thinks before each action.
type hands struct {
	*line.Chair
	c      *Crowd
	chance *rand.Rand
}

var errEnough = errors.New("it was enough")

// Do implements expert.Chair.
func (h hands) Do(a sitting.Action) (sitting.Event, error) {
	const spread = 0.8 // of the logarithm: our choice
	mean := h.c.Think.Seconds() / math.Exp(spread*spread/2)
	time.Sleep(time.Duration(mean * math.Exp(spread*h.chance.NormFloat64()) * float64(time.Second)))
	if h.c.enough.Load() && a.Do != sitting.End {
		return sitting.Event{}, errEnough
	}
	told, err := h.Chair.Do(a, sitting.Aside{}).Wait()
	h.c.steps.Add(1)
	return told.Event, err
}

// examine has a simulated skill do a case, to the end.
func (c *Crowd) examine(l *Line, i int, number string, seat wire.Seat) error {
	chair, err := line.New(seat.Patient, seat.Place, "")
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go chair.Run(ctx, l, "tab", func(wire.Clock) {})
	all := candidate.All()
	k, of := all[i%len(all)], c.Cases[seat.Place-1]
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
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.told == nil {
		c.told = map[string]map[int][]sitting.Event{}
	}
	if c.told[number] == nil {
		c.told[number] = map[int][]sitting.Event{}
	}
	c.told[number][seat.Place] = chair.Events()
	return nil
}
