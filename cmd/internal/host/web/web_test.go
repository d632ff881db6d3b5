package web_test

import (
	"bytes"
	"crypto/tls"
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/lite"
	"conoid/cmd/internal/host/web"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/sitting"
)

var morning = time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)

// service is a service in a test, whose replies do not wait.
type service struct {
	*room.Room
	t    *testing.T
	at   *httptest.Server
	plan *practical.Plan
}

func newService(t *testing.T) *service {
	k, err := practical.NewKeys()
	require.NoError(t, err)
	c := cases.Library()[0]
	plan, err := practical.New(practical.Plan{Title: "Friday", Cases: []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}}}, k)
	require.NoError(t, err)
	s, err := lite.Open(filepath.Join(t.TempDir(), "host.db"))
	require.NoError(t, err)
	r, err := room.New(plan, []byte("sealed"), s, []byte("secret"), morning)
	require.NoError(t, err)
	require.NoError(t, r.Move(room.Opened, "", "", morning))
	var asked atomic.Int64
	now := func() time.Time { return morning.Add(time.Duration(asked.Add(1)) * time.Second) } // nobody is in a hurry
	at := httptest.NewTLSServer(web.Seats{Rooms: func() []*room.Room { return []*room.Room{r} }, Now: now, Wait: func(time.Time) {}}.Handler())
	t.Cleanup(func() { at.Close(); require.NoError(t, s.Close()) })
	return &service{r, t, at, plan}
}

// machine is a candidate's; it keeps all bytes that it was sent.
type machine struct {
	s      *service
	client http.Client
	came   bytes.Buffer
}

func (s *service) machine() *machine {
	jar, _ := cookiejar.New(nil)
	return &machine{s: s, client: http.Client{Jar: jar, Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}}
}

// sends sends a request as it is.
func (m *machine) sends(method, path, body string, header ...string) (status int, reply []byte) {
	req, err := http.NewRequest(method, m.s.at.URL+path, bytes.NewReader([]byte(body)))
	require.NoError(m.s.t, err)
	for i := 0; i < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	resp, err := m.client.Do(req)
	require.NoError(m.s.t, err)
	defer resp.Body.Close()
	require.NoError(m.s.t, resp.Header.Write(&m.came))
	reply, err = io.ReadAll(io.TeeReader(resp.Body, &m.came))
	require.NoError(m.s.t, err)
	return resp.StatusCode, reply
}

// asks posts a value and reads what comes.
func asks[T any](m *machine, path string, value any) (got T) {
	body, err := json.Marshal(value)
	require.NoError(m.s.t, err)
	status, reply := m.sends("POST", path, string(body))
	require.Equal(m.s.t, http.StatusOK, status, "%s: %s", path, reply)
	require.NoError(m.s.t, json.Unmarshal(reply, &got))
	return got
}

// seated is a machine whose candidate examines.
func (s *service) seated(number string) (*machine, wire.Seat) {
	ticket, err := s.Ticket(number, "", "", morning)
	require.NoError(s.t, err)
	m := s.machine()
	assert.Equal(s.t, wire.Lobby, asks[wire.Seat](m, wire.EnterPath, wire.Enter{Ticket: ticket, ID: "id"}).Stage)
	require.NoError(s.t, s.Admit(number, "", morning))
	asks[wire.Seat](m, wire.ClaimPath, wire.Tab{Tab: "tab"})
	return m, asks[wire.Seat](m, wire.BeginPath, wire.Tab{Tab: "tab"})
}

