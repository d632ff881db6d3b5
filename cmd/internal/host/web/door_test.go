package web_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/web"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// front is a service without a network, at a time that the test gives.
type front struct {
	*room.Room
	http.Handler
	t    testing.TB
	disk *storetest.Brittle
	now  time.Time
	from string // the address that requests come from
}

var onePatient = sync.OnceValue(func() *practical.Plan {
	k, err := practical.NewKeys()
	if err != nil {
		panic(err)
	}
	c := cases.Library()[0]
	plan, err := practical.New(practical.Plan{Title: "Friday", Cases: []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}}}, k)
	if err != nil {
		panic(err)
	}
	return plan
})

// newFront is a service at which a practical is open.
func newFront(t testing.TB, wait func(time.Time)) *front {
	f := &front{t: t, disk: &storetest.Brittle{Store: storetest.NewMemory()}, now: morning, from: "192.0.2.1:5000"}
	var err error
	f.Room, err = room.New(onePatient(), []byte("sealed"), f.disk, []byte("secret"), f.now)
	require.NoError(t, err)
	require.NoError(t, f.Move(room.Opened, "", "", f.now))
	f.Handler = web.Seats{Rooms: func() []*room.Room { return []*room.Room{f.Room} }, Now: func() time.Time { return f.now }, Wait: wait}.Handler()
	return f
}

func at(time.Time) {} // once

// page is a page of a browser, which keeps its cookie.
type page struct {
	f      *front
	cookie string
	tab    string
}

func (f *front) page(tab string) *page { return &page{f: f, tab: tab} }

// sends sends a request as it is.
func (p *page) sends(method, path, body string, header ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "https://service.example", bytes.NewReader([]byte(body)))
	r.URL.Path, r.RemoteAddr = path, p.f.from
	r.Header.Set("Cookie", p.cookie)
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	p.f.ServeHTTP(w, r)
	if c := w.Result().Header.Get("Set-Cookie"); c != "" {
		p.cookie, _, _ = strings.Cut(c, ";")
	}
	return w
}

// posts posts a value; the kind is that of the problem, or "".
func (p *page) posts(path string, value any) (*httptest.ResponseRecorder, wire.Kind) {
	body, err := json.Marshal(value)
	require.NoError(p.f.t, err)
	w := p.sends("POST", path, string(body))
	return w, kindOf(w)
}

func kindOf(w *httptest.ResponseRecorder) wire.Kind {
	var p wire.Problem
	if w.Code == http.StatusOK || json.Unmarshal(w.Body.Bytes(), &p) != nil {
		return ""
	}
	return p.Kind
}

func (p *page) claims() (*httptest.ResponseRecorder, wire.Kind) {
	return p.posts(wire.ClaimPath, wire.Tab{Tab: p.tab})
}

// shows does an action that is always possible.
func (p *page) shows(n int) (*httptest.ResponseRecorder, wire.Kind) {
	return p.posts(wire.ActPath, wire.Act{Tab: p.tab, Place: 1, N: n, ID: fmt.Sprint(n), Action: sitting.Action{Do: sitting.Show, Chart: chart.Fan}})
}

func (f *front) ticket(number string) string {
	ticket, err := f.Ticket(number, "", "", f.now)
	require.NoError(f.t, err)
	return ticket
}

// seated is a page whose candidate examines.
func (f *front) seated(number, tab string) *page {
	p := f.page(tab)
	_, kind := p.posts(wire.EnterPath, wire.Enter{Ticket: f.ticket(number), ID: tab})
	require.Empty(f.t, kind)
	require.NoError(f.t, f.Admit(number, "", f.now))
	_, kind = p.claims()
	require.Empty(f.t, kind)
	_, kind = p.posts(wire.BeginPath, wire.Tab{Tab: tab})
	require.Empty(f.t, kind)
	return p
}

