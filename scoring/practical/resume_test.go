package practical

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A machine dies before or after each time that it keeps something, and goes
// on: nothing is lost, and no more time is given than may be between two times
// that it is kept, and none is taken.
func TestAMachineThatDiesAtAnyPoint(t *testing.T) {
	p := friday(t, func(p *Plan) { p.PerCase, p.Total = 10*time.Second, 0 })
	for _, after := range []bool{false, true} {
		died := 0
		for n := range 100 {
			k := newStation()
			k.keeps, k.after = n, after
			l := &life{t: t, p: p, k: k, clock: morning}
			l.sit()
			if !l.died {
				break
			}
			died++
			rec := l.a.State().(Over).Record()
			require.Len(t, rec.Cases(), 2, n)
			for i, sat := range rec.Cases() {
				require.Equal(t, string(k.logs[sat.Case]), sat.Log, "nothing of the log is lost")
				require.GreaterOrEqual(t, sat.Elapsed, []time.Duration{4 * time.Second, 10 * time.Second}[i])
				require.LessOrEqual(t, l.ran[sat.Case]-sat.Elapsed, time.Second+tick, "time given")
				require.LessOrEqual(t, sat.Elapsed, l.ran[sat.Case], "time taken")
			}
			require.LessOrEqual(t, len(rec.in.Interruptions), 1)
			for _, s := range rec.in.Interruptions {
				require.Equal(t, 5*time.Minute, s.Allowed.Sub(s.At))
			}
			require.NoError(t, rec.in.over(p))
			assert.Empty(t, rec.in.Jumps)
		}
		assert.Equal(t, 1+6+12+1, died, "times that something is kept in a life without a death")
	}
}

// tick is how often the time of a life passes.
const tick = 100 * time.Millisecond

// life is a practical at a machine that dies once and is there again.
type life struct {
	t     *testing.T
	p     *Plan
	k     *station
	a     *Attempt
	clock time.Time
	died  bool
	ran   map[int]time.Duration // by case: what really passed
}

// try does something until it is done: when the machine died, after it is there
// again. It reports whether the machine lived.
func (l *life) try(err error) bool {
	if err == nil {
		return true
	}
	require.ErrorIs(l.t, err, errDied)
	l.died, l.k.keeps = true, -1
	l.clock = l.clock.Add(time.Hour)
	l.a = &Attempt{}
	if l.k.record == nil {
		return false
	}
	var e error
	l.a, e = Reopen(l.k, l.clock)
	require.NoError(l.t, e)
	l.clock = l.clock.Add(5 * time.Minute)
	require.NoError(l.t, l.a.Allow(l.p, l.clock))
	return false
}

// sit states the end point of the first case after 4 seconds, and never that of
// the second.
func (l *life) sit() {
	l.a, l.ran = &Attempt{}, map[int]time.Duration{}
	for {
		switch now := l.a.State().(type) {
		case Entering:
			l.try(l.a.Admit(l.p, "B2", l.k, l.clock))
		case Ready:
			l.k.write(l.t, l.p, "B2", false, now.Case())
			l.try(l.a.Begin(l.clock))
		case Examining:
			l.examine(now)
		case Over:
			return
		}
	}
}

func (l *life) examine(now Examining) {
	if now.Place() == 1 && now.Elapsed() >= 4*time.Second {
		l.k.write(l.t, l.p, "B2", true, now.Case())
		l.try(l.a.HandIn(l.clock))
		return
	}
	l.clock, l.ran[now.Case()] = l.clock.Add(tick), l.ran[now.Case()]+tick
	up, err := l.a.Tick(l.clock, tick)
	if l.try(err) && up {
		l.try(l.a.HandIn(l.clock))
	}
}

