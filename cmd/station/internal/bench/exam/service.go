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

// How often the service is asked how things stand, where nothing is done, and how often it
// is told that the page is there: our choice. Whether it is hidden is looked at more often.
const (
	lobbyAsks = 2 * time.Second
	overAsks  = 15 * time.Second
	beats     = wire.Silent / 3
	looks     = time.Second
)

// service is the service as a screen uses it: requests go out one at a time, and what
// came of them is looked at in the next frame.
type service struct {
	sender line.Sender
	hidden func() bool // whether nobody can see the page
	tab    string
	stop   context.CancelFunc // of the chair that sends; nil for none
	waited time.Duration
	door   door

	mu    sync.Mutex
	asked asked
	known bool // the service has said whether the page has a place
	left  bool // the place was left, which is nothing to be told of
	news  bool // something was said that no screen has looked at
	said  *wire.Seat
	clock wire.Clock
	at    time.Time // when that was said, or the page came
	err   error
}

// asked is what is being asked.
type asked struct {
	n     int                // counts what was asked
	quit  context.CancelFunc // nil when nothing is
	deed  bool               // somebody did something, and waits for it
	since time.Time
}

// door is how far this page has come with a ticket.
type door struct {
	ticket, id string
	in         bool // it was let in, and may not have the place yet
}

func newService(s line.Sender, hidden func() bool) *service {
	if hidden == nil {
		hidden = func() bool { return false }
	}
	return &service{sender: s, hidden: hidden, tab: rand.Text(), at: time.Now()}
}

// asking is what is asked of the service, and gives how things stand then.
type asking func(context.Context) (wire.Seat, error)

// ask has something asked. What somebody does comes before a look at how things stand,
// which may hang; nothing else is asked while something is.
func (s *service) ask(deed bool, what asking) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.asked.quit != nil {
		if !deed || s.asked.deed {
			return
		}
		s.asked.quit()
	}
	ctx, quit := context.WithCancel(context.Background())
	s.asked = asked{s.asked.n + 1, quit, deed, time.Now()}
	n := s.asked.n
	go func() {
		said, err := what(ctx)
		quit()
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.asked.n == n {
			s.asked.quit, s.news = nil, true
			s.take(deed, said, err)
		}
	}()
}

// take takes in what came of what was asked.
func (s *service) take(deed bool, said wire.Seat, err error) {
	sat := s.said != nil
	switch {
	case err == nil && said.Stage != wire.Door:
		s.known, s.said, s.clock, s.at = true, &said, said.Clock, time.Now()
	case err == nil || nobody(err):
		s.known, s.said = true, nil
		if s.left {
			s.left = false
		} else if sat {
			s.err = errEnded
		} else if deed {
			s.err = fact.Refuse("served.no-session")
		}
	case deed:
		s.err = inWords(err)
	}
}

// errEnded says that the page has no place any more.
var errEnded = fact.Refuse("served.ended")

// nobody reports whether an error says that the session has no place any more.
func nobody(err error) bool {
	var p *wire.Problem
	return errors.As(err, &p) && p.Kind == wire.NoSession
}

