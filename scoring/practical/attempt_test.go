package practical

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// refused asserts that an error is the fact of an ID.
func refused(t testing.TB, err error, id string) {
	t.Helper()
	var told fact.Told
	require.ErrorAs(t, err, &told)
	assert.Equal(t, id, told.Tell().ID, "%v", err)
}

// station is a machine that somebody sits a practical at. It can die before or
// after any time that it keeps something.
type station struct {
	memory
	keeps int   // so many more times it keeps a record; below 0: without end
	after bool  // it dies after that time, and not before
	err   error // of reading
}

var errDied = errors.New("the machine died")

func newStation() *station { return &station{memory: memory{logs: map[int][]byte{}}, keeps: -1} }

func (s *station) SetRecord(data []byte) error {
	if s.keeps != 0 {
		s.keeps--
		return s.memory.SetRecord(data)
	}
	if s.after {
		s.after = false
		s.memory.SetRecord(data)
	}
	return errDied
}

func (s *station) SetResult(data []byte) error {
	if s.keeps != 0 {
		s.keeps--
		return s.memory.SetResult(data)
	}
	if s.after {
		s.after = false
		s.memory.SetResult(data)
	}
	return errDied
}

func (s *station) Record() ([]byte, error) { return s.record, s.err }

// logs are those of a candidate's cases: of the first with an end point, of the
// second without.
func (s *station) write(t testing.TB, p *Plan, candidate string, stated bool, i int) {
	h := p.Entry(candidate).Header(i)
	s.logs[i] = []byte(logOf(t, h, []sitting.Event{{N: 1, Action: sitting.Action{Do: sitting.Show, Chart: chart.Fan}}}))
	if stated {
		s.logs[i] = []byte(logOf(t, h, []sitting.Event{
			{N: 1, Action: sitting.Action{Do: sitting.Show, Chart: chart.Fan}}, {N: 2, Action: sitting.Action{Do: sitting.End, Rx: &optics.Rx{}}},
		}))
	}
}

// admittedAt is an attempt of candidate B2, who has 20 minutes for each of two
// cases, and 30 in all.
func admittedAt(t testing.TB, p *Plan, k Keep) *Attempt {
	a := &Attempt{}
	require.NoError(t, a.Admit(p, "b2", k, morning))
	return a
}

// pass lets time go by at a station whose clock is right.
func pass(t testing.TB, a *Attempt, d time.Duration) (up bool) {
	now := a.State().(Examining)
	up, err := a.Tick(now.clock.wall.Add(d), d)
	require.NoError(t, err)
	return up
}

func TestAnAttemptFromTheDoorToTheCode(t *testing.T) {
	p, k := friday(t, nil), newStation()
	order := p.Entry("B2").Order()
	a := admittedAt(t, p, k)
	ready := a.State().(Ready)
	assert.Equal(t, []any{"B2", order[0], 1, time.Duration(0)}, []any{ready.Candidate(), ready.Case(), ready.Place(), ready.Spent()})

	k.write(t, p, "B2", true, order[0])
	require.NoError(t, a.Begin(morning.Add(time.Minute)))
	assert.False(t, pass(t, a, 12*time.Minute))
	now := a.State().(Examining)
	left, limited := now.Left()
	assert.Equal(t, []any{order[0], 1, 12 * time.Minute, 8 * time.Minute, true}, []any{now.Case(), now.Place(), now.Elapsed(), left, limited})
	require.NoError(t, a.HandIn(morning.Add(13*time.Minute)))

	ready = a.State().(Ready)
	assert.Equal(t, []any{order[1], 2, 12 * time.Minute}, []any{ready.Case(), ready.Place(), ready.Spent()})
	k.write(t, p, "B2", false, order[1])
	require.NoError(t, a.Begin(morning.Add(14*time.Minute)))
	assert.False(t, pass(t, a, 18*time.Minute-1), "30 minutes in all")
	refused(t, a.HandIn(morning), "practical.time-left")
	assert.True(t, pass(t, a, 1))
	end := morning.Add(32 * time.Minute)
	require.NoError(t, a.HandIn(end))

	rec := a.State().(Over).Record()
	first, second := string(k.logs[order[0]]), string(k.logs[order[1]])
	assert.Equal(t, []Sat{
		{
			Case: order[0], Log: first, Bytes: len(first), Elapsed: 12 * time.Minute, Ended: Stated,
			Begun: morning.Add(time.Minute), Until: morning.Add(13 * time.Minute),
		},
		{
			Case: order[1], Log: second, Bytes: len(second), Elapsed: 18 * time.Minute, Ended: TimedUp,
			Begun: morning.Add(14 * time.Minute), Until: end,
		},
	}, rec.Cases())
	assert.Equal(t, end, rec.in.Ended)
	assert.Empty(t, rec.in.Interruptions)
	assert.Empty(t, rec.in.Jumps)
	again, err := ReadResult(p, "x", must(a.Result()), assessor.Key())
	require.NoError(t, err)
	assert.Equal(t, rec, again)
	assert.NotContains(t, string(k.record), "chain", "logs are kept once, where they are written")
}

