package practical

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// run ticks for so long by the station's clock; of each tick the program is told a
// share only.
func run(t testing.TB, a *Attempt, wall, tick time.Duration, share float64) (up bool) {
	for d := time.Duration(0); d < wall && !up; d += tick {
		var at time.Time
		switch s := a.State().(type) {
		case Examining:
			at = s.clock.wall
		case Ready:
			at = s.clock.wall
		}
		var err error
		up, err = a.Tick(at.Add(tick), time.Duration(share*float64(tick)))
		require.NoError(t, err)
	}
	return up
}

// A program whose own clock was slowed to a twentieth gains no time, though no
// single tick shows it; and the record says by how much.
func TestAClockThatWasSlowedGainsNothing(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := admittedAt(t, p, k)
	require.NoError(t, a.Begin(morning))
	run(t, a, 45*time.Second, time.Second, 0.05)
	now := a.State().(Examining)
	assert.Equal(t, 45*time.Second, now.Elapsed())
	assert.Empty(t, now.rec.Jumps)
	assert.InDelta(t, 0.95*45, now.rec.Slow.Seconds(), 1e-6)
	assert.True(t, run(t, a, 31*time.Minute, time.Second, 0.05), "31 minutes did not run as 3")
	now = a.State().(Examining)
	assert.Equal(t, 20*time.Minute, now.Elapsed())

	// The sum is over the whole attempt, through a case, a pause and a restart.
	k.write(t, p, "B2", true, now.Case())
	require.NoError(t, a.HandIn(now.clock.wall))
	before := a.State().(Ready).rec.Slow
	run(t, a, 10*time.Second, time.Second, 0.5)
	assert.Equal(t, 5*time.Second, a.State().(Ready).rec.Slow-before)
	b := must(Reopen(k, morning.Add(time.Hour)))
	require.NoError(t, b.Allow(p, morning.Add(time.Hour)))
	run(t, b, 10*time.Second, time.Second, 0.5)
	assert.Equal(t, 10*time.Second, b.State().(Ready).rec.Slow-before)
}

// The other way round, where the station's clock was slowed, what really passed
// counts.
func TestAStationsClockThatWasSlowedGainsNothing(t *testing.T) {
	a := admittedAt(t, friday(t, nil), newStation())
	require.NoError(t, a.Begin(morning))
	run(t, a, 10*time.Second, time.Second, 1.5)
	assert.Equal(t, 15*time.Second, a.State().(Examining).Elapsed())
}

// A clock that was set back and right again changes nothing, and its steps to and
// fro are not counted as time.
func TestAClockSetBackAndRightAgain(t *testing.T) {
	a := admittedAt(t, friday(t, nil), newStation())
	require.NoError(t, a.Begin(morning))
	wall := morning
	for _, by := range []time.Duration{-10 * time.Minute, 10 * time.Minute, -time.Hour, time.Hour} {
		wall = wall.Add(by + time.Second)
		must(a.Tick(wall, time.Second))
	}
	now := a.State().(Examining)
	assert.Equal(t, 4*time.Second, now.Elapsed())
	assert.Len(t, now.rec.Jumps, 4)
	assert.Equal(t, time.Duration(0), now.open.Set)
	b := *a
	must(a.Tick(wall.Add(-time.Hour), 0))
	assert.Equal(t, -time.Hour, a.State().(Examining).open.Set)
	must(b.Tick(wall.Add(10*time.Minute), 0))
	assert.Equal(t, 10*time.Minute+4*time.Second, b.State().(Examining).Elapsed(), "what was set back was made good once")
}

// No clock goes back by what it says has passed, and none runs over.
func TestClocksThatTellNonsense(t *testing.T) {
	c := clock{wall: morning}
	assert.Equal(t, step{passed: time.Second}, c.tick(morning.Add(time.Second), -time.Hour))
	for year := range 3 {
		assert.Equal(t, farthest, c.tick(morning.AddDate(1000*(year+1), 0, 0), 0).passed)
	}
	for by, want := range map[time.Duration][2]bool{jumped: {false, false}, jumped + 1: {true, false}, -jumped: {false, false}, -jumped - 1: {false, true}} {
		slow := Times{Slow: by}
		assert.Equal(t, want, [2]bool{slow.TooSlow(), slow.TooFast()}, by)
	}
}

