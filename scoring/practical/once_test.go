package practical

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// sitAll sits both cases, the first until its end point and the second until its
// time is up.
func sitAll(t testing.TB, p *Plan, k *station) *Attempt {
	a := admittedAt(t, p, k)
	for n, i := range p.Entry("B2").Order() {
		require.NoError(t, a.Begin(morning))
		k.write(t, p, "B2", n == 0, i)
		pass(t, a, 20*time.Minute-time.Duration(n)*10*time.Minute)
		require.NoError(t, a.HandIn(morning.Add(time.Hour)))
	}
	return a
}

// more writes one more action behind a log.
func (s *station) more(t testing.TB, p *Plan, i int) {
	s.logs[i] = []byte(logOf(t, p.Entry("B2").Header(i), []sitting.Event{
		{N: 1, Action: sitting.Action{Do: sitting.Show, Chart: chart.Fan}}, {N: 2, Action: sitting.Action{Do: sitting.Show, Chart: chart.Arrow}},
	}))
}

// What was signed on paper stays, and so does the file, whatever is written behind
// the logs after they were handed in, and however often the end is come to.
func TestTheCodeIsWorkedOutOnce(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := sitAll(t, p, k)
	code, result := a.State().(Over).Code(), must(a.Result())
	assert.Equal(t, code, must(LookAt("x", result)).Code)
	assert.Equal(t, result, k.result, "kept before it is shown")
	order := p.Entry("B2").Order()

	for name, change := range map[string]func(){
		"nothing":                   func() {},
		"an action after the end":   func() { k.more(t, p, order[1]) },
		"a log that is gone":        func() { delete(k.logs, order[0]) },
		"the record of before":      func() { k.record = openAgain(t, k.record) },
		"another time of the end":   func() { k.record = endedAt(t, k.record, morning) },
		"the assessor's own choice": func() { k.logs[order[0]] = []byte("x") },
	} {
		again := must(Reopen(k, morning.Add(2*time.Hour)))
		change()
		require.NoError(t, again.Allow(p, morning.Add(3*time.Hour)), name)
		assert.Equal(t, code, again.State().(Over).Code(), name)
		assert.Equal(t, result, must(again.Result()), name)
		entered := &Attempt{}
		require.NoError(t, entered.Admit(p, "b2", k, morning.Add(4*time.Hour)), name)
		require.NoError(t, entered.Allow(p, morning.Add(4*time.Hour)), name)
		assert.Equal(t, result, must(entered.Result()), name)
	}
	k.result[len(k.result)/2] ^= 1
	refused(t, must(Reopen(k, morning)).Allow(p, morning), "practical.result-damaged")
}

// openAgain is a record as it was before the last case was handed in.
func openAgain(t testing.TB, data []byte) []byte {
	var r record
	require.NoError(t, readRecord(data, &r))
	r.Ended, r.Cases[1].Ended = time.Time{}, ""
	return must(json.Marshal(r))
}

func endedAt(t testing.TB, data []byte, at time.Time) []byte {
	var r record
	require.NoError(t, readRecord(data, &r))
	r.Ended = at
	return must(json.Marshal(r))
}

// Two machines, or two windows, finish the same attempt: the second gives what
// the first gave.
func TestTheSecondFinishIsTheFirst(t *testing.T) {
	p, k := friday(t, nil), newStation()
	order := p.Entry("B2").Order()
	a := admittedAt(t, p, k)
	require.NoError(t, a.Begin(morning))
	k.write(t, p, "B2", true, order[0])
	require.NoError(t, a.HandIn(morning))
	require.NoError(t, a.Begin(morning))
	k.write(t, p, "B2", true, order[1])
	b := must(Reopen(k, morning))
	require.NoError(t, a.HandIn(morning.Add(time.Minute)))
	require.NoError(t, b.Allow(p, morning.Add(time.Hour)))
	assert.Equal(t, must(a.Result()), must(b.Result()))

	c := admittedAt(t, friday(t, nil), newStation())
	_, err := c.Result()
	refused(t, err, "practical.not-now")
}

// A case that was handed in is what it was then, whatever came behind it.
func TestWhatComesAfterHandingInCountsNoMore(t *testing.T) {
	p, k := friday(t, func(p *Plan) { p.Total = 0 }), newStation()
	order := p.Entry("B2").Order()
	a := admittedAt(t, p, k)
	require.NoError(t, a.Begin(morning))
	k.write(t, p, "B2", false, order[0])
	handed := string(k.logs[order[0]])
	pass(t, a, 20*time.Minute)
	require.NoError(t, a.HandIn(morning))
	k.write(t, p, "B2", true, order[0]) // an end point in the blink before the screen changed
	b := must(Reopen(k, morning))
	require.NoError(t, b.Allow(p, morning))
	assert.Equal(t, handed, b.State().(Ready).rec.Cases[0].Log)
}

// An attempt of before, which has no lengths and may have no result, is read.
func TestARecordOfBeforeIsRead(t *testing.T) {
	p, k := friday(t, nil), newStation()
	r := sat(t, p, "B2")
	r.Version = oldestRecord
	before := code(r)
	for i, s := range r.Cases {
		k.logs[s.Case], r.Cases[i].Log = []byte(s.Log), ""
	}
	k.record = must(json.Marshal(r))
	a := must(Reopen(k, morning))
	require.NoError(t, a.Allow(p, morning))
	assert.Equal(t, before, a.State().(Over).Code())
	rec, err := ReadResult(p, "x", must(a.Result()), assessor.Key())
	require.NoError(t, err)
	assert.Equal(t, oldestRecord, rec.in.Version)
}
