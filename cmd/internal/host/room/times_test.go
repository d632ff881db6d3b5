package room_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/sitting"
)

// watch is a service with a candidate in it, and notes of when things were done.
type watch struct {
	*ill
	walls []time.Time // of each action
	place int
}

// does does the next action of a case, and notes when.
func (x *watch) does(i int) {
	_, err := x.acts(x.place, i)
	require.NoError(x.t, err)
	x.walls = append(x.walls, x.now)
}

// goesOn begins the next case.
func (x *watch) goesOn() time.Time {
	seat, err := x.room.Begin(x.session, "tab")
	require.NoError(x.t, err)
	x.place = seat.Place
	return x.now
}

// record is what a candidate who is through handed in.
func (x *watch) record() *practical.Record {
	results, err := x.room.Results()
	require.NoError(x.t, err)
	rec, err := practical.ReadResult(short(), "A7", results["A7"], assessor().Key())
	require.NoError(x.t, err)
	assert.Empty(x.t, rec.Doubts(short(), x.now))
	return rec
}

// wallsOf are the times of all actions of a record.
func wallsOf(t testing.TB, rec *practical.Record) (all []time.Time) {
	for _, c := range rec.Cases() {
		log, err := sitting.ReadLog(strings.NewReader(c.Log))
		require.NoError(t, err)
		for _, e := range log.Events {
			all = append(all, e.Aside.Wall)
		}
	}
	return all
}

// noted is when the staff did something, as the notes have it.
func (x *watch) noted(do room.Deed) (at time.Time) {
	lines, err := x.room.Notes()
	require.NoError(x.t, err)
	for _, l := range lines {
		var n room.Note
		require.NoError(x.t, json.Unmarshal(l, &n))
		if n.Do == do {
			at = n.At
		}
	}
	return at
}

// stretch is when time stood still, and why.
type stretch struct {
	from, until time.Time
	why         string
}

func stretchesOf(t testing.TB, rec *practical.Record) (all []stretch) {
	sheet, err := practical.NewMarker(short(), short()).Mark(rec)
	require.NoError(t, err)
	for _, i := range sheet.Interruptions {
		all = append(all, stretch{i.From.UTC(), i.Allowed.UTC(), i.Reason})
	}
	return all
}

