package room_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/scoring/practical"
)

// stood are for how long a candidate who is through stood still, by reason.
func (h *hall) stood(number string) map[string]time.Duration {
	rec, err := practical.ReadResult(h.plan, number, h.result(number), assessor().Key())
	require.NoError(h.t, err)
	assert.Empty(h.t, rec.Doubts(h.plan, h.now))
	sheet, err := practical.NewMarker(h.plan, h.plan).Mark(rec)
	require.NoError(h.t, err)
	stood := map[string]time.Duration{}
	for _, i := range sheet.Interruptions {
		stood[i.Reason] += i.Length()
	}
	return stood
}

// sits lets time pass for some who are heard.
func (h *hall) sits(d time.Duration, all ...*candidate) {
	for ; d > 0; d -= 5 * time.Second {
		h.passes(5 * time.Second)
		for _, c := range all {
			_, err := h.Beat(c.session, "tab", false)
			require.NoError(h.t, err)
		}
	}
}

// That the time was stopped for everybody stands in each record, with the reason, as if
// each had been stopped: of who came meanwhile from then on, and of who was stopped alone
// for their own reason while they were.
func TestAHaltStandsInTheRecords(t *testing.T) {
	h := newHall(t)
	a, b := h.admitted("A7"), h.admitted("B2")
	a.begins()
	b.begins()
	ticket, err := h.Ticket("D4", "IN", "", h.now)
	require.NoError(t, err)
	_, err = h.Enter(ticket, "id")
	require.NoError(t, err, "who waits in the lobby has no record")
	h.passes(10 * time.Second)
	require.NoError(t, h.Pause("B2", "IN", "unwell", h.now))
	assert.Error(t, h.Move(room.Halted, "IN", " ", h.now), "a reason is needed")
	assert.Equal(t, room.Open, h.Stage())
	require.NoError(t, h.Move(room.Halted, "IN", "an alarm", h.now))
	h.passes(time.Minute)
	c := h.admitted("C3")
	h.passes(time.Minute)
	require.NoError(t, h.GoOn("B2", "IN", h.now))
	require.NoError(t, h.Pause("C3", "IN", "looks ill", h.now))
	h.passes(time.Minute)
	require.NoError(t, h.Move(room.Resumed, "IN", "", h.now))
	h.sits(time.Minute, a, b, c)
	require.NoError(t, h.GoOn("C3", "IN", h.now))
	c.begins()
	h.sits(5*time.Second, a, b, c)
	require.NoError(t, h.Move(room.Shut, "AB", "the end", h.now))
	assert.Equal(t, map[string]time.Duration{"an alarm": 3 * time.Minute}, h.stood("A7"))
	assert.Equal(t, map[string]time.Duration{"unwell": 2 * time.Minute, "an alarm": time.Minute}, h.stood("B2"))
	assert.Equal(t, map[string]time.Duration{"an alarm": time.Minute, "looks ill": 2 * time.Minute}, h.stood("C3"))
}

// A practical or a place that is closed while the time stands still has it in the record,
// too; and a second halt has its own reason.
func TestAHaltThatEndsWithTheClose(t *testing.T) {
	h := newHall(t)
	for _, number := range []string{"A7", "B2"} {
		h.admitted(number).begins()
	}
	h.passes(10 * time.Second)
	require.NoError(t, h.Move(room.Halted, "IN", "an alarm", h.now))
	h.passes(time.Minute)
	require.NoError(t, h.Move(room.Resumed, "IN", "", h.now))
	h.passes(10 * time.Second)
	require.NoError(t, h.Move(room.Halted, "IN", "smoke", h.now))
	h.passes(time.Minute)
	require.NoError(t, h.End("B2", "IN", "went home", h.now))
	h.passes(time.Minute)
	require.NoError(t, h.Move(room.Shut, "AB", "smoke", h.now))
	assert.Equal(t, map[string]time.Duration{"an alarm": time.Minute, "smoke": 2 * time.Minute}, h.stood("A7"))
	assert.Equal(t, map[string]time.Duration{"an alarm": time.Minute, "smoke": time.Minute}, h.stood("B2"))
}

// When the service is stopped while the time stands still, that is an interruption of its
// own, and the rest of the halt has its reason.
func TestAHaltThroughARestart(t *testing.T) {
	h := newHall(t)
	h.admitted("A7").begins()
	h.passes(10 * time.Second)
	require.NoError(t, h.Move(room.Halted, "IN", "an alarm", h.now))
	h.passes(time.Minute)
	h.restart()
	h.passes(time.Minute)
	require.NoError(t, h.Move(room.Resumed, "IN", "", h.now))
	require.NoError(t, h.Move(room.Shut, "AB", "the end", h.now))
	stood := h.stood("A7")
	assert.Equal(t, time.Minute, stood["an alarm"])
	assert.InDelta(t, 11*time.Minute, stood[""], float64(12*time.Second), "from the last sign of life on")
}

// A pause that lasts over a restart is kept in two parts, for the same reason, of which one
// begins when the other ended: so a report can tell it as one.
func TestAPauseThroughARestart(t *testing.T) {
	h := newHall(t)
	h.admitted("A7").begins()
	require.NoError(t, h.Pause("A7", "IN", "unwell", h.now))
	h.passes(time.Minute)
	h.restart()
	h.passes(time.Minute)
	require.NoError(t, h.GoOn("A7", "IN", h.now))
	require.NoError(t, h.Move(room.Shut, "AB", "the end", h.now))
	rec, err := practical.ReadResult(h.plan, "A7", h.result("A7"), assessor().Key())
	require.NoError(t, err)
	sheet, err := practical.NewMarker(h.plan, h.plan).Mark(rec)
	require.NoError(t, err)
	parts := sheet.Interruptions
	require.Len(t, parts, 2)
	assert.Equal(t, []string{"unwell", "unwell"}, []string{parts[0].Reason, parts[1].Reason})
	assert.True(t, parts[1].Begun().Equal(parts[0].Allowed))
}
