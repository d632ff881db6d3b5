package web

import (
	"context"
	"net/http"
	"strings"
	"time"

	"conoid/cmd/internal/host/staff"
	"conoid/sim/fact"
)

// staffCookie holds the session of somebody of the staff.
const staffCookie = "__Host-staff"

// inPath is where links lead.
const inPath = "/staff/in/"

// me is the key of who is signed in, in the context of a request.
type me struct{}

// meOf is who is signed in; the zero value for nobody.
func meOf(r *http.Request) staff.Person {
	p, _ := r.Context().Value(me{}).(staff.Person)
	return p
}

// session is the session of the staff that a request comes from; "" for none.
func session(r *http.Request) string {
	c, err := r.Cookie(staffCookie)
	if err != nil {
		return ""
	}
	return c.Value
}

// peoplePages are those about who is of the staff, and the way in.
type peoplePages struct{ *Staff }

// errOut says that nobody is signed in with this browser.
var errOut = fact.Refuse("host.signed-out")

// signedIn serves who has a session.
func (s *Staff) signedIn(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		p, is := s.service.Staff().Who(session(r), s.service.Now())
		if !is {
			s.refuse(w, r, errOut)
			return
		}
		if !s.sessions.takes(session(r), s.service.Now()) {
			s.refuse(w, r, errFlood)
			return
		}
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), me{}, p)))
	})
}

// doorPage is where a link leads.
type doorPage struct {
	frame
	Link string
	Name string // of who is known; "" asks for one
	Role staff.Role
}

// trying serves who comes by a link. From where too many were tried wrongly none is looked
// at.
func (s peoplePages) trying(do http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if !s.links.has(addressOf(r), s.service.Now()) {
			s.refuse(w, r, errFlood)
			return
		}
		do(w, r)
	}
}

// door asks who comes by a link. Only the form uses it up: what fetches pages ahead does
// not.
func (s peoplePages) door(w http.ResponseWriter, r *http.Request) { s.doorSaying(w, r, nil) }

func (s peoplePages) doorSaying(w http.ResponseWriter, r *http.Request, err error) {
	p := doorPage{Link: r.URL.Path}
	role, name, bad := s.service.Staff().Expects(r.PathValue("link"), s.service.Now())
	who, in := s.service.Staff().Who(session(r), s.service.Now())
	if in && bad != nil { // they went back to it
		http.Redirect(w, r, "/staff/", http.StatusSeeOther)
		return
	}
	if in {
		err = errSignedIn
	}
	if bad != nil {
		s.links.takes(addressOf(r), s.service.Now())
		s.refuse(w, r, bad)
		return
	}
	p.Role, p.Name = role, name
	var status int
	p.frame, status = s.frame(r, err)
	p.Me = who // who can sign out there
	s.page(w, r, status, "door", p)
}

// errSignedIn says that somebody is signed in with this browser.
var errSignedIn = fact.Refuse("host.signed-in")

// enter lets in who has a link. A browser in which somebody is signed in lets nobody else
// in: who works for two people has to mean it.
func (s peoplePages) enter(w http.ResponseWriter, r *http.Request) {
	now := s.service.Now()
	if _, is := s.service.Staff().Who(session(r), now); is {
		s.doorSaying(w, r, errSignedIn)
		return
	}
	session, err := s.service.Staff().Enter(r.PathValue("link"), r.FormValue("name"), now)
	if err != nil {
		s.doorSaying(w, r, err)
		return
	}
	setSession(w, session, int(staff.SessionLasts/time.Second))
	http.Redirect(w, r, "/staff/", http.StatusSeeOther)
}

func setSession(w http.ResponseWriter, session string, age int) {
	http.SetCookie(w, &http.Cookie{
		Name: staffCookie, Value: session, Path: "/", Secure: true, HttpOnly: true, SameSite: http.SameSiteLaxMode, MaxAge: age,
	})
}

// leave signs somebody out.
func (s peoplePages) leave(w http.ResponseWriter, r *http.Request) {
	if err := s.service.Staff().Leave(session(r)); err != nil {
		s.refuse(w, r, err)
		return
	}
	setSession(w, "", -1)
	s.page(w, r, http.StatusOK, "out", frame{})
}

// peoplePage is who is of the staff.
type peoplePage struct {
	frame
	People  []staff.Person
	Roles   []staff.Role
	Link    string // that was made; "" for none
	For     staff.Role
	ForName string
}

func (s peoplePages) people(w http.ResponseWriter, r *http.Request) {
	s.peopleSaying(w, r, peoplePage{}, nil)
}

func (s peoplePages) peopleSaying(w http.ResponseWriter, r *http.Request, p peoplePage, err error) {
	var status int
	p.frame, status = s.frame(r, err)
	p.People, p.Roles = s.service.Staff().People(), staff.Roles
	s.page(w, r, status, "people", p)
}

// invite makes a link: for somebody who is known, or in a role for somebody who is not.
func (s peoplePages) invite(w http.ResponseWriter, r *http.Request) {
	p := peoplePage{For: staff.Role(r.FormValue("role")), ForName: strings.TrimSpace(r.FormValue("name"))}
	book, by, now := s.service.Staff(), meOf(r).Name, s.service.Now()
	var link string
	var err error
	if p.ForName != "" {
		link, err = book.LinkFor(p.ForName, by, now)
	} else {
		link, err = book.Link(p.For, by, now)
	}
	if err == nil {
		p.Link = origin(r) + inPath + link
	}
	s.peopleSaying(w, r, p, err)
}

// end has somebody come in no longer.
func (s peoplePages) end(w http.ResponseWriter, r *http.Request) {
	if err := s.service.Staff().End(r.FormValue("name"), meOf(r).Name); err != nil {
		s.peopleSaying(w, r, peoplePage{}, err)
		return
	}
	http.Redirect(w, r, "/staff/people", http.StatusSeeOther)
}

// origin is the address of the service, as the browser has it.
func origin(r *http.Request) string {
	if r.TLS != nil {
		return "https://" + r.Host
	}
	return "http://" + r.Host
}