// All times in a record are those of the service's clock at which it was, as in the notes of what
// was done: of whom was let in long before the opening, and through all that has the time
// stand still.
func TestTheTimesOfARecord(t *testing.T) {
	full := false
	x := &watch{ill: newIll(t, func(*ill, int, storetest.Write) (bool, error) {
		if full {
			return false, storetest.ErrDisk
		}
		return false, nil
	})}
	heard := func() {
		_, err := x.room.Beat(x.session, "tab", false)
		require.NoError(t, err)
	}
	var err error
	x.ticket, err = x.room.Ticket("A7", "IN", "", x.now)
	require.NoError(t, err)
	x.session, err = x.room.Enter(x.ticket, "id")
	require.NoError(t, err)
	require.NoError(t, x.room.Admit("A7", "IN", x.now))
	_, err = x.room.Claim(x.session, "tab")
	require.NoError(t, err)
	x.passes(t, 2*time.Minute)
	require.NoError(t, x.room.Pause("A7", "IN", "looks ill", x.now))
	ill := stretch{x.now, x.now.Add(time.Minute), "looks ill"}
	x.passes(t, time.Minute)
	require.NoError(t, x.room.GoOn("A7", "IN", x.now))
	x.passes(t, time.Minute)
	x.now = x.now.Add(time.Minute) // in which the service is ended
	x.start()
	x.passes(t, 2*time.Minute)
	x.now = x.now.Add(20 * time.Second) // in which the machine sleeps
	require.NoError(t, x.room.Move(room.Opened, "AB", "", x.now))
	x.passes(t, 30*time.Second)

	begun := x.goesOn()
	x.passes(t, 4*time.Second)
	x.does(0)
	x.passes(t, 3*time.Second)
	heard()
	require.NoError(t, x.room.Pause("A7", "IN", "unwell", x.now))
	x.passes(t, 2*time.Minute)
	require.NoError(t, x.room.GoOn("A7", "IN", x.now))
	unwell := stretch{x.noted(room.Paused), x.noted(room.WentOn), "unwell"}
	x.passes(t, 3*time.Second)
	require.NoError(t, x.room.Move(room.Halted, "IN", "an alarm", x.now))
	x.passes(t, time.Minute)
	require.NoError(t, x.room.Grant("A7", time.Minute, "for the noise", "IN", x.now))
	x.passes(t, 2*time.Minute)
	require.NoError(t, x.room.Move(room.Resumed, "IN", "", x.now))
	alarm := stretch{x.noted(room.Halted), x.noted(room.Resumed), "an alarm"}
	x.passes(t, 2*time.Second)
	require.NoError(t, x.room.Move(room.Halted, "IN", "smoke", x.now))
	x.passes(t, time.Minute)
	require.NoError(t, x.room.Move(room.Resumed, "IN", "", x.now))
	smoke := stretch{x.noted(room.Halted), x.noted(room.Resumed), "smoke"}
	x.passes(t, 2*time.Second)
	x.does(1)
	killed := x.now
	x.now = x.now.Add(10 * time.Minute)
	x.start()
	outage := stretch{killed, x.now, ""}
	x.passes(t, time.Second)
	x.does(2)

	x.passes(t, 5*time.Second)
	x.goesOn()
	x.passes(t, 2*time.Second)
	x.does(0)
	silent := stretch{x.now, x.now.Add(time.Minute), ""}
	x.passes(t, time.Minute) // nothing is heard
	x.does(1)
	heard()
	full = true
	_, err = x.acts(2, 2)
	require.Error(t, err)
	disk := stretch{x.now, x.now.Add(time.Minute), ""}
	for range 60 {
		x.now = x.now.Add(time.Second)
		full = x.now.Before(disk.until)
		_ = x.room.Pass(time.Second)
	}
	x.does(2)
	ended := x.now

	rec := x.record()
	sheet, err := practical.NewMarker(short(), short()).Mark(rec)
	require.NoError(t, err)
	assert.True(t, begun.Equal(rec.Started()), "%v, but %v", begun, rec.Started())
	assert.True(t, ended.Equal(sheet.Times.Ended), "%v, but %v", ended, sheet.Times.Ended)
	assert.True(t, x.noted(room.Granted).Equal(sheet.Rulings[0].At))
	walls := wallsOf(t, rec)
	require.Len(t, walls, len(x.walls))
	for i, at := range walls {
		assert.True(t, x.walls[i].Equal(at), "%d: %v, but %v", i, x.walls[i], at)
	}
	assert.Equal(t, []stretch{ill, unwell, alarm, smoke, outage, silent, disk}, stretchesOf(t, rec))
	assert.Empty(t, sheet.Jumps)
	assert.Equal(t, 5*time.Second, sheet.Times.Paused)
	assert.Zero(t, sheet.Times.Gap)
}

// A start of the service while a practical is open stands in what was done, with when something
// was last done before: by a candidate, or by the staff. It is nobody's deed, and one write
// with what the seats keep of it.
func TestAStartIsWrittenDown(t *testing.T) {
	x := &watch{ill: newIll(t, well)}
	started := func() (all []room.Note) {
		lines, err := x.room.Notes()
		require.NoError(t, err)
		notes, err := room.ReadNotes(lines)
		require.NoError(t, err)
		return slices.DeleteFunc(notes, func(n room.Note) bool { return n.Do != room.Started })
	}
	later := func() { x.now = x.now.Add(time.Minute); x.start() }
	later()
	assert.Empty(t, started(), "it is not open yet")
	require.NoError(t, x.room.Move(room.Opened, "AB", "", x.now))
	opened := x.now
	later()
	require.Len(t, started(), 1)
	assert.WithinDuration(t, opened, started()[0].Heard, 0)
	x.comesIn()
	x.goesOn()
	x.passes(t, 10*time.Second)
	x.does(0)
	acted := x.now
	record := func() string {
		seat, err := x.disk.Seat(short().ID, "A7")
		require.NoError(t, err)
		return string(seat.Record)
	}
	writes, before := x.disk.Writes(), record()
	later()
	assert.Equal(t, writes+1, x.disk.Writes())
	assert.NotEqual(t, before, record())
	require.Len(t, started(), 2)
	n := started()[1]
	assert.Empty(t, n.Who)
	assert.WithinDuration(t, x.now, n.At, 0)
	assert.WithinDuration(t, acted, n.Heard, 0)
	require.NoError(t, x.room.Move(room.Halted, "IN", "alarm", x.now))
	halted := x.now
	later()
	require.Len(t, started(), 3)
	assert.WithinDuration(t, halted, started()[2].Heard, 0)
	x.now = x.now.Add(-time.Hour)
	x.start()
	require.Len(t, started(), 4)
	assert.Zero(t, started()[3].Heard, "the clock was set back")
	require.NoError(t, x.room.Move(room.Shut, "AB", "over", x.now))
	later()
	assert.Len(t, started(), 4, "it is over")
}

