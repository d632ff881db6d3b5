// Package line is a chair whose patient is elsewhere: at a service, over a line
// that may be slow, cut, or gone for a while. What the examiner does stands on the
// bench at once; answers, letters and time come when the service has kept it.
package line

import (
	"crypto/rand"
	"encoding/hex"
	"slices"
	"sync"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/host/wire"
	"conoid/sim/fact"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// longest is how many actions may wait to be sent: our choice.
const longest = 8

// errFull says that too much waits for the line.
var errFull = fact.Refuse("line.full", "most", fact.Count(longest))

// Chair is where the patient of a case sits who is examined over a line. It is for
// use by one goroutine that examines and one that sends.
type Chair struct {
	brief chair.Brief
	card  cases.Card
	place int

	mu        sync.Mutex
	talk      []chair.Told
	confirmed *sitting.Bench // as the service has it
	ahead     *sitting.Bench // with what is on its way
	waiting   []*parcel      // oldest first; the first one may be under way
	sent      bool           // the first one is
	gone      error          // why nothing more comes
	news      chan struct{}  // something waits, or it is over
}

// parcel is what is sent by one request.
type parcel struct {
	id      string
	action  sitting.Action
	pending []*chair.Pending // decided together: steps of one lens that were taken before one of them was sent
	since   time.Time        // when it was done here
}

var _ chair.Chair = (*Chair)(nil)

// New is the chair of a case as the service tells of it, at a place of the candidate's
// order. The title is what the case is called where the service does not say it.
func New(p *wire.Patient, place int, title string) (*Chair, error) {
	c := &Chair{
		brief: chair.Brief{
			Texts: p.Texts, Translated: p.Translated, Name: p.Name, Age: p.Age, Tested: p.Tested, Room: p.Room, Objective: p.Objective,
		},
		card: p.Card, place: place, news: make(chan struct{}, 1),
	}
	if c.brief.Title == "" {
		c.brief.Title = title
	}
	c.confirmed, c.ahead = c.bench(), c.bench()
	for _, e := range p.Events {
		if err := c.hear(e); err != nil {
			return nil, err
		}
	}
	return c, c.catchUp()
}

// bench is one on which nothing was done yet.
func (c *Chair) bench() *sitting.Bench {
	return sitting.NewBench(c.brief.Tested, c.brief.Objective, c.brief.Room)
}

// ErrUnfit says that the service tells of another event than the one that comes next.
var ErrUnfit error = fact.Refuse("line.unfit")

// hear takes in an event of the service, which is the next one.
func (c *Chair) hear(e wire.Event) error {
	if e.N != len(c.talk)+1 {
		return ErrUnfit
	}
	if err := follow(c.confirmed, e.Action, e); err != nil {
		return err
	}
	c.talk = append(c.talk, chair.Told{
		Event: sitting.Event{N: e.N, At: e.At, Action: e.Action, Answer: e.Answer},
		After: c.confirmed.State(),
	})
	return nil
}

// follow has a bench do what the service did.
func follow(b *sitting.Bench, a sitting.Action, e wire.Event) error {
	if _, err := b.Do(a); err != nil {
		return err
	}
	b.Clock(e.At)
	b.Hang(e.Rows)
	return nil
}

// catchUp lays the bench that goes ahead anew: what the service has, and what is on
// its way. What no longer makes sense is refused.
func (c *Chair) catchUp() error {
	b := c.bench()
	for _, t := range c.talk {
		if err := follow(b, t.Event.Action, wire.Event{At: t.Event.At, Rows: t.After.Rows}); err != nil {
			return err
		}
	}
	c.waiting = slices.DeleteFunc(c.waiting, func(p *parcel) bool {
		_, err := b.Do(p.action)
		if err != nil {
			p.decide(chair.Told{}, err)
		}
		return err != nil
	})
	c.ahead = b
	return nil
}

func (p *parcel) decide(told chair.Told, err error) {
	for _, one := range p.pending {
		one.Decide(told, err)
	}
}

// Do implements chair.Chair. The aside stays here: a practical keeps none.
func (c *Chair) Do(a sitting.Action, _ sitting.Aside) *chair.Pending {
	c.mu.Lock()
	defer c.mu.Unlock()
	sent := chair.Sent(a)
	if c.gone != nil {
		return sent.Decide(chair.Told{}, c.gone)
	}
	merged := c.merges(a)
	if merged == nil && len(c.waiting) >= longest {
		return sent.Decide(chair.Told{}, errFull)
	}
	done, err := c.ahead.Do(a)
	if err != nil {
		return sent.Decide(chair.Told{}, err)
	}
	if merged != nil {
		merged.action, merged.pending = done, append(merged.pending, sent)
		return sent
	}
	c.waiting = append(c.waiting, &parcel{NewID(), done, []*chair.Pending{sent}, time.Now()})
	c.wake()
	return sent
}

// merges is what was not sent yet and is replaced by an action: the last one, when
// both turn the same thing, or change the same lens for another in the same order.
func (c *Chair) merges(a sitting.Action) *parcel {
	n := len(c.waiting)
	if n == 0 || n == 1 && c.sent {
		return nil
	}
	last := c.waiting[n-1]
	if a.Eye == "" {
		a.Eye = last.action.Eye
	}
	same := last.action.Do == a.Do && last.action.Eye == a.Eye && last.action.Cell == a.Cell
	switch a.Do {
	case sitting.Point:
		same = last.action.Do == sitting.Point
	case sitting.Turn:
	case sitting.Exchange:
		same = same && last.action.OldFirst == a.OldFirst && last.action.NewFirst == a.NewFirst && last.action.Lens.Kind == a.Lens.Kind
	default:
		return nil
	}
	if !same {
		return nil
	}
	return last
}

// NewID is 128 random bits, by which a request is known that is sent again.
func NewID() string {
	var b [16]byte
	rand.Read(b[:])
	return hex.EncodeToString(b[:])
}

func (c *Chair) wake() {
	select {
	case c.news <- struct{}{}:
	default:
	}
}

// Waits is for how long the oldest action waits that the service has not confirmed;
// false when it has confirmed all.
func (c *Chair) Waits() (since time.Duration, waits bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.waiting) == 0 {
		return 0, false
	}
	return time.Since(c.waiting[0].since), true
}

