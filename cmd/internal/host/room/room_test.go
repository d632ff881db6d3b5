package room_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/lite"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

var morning = time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)

// hall is a room in a test, and all that outlives the service.
type hall struct {
	*room.Room
	t    testing.TB
	plan *practical.Plan
	path string
	lite *lite.Store
	now  time.Time
}

var assessor = sync.OnceValue(func() *practical.Keys {
	k, err := practical.NewKeys()
	if err != nil {
		panic(err)
	}
	return k
})

// newHall is a practical of two cases that is open.
func newHall(t testing.TB, with ...func(*practical.Plan)) *hall {
	p := practical.Plan{Title: "Friday", PerCase: 20 * time.Minute, Show: practical.Shown{Clock: true}}
	for _, c := range cases.Library()[:2] {
		p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
	}
	for _, change := range with {
		change(&p)
	}
	plan, err := practical.New(p, assessor())
	require.NoError(t, err)
	h := &hall{t: t, plan: plan, path: filepath.Join(t.TempDir(), "host.db"), now: morning}
	h.start()
	t.Cleanup(func() { assert.NoError(t, h.lite.Close()) })
	require.NoError(t, h.Move(room.Opened, "the invigilator", "", h.now))
	return h
}

func (h *hall) start() {
	var err error
	h.lite, err = lite.Open(h.path)
	require.NoError(h.t, err)
	h.Room, err = room.New(h.plan, []byte("sealed"), h.lite, []byte("secret"), h.now)
	require.NoError(h.t, err)
	h.Beside().SignWith(assessor())
}

// restart kills the service, and starts it again after ten minutes.
func (h *hall) restart() {
	require.NoError(h.t, h.lite.Close())
	h.now = h.now.Add(10 * time.Minute)
	h.start()
}

// passes lets time pass, some seconds at a time.
func (h *hall) passes(d time.Duration) {
	for d > 0 {
		step := min(d, 5*time.Second)
		d -= step
		h.now = h.now.Add(step)
		require.NoError(h.t, h.Pass(step))
	}
}

// candidate is somebody at a machine.
type candidate struct {
	h       *hall
	session string
}

// admitted is a candidate who was let in, at a page that has the place.
func (h *hall) admitted(number string) *candidate {
	ticket, err := h.Ticket(number, "the invigilator", "", h.now)
	require.NoError(h.t, err)
	c := &candidate{h: h}
	c.session, err = h.Enter(ticket, "id")
	require.NoError(h.t, err)
	if err := h.Admit(number, "the invigilator", h.now); err != nil {
		require.ErrorContains(h.t, err, "practical.not-now")
	}
	_, err = h.Claim(c.session, "tab")
	require.NoError(h.t, err)
	return c
}

func (c *candidate) begins() *wire.Seat {
	s, err := c.h.Begin(c.session, "tab")
	require.NoError(c.h.t, err)
	return s
}

// does sends an action, and again as often as it is told.
func (c *candidate) does(place, n int, id string, a sitting.Action) (*wire.Done, error) {
	return c.h.Act(c.session, wire.Act{Tab: "tab", Place: place, N: n, ID: id, Action: a})
}

// expected is what an expert does with the case at a place, and what comes of it
// at a machine that has the patient itself.
func (h *hall) expected(number string, place int) []sitting.Event {
	entry := h.plan.Entry(number)
	i := entry.Order()[place-1]
	s := sitting.Start(h.plan.Patient(i).Setup(), entry.Keys(i))
	_, err := expert.Examine(s, expert.BriefOf(s.Setup()))
	require.NoError(h.t, err)
	return s.Events()
}