// What cannot be done in a state is refused, and changes nothing.
func TestEveryWrongTransition(t *testing.T) {
	p := friday(t, nil)
	deeds := map[string]func(*Attempt) error{
		"admit":   func(a *Attempt) error { return a.Admit(p, "B2", newStation(), morning) },
		"begin":   func(a *Attempt) error { return a.Begin(morning) },
		"tick":    func(a *Attempt) error { _, err := a.Tick(morning, time.Second); return err },
		"hand in": func(a *Attempt) error { return a.HandIn(morning) },
		"allow":   func(a *Attempt) error { return a.Allow(p, morning) },
		"result":  func(a *Attempt) error { _, err := a.Result(); return err },
	}
	for _, c := range []struct {
		state   State
		allowed string
	}{
		{Entering{}, "admit"}, {Ready{}, "begin, tick"}, {Examining{}, "tick, hand in"}, {Interrupted{}, "allow"}, {Over{}, "result"},
	} {
		for name, do := range deeds {
			a := attemptIn(t, p, c.state)
			require.IsType(t, c.state, a.State())
			before := a.State()
			err := do(a)
			if strings.Contains(c.allowed, name) {
				assert.NoError(t, err, "%s in %T", name, c.state)
				continue
			}
			refused(t, err, "practical.not-now")
			assert.Equal(t, before, a.State(), "%s in %T", name, c.state)
		}
	}
}

// attemptIn is an attempt that has come as far as a state.
func attemptIn(t *testing.T, p *Plan, s State) *Attempt {
	if _, is := s.(Entering); is {
		return &Attempt{}
	}
	k := newStation()
	a := admittedAt(t, p, k)
	for _, i := range p.Entry("B2").Order() {
		k.write(t, p, "B2", true, i)
		switch s.(type) {
		case Ready:
			return a
		case Interrupted:
			return must(Reopen(k, morning))
		}
		require.NoError(t, a.Begin(morning))
		if _, is := s.(Examining); is {
			return a
		}
		require.NoError(t, a.HandIn(morning))
	}
	return a
}

// Each limit of time, on both sides.
func TestLimitsOfTime(t *testing.T) {
	for name, c := range map[string]struct {
		perCase, total, first, limit time.Duration
		more                         float64
	}{
		"each case":             {perCase: 20 * time.Minute, limit: 20 * time.Minute},
		"each case, more":       {perCase: 20 * time.Minute, more: 0.25, limit: 25 * time.Minute},
		"all":                   {total: 30 * time.Minute, limit: 30 * time.Minute},
		"all, less the first":   {total: 30 * time.Minute, first: 11 * time.Minute, limit: 19 * time.Minute},
		"each, the first short": {perCase: 10 * time.Minute, total: 30 * time.Minute, first: 5 * time.Minute, limit: 10 * time.Minute},
	} {
		p := friday(t, func(p *Plan) { p.PerCase, p.Total, p.Extra = c.perCase, c.total, map[string]float64{"B2": c.more} })
		k := newStation()
		a := admittedAt(t, p, k)
		for _, i := range p.Entry("B2").Order() {
			k.write(t, p, "B2", true, i)
		}
		if c.first > 0 {
			require.NoError(t, a.Begin(morning))
			pass(t, a, c.first)
			require.NoError(t, a.HandIn(morning))
		}
		k.write(t, p, "B2", false, a.State().(Ready).Case())
		require.NoError(t, a.Begin(morning))
		assert.False(t, pass(t, a, c.limit-1), name)
		refused(t, a.HandIn(morning), "practical.time-left")
		assert.True(t, pass(t, a, 1), name)
		require.NoError(t, a.HandIn(morning), name)
	}
	a := admittedAt(t, friday(t, func(p *Plan) { p.PerCase, p.Total, p.Extra = 0, 0, nil }), newStation())
	require.NoError(t, a.Begin(morning))
	assert.False(t, pass(t, a, 100*time.Hour), "no limit")
}

