package room

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"strings"

	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
)

// How long what lets candidates in is. A ticket has 12 letters of 24, which is 55
// bits, and is good once; a session has 256 bits, and 64 are enough (OWASP Session
// Management Cheat Sheet).
const (
	ticketLetters = 12
	sessionBytes  = 32
)

// hash is what is kept of a ticket or a session: who reads the store gets in with
// neither.
func (r *Room) hash(what, secret string) []byte {
	h := hmac.New(sha256.New, r.secret)
	h.Write([]byte(what + "\n" + r.plan.ID + "\n" + secret))
	return h.Sum(nil)
}

// written is a ticket as it is meant, however it was typed.
func written(ticket string) string {
	return strings.Map(func(c rune) rune {
		if c == '-' || c == ' ' {
			return -1
		}
		return c
	}, strings.ToUpper(ticket))
}

// newTicket is a ticket at random, in groups of four letters.
func newTicket() string {
	var b [24]byte
	rand.Read(b[:])
	return practical.Spell(b[:], ticketLetters)
}

// letIn keeps what lets a candidate in from now on, in place of what did. The seat is
// locked.
func (r *Room) letIn(s *seat, ticket, session []byte, tab string) error {
	kept := store.Seat{Practical: r.plan.ID, Candidate: s.candidate, Ticket: ticket, Session: session, Tab: tab}
	if err := r.store.SetSeat(kept); err != nil {
		return err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	delete(r.doors, string(s.ticket))
	delete(r.doors, string(s.session))
	s.ticket, s.session, s.tab = ticket, session, tab
	r.seats[s.candidate] = s
	for _, door := range [][]byte{ticket, session} {
		if len(door) > 0 {
			r.doors[string(door)] = s
		}
	}
	return nil
}

// shutOut takes a seat away: nothing lets in there any more.
func (r *Room) shutOut(s *seat) {
	r.mu.Lock()
	defer r.mu.Unlock()
	delete(r.seats, s.candidate)
	delete(r.doors, string(s.ticket))
	delete(r.doors, string(s.session))
}

// Enter lets a candidate in with a ticket, once, and gives the session that has the
// place from now on.
func (r *Room) Enter(ticket string) (session string, err error) {
	s, err := r.behind(r.hash("ticket", written(ticket)), func(s *seat) []byte { return s.ticket })
	if err != nil {
		return "", err
	}
	defer s.mu.Unlock()
	var b [sessionBytes]byte
	rand.Read(b[:])
	session = string(b[:])
	if err := r.letIn(s, nil, r.hash("session", session), ""); err != nil {
		return "", &wire.Problem{Kind: wire.NotKept}
	}
	_ = s.hear() // what could not be kept is, when the bench is heard next
	return session, nil
}

// Knows reports whether a session has a place here.
func (r *Room) Knows(session string) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.doors[string(r.hash("session", session))] != nil
}

// at is the seat of a session, locked, and the stage of the practical.
func (r *Room) at(session string) (*seat, Stage, error) {
	s, err := r.behind(r.hash("session", session), func(s *seat) []byte { return s.session })
	return s, r.Stage(), err
}

// behind is the seat, locked, that a key opens which has to be as it says.
func (r *Room) behind(key []byte, as func(*seat) []byte) (*seat, error) {
	r.mu.Lock()
	s := r.doors[string(key)]
	r.mu.Unlock()
	if s == nil {
		return nil, &wire.Problem{Kind: wire.NoSession}
	}
	s.mu.Lock()
	if !hmac.Equal(as(s), key) { // it was used or ended meanwhile
		s.mu.Unlock()
		return nil, &wire.Problem{Kind: wire.NoSession}
	}
	return s, nil
}