// A bench that sends as fast as it can is answered; one that sends more is told so, and
// the others are answered all the same.
func TestASessionThatSendsTooMuch(t *testing.T) {
	f := newFront(t, at)
	a, b := f.seated("A7", "a"), f.seated("B2", "b")
	f.now = f.now.Add(time.Minute)
	for n := 1; n <= 40; n++ {
		_, kind := a.shows(n)
		require.Empty(t, kind, n)
	}
	w, kind := a.shows(41)
	assert.Equal(t, wire.TooMany, kind)
	assert.Equal(t, http.StatusTooManyRequests, w.Code)
	assert.Equal(t, http.StatusTooManyRequests, a.sends("GET", wire.StatePath, "").Code)
	_, kind = b.shows(1)
	assert.Empty(t, kind)
	f.now = f.now.Add(time.Second/20 - time.Millisecond)
	_, kind = a.shows(41)
	assert.Equal(t, wire.TooMany, kind)
	f.now = f.now.Add(time.Millisecond)
	_, kind = a.shows(41)
	assert.Empty(t, kind)
	_, kind = a.shows(42)
	assert.Equal(t, wire.TooMany, kind)
	for n := 42; n < 142; n++ { // as a bench does, whose replies take a tenth of a second
		f.now = f.now.Add(time.Second / 10)
		_, kind = a.shows(n)
		require.Empty(t, kind)
	}
}

// A flood from one address is answered up to what a school sends, and other addresses
// are answered as if there were none.
func TestAFloodFromOneAddress(t *testing.T) {
	f := newFront(t, at)
	a := f.seated("A7", "a")
	f.now = f.now.Add(time.Minute)
	flood := f.page("")
	for range 4000 {
		require.Equal(t, http.StatusOK, flood.sends("GET", wire.StatePath, "").Code)
	}
	for _, path := range []string{wire.StatePath, "/s/nowhere"} {
		assert.Equal(t, http.StatusTooManyRequests, flood.sends("GET", path, "").Code)
	}
	_, kind := a.shows(1)
	assert.Equal(t, wire.TooMany, kind, "the address is the same")
	f.from = "192.0.2.2:5000"
	_, kind = a.shows(1)
	assert.Empty(t, kind)
	f.from, f.now = "192.0.2.1:6000", f.now.Add(time.Second)
	for range 2000 {
		require.Equal(t, http.StatusOK, flood.sends("GET", wire.StatePath, "").Code)
	}
	assert.Equal(t, http.StatusTooManyRequests, flood.sends("GET", wire.StatePath, "").Code)
}

// Tickets that were tried wrongly are counted by address, those that let in are not; who
// has tried too many is refused with the right one too, until a while has passed.
func TestTicketsTriedWrongly(t *testing.T) {
	f := newFront(t, at)
	n := 0
	tries := func(ticket string) wire.Kind {
		n++
		_, kind := f.page("").posts(wire.EnterPath, wire.Enter{Ticket: ticket, ID: fmt.Sprint(n)})
		return kind
	}
	for i := range 30 {
		require.Empty(t, tries(f.ticket(fmt.Sprint("C", i))))
	}
	used := f.ticket("A7")
	require.Empty(t, tries(used))
	for i := range 20 {
		require.Equal(t, wire.NoSession, tries([]string{"AAAA-AAAA-AAAA", used, ""}[i%3]))
	}
	right := f.ticket("B2")
	assert.Equal(t, wire.TooMany, tries("AAAA-AAAA-AAAA"))
	assert.Equal(t, wire.TooMany, tries(right))
	f.from = "[2001:db8::1]:5000"
	assert.Equal(t, wire.NoSession, tries("AAAA-AAAA-AAAA"))
	for range 19 {
		require.Equal(t, wire.NoSession, tries("AAAA-AAAA-AAAA"))
	}
	f.from = "[2001:db8::ffff:2]:5000"
	assert.Equal(t, wire.TooMany, tries(right), "the same network")
	f.from = "[2001:db8:0:1::1]:5000"
	assert.Equal(t, wire.NoSession, tries("AAAA-AAAA-AAAA"), "another one")
	f.from, f.now = "192.0.2.1:1", f.now.Add(6*time.Second-time.Millisecond)
	assert.Equal(t, wire.TooMany, tries(right))
	f.now = f.now.Add(time.Millisecond)
	assert.Empty(t, tries(right))
}