// inWords is why something was not done, for people.
func inWords(err error) error {
	var p *wire.Problem
	if errors.Is(err, line.ErrUnfit) {
		return line.ErrUnfit
	}
	if !errors.As(err, &p) {
		return fact.Because(err, "served.unheard")
	}
	switch p.Kind {
	case wire.NoSession:
		return errEnded
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

// insists posts a few times, until it is answered.
func (s *service) insists(ctx context.Context, path string, value any) (wire.Seat, error) {
	return line.Insist(ctx, func() (wire.Seat, error) { return s.posts(ctx, path, value) })
}

// enter enters with a ticket, and takes the place for this page. The same ticket is sent
// with the same ID, so that it lets in again where the reply was lost.
func (s *service) enter(ticket string) {
	s.ask(true, func(ctx context.Context) (wire.Seat, error) {
		if s.door.ticket != ticket {
			s.door = door{ticket: ticket, id: line.NewID()}
		}
		if !s.door.in {
			if _, err := s.insists(ctx, wire.EnterPath, wire.Enter{Ticket: ticket, ID: s.door.id}); err != nil {
				return wire.Seat{}, err
			}
		}
		s.door.in = true
		said, err := s.claim(ctx)
		if err == nil || nobody(err) {
			s.door = door{}
		}
		return said, err
	})
}

// claim takes the place for this page.
func (s *service) claim(ctx context.Context) (wire.Seat, error) {
	return s.insists(ctx, wire.ClaimPath, wire.Tab{Tab: s.tab})
}

func (s *service) state(ctx context.Context) (wire.Seat, error) {
	return line.Ask[wire.Seat](ctx, s.sender, "GET", wire.StatePath, nil)
}

// look asks how things stand.
func (s *service) look() { s.ask(false, s.state) }

// comes asks whether the page has a place already, and takes it.
func (s *service) comes() {
	s.ask(false, func(ctx context.Context) (wire.Seat, error) {
		said, err := s.state(ctx)
		if err == nil && said.Stage != wire.Door {
			return s.claim(ctx)
		}
		return said, err
	})
}

// another leaves the place, so that another ticket can be typed.
func (s *service) another() {
	s.ask(true, func(ctx context.Context) (wire.Seat, error) {
		said, err := s.insists(ctx, wire.LeavePath, wire.Tab{Tab: s.tab})
		s.mu.Lock()
		defer s.mu.Unlock()
		s.left = err == nil || nobody(err)
		return said, err
	})
}

// begin begins the next case.
func (s *service) begin() {
	s.ask(true, func(ctx context.Context) (wire.Seat, error) {
		return s.insists(ctx, wire.BeginPath, wire.Tab{Tab: s.tab})
	})
}

// wait asks again after a while, where something may come of itself: at the end the
// marks, or that the place is no more. A page that nobody has told whether it has a place
// asks for that.
func (s *service) wait(spent time.Duration, said *wire.Seat) {
	every := lobbyAsks
	if said != nil && said.Stage == wire.Over {
		every = overAsks
	}
	if s.waited += spent; s.waited < every {
		return
	}
	s.waited = 0
	switch {
	case said == nil && !s.knows():
		s.comes()
	case said != nil:
		s.look()
	}
}

// knows reports whether the service has said whether the page has a place.
func (s *service) knows() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.known
}

// waits is for how long somebody waits for what they did.
func (s *service) waits() (since time.Duration, waits bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.asked.quit == nil || !s.asked.deed {
		return 0, false
	}
	return time.Since(s.asked.since), true
}

// quiet is for how long the service has said nothing of how things stand.
func (s *service) quiet() time.Duration {
	s.mu.Lock()
	defer s.mu.Unlock()
	return time.Since(s.at)
}

// heard is what the service said last, and once why something was not done.
func (s *service) heard() (*wire.Seat, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	err := s.err
	s.err = nil
	return s.said, err
}

// stands is what the service said last, for who does not tell why something was not done.
func (s *service) stands() *wire.Seat {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.said
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
	return s.asked.quit != nil
}

// run has a chair send what is done at it.
func (s *service) run(c *line.Chair) {
	var ctx context.Context
	ctx, s.stop = context.WithCancel(context.Background())
	go c.Run(ctx, s.sender, s.tab, s.hear)
	go s.beat(ctx)
}

// beat says that the page is there, and at once when it is hidden or can be seen again,
// until the context ends.
func (s *service) beat(ctx context.Context) {
	last, was := time.Now(), false
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(looks):
		}
		hidden := s.hidden()
		if hidden == was && time.Since(last) < beats {
			continue
		}
		last = time.Now()
		c, err := s.tells(ctx, hidden)
		if err == nil {
			was = hidden
			s.hear(c)
		} else if p := (*wire.Problem)(nil); errors.As(err, &p) && (p.Kind == wire.Elsewhere || p.Kind == wire.NoSession) {
			s.mu.Lock()
			s.said, s.err = nil, inWords(err)
			s.mu.Unlock()
			return
		}
	}
}

// tells sends one beat. The next one does not wait for a reply that does not come.
func (s *service) tells(ctx context.Context, hidden bool) (wire.Clock, error) {
	ctx, stop := context.WithTimeout(ctx, beats)
	defer stop()
	return line.Ask[wire.Clock](ctx, s.sender, "POST", wire.BeatPath, wire.Tab{Tab: s.tab, Hidden: hidden})
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
	since := min(time.Since(s.at), wire.Silent) // then the time stands still there
	c.Elapsed += since
	if c.Left != nil {
		left := max(0, *c.Left-since)
		c.Left = &left
	}
	return c
}

// limitAt is the time that there is at a service for the case under way; false where there is
// no limit.
func limitAt(s *service) (time.Duration, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.clock.Stage != wire.Running || s.clock.Left == nil {
		return 0, false
	}
	return s.clock.Elapsed + *s.clock.Left, true
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
		if s.clock.Number != "" {
			said.Candidate = s.clock.Number
		}
		s.said = &said
	}
	s.mu.Unlock()
	s.look()
}