// A hidden page, or a lid that was shut, takes the time of the case up to its limit
// and not beyond, and nothing of the next one's.
func TestALidThatWasShutTakesOneCaseAtMost(t *testing.T) {
	for name, spent := range map[string]time.Duration{"the program's clock goes on": 179 * time.Minute, "it stands still": 100 * time.Millisecond} {
		p, k := friday(t, func(p *Plan) { p.Total = 40 * time.Minute }), newStation()
		a := admittedAt(t, p, k)
		i := a.State().(Ready).Case()
		k.write(t, p, "B2", false, i)
		require.NoError(t, a.Begin(morning))
		pass(t, a, time.Minute)
		assert.True(t, must(a.Tick(morning.Add(3*time.Hour), spent)), name)
		assert.Equal(t, 20*time.Minute, a.State().(Examining).Elapsed(), name)
		require.NoError(t, a.HandIn(morning.Add(3*time.Hour)))
		ready := a.State().(Ready)
		assert.Equal(t, 20*time.Minute, ready.Spent(), name)
		assert.InDelta(t, (2*time.Hour + 40*time.Minute).Seconds(), ready.rec.Cases[0].Past.Seconds(), 0.2, name)
		require.NoError(t, a.Begin(morning.Add(3*time.Hour)))
		left, _ := a.State().(Examining).Left()
		assert.Equal(t, 20*time.Minute, left, name)
	}
}

// Without a limit, too, a clock a year on leaves a result that can be made.
func TestAClockAYearOnLeavesAResult(t *testing.T) {
	p, k := friday(t, func(p *Plan) { p.PerCase, p.Total, p.Extra = 0, 0, nil }), newStation()
	a := admittedAt(t, p, k)
	for _, i := range p.Entry("B2").Order() {
		k.write(t, p, "B2", true, i)
		require.NoError(t, a.Begin(morning))
		for year := range 3 {
			must(a.Tick(morning.AddDate(year, 0, 0), 0))
		}
		require.NoError(t, a.HandIn(morning))
	}
	assert.Equal(t, mostTime, a.State().(Over).rec.Cases[0].Elapsed)
}

// The time between cases is told, and counts towards the time in all where the plan
// says so; that before the first does not.
func TestTheTimeBetweenCases(t *testing.T) {
	for _, counts := range []bool{false, true} {
		p, k := friday(t, func(p *Plan) { p.CountPauses = counts }), newStation()
		a := admittedAt(t, p, k)
		assert.False(t, run(t, a, 50*time.Minute, time.Minute, 1), "nothing counts before the first")
		begun := morning.Add(50 * time.Minute)
		order := p.Entry("B2").Order()
		k.write(t, p, "B2", true, order[0])
		require.NoError(t, a.Begin(begun))
		pass(t, a, 10*time.Minute)
		require.NoError(t, a.HandIn(begun.Add(10*time.Minute)))
		run(t, a, 12*time.Minute, time.Minute, 1)
		require.NoError(t, a.Begin(begun.Add(22*time.Minute)))
		now := a.State().(Examining)
		assert.Equal(t, 12*time.Minute, now.open.Before)
		left, _ := now.Left()
		assert.Equal(t, map[bool]time.Duration{false: 20 * time.Minute, true: 8 * time.Minute}[counts], left)
	}
}

// Where it counts and the time in all is up before a case, all is over, and a lid
// that is shut then takes no more than there was.
func TestTheTimeIsUpBetweenCases(t *testing.T) {
	p, k := friday(t, func(p *Plan) { p.CountPauses = true }), newStation()
	a := admittedAt(t, p, k)
	k.write(t, p, "B2", true, a.State().(Ready).Case())
	require.NoError(t, a.Begin(morning))
	pass(t, a, 10*time.Minute)
	require.NoError(t, a.HandIn(morning.Add(10*time.Minute)))
	assert.False(t, run(t, a, 20*time.Minute-time.Second, time.Second, 1))
	k.keeps = 0
	up, err := a.Tick(morning.Add(3*time.Hour), time.Second)
	assert.True(t, up)
	refused(t, err, "practical.not-kept")
	refused(t, a.Begin(morning), "practical.no-time")
	k.keeps = -1
	assert.True(t, must(a.Tick(morning.Add(3*time.Hour), 0)))
	rec := a.State().(Over).Record()
	assert.Len(t, rec.Cases(), 1)
	require.NoError(t, rec.in.over(p))
	assert.Zero(t, rec.in.Seen)
	assert.Equal(t, 20*time.Minute, rec.in.Waited)
	assert.Empty(t, rec.in.late(p))
	doubts := rec.Doubts(p, morning.Add(3*time.Hour))
	require.Len(t, doubts, 1, "the lid was shut: nothing else is doubted")
	assert.Equal(t, "practical.doubt.clock-between", doubts[0].ID)
}