// A right ticket that lets nobody in because the disk is full is not one that was tried
// wrongly, nor is a request that cannot be read: once there is room it lets in.
func TestADiskThatIsFullAtTheDoor(t *testing.T) {
	f := newFront(t, at)
	ticket := f.ticket("A7")
	full := true
	f.disk.Before = func(int, storetest.Write) (bool, error) {
		if full {
			return false, storetest.ErrDisk
		}
		return false, nil
	}
	for range 30 {
		_, kind := f.page("").posts(wire.EnterPath, wire.Enter{Ticket: ticket, ID: "id"})
		require.Equal(t, wire.NotKept, kind)
		_, kind = f.page("").posts(wire.EnterPath, wire.Enter{Ticket: ticket})
		require.Equal(t, wire.Malformed, kind)
	}
	full = false
	_, kind := f.page("").posts(wire.EnterPath, wire.Enter{Ticket: ticket, ID: "id"})
	assert.Empty(t, kind)
}

// The reply to who comes in is lost: what the bench sends again brings the cookie, to it
// alone, and counts as no ticket that was tried wrongly.
func TestACookieThatIsLost(t *testing.T) {
	f := newFront(t, at)
	e := wire.Enter{Ticket: f.ticket("A7"), ID: "id"}
	var p *page
	for range 30 {
		f.now = f.now.Add(time.Second)
		p = f.page("tab")
		w, kind := p.posts(wire.EnterPath, e)
		require.Empty(t, kind)
		assert.Contains(t, w.Body.String(), `"stage":"lobby"`)
	}
	_, kind := f.page("").posts(wire.EnterPath, wire.Enter{Ticket: e.Ticket, ID: "another"})
	assert.Equal(t, wire.NoSession, kind)
	_, kind = p.claims()
	assert.Empty(t, kind)
	again := f.page("tab")
	_, kind = again.posts(wire.EnterPath, e)
	assert.Equal(t, wire.NoSession, kind)
	assert.Empty(t, again.cookie)
}

// A ticket that was used, one in whose place another was given, and one that never was:
// whoever tries them is told the same.
func TestATicketThatLetsNobodyIn(t *testing.T) {
	f := newFront(t, at)
	before := f.ticket("A7")
	used := f.ticket("A7")
	_, kind := f.page("").posts(wire.EnterPath, wire.Enter{Ticket: used, ID: "id"})
	require.Empty(t, kind)
	never, _ := f.page("").posts(wire.EnterPath, wire.Enter{Ticket: "AAAA-AAAA-AAAA", ID: "id"})
	assert.Equal(t, http.StatusUnauthorized, never.Code)
	for _, ticket := range []string{before, used, "", strings.Repeat("x", 1000), "\x00", used + "A"} {
		w, _ := f.page("").posts(wire.EnterPath, wire.Enter{Ticket: ticket, ID: "another"})
		assert.Equal(t, never.Result().Header, w.Result().Header)
		assert.Equal(t, never.Body.String(), w.Body.String())
		assert.Equal(t, never.Code, w.Code)
	}
}

// Whoever has somebody's cookie can look, and can take the place only so that its owner
// is told; the next ticket ends what they have.
func TestAStolenCookie(t *testing.T) {
	f := newFront(t, at)
	owner := f.seated("A7", "owner")
	_, kind := owner.shows(1)
	require.Empty(t, kind)
	thief := f.page("thief")
	thief.cookie, f.from = owner.cookie, "198.51.100.7:1"
	_, kind = thief.shows(2)
	assert.Equal(t, wire.Elsewhere, kind)
	for _, path := range []string{wire.BeatPath, wire.BeginPath} {
		_, kind = thief.posts(path, wire.Tab{Tab: "thief"})
		assert.Equal(t, wire.Elsewhere, kind)
	}
	_, kind = thief.claims()
	assert.Empty(t, kind)
	_, kind = owner.shows(2)
	assert.Equal(t, wire.Elsewhere, kind)
	again := f.page("again")
	_, kind = again.posts(wire.EnterPath, wire.Enter{Ticket: f.ticket("A7"), ID: "again"})
	require.Empty(t, kind)
	for _, p := range []*page{thief, owner} {
		_, kind = p.claims()
		assert.Equal(t, wire.NoSession, kind)
	}
	w, kind := again.claims()
	assert.Empty(t, kind)
	var seat wire.Seat
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &seat))
	assert.Len(t, seat.Patient.Events, 1)
}