// A whole sitting over the line: the bench is told what it needs, and in all bytes that
// its machine is sent there is neither the truth nor what the answers are drawn from.
func TestNothingOfTheTruthIsSent(t *testing.T) {
	s := newService(t)
	m, seat := s.seated("A7")
	c, entry := s.plan.Patient(0), s.plan.Entry("A7")
	assert.Equal(t, c.Setup().Room, seat.Patient.Room)
	assert.Equal(t, c.Age, seat.Patient.Age)

	own := sitting.Start(c.Setup(), entry.Keys(0))
	_, err := expert.Examine(own, expert.BriefOf(own.Setup()))
	require.NoError(t, err)
	var last wire.Done
	for _, e := range own.Events() {
		last = asks[wire.Done](m, wire.ActPath, wire.Act{Tab: "tab", Place: 1, N: e.N, ID: "id", Action: e.Action})
		assert.Equal(t, e.Answer, last.Event.Answer)
		assert.Equal(t, e.At, last.Event.At)
	}
	assert.Equal(t, wire.Over, last.Stage)
	status, reply := m.sends("GET", wire.StatePath, "")
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, string(reply), `"code":"`)

	header := entry.Header(0)
	came := m.came.String()
	require.Greater(t, len(came), 10_000)
	for what, secret := range map[string]string{
		"the hash of the case": header.Case, "the key of the letters": header.Letters.String(), "the key of the noise": header.Noise.String(),
		"the error": c.Setup().Eyes[0].Error.String(), "the ID of the case": c.ID, "the title": c.Title, "a key of the case file": "aberrations",
		"the manner": "dominance",
	} {
		assert.NotContains(t, came, secret, what)
	}
}

// What is malformed, forged or from elsewhere is refused, and nothing happens.
func TestForgedRequests(t *testing.T) {
	s := newService(t)
	m, _ := s.seated("A7")
	act := `{"tab":"tab","place":1,"n":1,"id":"x","action":{"do":"show","chart":"fan"}}`
	for name, c := range map[string]struct {
		method, path, body string
		header             []string
		status             int
	}{
		"another method":    {"GET", wire.ActPath, "", nil, http.StatusMethodNotAllowed},
		"no JSON":           {"POST", wire.ActPath, "fan", nil, http.StatusBadRequest},
		"an unknown field":  {"POST", wire.ActPath, `{"truth":true}`, nil, http.StatusBadRequest},
		"two values":        {"POST", wire.ActPath, act + act, nil, http.StatusBadRequest},
		"too large":         {"POST", wire.ActPath, `{"tab":"` + string(bytes.Repeat([]byte("x"), 20_000)) + `"}`, nil, http.StatusBadRequest},
		"from another site": {"POST", wire.ActPath, act, []string{"Sec-Fetch-Site", "cross-site"}, http.StatusForbidden},
		"another origin":    {"POST", wire.ActPath, act, []string{"Origin", "https://elsewhere.example"}, http.StatusForbidden},
		"a path of tricks":  {"POST", "/s/../s/../../etc/passwd", act, nil, http.StatusNotFound},
	} {
		status, _ := m.sends(c.method, c.path, c.body, c.header...)
		assert.Equal(t, c.status, status, name)
	}
	stranger := s.machine()
	status, _ := stranger.sends("POST", wire.ActPath, act)
	assert.Equal(t, http.StatusUnauthorized, status)
	status, _ = stranger.sends("POST", wire.EnterPath, `{"ticket":"AAAA-AAAA-AAAA","id":"x"}`)
	assert.Equal(t, http.StatusUnauthorized, status)
	done := asks[wire.Done](m, wire.ActPath, wire.Act{Tab: "tab", Place: 1, N: 1, ID: "x", Action: sitting.Action{Do: sitting.Show, Chart: chart.Fan}})
	assert.Equal(t, 1, done.Event.N, "nothing of these was done")
}

// A beat tells whether the page is hidden.
func TestABeatOfAHiddenPage(t *testing.T) {
	f := newFront(t, at)
	p := f.seated("A7", "tab")
	for _, hidden := range []bool{true, false} {
		_, kind := p.posts(wire.BeatPath, wire.Tab{Tab: "tab", Hidden: hidden})
		require.Empty(t, kind)
		require.NoError(t, f.Pass(time.Second))
		_, all := f.Board()
		assert.Equal(t, hidden, all[0].Hidden == time.Second)
		assert.Equal(t, time.Second, all[0].Unseen)
	}
}