// The record tells where the time went, and leaves nothing unexplained.
func TestWhereTheTimeWent(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := admittedAt(t, p, k)
	order := p.Entry("B2").Order()
	k.write(t, p, "B2", true, order[0])
	run(t, a, 5*time.Minute, time.Second, 1)
	require.NoError(t, a.Begin(morning.Add(5*time.Minute)))
	run(t, a, 4*time.Minute, time.Second, 1)
	a = must(Reopen(k, morning.Add(15*time.Minute))) // it had stopped at 9
	require.NoError(t, a.Allow(p, morning.Add(19*time.Minute)))
	require.Len(t, a.State().(Ready).rec.Interruptions, 1)
	run(t, a, time.Minute, time.Second, 1)
	a = must(Reopen(k, morning.Add(21*time.Minute)))
	require.NoError(t, a.Allow(p, morning.Add(22*time.Minute)))
	k.write(t, p, "B2", false, order[1])
	require.NoError(t, a.Begin(morning.Add(24*time.Minute)))
	must(a.Tick(morning.Add(3*time.Hour), time.Minute)) // the lid was shut
	require.NoError(t, a.HandIn(morning.Add(3*time.Hour)))

	rec := a.State().(Over).Record()
	assert.Equal(t, Times{
		Begun: morning, Ended: morning.Add(3 * time.Hour), Used: 24 * time.Minute, Paused: 8 * time.Minute,
		Interrupted: 12 * time.Minute, Past: 136 * time.Minute, Gap: 0,
	}, rec.in.times())
	doubts := rec.Doubts(p, morning.Add(3*time.Hour))
	require.Len(t, doubts, 1, "the lid was shut: nothing else is doubted")
	assert.Equal(t, "practical.doubt.clock", doubts[0].ID)
	assert.Equal(t, morning.Add(9*time.Minute), rec.in.Interruptions[0].Begun())
	assert.Equal(t, []time.Duration{10 * time.Minute, 2 * time.Minute}, []time.Duration{rec.in.Interruptions[0].Length(), rec.in.Interruptions[1].Length()})
}