// Wherever the log was cut off, the case goes on behind its last whole line.
func TestALogThatWasCutOffAnywhere(t *testing.T) {
	p := friday(t, nil)
	k := newStation()
	a := admittedAt(t, p, k)
	i := a.State().(Ready).Case()
	require.NoError(t, a.Begin(morning))
	pass(t, a, 4*time.Minute)
	whole := examined(t, p, "B2", i)
	whole = whole[:min(1500, len(whole))]
	for cut := range len(whole) {
		k := &station{memory: memory{record: k.record, logs: map[int][]byte{i: []byte(whole[:cut])}}, keeps: -1}
		a := must(Reopen(k, morning.Add(time.Hour)))
		require.NoError(t, a.Allow(p, morning.Add(2*time.Hour)), cut)
		now := a.State().(Examining)
		left, _ := now.Left()
		require.Equal(t, 16*time.Minute, left)
		require.Equal(t, []Interruption{{
			Case: i, At: morning.Add(time.Hour), Elapsed: 4 * time.Minute, Allowed: morning.Add(2 * time.Hour), From: morning.Add(4 * time.Minute),
		}}, now.rec.Interruptions)
		pass(t, a, 16*time.Minute)
		err := a.HandIn(morning)
		if !strings.Contains(whole[:cut], "\n") {
			refused(t, err, "practical.no-log")
			continue
		}
		require.NoError(t, err)
		log := a.State().(Ready).rec.Cases[0].Log
		require.Equal(t, whole[:strings.LastIndex(whole[:cut], "\n")+1], log)
	}
}

// The end point was stated, and the machine died before the case was handed in.
func TestAnEndPointThatWasStatedIsHandedIn(t *testing.T) {
	p := friday(t, nil)
	k := newStation()
	a := admittedAt(t, p, k)
	i := a.State().(Ready).Case()
	require.NoError(t, a.Begin(morning))
	k.write(t, p, "B2", true, i)
	a = must(Reopen(k, morning))
	require.NoError(t, a.Allow(p, morning))
	now := a.State().(Ready)
	assert.Equal(t, Stated, now.rec.Cases[0].Ended)
	assert.Len(t, now.rec.Interruptions, 1)
	assert.Equal(t, 2, now.Place())
}

// Who comes to the door again is interrupted, and does not begin anew.
func TestNobodyBeginsTwice(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := admittedAt(t, p, k)
	require.NoError(t, a.Begin(morning))
	pass(t, a, time.Minute)
	again := &Attempt{}
	require.NoError(t, again.Admit(p, "B2", k, morning.Add(time.Hour)))
	now := again.State().(Interrupted)
	assert.Equal(t, []any{"B2", 1}, []any{now.Candidate(), now.Begun()})
	i, place, is := now.Open(p)
	assert.Equal(t, []any{a.State().(Examining).Case(), 1, true}, []any{i, place, is})
	require.NoError(t, again.Allow(p, morning.Add(time.Hour)))
	assert.Equal(t, time.Minute, again.State().(Examining).Elapsed())

	refused(t, (&Attempt{}).Admit(p, "B3", k, morning), "practical.other-candidate")
	assert.Error(t, (&Attempt{}).Admit(p, "Mira Tolben", newStation(), morning))
}

// A stop between cases is recorded, and takes none of the time between them; none is
// after the end, where the code is on paper already.
func TestAStopBetweenCasesAndAfterTheEnd(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := admittedAt(t, p, k)
	for n, i := range p.Entry("B2").Order() {
		a = must(Reopen(k, morning.Add(time.Hour)))
		assert.Equal(t, n, a.State().(Interrupted).Begun())
		_, _, open := a.State().(Interrupted).Open(p)
		assert.False(t, open)
		require.NoError(t, a.Allow(p, morning.Add(time.Hour)))
		k.write(t, p, "B2", true, i)
		require.NoError(t, a.Begin(morning))
		require.NoError(t, a.HandIn(morning))
	}
	code := a.State().(Over).Record().Code()
	a = must(Reopen(k, morning.Add(time.Hour)))
	require.NoError(t, a.Allow(p, morning.Add(time.Hour)))
	rec := a.State().(Over).Record()
	assert.Equal(t, code, rec.Code())
	require.Len(t, rec.in.Interruptions, 2)
	for n, i := range rec.in.Interruptions {
		assert.Equal(t, Interruption{Case: p.Entry("B2").Order()[n], At: morning.Add(time.Hour), Allowed: morning.Add(time.Hour), From: morning, Between: true}, i)
		assert.Equal(t, time.Hour, i.Length())
	}
}

