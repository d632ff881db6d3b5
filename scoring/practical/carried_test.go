package practical

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sealing takes long, and is done once.
var sealing struct {
	once sync.Once
	plan *Plan
	file []byte
}

// sealedOnce is a practical, and the file of it.
func sealedOnce(t testing.TB) (*Plan, []byte) {
	sealing.once.Do(func() {
		sealing.plan = friday(t, nil)
		sealing.file = must(sealing.plan.Seal(assessor, "well swept stairs at noon"))
	})
	return sealing.plan, sealing.file
}

// unpack brings a carried attempt to a station.
func (s *station) unpack(p *Plan, file []byte, candidate string) error {
	parcel, err := ReadCarried("x", file)
	if err != nil {
		return err
	}
	return parcel.Unpack(p, candidate, s, func(i int, log []byte) error {
		s.logs[i] = log
		return nil
	})
}

func TestAnAttemptIsCarriedToAnotherStation(t *testing.T) {
	if testing.Short() {
		t.Skip("a passphrase takes long, as it is meant to")
	}
	k := newStation()
	p, handedOut := sealedOnce(t)
	a := examining(t, p, k, 7*time.Minute)
	at := morning.Add(7 * time.Minute)
	refused(t, a.Carry("", at), "practical.rule.reason")
	refused(t, a.TakeUp(at), "practical.not-now")
	require.NoError(t, a.Carry("the screen flickers", at))
	file := must(Pack(p, handedOut, "b2", k))
	assert.True(t, IsCarried(file))
	assert.False(t, IsCarried(handedOut))
	assert.NotContains(t, string(file), `"chain"`, "nobody reads it on the way")

	b := must(Reopen(k, at))
	refused(t, b.Allow(p, at), "practical.carried-away")
	away, is := b.State().(Interrupted).Carried()
	assert.Equal(t, []any{true, "the screen flickers", at}, []any{is, away.Reason, away.At})

	there := newStation()
	refused(t, there.unpack(p, file, "C3"), "practical.carried-other")
	require.NoError(t, there.unpack(p, file, "B2"))
	c := must(Reopen(there, at))
	refused(t, c.Allow(p, at), "practical.carried-away")
	require.NoError(t, c.TakeUp(at.Add(time.Minute)))
	refused(t, c.TakeUp(at), "practical.rule.not-carried")
	require.NoError(t, c.Allow(p, at.Add(2*time.Minute)))
	now := c.State().(Examining)
	assert.Equal(t, 7*time.Minute, now.Elapsed())
	assert.Equal(t, k.logs, there.logs)
	assert.Equal(t, 2*time.Minute, now.rec.Interruptions[0].Length())
	require.NoError(t, c.Close("x", at.Add(3*time.Minute)))

	was := there.record
	require.NoError(t, there.unpack(p, file, "B2"))
	assert.Equal(t, was, there.record, "a second time it stays as it is")
	assert.Equal(t, must(c.Result()), must(again(t, p, there).Result()))
	require.NoError(t, b.TakeUp(at.Add(time.Hour)), "it is taken back")
	require.NoError(t, b.Allow(p, at.Add(time.Hour)))
	require.NoError(t, b.Close("x", at.Add(time.Hour)))
	one, two := c.State().(Over).Record(), b.State().(Over).Record()
	assert.NotEqual(t, one.Code(), two.Code(), "who goes on twice is found out")
	assert.True(t, one.Carried() && two.Carried() && one.Started().Equal(two.Started()))
	assert.False(t, (&Record{*sat(t, p, "B2")}).Carried())
}

// Each log goes along, and when the attempt was taken up stands in the record.
func TestEverythingOfAnAttemptIsCarried(t *testing.T) {
	p, handedOut := sealedOnce(t)
	k, there := newStation(), newStation()
	a := sitFirst(t, p, k)
	k.write(t, p, "B2", false, p.Entry("B2").Order()[1])
	require.NoError(t, a.Begin(morning))
	require.NoError(t, a.Carry("x", morning))
	require.NoError(t, there.unpack(p, must(Pack(p, handedOut, "B2", k)), "B2"))
	assert.Len(t, there.logs, 2)
	assert.Equal(t, k.logs, there.logs)
	b := must(Reopen(there, morning.Add(time.Hour)))
	require.NoError(t, b.TakeUp(morning.Add(time.Hour)))
	up := b.State().(Interrupted).rec.Rulings[1]
	assert.Equal(t, []any{TakenUp, "x", morning.Add(time.Hour)}, []any{up.Do, up.Reason, up.At})
}

func TestACarriedAttemptWhereAnotherIs(t *testing.T) {
	k := newStation()
	p, handedOut := sealedOnce(t)
	a := examining(t, p, k, time.Minute)
	require.NoError(t, a.Carry("x", morning))
	file := must(Pack(p, handedOut, "B2", k))
	other := newStation()
	require.NoError(t, (&Attempt{}).Admit(p, "B2", other, morning.Add(time.Second)))
	refused(t, other.unpack(p, file, "B2"), "practical.rule.number-taken")
	assert.Empty(t, other.logs)
}

// Every byte of a carried attempt counts.
func TestACarriedAttemptThatWasChanged(t *testing.T) {
	k := newStation()
	p, handedOut := sealedOnce(t)
	a := examining(t, p, k, time.Minute)
	require.NoError(t, a.Carry("x", morning))
	file := must(Pack(p, handedOut, "B2", k))
	for n := 0; n < len(file); n += 97 {
		bad := append([]byte{}, file...)
		bad[n] ^= 1
		assert.Error(t, newStation().unpack(p, bad, "B2"), n)
		assert.Error(t, newStation().unpack(p, file[:n], "B2"), n)
	}
}

// Who leaves, and comes back, goes on; meanwhile nothing counts.
func TestAnAttemptThatIsLeft(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := examining(t, p, k, 5*time.Minute)
	refused(t, a.Note("", morning), "practical.rule.reason")
	require.NoError(t, a.Note("the other machine died", morning.Add(5*time.Minute)))
	require.NoError(t, a.Leave("the wrong practical", morning.Add(5*time.Minute)))
	_, away := a.State().(Interrupted).Carried()
	assert.False(t, away)
	require.NoError(t, a.Allow(p, morning.Add(time.Hour)))
	now := a.State().(Examining)
	assert.Equal(t, []any{5 * time.Minute, 55 * time.Minute, Noted, Left}, []any{now.Elapsed(), now.rec.Interruptions[0].Length(), now.rec.Rulings[0].Do, now.rec.Rulings[1].Do})
}