// A candidate is warned 5 minutes and 1 minute before the time is up, on either side,
// and not of more time than there was.
func TestWarnings(t *testing.T) {
	for _, c := range []struct {
		limit, spent, want time.Duration
	}{
		{20 * time.Minute, 15*time.Minute - 1, 0}, {20 * time.Minute, 15 * time.Minute, 5 * time.Minute},
		{20 * time.Minute, 19*time.Minute - 1, 5 * time.Minute}, {20 * time.Minute, 19 * time.Minute, time.Minute}, {20 * time.Minute, 20 * time.Minute, time.Minute},
		{5 * time.Minute, 3 * time.Minute, 0}, {5 * time.Minute, 4 * time.Minute, time.Minute}, {5*time.Minute + time.Second, 2 * time.Minute, 5 * time.Minute},
		{time.Minute, 59 * time.Second, 0}, {0, 90 * time.Minute, 0},
	} {
		p := friday(t, func(p *Plan) { p.PerCase, p.Total, p.Extra = c.limit, 0, nil })
		a := admittedAt(t, p, newStation())
		require.NoError(t, a.Begin(morning))
		pass(t, a, c.spent)
		left, due := a.State().(Examining).Warning()
		assert.Equal(t, c.want, left, c)
		assert.Equal(t, c.want > 0, due, c)
	}
}

// What runs out is the time in all where it ends with that for the case or before, with what the
// case before and a pause that counts have taken, and however much more was granted.
func TestWhatRunsOut(t *testing.T) {
	const minute = time.Minute
	for _, c := range []struct {
		perCase, total time.Duration
		first, second  bool // in the first case; in the second, after 4 minutes in the first and 1 between them
	}{
		{10 * minute, 0, false, false}, {0, 30 * minute, true, true},
		{10 * minute, 10 * minute, true, true}, {10 * minute, 10*minute + time.Second, false, true},
		{10 * minute, 15 * minute, false, true}, {10 * minute, 15*minute + time.Second, false, false},
	} {
		p, k := friday(t, func(p *Plan) { p.PerCase, p.Total, p.Extra, p.CountPauses = c.perCase, c.total, nil, true }), newStation()
		a := admittedAt(t, p, k)
		k.write(t, p, "B2", true, a.State().(Ready).Case())
		require.NoError(t, a.Begin(morning))
		assert.Equal(t, c.first, a.State().(Examining).Whole(), c)
		pass(t, a, 4*minute)
		assert.Equal(t, c.first, a.State().(Examining).Whole(), c)
		require.NoError(t, a.HandIn(morning.Add(4*minute)))
		_, err := a.Tick(morning.Add(5*minute), minute)
		require.NoError(t, err)
		require.NoError(t, a.Begin(morning.Add(5*minute)))
		assert.Equal(t, c.second, a.State().(Examining).Whole(), c)
		require.NoError(t, a.Grant(minute, "a lamp", morning))
		assert.Equal(t, c.second, a.State().(Examining).Whole(), c)
	}
}

// When all the time is used, nothing comes next.
func TestNoCaseComesWithoutTime(t *testing.T) {
	p := friday(t, func(p *Plan) { p.PerCase, p.Total, p.Extra = 0, 10*time.Minute, nil })
	for spent, want := range map[time.Duration]State{10*time.Minute - 1: Ready{}, 10 * time.Minute: Over{}} {
		k := newStation()
		a := admittedAt(t, p, k)
		k.write(t, p, "B2", true, a.State().(Ready).Case())
		require.NoError(t, a.Begin(morning))
		pass(t, a, spent)
		require.NoError(t, a.HandIn(morning.Add(spent)))
		assert.IsType(t, want, a.State())
	}
}

