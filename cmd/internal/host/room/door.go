package room

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"

	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
)

// hash is what is kept of a ticket or a session: who reads the store gets in with
// neither.
func (r *Room) hash(what, secret string) []byte {
	h := hmac.New(sha256.New, r.secret)
	h.Write([]byte(what + "\n" + r.plan.ID + "\n" + secret))
	return h.Sum(nil)
}

// newTicket is a ticket at random, in groups of four letters.
func newTicket() string {
	var b [24]byte
	rand.Read(b[:])
	return practical.Spell(b[:], wire.TicketLetters)
}

// letIn keeps what lets a candidate in from now on, in place of what did. The seat is
// locked.
func (r *Room) letIn(s *seat, ticket, session []byte, tab string) error {
	kept := store.Seat{Practical: r.plan.ID, Candidate: s.candidate, Ticket: ticket, Session: session, Tab: tab}
	if err := r.store.SetSeat(kept); err != nil {
		return err
	}
	s.opensTo(kept)
	return nil
}

// opensTo has that let in at a seat which is kept of it, in place of what did.
func (s *seat) opensTo(kept store.Seat) {
	r := s.r
	r.mu.Lock()
	defer r.mu.Unlock()
	delete(r.doors, string(s.ticket))
	delete(r.doors, string(s.session))
	s.way = way{kept.Ticket, kept.Session, kept.Tab}
	s.time.hidden.says(false) // that was another page
	r.seats[s.candidate] = s
	r.opens(s)
}

// opens has that lead to a seat which lets in there; for who holds mu.
func (r *register) opens(s *seat) {
	for _, door := range [][]byte{s.ticket, s.session} {
		if len(door) > 0 {
			r.doors[string(door)] = s
		}
	}
}

// shutOut takes a seat away, which is locked: nothing lets in there any more.
func (r *register) shutOut(s *seat) {
	r.mu.Lock()
	defer r.mu.Unlock()
	delete(r.seats, s.candidate)
	delete(r.doors, string(s.ticket))
	delete(r.doors, string(s.session))
	s.ticket, s.session = nil, nil // for whoever was at the door already
}

// Enter lets a candidate in with a ticket, once, and gives the session that has the
// place from now on. The same ticket with the same ID of a request is answered again,
// with the same session, until a page has claimed the place: the reply may have been lost.
func (r *Room) Enter(ticket, id string) (session string, err error) {
	if id == "" || len(id) > longestID {
		return "", &wire.Problem{Kind: wire.Malformed}
	}
	session = sessionOf(r, ticket, id)
	key := r.hash("session", session)
	s, err := r.behind(r.hash("ticket", wire.Written(ticket)), func(s *seat) []byte { return s.ticket })
	if err != nil {
		if s, err = r.behind(key, func(s *seat) []byte { return s.entered() }); err != nil {
			return "", err
		}
		s.mu.Unlock()
		return session, nil
	}
	defer s.mu.Unlock()
	if err := r.letIn(s, nil, key, ""); err != nil {
		return "", &wire.Problem{Kind: wire.NotKept}
	}
	_ = s.hear() // what could not be kept is, when the bench is heard next
	return session, nil
}

// Leave gives the place of a session up, which lets nobody in from then on: at that machine
// another ticket is to be typed. Only who can do nothing there any more does.
func Leave(r *Room, session string) error {
	s, stage, err := r.at(session)
	if err != nil {
		return err
	}
	defer s.mu.Unlock()
	if !s.attempt.over() && !stage.Over() {
		return s.not(wire.NotNow, stage)
	}
	return notKept(r.letIn(s, nil, nil, ""))
}

// sessionOf is the session that a ticket gives to who uses it with an ID: made of both
// by a key that only the service has, so that nothing has to be kept to give it again.
// It is no easier to guess than the ID and the key are.
func sessionOf(r *Room, ticket, id string) string {
	return string(r.hash("enter", wire.Written(ticket)+"\n"+id))
}

// way is what lets in at a seat.
type way struct {
	ticket, session []byte // hashes
	tab             string // the page that has claimed the place; "" before one has
}

// entered is the session that came in, until a page has claimed its place.
func (w *way) entered() []byte {
	if w.tab != "" {
		return nil
	}
	return w.session
}

// Knows reports whether a session has a place here.
func (r *Room) Knows(session string) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.doors[string(r.hash("session", session))] != nil
}

// at is the seat of a session, locked, and the stage of the practical, at which the time
// stands still where its notes are broken.
func (r *Room) at(session string) (*seat, Stage, error) {
	s, err := r.behind(r.hash("session", session), func(s *seat) []byte { return s.session })
	stage := r.Stage()
	if stage == Open && r.Broken() != nil {
		stage = Held
	}
	return s, stage, err
}

// behind is the seat, locked, that a key opens which has to be as it says.
func (r *Room) behind(key []byte, as func(*seat) []byte) (*seat, error) {
	for range 2 { // the seats may be read again meanwhile
		r.mu.Lock()
		s := r.doors[string(key)]
		r.mu.Unlock()
		if s == nil {
			break
		}
		s.mu.Lock()
		if r.unsure.Load() != nil {
			s.mu.Unlock()
			return nil, &wire.Problem{Kind: wire.NotKept}
		}
		if hmac.Equal(as(s), key) { // else it was used or ended meanwhile
			return s, nil
		}
		s.mu.Unlock()
	}
	return nil, &wire.Problem{Kind: wire.NoSession}
}
