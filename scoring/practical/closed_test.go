package practical

import (
	"bytes"
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// closedAt closes an attempt, and reads the result that it then has.
func closedAt(t testing.TB, p *Plan, a *Attempt, at time.Time) *Record {
	t.Helper()
	require.NoError(t, a.Close("the disk is damaged", at))
	return must(ReadResult(p, "x", must(a.Result()), assessor.Key()))
}

// Wherever a log was damaged, the attempt can be closed: what stands on whole lines
// before the damage is handed in and marked, and the station keeps the same result.
func TestALogThatWasDamagedAnywhere(t *testing.T) {
	p := friday(t, nil)
	at := morning.Add(20 * time.Minute)
	i := p.Entry("B2").Order()[0]
	whole := []byte(examined(t, p, "B2", i))
	m, ends := NewMarker(p, p), []int{0}
	for n := range whole {
		if whole[n] == '\n' {
			ends = append(ends, n+1)
		}
	}
	for line := range ends[1:] {
		if line > 1 && line%9 != 0 {
			continue // the others are alike
		}
		for name, damage := range map[string]func(b []byte) []byte{
			"a bit":       func(b []byte) []byte { b[(ends[line]+ends[line+1])/2] ^= 1; return b },
			"its end":     func(b []byte) []byte { b[ends[line+1]-1] = ' '; return b },
			"zeros":       func(b []byte) []byte { return append(b[:ends[line]], make([]byte, 512)...) },
			"a line lost": func(b []byte) []byte { return append(b[:ends[line]], b[ends[line+1]:]...) },
		} {
			k := newStation()
			a := examining(t, p, k, time.Minute)
			k.logs[i] = damage(bytes.Clone(whole))
			rec := closedAt(t, p, a, at)
			if name == "a bit" && line == 18 {
				must(m.Mark(rec))
			}
			sat := rec.Cases()[0]
			assert.Equal(t, ByAssessor, sat.Ended, name)
			if line > 0 {
				assert.Equal(t, string(whole[:ends[line]]), sat.Log, "%s in line %d", name, line+1)
			} else {
				assert.Equal(t, logOf(t, p.Entry("B2").Header(i), nil), sat.Log, name)
			}
			assert.Equal(t, must(a.Result()), must(again(t, p, k).Result()), name)
		}
	}
}

// Who was interrupted and cannot go on is closed as well; the time stands still until
// then, and goes on only once the logs are whole again.
func TestAnInterruptedAttemptThatIsDamaged(t *testing.T) {
	p := friday(t, nil)
	order := p.Entry("B2").Order()
	at := morning.Add(time.Hour)
	for name, c := range map[string]struct {
		damage func(k *station)
		ended  []string
	}{
		"the open log":            {func(k *station) { k.logs[order[1]][3] ^= 1 }, []string{Stated, ByAssessor}},
		"the open log, of others": {func(k *station) { k.write(t, p, "C3", false, order[1]) }, []string{Stated, ByAssessor}},
		"a log that was over":     {func(k *station) { k.logs[order[0]][3] ^= 1 }, []string{ByAssessor, ByAssessor}},
		"its last line":           {func(k *station) { k.logs[order[0]][len(k.logs[order[0]])-9] ^= 1 }, []string{ByAssessor, ByAssessor}},
		"its last line lost": {func(k *station) {
			log := k.logs[order[0]]
			k.logs[order[0]] = log[:bytes.LastIndexByte(log[:len(log)-1], '\n')+1]
		}, []string{ByAssessor, ByAssessor}},
		"its file lost": {func(k *station) { delete(k.logs, order[0]) }, []string{ByAssessor, ByAssessor}},
	} {
		k := newStation()
		a := sitFirst(t, p, k)
		k.write(t, p, "B2", false, order[1])
		require.NoError(t, a.Begin(morning.Add(10*time.Minute)))
		pass(t, a, time.Minute)
		c.damage(k)
		a = must(Reopen(k, at))
		require.Error(t, a.Allow(p, at), name)
		require.NoError(t, a.AdmitAssessor(p, "it could not go on", at), name)
		_, place, open := a.State().(Held).Open()
		assert.Equal(t, []any{2, true}, []any{place, open}, name)
		assert.Equal(t, morning.Add(11*time.Minute), a.State().(Held).Since(), name)
		if c.ended[0] != Stated {
			require.Error(t, a.GoOn(at), "%s: nobody goes on to an end that cannot be handed in", name)
		}
		rec := closedAt(t, p, a, at.Add(time.Minute))
		for n, ended := range c.ended {
			assert.Equal(t, ended, rec.Cases()[n].Ended, name)
			assert.Len(t, rec.Cases()[n].Log, rec.Cases()[n].Bytes, name)
		}
		assert.Equal(t, []any{"it could not go on", 50 * time.Minute}, []any{rec.in.Interruptions[0].Reason, rec.in.Interruptions[0].Length()}, name)
		assert.Empty(t, rec.Doubts(p, at), name)
		assert.Equal(t, must(a.Result()), must(again(t, p, k).Result()), name)

		k.result = nil // the machine died before it was kept
		assert.Equal(t, a.State().(Over).Code(), again(t, p, k).State().(Over).Code(), name)
	}
}

// The assessor is let in to nothing that goes on, was carried away, or is over.
func TestTheAssessorIsLetInToWhatWasInterrupted(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := examining(t, p, k, time.Minute)
	refused(t, a.AdmitAssessor(p, "x", morning), "practical.not-now")
	refused(t, must(Reopen(k, morning)).AdmitAssessor(friday(t, nil), "x", morning), "practical.other-practical")
	require.NoError(t, a.Carry("x", morning))
	refused(t, a.AdmitAssessor(p, "x", morning), "practical.carried-away")

	for name, change := range map[string]func(r *record){
		"over": func(r *record) { r.Ended = morning },
		"all cases over": func(r *record) {
			r.Cases = append(r.Cases, r.Cases[0])
			r.Cases[0].Ended = Stated
			r.Cases[1].Ended = Stated
		},
		"a case that is not": func(r *record) { r.Cases[0].Case = 99 },
		"more than there are": func(r *record) {
			r.Cases = []Sat{{Case: 0, Ended: Stated}, {Case: 1, Ended: Stated}, {Case: 0}}
		},
	} {
		k := newStation()
		examining(t, p, k, time.Minute)
		var r record
		require.NoError(t, readRecord(k.record, &r))
		change(&r)
		k.record = must(json.Marshal(r))
		a := must(Reopen(k, morning))
		assert.Error(t, a.AdmitAssessor(p, "x", morning), name)
		assert.IsType(t, Interrupted{}, a.State(), name)
	}
}
