package exam

import (
	"context"
	"crypto/rand"
	"errors"
	"sync"
	"time"

	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/line"
	"conoid/sim/fact"
)

// How often the service is asked how things stand, where nothing is done: our choice.
const (
	lobbyAsks = 2 * time.Second
	overAsks  = 15 * time.Second
	beats     = 5 * time.Second // a third of the silence after which a candidate is lost
)

// service is the service as a screen uses it: requests go out one at a time, and what
// came of them is looked at in the next frame.
type service struct {
	sender line.Sender
	tab    string
	stop   context.CancelFunc // of the chair that sends; nil for none
	waited time.Duration

	mu    sync.Mutex
	asks  bool
	news  bool // something was said that no screen has looked at
	said  *wire.Seat
	clock wire.Clock
	at    time.Time // when that was said
	err   error
}

func newService(s line.Sender) *service { return &service{sender: s, tab: rand.Text()} }

// ask has something asked, unless something is being asked already.
func (s *service) ask(quiet bool, what func(context.Context) (wire.Seat, error)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.asks {
		return
	}
	s.asks = true
	go func() {
		said, err := what(context.Background())
		s.mu.Lock()
		defer s.mu.Unlock()
		s.asks, s.news = false, true
		switch {
		case err == nil && said.Stage == wire.Door:
			s.said = nil
		case err == nil:
			s.said, s.clock, s.at = &said, said.Clock, time.Now()
		case nobody(err):
			s.said = nil
			fallthrough
		default:
			if !quiet {
				s.err = inWords(err)
			}
		}
	}()
}

// nobody reports whether an error says that the session has no place any more.
func nobody(err error) bool {
	var p *wire.Problem
	return errors.As(err, &p) && p.Kind == wire.NoSession
}

// inWords is why something was not done, for people.
func inWords(err error) error {
	var p *wire.Problem
	if !errors.As(err, &p) {
		return fact.Because(err, "served.unheard")
	}
	switch p.Kind {
	case wire.NoSession:
		return fact.Refuse("served.no-session")
	case wire.Elsewhere:
		return fact.Refuse("served.elsewhere")
	case wire.Held:
		return fact.Refuse("served.held")
	case wire.NotNow:
		return fact.Refuse("served.not-now")
	case wire.TooMany:
		return fact.Refuse("served.too-many")
	}
	return fact.Refuse("served.not-done")
}

func (s *service) posts(ctx context.Context, path string, value any) (wire.Seat, error) {
	return line.Ask[wire.Seat](ctx, s.sender, "POST", path, value)
}

// enter enters with a ticket, and takes the place for this page.
func (s *service) enter(ticket string) {
	s.ask(false, func(ctx context.Context) (wire.Seat, error) {
		if _, err := s.posts(ctx, wire.EnterPath, wire.Enter{Ticket: ticket}); err != nil {
			return wire.Seat{}, err
		}
		return s.posts(ctx, wire.ClaimPath, wire.Tab{Tab: s.tab})
	})
}

// look asks how things stand; at first the place is taken for this page.
func (s *service) look(first bool) {
	s.ask(true, func(ctx context.Context) (wire.Seat, error) {
		said, err := line.Ask[wire.Seat](ctx, s.sender, "GET", wire.StatePath, nil)
		if first && err == nil && said.Stage != wire.Door {
			return s.posts(ctx, wire.ClaimPath, wire.Tab{Tab: s.tab})
		}
		return said, err
	})
}

// begin begins the next case.
func (s *service) begin() {
	s.ask(false, func(ctx context.Context) (wire.Seat, error) {
		return s.posts(ctx, wire.BeginPath, wire.Tab{Tab: s.tab})
	})
}

// wait asks again after a while, where something may come of itself: at the end, the
// marks.
func (s *service) wait(spent time.Duration, said *wire.Seat) {
	every := lobbyAsks
	if said.Stage == wire.Over {
		every = overAsks
	}
	if s.waited += spent; s.waited >= every && said.Points == nil {
		s.waited = 0
		s.look(false)
	}
}

// heard is what the service said last, and once why something was not done.
func (s *service) heard() (*wire.Seat, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	err := s.err
	s.err = nil
	return s.said, err
}

// fresh reports, once, that something was said.
func (s *service) fresh() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	news := s.news
	s.news = false
	return news
}

func (s *service) busy() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.asks
}

// run has a chair send what is done at it.
func (s *service) run(c *line.Chair) {
	var ctx context.Context
	ctx, s.stop = context.WithCancel(context.Background())
	go c.Run(ctx, s.sender, s.tab, s.hear)
	go s.beat(ctx)
}

// beat says that the page is there, until the context ends.
func (s *service) beat(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(beats):
		}
		if c, err := line.Ask[wire.Clock](ctx, s.sender, "POST", wire.BeatPath, wire.Tab{Tab: s.tab}); err == nil {
			s.hear(c)
		} else if p := (*wire.Problem)(nil); errors.As(err, &p) && (p.Kind == wire.Elsewhere || p.Kind == wire.NoSession) {
			s.mu.Lock()
			s.said, s.err = nil, inWords(err)
			s.mu.Unlock()
			return
		}
	}
}

// hear takes in how the time stands.
func (s *service) hear(c wire.Clock) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.clock, s.at = c, time.Now()
}

// now is how the time stands by now.
func (s *service) now() wire.Clock {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.clock
	if c.Stage != wire.Running || c.Held {
		return c
	}
	since := time.Since(s.at)
	c.Elapsed += since
	if c.Left != nil {
		left := max(0, *c.Left-since)
		c.Left = &left
	}
	return c
}

// leave ends what is sent for a case, and asks how things stand then.
func (s *service) leave() {
	if s.stop != nil {
		s.stop()
		s.stop = nil
	}
	s.mu.Lock()
	if s.said != nil {
		said := *s.said
		said.Patient, said.Stage = nil, ""
		s.said = &said
	}
	s.mu.Unlock()
	s.look(false)
}