// What cannot be true, or what nothing explains, is listed, each on both sides.
func TestDoubts(t *testing.T) {
	p := friday(t, func(p *Plan) { p.Made = morning.Add(-time.Hour) })
	base := func() *record {
		r := sat(t, p, "B2")
		r.Cases[0].Begun, r.Cases[0].Until = morning, morning.Add(9*time.Minute)
		r.Cases[1].Begun, r.Cases[1].Until = morning.Add(9*time.Minute), morning.Add(18*time.Minute)
		return r
	}
	doubts := func(change func(*record)) (ids []string) {
		r := base()
		change(r)
		for _, d := range (&Record{*r}).Doubts(p, morning.Add(time.Hour)) {
			id := strings.TrimPrefix(d.ID, "practical.doubt.")
			if id == "clock" {
				id += fmt.Sprint(" ", d.Values["n"])
			}
			ids = append(ids, id)
		}
		return ids
	}
	at := func(d time.Duration) func(*record) { // an action of the second case, so long after it was handed in
		return func(r *record) {
			r.Cases[1].Log = logOf(t, p.Entry("B2").Header(r.Cases[1].Case), []sitting.Event{
				{N: 1, Action: sitting.Action{Do: sitting.Show, Chart: chart.Fan}, Aside: &sitting.Aside{Wall: r.Cases[1].Until.Add(d)}},
			})
		}
	}
	moved := func(r *record, by time.Duration) {
		r.Started, r.Ended = r.Started.Add(by), r.Ended.Add(by)
		for i := range r.Cases {
			r.Cases[i].Begun, r.Cases[i].Until = r.Cases[i].Begun.Add(by), r.Cases[i].Until.Add(by)
		}
	}
	set := func(minute int, by ...time.Duration) func(*record) { // the clock, so long after the beginning
		return func(r *record) {
			for _, by := range by {
				r.Jumps = append(r.Jumps, Jump{At: morning.Add(time.Duration(minute) * time.Minute), By: by})
			}
		}
	}
	older := func(r *record) {
		r.Version = oldestRecord
		for i := range r.Cases {
			r.Cases[i].Begun, r.Cases[i].Until = time.Time{}, time.Time{}
		}
	}
	for _, c := range []struct {
		name   string
		change func(*record)
		want   []string
	}{
		{"nothing", func(*record) {}, nil},
		{"ended as it began", func(r *record) { r.Ended = r.Started.Add(-1) }, []string{"order"}},
		{"a day before it was made", func(r *record) { moved(r, -25*time.Hour) }, nil},
		{"more", func(r *record) { moved(r, -25*time.Hour-1) }, []string{"early"}},
		{"2020", func(r *record) { moved(r, -100000*time.Hour) }, []string{"early"}},
		{"a day after the report", func(r *record) { moved(r, 24*time.Hour+42*time.Minute) }, nil},
		{"more", func(r *record) { moved(r, 24*time.Hour+42*time.Minute+1) }, []string{"late"}},
		{"9999", func(r *record) { r.Ended = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC) }, []string{"late", "gap"}},
		{"a second", func(r *record) { r.Cases[0].Elapsed, r.Cases[0].Past = time.Second, 9*time.Minute-time.Second }, nil},
		{"an end after all cases", func(r *record) { r.Ended = r.Ended.Add(2 * time.Minute) }, []string{"gap"}},
		{"no time", func(r *record) { r.Cases[0].Elapsed, r.Cases[0].Past = time.Second-1, 9*time.Minute }, []string{"instant"}},
		{"a minute apart", at(time.Minute), nil},
		{"more", at(time.Minute + 1), []string{"apart"}},
		{"before", at(-11 * time.Minute), []string{"apart"}},
		{"before, in one whose clock was set back", func(r *record) {
			at(-11 * time.Minute)(r)
			r.Cases[1].Set, r.Ended = -10*time.Minute, r.Ended.Add(-10*time.Minute)
		}, nil},
		{"an older one, that tells no times of cases", func(r *record) { at(time.Hour)(r); older(r) }, nil},
		{"a minute unexplained", func(r *record) { r.Cases[0].Elapsed = 8 * time.Minute }, nil},
		{"more", func(r *record) { r.Cases[0].Elapsed = 8*time.Minute - 1 }, []string{"gap"}},
		{"a minute too much", func(r *record) { r.Cases[0].Elapsed = 10 * time.Minute }, nil},
		{"more", func(r *record) { r.Cases[0].Elapsed = 10*time.Minute + 1 }, []string{"short"}},
		{"an hour in an older one", func(r *record) { older(r); r.Ended = r.Started.Add(78 * time.Minute) }, nil},
		{"a minute at once", set(5, time.Minute), nil},
		{"more, in the first case", set(5, time.Minute+1), []string{"clock 1"}},
		{"in the second", set(15, time.Hour), []string{"clock 2"}},
		{"as the time was up", set(18, time.Hour), []string{"clock 2"}},
		{"set back", set(5, -time.Hour), nil},
		{"and right again", set(5, -time.Hour, time.Hour), nil},
		{"and further", set(5, -time.Hour, time.Hour+time.Minute+1), []string{"clock 1"}},
		{"twice", set(5, -time.Hour, time.Hour, 2*time.Minute), []string{"clock 1"}},
		{"3 h against 18 min", func(r *record) { older(r); r.Ended = r.Started.Add(3 * time.Hour) }, []string{"gap"}},
	} {
		assert.Equal(t, c.want, doubts(c.change), c.name)
	}
}

// A leap of the clock between cases takes time where that counts, and from the first case
// on.
func TestALeapBetweenCases(t *testing.T) {
	for _, c := range []struct {
		counts bool
		minute time.Duration
		want   int
	}{{true, 10, 1}, {false, 10, 0}, {true, -1, 0}} {
		p := friday(t, func(p *Plan) { p.CountPauses = c.counts })
		r := sat(t, p, "B2")
		r.Cases[0].Begun, r.Cases[0].Until = morning, morning.Add(9*time.Minute)
		r.Cases[1].Begun, r.Cases[1].Until = morning.Add(12*time.Minute), morning.Add(18*time.Minute)
		r.Jumps = []Jump{{At: morning.Add(c.minute * time.Minute), By: time.Hour}}
		n := 0
		for _, d := range (&Record{*r}).Doubts(p, morning.Add(time.Hour)) {
			if d.ID == "practical.doubt.clock-between" {
				n++
			}
		}
		assert.Equal(t, c.want, n, c.minute)
	}
}

// A practical of before, which does not tell when it was made, was not sat before there
// were any.
func TestBeforeThereWerePracticals(t *testing.T) {
	p := friday(t, func(p *Plan) { p.Made = time.Time{} })
	for by, want := range map[time.Duration]bool{0: false, -1: true} {
		r := sat(t, p, "B2")
		r.Started = earliest.Add(-zones + by)
		doubts := (&Record{*r}).Doubts(p, morning)
		assert.Equal(t, want, slices.ContainsFunc(doubts, func(d fact.Fact) bool { return d.ID == "practical.doubt.early" }), by)
	}
}
