package staff

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"errors"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode"
	"unicode/utf8"

	"conoid/cmd/internal/host/store"
	"conoid/sim/fact"
)

// How long what lets in is good for: our choice for a link; a session by the design of
// the service, which takes half an hour without a sign of life, and a long working day.
const (
	LinkLasts    = 30 * time.Minute
	SessionLasts = 8 * time.Hour
	Idle         = 30 * time.Minute
	seenAgain    = time.Minute // how exactly it is kept when somebody was there last
)

// longestName is how many letters a name has at most: initials, and not more.
const longestName = 12

// The errors of who comes in.
var (
	ErrLink   error = fact.Refuse("host.link")
	ErrName   error = fact.Refuse("host.name")
	ErrTaken  error = fact.Refuse("host.name-taken")
	ErrNobody error = fact.Refuse("host.no-person")
	ErrEnded  error = fact.Refuse("host.name-ended")
	ErrRole   error = fact.Refuse("host.role")
)

// Person is somebody of the staff.
type Person struct {
	Name  string
	Role  Role
	By    string // who asked them in; "" for a link that the service printed
	Since time.Time
	Ended bool // no longer comes in
}

// Book says who is of the staff. It is for use by many goroutines at once.
type Book struct {
	store  store.Staff
	secret []byte

	mu     sync.Mutex
	people []Person // in the order in which they came
}

// Open is the staff as the store has it; the secret is what links and sessions are
// hashed with.
func Open(s store.Staff, secret []byte) (*Book, error) {
	kept, err := s.People()
	b := &Book{store: s, secret: secret}
	for _, p := range kept {
		b.people = append(b.people, Person{p.Name, Role(p.Role), p.By, p.Since, p.Ended})
	}
	return b, err
}

// People are all who ever came in.
func (b *Book) People() []Person {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.people)
}

// hash is what is kept of a link or a session: who reads the store gets in with neither.
func (b *Book) hash(what, secret string) []byte {
	h := hmac.New(sha256.New, b.secret)
	h.Write([]byte("staff " + what + "\n" + secret))
	return h.Sum(nil)
}

// Link is a link for somebody who will name themselves; by nobody, it is for whoever
// started the service.
func (b *Book) Link(role Role, by string, now time.Time) (link string, err error) {
	if !slices.Contains(Roles, role) {
		return "", ErrRole
	}
	return b.newLink(store.Pass{Role: string(role), By: by}, now)
}

// LinkFor is a new link for somebody who is known, by somebody else.
func (b *Book) LinkFor(name, by string, now time.Time) (link string, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	i := b.find(name)
	if i < 0 || b.people[i].Ended || strings.EqualFold(name, by) {
		return "", ErrNobody
	}
	return b.newLink(store.Pass{Name: b.people[i].Name, By: by}, now)
}

func (b *Book) newLink(p store.Pass, now time.Time) (string, error) {
	link := rand.Text()
	p.Kind, p.Hash, p.Made, p.Seen = store.Link, b.hash(store.Link, link), now, now
	return link, b.store.SetPass(p)
}

// Expects is who a link is for: a role, and the name of who is known already.
func (b *Book) Expects(link string, now time.Time) (role Role, name string, err error) {
	p, err := b.link(link, now)
	if err != nil {
		return "", "", err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if i := b.find(p.Name); i >= 0 {
		return b.people[i].Role, p.Name, nil
	}
	return Role(p.Role), "", nil
}

// link is what is kept of a link that is good.
func (b *Book) link(link string, now time.Time) (store.Pass, error) {
	p, err := b.store.Pass(b.hash(store.Link, link))
	if err == nil && (p.Kind != store.Link || now.Sub(p.Made) > LinkLasts) {
		err = ErrLink
	}
	return p, err
}

// Enter lets in who has a link, once, under the name that they give themselves. One that
// was printed lets in again who came by one that was.
func (b *Book) Enter(link, name string, now time.Time) (session string, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	p, err := b.link(link, now)
	if err != nil {
		return "", err
	}
	who, err := b.entering(p, strings.TrimSpace(name), now)
	if err != nil {
		return "", err
	}
	if err := b.store.DropPass(p.Hash); err != nil {
		return "", errors.Join(ErrLink, err)
	}
	if err := b.keep(who); err != nil {
		return "", err
	}
	session = rand.Text()
	return session, b.store.SetPass(store.Pass{Kind: store.Session, Hash: b.hash(store.Session, session), Name: who.Name, By: p.By, Made: now, Seen: now})
}

// entering is who comes in by a link.
func (b *Book) entering(p store.Pass, name string, now time.Time) (Person, error) {
	if p.Name != "" {
		name = p.Name
	}
	i := b.find(name)
	switch {
	case i >= 0 && b.people[i].Ended:
		return Person{}, ErrEnded
	case i >= 0 && (p.Name != "" || p.By == "" && b.people[i].By == ""):
		return b.people[i], nil
	case i >= 0:
		return Person{}, ErrTaken
	}
	return Person{Name: name, Role: Role(p.Role), By: p.By, Since: now.Round(0)}, checkName(name)
}

// checkName says what is wrong with a short name.
func checkName(name string) error {
	if name == "" || utf8.RuneCountInString(name) > longestName || strings.ContainsFunc(name, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	}) {
		return ErrName
	}
	return nil
}

// find is the index of a person; -1 for nobody.
func (b *Book) find(name string) int {
	return slices.IndexFunc(b.people, func(p Person) bool { return name != "" && strings.EqualFold(p.Name, name) })
}

// keep keeps a person.
func (b *Book) keep(p Person) error {
	if err := b.store.SetPerson(store.Person{Name: p.Name, Role: string(p.Role), By: p.By, Since: p.Since, Ended: p.Ended}); err != nil {
		return err
	}
	if i := b.find(p.Name); i >= 0 {
		b.people[i] = p
	} else {
		b.people = append(b.people, p)
	}
	return nil
}

// Who is the person of a session that is good, who is there now.
func (b *Book) Who(session string, now time.Time) (Person, bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	p, err := b.store.Pass(b.hash(store.Session, session))
	i := b.find(p.Name)
	if err != nil || p.Kind != store.Session || i < 0 || b.people[i].Ended || now.Sub(p.Made) >= SessionLasts || now.Sub(p.Seen) >= Idle {
		return Person{}, false
	}
	if now.Sub(p.Seen) >= seenAgain {
		p.Seen = now
		if b.store.SetPass(p) != nil {
			return Person{}, false
		}
	}
	return b.people[i], true
}

// Leave ends a session.
func (b *Book) Leave(session string) error { return b.store.DropPass(b.hash(store.Session, session)) }

// End has somebody come in no longer, by somebody else.
func (b *Book) End(name, by string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	i := b.find(name)
	if i < 0 || strings.EqualFold(name, by) {
		return ErrNobody
	}
	p := b.people[i]
	p.Ended = true
	return b.keep(p)
}