// A clock that was set is noted, from just more than 2 s on. Set back, it changes
// nothing of the time that counts; set on, it cannot be told from a lid that was shut.
func TestAClockThatWasSet(t *testing.T) {
	if testing.Short() {
		t.Skip("it sits whole cases")
	}
	p, k := friday(t, nil), newStation()
	a := admittedAt(t, p, k)
	require.NoError(t, a.Begin(morning))
	wall := morning
	set := func(by time.Duration) int {
		wall = wall.Add(time.Second + by)
		_, err := a.Tick(wall, time.Second)
		require.NoError(t, err)
		return len(a.State().(Examining).rec.Jumps)
	}
	assert.Equal(t, 0, set(2*time.Second))
	assert.Equal(t, 0, set(-2*time.Second))
	assert.Equal(t, 1, set(2*time.Second+1))
	assert.Equal(t, 2, set(-2*time.Second-1))
	assert.Equal(t, 3, set(-10*time.Hour))
	assert.Equal(t, 7*time.Second+1, a.State().(Examining).Elapsed())
	assert.Equal(t, Jump{wall, -10 * time.Hour}, a.State().(Examining).rec.Jumps[2])
	assert.Contains(t, string(k.record), "-36000000000000", "it is kept at once")

	// The times of one program know what really passed, and would hide a jump.
	now := time.Now()
	b := admittedAt(t, p, newStation())
	require.NoError(t, b.Begin(now))
	assert.Equal(t, now.Round(0), b.State().(Examining).clock.wall)
	must(b.Tick(now.Add(time.Second), time.Second))
	assert.Equal(t, now.Add(time.Second).Round(0), b.State().(Examining).clock.wall)

	for range 2 * mostInterruptions { // of which a record takes no more
		set(time.Minute)
	}
	assert.Len(t, a.State().(Examining).rec.Jumps, mostInterruptions)
}

// The time is kept each second, and runs on when it cannot be kept.
func TestTheTimeIsKept(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := admittedAt(t, p, k)
	require.NoError(t, a.Begin(morning))
	before := string(k.record)
	pass(t, a, time.Second-1)
	assert.Equal(t, before, string(k.record))
	pass(t, a, 1)
	assert.Contains(t, string(k.record), `"elapsed":1000000000`)

	k.keeps = 0
	now := a.State().(Examining)
	_, err := a.Tick(now.clock.wall.Add(time.Second), time.Second)
	refused(t, err, "practical.not-kept")
	assert.ErrorIs(t, err, errDied)
	assert.Equal(t, 2*time.Second, a.State().(Examining).Elapsed())
	_, err = a.Tick(now.clock.wall.Add(time.Second), -time.Second)
	require.NoError(t, err)
	assert.Equal(t, 2*time.Second, a.State().(Examining).Elapsed(), "time does not run back")
}

// What cannot be kept has not happened.
func TestWhatCannotBeKeptHasNotHappened(t *testing.T) {
	p, k := friday(t, nil), newStation()
	k.keeps = 0
	a := &Attempt{}
	refused(t, a.Admit(p, "B2", k, morning), "practical.not-kept")
	assert.IsType(t, Entering{}, a.State())
	k.keeps = -1
	a = admittedAt(t, p, k)
	k.keeps = 0
	refused(t, a.Begin(morning), "practical.not-kept")
	assert.IsType(t, Ready{}, a.State())
	k.keeps = -1
	i := a.State().(Ready).Case()
	require.NoError(t, a.Begin(morning))
	k.write(t, p, "B2", true, i)
	k.keeps = 0
	refused(t, a.HandIn(morning), "practical.not-kept")
	assert.IsType(t, Examining{}, a.State())
	assert.Empty(t, a.State().(Examining).rec.Cases)
	b := must(Reopen(k, morning))
	refused(t, b.Allow(p, morning), "practical.not-kept")
	assert.IsType(t, Interrupted{}, b.State())
	k.keeps = -1
	require.NoError(t, b.Allow(p, morning))
	assert.Len(t, b.State().(Ready).rec.Interruptions, 1)
}