// Brief implements chair.Chair.
func (c *Chair) Brief() chair.Brief { return c.brief }

// Card implements chair.Chair.
func (c *Chair) Card() cases.Card { return c.card }

// State implements chair.Chair.
func (c *Chair) State() sitting.State {
	return looked(c, func() sitting.State { return c.ahead.State() })
}

// Pending implements chair.Chair.
func (c *Chair) Pending() []*chair.Pending {
	return looked(c, func() (all []*chair.Pending) {
		for _, p := range c.waiting {
			all = append(all, p.pending...)
		}
		return all
	})
}

// Steps implements chair.Chair: they are those that the service has counted.
func (c *Chair) Steps() sitting.Steps {
	return looked(c, func() sitting.Steps { return c.confirmed.Steps() })
}

// Events implements chair.Chair.
func (c *Chair) Events() []sitting.Event {
	return looked(c, func() (all []sitting.Event) {
		for _, t := range c.talk {
			all = append(all, t.Event)
		}
		return all
	})
}

// Talk implements chair.Chair.
func (c *Chair) Talk() []chair.Told {
	return looked(c, func() []chair.Told { return slices.Clip(c.talk) })
}

// EndPoint implements chair.Chair: it is stated once the service has it.
func (c *Chair) EndPoint(side sitting.Side) (e sitting.EndPoint, stated bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.confirmed.EndPoint(side)
}

// Questions implements chair.Chair.
func (c *Chair) Questions() []patient.Question {
	return looked(c, func() []patient.Question { return c.ahead.Questions() })
}

// looked is something of a chair, while nothing comes in.
func looked[T any](c *Chair, look func() T) T {
	c.mu.Lock()
	defer c.mu.Unlock()
	return look()
}