// What one candidate sends is done at their own place, whatever they say; a role, a
// number or a time cannot be sent along.
func TestAnothersPlace(t *testing.T) {
	f := newFront(t, at)
	a, b := f.seated("A7", "a"), f.seated("B2", "b")
	_, kind := a.shows(1)
	require.Empty(t, kind)
	b.tab = "a"
	_, kind = b.shows(2)
	assert.Equal(t, wire.Elsewhere, kind, "the page of another seat")
	b.tab = "b"
	w, kind := b.shows(1)
	assert.Empty(t, kind)
	assert.Contains(t, w.Body.String(), `"n":1`)
	for _, more := range []string{`"candidate":"A7"`, `"role":"assessor"`, `"left":3600000000000`, `"at":5`, `"session":"x"`} {
		body := `{"tab":"b","place":1,"n":2,"id":"x","action":{"do":"show","chart":"fan"},` + more + `}`
		assert.Equal(t, http.StatusBadRequest, b.sends("POST", wire.ActPath, body).Code, more)
	}
	for _, header := range []string{"X-Candidate", "X-Forwarded-For", "X-Forwarded-User", "Authorization"} {
		w := b.sends("GET", wire.StatePath, "", header, "A7")
		assert.Contains(t, w.Body.String(), `"candidate":"B2"`, header)
	}
	long := strings.Repeat("x", 65)
	for _, act := range []wire.Act{{Tab: "b", Place: 1, N: 2, ID: long}, {Tab: "b", Place: 1, N: 2, ID: ""}} {
		_, kind = b.posts(wire.ActPath, act)
		assert.Equal(t, wire.Malformed, kind)
	}
	_, kind = b.posts(wire.ActPath, wire.Act{Tab: "b", Place: 1, N: 2, ID: long[:64], Action: sitting.Action{Do: sitting.Show, Chart: chart.Fan}})
	assert.Empty(t, kind)
	_, kind = b.posts(wire.ClaimPath, wire.Tab{Tab: long})
	assert.Equal(t, wire.Malformed, kind)
	_, kind = b.posts(wire.ClaimPath, wire.Tab{Tab: long[:64]})
	assert.Empty(t, kind)
}

// Paths that are written otherwise lead nowhere else, and forged cookies to no place.
func TestTricksOfPathsAndCookies(t *testing.T) {
	f := newFront(t, at)
	p := f.seated("A7", "tab")
	act := `{"tab":"tab","place":1,"n":1,"id":"x","action":{"do":"show","chart":"fan"}}`
	for _, path := range []string{
		"/s/../staff/", "/s/act/", "/s//act", "//s/act", "/s/./act", "/s/act\x00", "/S/ACT", "/s/act;x", `\s\act`, "/s/..%2f..%2fetc/passwd", "/s/", "/",
		"/staff/", "/s/act/../../staff/",
	} {
		w := p.sends("POST", path, act)
		assert.Contains(t, []int{http.StatusNotFound, http.StatusMovedPermanently, http.StatusTemporaryRedirect}, w.Code, "%q", path)
		assert.NotContains(t, w.Header().Get("Location"), "://", "%q", path)
	}
	was := p.cookie
	name, value, _ := strings.Cut(was, "=")
	for _, cookie := range []string{
		"", name + "=", name + "=" + value[:len(value)-1], name + "=" + value + "A", "__Host-staff=" + value, name + "=" + strings.Repeat("A", 8000),
		name + `="` + value, strings.ToUpper(name) + "=" + value,
	} {
		p.cookie = cookie
		_, kind := p.shows(1)
		assert.Equal(t, wire.NoSession, kind, "%.40q", cookie)
	}
	p.cookie = was
	for _, method := range []string{"GET", "PUT", "DELETE", "OPTIONS", "TRACE", "HEAD"} {
		assert.Equal(t, http.StatusMethodNotAllowed, p.sends(method, wire.ActPath, act).Code, method)
	}
	w := p.sends("POST", wire.ActPath, act)
	assert.Contains(t, w.Body.String(), `"n":1`, "nothing of these was done")
}
