package line

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/host/wire"
	"conoid/sim/fact"
)

// Sender sends a request to the service, and waits for the reply until the context ends.
// The error says that none came.
type Sender interface {
	Send(ctx context.Context, method, path string, body []byte) (status int, reply []byte, err error)
}

// statusOK is that of a request that was done (RFC 9110, 15.3.1). The package with
// its name is a twentieth of what a browser loads.
const statusOK = 200

// How long is waited before something is sent again: our choice.
var patience = []time.Duration{500 * time.Millisecond, time.Second, 2 * time.Second, 4 * time.Second, 5 * time.Second}

// longestReply is how long is waited for a reply, which a line that has died never brings:
// our choice. All that was done with a case in 60 actions, which is 18 kB, comes in it at
// 8 kbit/s.
const longestReply = 20 * time.Second

// Ask sends a value and reads the reply. The error is a *wire.Problem when the service
// says one.
func Ask[T any](ctx context.Context, s Sender, method, path string, value any) (got T, err error) {
	ctx, stop := context.WithTimeout(ctx, longestReply)
	defer stop()
	var body []byte
	if value != nil {
		if body, err = json.Marshal(value); err != nil {
			return got, err
		}
	}
	status, reply, err := s.Send(ctx, method, path, body)
	if err != nil {
		return got, err
	}
	if status != statusOK {
		p := &wire.Problem{}
		if json.Unmarshal(reply, p) != nil || p.Kind == "" {
			return got, fact.Refuse("line.status", "status", status)
		}
		return got, p
	}
	return got, json.Unmarshal(reply, &got)
}

// Run sends what is done at the chair, one action after the other, until the context
// ends or the case is over. An action whose reply does not come is sent again, with
// the same ID. What is heard of the clock goes to heard.
func (c *Chair) Run(ctx context.Context, s Sender, tab string, heard func(wire.Clock)) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-c.news:
		}
		for {
			act, more := c.next(tab)
			if !more {
				break
			}
			done, err := again(ctx, func() (wire.Done, error) {
				return Ask[wire.Done](ctx, s, "POST", wire.ActPath, act)
			}, acts)
			if ctx.Err() != nil {
				return
			}
			c.take(done, err)
			if err == nil {
				heard(done.Clock)
			}
			if c.over() {
				return
			}
		}
	}
}

// next is what is sent next.
func (c *Chair) next(tab string) (wire.Act, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.waiting) == 0 || c.gone != nil {
		return wire.Act{}, false
	}
	c.sent = true
	p := c.waiting[0]
	return wire.Act{Tab: tab, Place: c.place, N: len(c.talk) + 1, ID: p.id, Action: p.action}, true
}

// mostTries is how often something is asked that somebody waits for, before they are told
// that nothing comes back: our choice.
const mostTries = 5

// Insist asks a few times until the service has answered: what it could not keep is sent
// again, as what was lost on the way.
func Insist[T any](ctx context.Context, ask func() (T, error)) (T, error) {
	tries := 0
	return again(ctx, ask, func(p *wire.Problem) bool {
		tries++
		return tries < mostTries && (p == nil || p.Kind == wire.NotKept)
	})
}

// acts reports whether an action is sent again, after a problem or no reply.
func acts(p *wire.Problem) bool {
	return p == nil || p.Kind == wire.NotKept || p.Kind == wire.TooMany || p.Kind == wire.Held
}

// again asks until the service has answered, for as long as it is to be asked again: after
// a problem that it said, or nil for no reply that can be read.
func again[T any](ctx context.Context, ask func() (T, error), more func(*wire.Problem) bool) (T, error) {
	for i := 0; ; i++ {
		got, err := ask()
		var p *wire.Problem
		errors.As(err, &p)
		if err == nil || !more(p) {
			return got, err
		}
		select {
		case <-ctx.Done():
			return got, ctx.Err()
		case <-time.After(patience[min(i, len(patience)-1)]):
		}
	}
}

// take takes in what came of the action that was sent.
func (c *Chair) take(done wire.Done, err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.sent = false
	first := c.waiting[0]
	var p *wire.Problem
	switch {
	case err == nil:
		if err = c.hear(done.Event); err == nil {
			c.waiting = c.waiting[1:]
			first.decide(c.talk[len(c.talk)-1], nil)
			err = c.catchUp()
		}
	case errors.As(err, &p) && p.Kind == wire.Refused:
		c.waiting = c.waiting[1:]
		first.decide(chair.Told{}, fact.Refuse("line.refused"))
		err = c.catchUp()
	case errors.As(err, &p) && p.Kind == wire.Behind:
		err = c.since(p.Since)
	}
	if err != nil {
		c.end(err)
	}
}

// since takes in what was done at another page, and goes on from there. If that is nothing
// the same would be sent and refused without an end.
func (c *Chair) since(events []wire.Event) error {
	if len(events) == 0 {
		return ErrUnfit
	}
	for _, e := range events {
		if err := c.hear(e); err != nil {
			return err
		}
	}
	return c.catchUp()
}

// end says that nothing more comes of the chair, and why.
func (c *Chair) end(why error) {
	c.gone = why
	for _, p := range c.waiting {
		p.decide(chair.Told{}, why)
	}
	c.waiting = nil
}

// over reports whether nothing more is to be sent.
func (c *Chair) over() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	_, stated := c.confirmed.EndPoint(c.brief.Tested)
	return stated || c.gone != nil
}

// Gone is why nothing more comes of the chair; nil while something may.
func (c *Chair) Gone() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.gone
}