// Whoever sits at the service gets the same answers as at a machine of their own, each
// action is done once, however often it is sent, and the result is one that any
// other is compared with.
func TestASittingAtTheService(t *testing.T) {
	if testing.Short() {
		t.Skip("it sits whole cases")
	}
	h := newHall(t)
	a, b := h.admitted("a7"), h.admitted("B2")
	a.begins()
	b.begins()
	for place := 1; place <= 2; place++ {
		one, two := h.expected("A7", place), h.expected("B2", place)
		if place > 1 {
			assert.Empty(t, a.begins().Patient.Events)
			b.begins()
		}
		for i := range max(len(one), len(two)) {
			if i < len(one) {
				for range 2 {
					done, err := a.does(place, i+1, "id", one[i].Action)
					require.NoError(t, err)
					assert.Equal(t, one[i].Answer, done.Event.Answer)
					assert.Equal(t, one[i].At, done.Event.At)
				}
			}
			if i < len(two) {
				done, err := b.does(place, i+1, "id", two[i].Action)
				require.NoError(t, err)
				assert.Equal(t, two[i].Answer, done.Event.Answer)
			}
			if i == 20 {
				h.restart()
			}
			h.passes(time.Second)
		}
	}
	results, err := h.Results()
	require.NoError(t, err)
	require.Len(t, results, 2)
	rec, err := practical.ReadResult(h.plan, "A7", results["A7"], assessor().Key())
	require.NoError(t, err)
	sheet, err := practical.NewMarker(h.plan, h.plan).Mark(rec)
	require.NoError(t, err)
	for _, m := range sheet.Cases {
		assert.Equal(t, practical.Stated, m.Ended)
	}
	assert.Empty(t, sheet.Late)
	assert.Len(t, sheet.Interruptions, 2)
}

// problem is the kind of a problem.
func problem(err error) wire.Kind {
	var p *wire.Problem
	if errors.As(err, &p) {
		return p.Kind
	}
	return ""
}

var (
	fan   = sitting.Action{Do: sitting.Show, Chart: chart.Fan}
	which = sitting.Action{Do: sitting.Ask, Question: patient.WhichLines}
)

// What is sent again, too late, too early, from elsewhere, or makes no sense.
func TestWhatIsSentOutOfTurn(t *testing.T) {
	h := newHall(t)
	c := h.admitted("A7")
	_, err := c.does(1, 1, "x", fan)
	assert.Equal(t, wire.NotNow, problem(err), "no case was begun")
	c.begins()
	_, err = c.does(1, 2, "x", fan)
	assert.Equal(t, wire.Ahead, problem(err))
	_, err = c.does(1, 0, "x", fan)
	assert.Equal(t, wire.Malformed, problem(err))
	_, err = c.does(2, 1, "x", fan)
	assert.Equal(t, wire.NotNow, problem(err))
	_, err = c.does(1, 1, "x", which)
	assert.Equal(t, wire.Refused, problem(err), "there is no chart")
	first, err := c.does(1, 1, "x", fan)
	require.NoError(t, err)
	again, err := c.does(1, 1, "x", fan)
	require.NoError(t, err)
	assert.Equal(t, first.Event, again.Event)
	_, err = c.does(1, 1, "y", which)
	var p *wire.Problem
	require.ErrorAs(t, err, &p)
	assert.Equal(t, wire.Behind, p.Kind)
	assert.Equal(t, []wire.Event{first.Event}, p.Since)
	_, err = h.Act(c.session, wire.Act{Tab: "another", Place: 1, N: 2, ID: "z", Action: which})
	assert.Equal(t, wire.Elsewhere, problem(err))
	_, err = h.Act("forged", wire.Act{Tab: "tab", Place: 1, N: 2, ID: "z", Action: which})
	assert.Equal(t, wire.NoSession, problem(err))
	seat, err := h.Seat(c.session)
	require.NoError(t, err)
	assert.Len(t, seat.Patient.Events, 1)
}

// A ticket lets in once; another one ends the session at the machine before, and what was
// done goes on at the next.
func TestTickets(t *testing.T) {
	h := newHall(t)
	ticket, err := h.Ticket("A7", "", "", h.now)
	require.NoError(t, err)
	_, err = h.Ticket("a name", "", "", h.now)
	assert.Error(t, err)
	first, err := h.Enter(strings.ToLower(strings.ReplaceAll(ticket, "-", " ")), "id")
	require.NoError(t, err)
	_, err = h.Enter(ticket, "another")
	assert.Equal(t, wire.NoSession, problem(err), "it is good once")
	_, err = h.Enter("", "id")
	assert.Equal(t, wire.NoSession, problem(err))
	seat, err := h.Seat(first)
	require.NoError(t, err)
	assert.Equal(t, wire.Lobby, seat.Stage)
	for _, tab := range []string{"tab", ""} {
		_, err = h.Begin(first, tab)
		assert.Equal(t, wire.Elsewhere, problem(err), "no page has claimed the place")
	}
	require.NoError(t, h.Admit("A7", "", h.now))
	_, err = h.Claim(first, "tab")
	require.NoError(t, err)
	c := &candidate{h, first}
	c.begins()
	_, err = c.does(1, 1, "x", fan)
	require.NoError(t, err)

	moved := h.admitted("A7")
	_, err = h.Seat(first)
	assert.Equal(t, wire.NoSession, problem(err))
	assert.Len(t, moved.begins().Patient.Events, 1)
	_, err = moved.does(1, 2, "y", which)
	require.NoError(t, err)
}