// How many steps were taken is known after the service was started again, before anything is
// done: of the case under way, and of the one before the next.
func TestTheStepsAfterARestart(t *testing.T) {
	x := newIll(t, well)
	steps := func() int {
		_, all := x.room.Board()
		return all[0].Steps
	}
	x.comesIn()
	x.start()
	assert.Zero(t, steps())
	x.begins()
	for i, want := range []int{1, 2, 2} {
		_, err := x.acts(1, i)
		require.NoError(t, err)
		assert.Equal(t, want, steps())
		x.start()
		assert.Equal(t, want, steps())
	}
	x.begins()
	for i := range script {
		_, err := x.acts(2, i)
		require.NoError(t, err)
	}
	assert.Zero(t, steps(), "nothing is under way any more")
	x.start()
	assert.Zero(t, steps())
}

// Whoever is through leaves the place: neither the session nor the ticket lets in there any
// more, through a restart too. Nobody else does.
func TestAPlaceIsLeft(t *testing.T) {
	x := newIll(t, well)
	leaves := func() wire.Kind { return problem(room.Leave(x.room, x.session)) }
	x.begins()
	assert.Equal(t, wire.NotNow, leaves())
	require.NoError(t, x.room.Pause("A7", "IN", "unwell", x.now))
	assert.Equal(t, wire.NotNow, leaves())
	require.NoError(t, x.room.End("A7", "IN", "went home", x.now))
	assert.Empty(t, leaves())
	assert.Equal(t, wire.NoSession, leaves())
	for range 2 {
		_, err := x.room.Seat(x.session)
		assert.Equal(t, wire.NoSession, problem(err))
		_, err = x.room.Enter(x.ticket, "id")
		assert.Equal(t, wire.NoSession, problem(err))
		_, all := x.room.Board()
		assert.Equal(t, wire.Over, all[0].Clock.Stage)
		assert.NotEmpty(t, all[0].Code, "all of it is kept")
		x.start()
	}
}

// A reply tells the number as it is by now, and whether the practical is open.
func TestWhatAReplyTells(t *testing.T) {
	x := newIll(t, well)
	x.begins()
	require.NoError(t, x.room.Renumber("A7", "B2", "IN", "the wrong ticket", x.now))
	c, err := x.room.Beat(x.session, "tab", false)
	require.NoError(t, err)
	assert.Equal(t, "B2", c.Number)
	assert.False(t, c.Waits)
}

// before is where an earlier service kept a seat, whose clock stood still until the opening.
type before struct{ *ill }

func (b before) Record() ([]byte, error) {
	k, err := b.disk.Seat(short().ID, "A7")
	return k.Record, err
}
func (before) Result() ([]byte, error)       { return nil, nil }
func (before) SetResult([]byte) error        { return nil }
func (before) Log(int) ([]byte, error)       { return nil, nil }
func (b before) SetRecord(data []byte) error { return b.disk.SetRecord(short().ID, "A7", data) }

// Seats that an earlier service kept are gone on with: of one that was begun the difference to
// its clock is an interruption, as before; one that was not begins when it does.
func TestSeatsOfAnEarlierService(t *testing.T) {
	for name, begun := range map[string]bool{"begun": true, "let in": false} {
		t.Run(name, func(t *testing.T) {
			x := &watch{ill: newIll(t, well)}
			var err error
			x.ticket, err = x.room.Ticket("A7", "IN", "", x.now)
			require.NoError(t, err)
			x.session, err = x.room.Enter(x.ticket, "id")
			require.NoError(t, err)
			require.NoError(t, x.room.Move(room.Opened, "AB", "", x.now.Add(7*time.Minute)))
			a := &practical.Attempt{}
			require.NoError(t, a.Admit(short(), "A7", before{x.ill}, x.now))
			seen := x.now.Add(30 * time.Second)
			if begun {
				require.NoError(t, a.Begin(seen))
			}
			x.now = x.now.Add(20 * time.Minute)
			x.start()
			x.comesIn()
			want := []stretch{{seen, x.now, ""}}
			started := morning
			x.passes(t, 2*time.Second)
			if !begun {
				want, started = nil, x.now
			}
			for range short().Cases {
				x.goesOn()
				for i := range script {
					x.passes(t, 2*time.Second)
					x.does(i)
				}
			}
			rec := x.record()
			assert.True(t, started.Equal(rec.Started()))
			assert.Equal(t, want, stretchesOf(t, rec))
			for i, at := range wallsOf(t, rec) {
				assert.True(t, x.walls[i].Equal(at))
			}
		})
	}
}