// A record that was changed, or is of something else, is refused, and stays.
func TestARecordThatWasChangedIsRefused(t *testing.T) {
	p := friday(t, nil)
	good := newStation()
	a := admittedAt(t, p, good)
	order := p.Entry("B2").Order()
	good.write(t, p, "B2", true, order[0])
	require.NoError(t, a.Begin(morning))
	require.NoError(t, a.HandIn(morning))
	good.write(t, p, "B2", false, order[1])
	require.NoError(t, a.Begin(morning))
	other := friday(t, nil)
	for name, c := range map[string]struct {
		change func(k *station, r *record)
		plan   *Plan
		want   string // the ID, when it cannot be reopened at all; or what allowing it says
	}{
		"an older version":   {func(_ *station, r *record) { r.Version = oldestRecord - 1 }, p, "practical.record-version"},
		"a newer version":    {func(_ *station, r *record) { r.Version++ }, p, "practical.record-version"},
		"nothing there":      {func(k *station, _ *record) { k.err = os.ErrPermission }, p, "practical.record-unread"},
		"another case":       {func(_ *station, r *record) { r.Cases[1].Case = order[0] }, p, "case-order"},
		"a case that is not": {func(_ *station, r *record) { r.Cases[1].Case = 99 }, p, "case-order"},
		"another order":      {func(_ *station, r *record) { r.Cases[0].Case = order[1] }, p, "practical.case-order"},
		"another end":        {func(_ *station, r *record) { r.Cases[0].Ended = TimedUp }, p, "practical.end-differs"},
		"no end":             {func(_ *station, r *record) { r.Cases[0].Ended = "" }, p, "practical.end-differs"},
		"a log of the luck":  {func(k *station, _ *record) { k.write(t, p, "B3", false, order[1]) }, p, "log-other"},
		"a log that is gone": {func(k *station, _ *record) { delete(k.logs, order[0]) }, p, "log.not-begun"},
		"a log that is forged": {func(k *station, _ *record) {
			k.logs[order[1]] = []byte(strings.Replace(string(k.logs[order[1]]), "fan", "clock", 1))
		}, p, "changed"},
		"another practical":   {func(*station, *record) {}, other, "practical.other-practical"},
		"more cases than are": {func(_ *station, r *record) { r.Cases = append(r.Cases, Sat{Case: 0}) }, p, "case-order"},
	} {
		k := newStation()
		for i, log := range good.logs {
			k.logs[i] = log
		}
		var rec record
		require.NoError(t, readRecord(good.record, &rec))
		c.change(k, &rec)
		k.record = must(json.Marshal(rec))
		a, err := Reopen(k, morning)
		if strings.HasPrefix(c.want, "practical.record-") {
			refused(t, err, c.want)
			continue
		}
		require.NoError(t, err, name)
		err = a.Allow(c.plan, morning)
		require.ErrorContains(t, err, c.want, name)
		assert.IsType(t, Interrupted{}, a.State(), name)
		assert.Equal(t, must(json.Marshal(rec)), k.record, name)
		a.State().(Interrupted).Open(c.plan) // must not panic
	}
	_, err := Reopen(newStation(), morning)
	refused(t, err, "practical.no-record")
	k := newStation()
	k.record = good.record[:len(good.record)/2]
	_, err = Reopen(k, morning)
	refused(t, err, "practical.record-damaged")
	k.record = append(append([]byte{}, good.record...), good.record...)
	_, err = Reopen(k, morning)
	refused(t, err, "practical.record-damaged")
}