// What arrives in time counts, and nothing after it. Who is silent for too long has
// their time back from the last contact on, but no more than three minutes a case.
func TestTime(t *testing.T) {
	h := newHall(t)
	c := h.admitted("A7")
	left := func() time.Duration {
		s, err := h.Seat(c.session)
		require.NoError(t, err)
		return *s.Left
	}
	c.begins()
	h.passes(14 * time.Second)
	assert.Equal(t, 20*time.Minute-14*time.Second, left())
	h.passes(time.Minute)
	assert.Equal(t, 20*time.Minute-14*time.Second, left(), "lost, from the last contact on")
	h.passes(10 * time.Minute)
	assert.Equal(t, 20*time.Minute-14*time.Second-8*time.Minute, left())
	require.NoError(t, h.Move(room.Halted, "", "an alarm", h.now))
	_, err := c.does(1, 1, "x", fan)
	assert.Equal(t, wire.Held, problem(err))
	h.passes(time.Hour)
	require.NoError(t, h.Move(room.Resumed, "", "", h.now))
	assert.Equal(t, 20*time.Minute-14*time.Second-8*time.Minute, left())
	h.passes(14 * time.Second)
	rest := left()
	for rest > 10*time.Second {
		h.passes(10 * time.Second)
		rest = left()
	}
	h.passes(rest - time.Second)
	_, err = c.does(1, 1, "x", fan)
	require.NoError(t, err, "a second is left")
	h.passes(time.Second)
	_, err = c.does(1, 2, "y", which)
	assert.Equal(t, wire.NotNow, problem(err))
	again, err := c.does(1, 1, "x", fan)
	require.NoError(t, err, "what was done is told again")
	assert.Equal(t, wire.Ready, again.Stage)
	assert.Equal(t, 2, again.Place)
}

// A restart goes on where everything was: nobody does anything twice, and no time was
// taken.
func TestARestart(t *testing.T) {
	h := newHall(t)
	c := h.admitted("A7")
	c.begins()
	_, err := c.does(1, 1, "x", fan)
	require.NoError(t, err)
	h.passes(5 * time.Second)
	_, err = c.does(1, 2, "y", which)
	require.NoError(t, err)
	h.restart()
	assert.Equal(t, room.Open, h.Stage())
	seat, err := h.Seat(c.session)
	require.NoError(t, err)
	assert.Len(t, seat.Patient.Events, 2)
	assert.Equal(t, 20*time.Minute-5*time.Second, *seat.Left)
	again, err := c.does(1, 2, "y", which)
	require.NoError(t, err)
	assert.Equal(t, seat.Patient.Events[1], again.Event)
	_, err = c.does(1, 3, "z", which)
	require.NoError(t, err)
}

// What was done by the staff is a chain.
func TestNotesAreAChain(t *testing.T) {
	h := newHall(t)
	h.admitted("A7")
	h.restart()
	h.admitted("B2")
	lines, err := h.Notes()
	require.NoError(t, err)
	var did []room.Deed
	before := ""
	for i, l := range lines {
		var n room.Note
		require.NoError(t, json.Unmarshal(l, &n))
		assert.Equal(t, i+1, n.N)
		assert.Equal(t, before, n.Before)
		sum := sha256.Sum256(l)
		before = hex.EncodeToString(sum[:])
		did = append(did, n.Do)
	}
	assert.Equal(t, []room.Deed{room.Made, room.Opened, room.Ticketed, room.Admitted, room.Started, room.Ticketed, room.Admitted}, did)
}
