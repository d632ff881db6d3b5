// Package web is the service over HTTP: what a candidate's bench asks for, and the
// pages of the staff. It knows requests, cookies and limits; what is decided is
// decided in package room.
package web

import (
	"encoding/base64"
	"encoding/json"
	"errors"
	"net/http"
	"time"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/wire"
)

// cookie holds a candidate's session. The prefix has browsers take it from this
// host alone, for all paths, and never over a line that can be listened to
// (RFC 6265bis, 4.1.3.2).
const cookie = "__Host-seat"

// mostBody is the largest request of a bench, in bytes: our choice.
const mostBody = 16 << 10

// Seats answers the benches of the candidates of some rooms. The clock says what time
// it is; wait waits until a reply may leave.
type Seats struct {
	Rooms func() []*room.Room
	Now   func() time.Time
	Wait  func(since time.Time)
}

// Handler has the candidates' requests.
func (s Seats) Handler() http.Handler {
	a := answering{s, newLimits(), http.NewServeMux()}
	a.HandleFunc("POST "+wire.EnterPath, a.enter)
	a.HandleFunc("GET "+wire.StatePath, a.state)
	a.HandleFunc("POST "+wire.LeavePath, a.leave)
	posted(a, wire.ClaimPath, func(x *room.Room, session string, t wire.Tab) (any, error) { return x.Claim(session, t.Tab) })
	posted(a, wire.BeginPath, func(x *room.Room, session string, t wire.Tab) (any, error) { return x.Begin(session, t.Tab) })
	posted(a, wire.BeatPath, func(x *room.Room, session string, t wire.Tab) (any, error) { return x.Beat(session, t.Tab, t.Hidden) })
	posted(a, wire.ActPath, func(x *room.Room, session string, act wire.Act) (any, error) { return x.Act(session, act) })
	return s.padded(s.limited(a.limits, http.NewCrossOriginProtection().Handler(a)))
}

// answering are seats whose requests are counted.
type answering struct {
	Seats
	*limits
	*http.ServeMux
}

// posted answers a request that brings a value.
func posted[T any](a answering, path string, do func(x *room.Room, session string, value T) (any, error)) {
	a.HandleFunc("POST "+path, func(w http.ResponseWriter, r *http.Request) {
		var value T
		if err := read(w, r, &value); err != nil {
			say(w, nil, err)
			return
		}
		a.reply(w, r, func(x *room.Room, session string) (any, error) { return do(x, session, value) })
	})
}

// state says how things stand, to those without a place too.
func (a answering) state(w http.ResponseWriter, r *http.Request) {
	if a.at(sessionOf(r)) == nil {
		say(w, wire.Seat{Clock: wire.Clock{Stage: wire.Door}}, nil)
		return
	}
	a.reply(w, r, func(x *room.Room, session string) (any, error) { return x.Seat(session) })
}

// read reads what a request brings.
func read(w http.ResponseWriter, r *http.Request, value any) error {
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, mostBody))
	d.DisallowUnknownFields()
	if err := d.Decode(value); err != nil || d.More() {
		return &wire.Problem{Kind: wire.Malformed}
	}
	return nil
}

// reply says what comes of a request of the session in its cookie.
func (a answering) reply(w http.ResponseWriter, r *http.Request, do func(x *room.Room, session string) (any, error)) {
	session := sessionOf(r)
	x := a.at(session)
	if x == nil {
		say(w, nil, &wire.Problem{Kind: wire.NoSession})
		return
	}
	if !a.sessions.takes(session, a.Now()) {
		say(w, nil, errTooMany)
		return
	}
	value, err := do(x, session)
	say(w, value, err)
}

// at is the room that a session has a place in; nil when there is none.
func (s Seats) at(session string) *room.Room {
	for _, x := range s.Rooms() {
		if x.Knows(session) {
			return x
		}
	}
	return nil
}

// sessionOf is the session that a request comes from; "" for none.
func sessionOf(r *http.Request) string {
	c, err := r.Cookie(cookie)
	if err != nil {
		return ""
	}
	session, err := base64.RawURLEncoding.DecodeString(c.Value)
	if err != nil {
		return ""
	}
	return string(session)
}

// enter lets in who has a ticket. From where too many were tried wrongly none is looked
// at, so that nobody can go through them.
func (a answering) enter(w http.ResponseWriter, r *http.Request) {
	var e wire.Enter
	if err := read(w, r, &e); err != nil {
		say(w, nil, err)
		return
	}
	from, now := addressOf(r), a.Now()
	if !a.tickets.has(from, now) {
		say(w, nil, errTooMany)
		return
	}
	x, session, err := a.admits(e)
	if err != nil {
		if nobody(err) {
			a.tickets.takes(from, now)
		}
		say(w, nil, err)
		return
	}
	http.SetCookie(w, cookieOf(session))
	value, err := x.Seat(session)
	say(w, value, err)
}

// cookieOf is the cookie with a session.
func cookieOf(session string) *http.Cookie {
	return &http.Cookie{
		Name: cookie, Value: base64.RawURLEncoding.EncodeToString([]byte(session)), Path: "/",
		Secure: true, HttpOnly: true, SameSite: http.SameSiteStrictMode,
	}
}

// leave has whoever is through leave the place. The browser forgets the session, whether
// there is still a place with it or not.
func (a answering) leave(w http.ResponseWriter, r *http.Request) {
	if err := read(w, r, &wire.Tab{}); err != nil {
		say(w, nil, err)
		return
	}
	session := sessionOf(r)
	if x := a.at(session); x != nil {
		if !a.sessions.takes(session, a.Now()) {
			say(w, nil, errTooMany)
			return
		}
		if err := room.Leave(x, session); err != nil && !nobody(err) {
			say(w, nil, err)
			return
		}
	}
	gone := cookieOf("")
	gone.MaxAge = -1
	http.SetCookie(w, gone)
	say(w, wire.Seat{Clock: wire.Clock{Stage: wire.Door}}, nil)
}

// admits is the room that a ticket lets into, and the session that it gives there.
func (s Seats) admits(e wire.Enter) (x *room.Room, session string, err error) {
	err = &wire.Problem{Kind: wire.NoSession}
	for _, x = range s.Rooms() {
		if session, err = x.Enter(e.Ticket, e.ID); err == nil || !nobody(err) {
			break
		}
	}
	return x, session, err
}

// nobody reports whether an error says that a ticket lets nobody in.
func nobody(err error) bool {
	var p *wire.Problem
	return errors.As(err, &p) && p.Kind == wire.NoSession
}

// statuses are those of the kinds of problems.
var statuses = map[wire.Kind]int{
	wire.NoSession: http.StatusUnauthorized,
	wire.Elsewhere: http.StatusConflict,
	wire.Behind:    http.StatusConflict,
	wire.Ahead:     http.StatusConflict,
	wire.Refused:   http.StatusUnprocessableEntity,
	wire.Held:      http.StatusLocked,
	wire.NotNow:    http.StatusGone,
	wire.NotKept:   http.StatusServiceUnavailable,
	wire.Malformed: http.StatusBadRequest,
	wire.TooMany:   http.StatusTooManyRequests,
}

// say writes a reply. Of an error no more is said than which kind it is of: its cause
// is for the service's own log.
func say(w http.ResponseWriter, value any, err error) {
	status := http.StatusOK
	if err != nil {
		p := &wire.Problem{Kind: wire.NotKept}
		errors.As(err, &p)
		value, status = p, statuses[p.Kind]
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(value) // the bench asks again when it did not come
}
