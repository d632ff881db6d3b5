package practical

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// examining is an attempt of B2 whose first case is under way for so long.
func examining(t testing.TB, p *Plan, k *station, d time.Duration) *Attempt {
	a := admittedAt(t, p, k)
	k.write(t, p, "B2", false, a.State().(Ready).Case())
	require.NoError(t, a.Begin(morning))
	pass(t, a, d)
	return a
}

// again is an attempt whose machine died, and was there again after an hour.
func again(t testing.TB, p *Plan, k *station) *Attempt {
	a := must(Reopen(k, morning.Add(time.Hour)))
	require.NoError(t, a.Allow(p, morning.Add(time.Hour)))
	return a
}

func TestTimeThatIsGranted(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := examining(t, p, k, 19*time.Minute)
	for _, bad := range []struct {
		more   time.Duration
		reason string
		id     string
	}{{0, "x", "practical.rule.time"}, {-time.Second, "x", "practical.rule.time"}, {longest + 1, "x", "practical.rule.time"}, {math.MaxInt64, "x", "practical.rule.time"},
		{time.Minute, "", "practical.rule.reason"}, {time.Minute, strings.Repeat("x", longestReason+1), "practical.rule.reason"}} {
		refused(t, a.Grant(bad.more, bad.reason, morning), bad.id)
	}
	require.NoError(t, a.Grant(3*time.Minute, "the projector fell", morning.Add(19*time.Minute)))
	left, _ := a.State().(Examining).Left()
	assert.Equal(t, 4*time.Minute, left)
	assert.Equal(t, a.State().(Examining).rec, again(t, p, k).State().(Examining).withoutStops(), "it outlives the machine")
	assert.False(t, pass(t, a, 4*time.Minute-1))
	assert.True(t, pass(t, a, 1))
	require.NoError(t, a.HandIn(morning.Add(23*time.Minute)))

	ready := a.State().(Ready)
	perCase, total := ready.Times()
	assert.Equal(t, []time.Duration{20 * time.Minute, 33 * time.Minute}, []time.Duration{perCase, total}, "for its case, and in all")
	require.NoError(t, a.Grant(longest-3*time.Minute, "as much as there is", morning))
	refused(t, a.Grant(1, "and more", morning), "practical.rule.time")
	refused(t, a.Grant(math.MaxInt64, "and more", morning), "practical.rule.time")
	assert.Equal(t, ready.Case(), a.State().(Ready).rec.Rulings[1].Case)

	free := examining(t, friday(t, func(p *Plan) { p.PerCase, p.Total = 0, 0 }), newStation(), time.Minute)
	refused(t, free.Grant(time.Minute, "x", morning), "practical.rule.no-limit")
	refused(t, (&Attempt{}).Grant(time.Minute, "x", morning), "practical.not-now")
}

// Time that was granted is taken back as far as it is not used, and no further; what the
// practical itself gives stays, and so does what was granted for another case.
func TestTimeThatIsTakenBack(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := examining(t, p, k, 19*time.Minute)
	refused(t, a.Lessen(time.Second, "x", morning), "practical.rule.lessen")
	require.NoError(t, a.Grant(50*time.Minute, "meant to be 5", morning))
	refused(t, a.Lessen(50*time.Minute+1, "x", morning), "practical.rule.lessen")
	refused(t, a.Lessen(0, "x", morning), "practical.rule.lessen")
	refused(t, a.Lessen(-time.Minute, "x", morning), "practical.rule.lessen")
	refused(t, a.Lessen(time.Minute, "", morning), "practical.rule.reason")
	require.NoError(t, a.Lessen(45*time.Minute, "a slip of the finger", morning))
	left, _ := a.State().(Examining).Left()
	assert.Equal(t, 6*time.Minute, left)
	assert.Equal(t, a.State().(Examining).rec, again(t, p, k).State().(Examining).withoutStops(), "it outlives the machine")

	require.False(t, pass(t, a, 4*time.Minute))
	refused(t, a.Lessen(2*time.Minute+1, "x", morning), "practical.rule.lessen") // 3 of 5 are used
	require.NoError(t, a.Lessen(2*time.Minute, "x", morning))
	up, err := a.Tick(morning.Add(time.Hour), 0)
	require.NoError(t, err)
	assert.True(t, up)
	require.NoError(t, a.HandIn(morning.Add(time.Hour)))
	ready := a.State().(Ready).rec
	assert.Equal(t, 3*time.Minute, ready.granted(nil))
	refused(t, a.Lessen(1, "of the case before", morning), "practical.rule.lessen")
	require.NoError(t, a.Grant(time.Minute, "x", morning))
	require.NoError(t, a.Hold("x", morning))
	assert.Equal(t, time.Minute, a.State().(Held).Spare())
	require.NoError(t, a.Lessen(time.Minute, "x", morning))
	assert.Zero(t, a.State().(Held).Spare())
	rec := a.State().(Held).rec
	assert.NoError(t, rec.checkRulings(p))
}

// While the time stands still it is known what is left of it, for the case and in all: before a case,
// in one, with what a pause that counts took and with what was granted.
func TestWhatIsLeftWhileTheTimeStandsStill(t *testing.T) {
	const minute = time.Minute
	p, k := friday(t, func(p *Plan) { p.PerCase, p.Total, p.Extra, p.CountPauses = 10*minute, 22*minute, nil, true }), newStation()
	a := admittedAt(t, p, k)
	held := func(ofCase, ofAll time.Duration) {
		t.Helper()
		require.NoError(t, a.Hold("x", morning))
		gotCase, gotAll := a.State().(Held).Left()
		assert.Equal(t, []time.Duration{ofCase, ofAll}, []time.Duration{gotCase, gotAll})
	}
	held(10*minute, 22*minute)
	require.NoError(t, a.GoOn(morning))
	k.write(t, p, "B2", true, a.State().(Ready).Case())
	require.NoError(t, a.Begin(morning))
	pass(t, a, 9*minute)
	held(minute, 13*minute)
	require.NoError(t, a.Grant(2*minute, "x", morning))
	held(3*minute, 15*minute)
	perCase, total := a.State().(Held).Times()
	assert.Equal(t, []time.Duration{12 * minute, 24 * minute}, []time.Duration{perCase, total})
	require.NoError(t, a.GoOn(morning))
	require.NoError(t, a.HandIn(morning.Add(9*minute)))
	_, err := a.Tick(morning.Add(15*minute), 6*minute)
	require.NoError(t, err)
	held(9*minute, 9*minute)
	require.NoError(t, a.GoOn(morning))
	require.NoError(t, a.Begin(morning.Add(15*minute)))
	pass(t, a, 4*minute)
	held(5*minute, 5*minute)

	none := admittedAt(t, friday(t, func(p *Plan) { p.PerCase, p.Total, p.Extra = 0, 5*minute, nil }), newStation())
	require.NoError(t, none.Hold("x", morning))
	ofCase, ofAll := none.State().(Held).Left()
	assert.Equal(t, []time.Duration{0, 5 * minute}, []time.Duration{ofCase, ofAll})
}

func (s Examining) withoutStops() record {
	s.rec.Cases, s.rec.Interruptions, s.rec.Seen = nil, nil, time.Time{}
	return s.rec
}

// What was granted is not late, in its own case and in all, and a second more is.
func TestWhatWasGrantedIsNotLate(t *testing.T) {
	p := friday(t, nil)
	order := p.Entry("B2").Order()
	of := func(first, second time.Duration) *record {
		return &record{
			Candidate: "B2", Started: morning, Cases: []Sat{{Case: order[0], Elapsed: first}, {Case: order[1], Elapsed: second}},
			Rulings: []Ruling{{Do: Granted, Reason: "x", Case: order[0], Time: 3 * time.Minute}},
		}
	}
	assert.Empty(t, of(23*time.Minute+grace, 10*time.Minute).late(p))
	assert.Len(t, of(23*time.Minute+grace+1, 0).late(p), 1)
	assert.Len(t, of(0, 20*time.Minute+grace+1).late(p), 1, "granted for the other case")
	assert.Len(t, of(20*time.Minute, 13*time.Minute+grace+1).late(p), 1, "in all")
}

func TestTheTimeStandsStill(t *testing.T) {
	for _, dies := range []bool{false, true} {
		p, k := friday(t, nil), newStation()
		a := examining(t, p, k, 5*time.Minute)
		from := morning.Add(5 * time.Minute)
		refused(t, a.GoOn(from), "practical.not-now")
		refused(t, a.Hold("", from), "practical.rule.reason")
		require.NoError(t, a.Hold("fire alarm", from))
		refused(t, a.HandIn(from), "practical.not-now")
		_, err := a.Tick(from, time.Minute)
		refused(t, err, "practical.not-now")
		held := a.State().(Held)
		i, place, under := held.Open()
		assert.Equal(t, []any{"fire alarm", from, true, "B2"}, []any{held.Why(), held.Since(), under, held.Candidate()})
		assert.Equal(t, []int{p.Entry("B2").Order()[0], 1}, []int{i, place})
		on := from.Add(30 * time.Minute)
		if dies {
			a = must(Reopen(k, on.Add(-time.Minute)))
			require.NoError(t, a.Allow(p, on))
		} else {
			require.NoError(t, a.GoOn(on))
		}
		now := a.State().(Examining)
		assert.Equal(t, 5*time.Minute, now.Elapsed())
		require.Len(t, now.rec.Interruptions, 1)
		stop := now.rec.Interruptions[0]
		assert.Equal(t, []any{"fire alarm", 30 * time.Minute, false, now.Case()}, []any{stop.Reason, stop.Length(), stop.Between, stop.Case})
		assert.Nil(t, now.rec.Held)
		pass(t, a, time.Minute)
		assert.Equal(t, 6*time.Minute, a.State().(Examining).Elapsed(), "from then on it runs")
	}
}

// For another reason it is another interruption, and no time passes between them.
func TestTheTimeStandsStillForAnotherReason(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := examining(t, p, k, time.Minute)
	at := morning.Add(time.Minute)
	require.NoError(t, a.Hold("a question", at))
	require.NoError(t, a.Hold("fire alarm", at.Add(time.Minute)))
	behind := a.State().(Held).Behind().(Examining)
	assert.Equal(t, []any{1, time.Minute}, []any{behind.Place(), behind.Elapsed()}, "what it stands still in")
	stopped, err := Reopen(k, at.Add(time.Hour))
	require.NoError(t, err)
	held, is := stopped.State().(Interrupted).Held()
	assert.Equal(t, Hold{From: at.Add(time.Minute), Reason: "fire alarm"}, held)
	assert.True(t, is)
	require.NoError(t, a.GoOn(at.Add(time.Hour)))
	var got []any
	for _, i := range a.State().(Examining).rec.Interruptions {
		got = append(got, i.Reason, i.Begun(), i.Length())
	}
	assert.Equal(t, []any{"a question", at, time.Minute, "fire alarm", at.Add(time.Minute), 59 * time.Minute}, got)
	stopped, err = Reopen(k, at.Add(time.Hour))
	require.NoError(t, err)
	_, is = stopped.State().(Interrupted).Held()
	assert.False(t, is, "it runs again")
	assert.IsType(t, Ready{}, Held{}.Behind(), "between cases")
	_, _, under := Held{}.Open()
	assert.False(t, under)
}

// Between cases too; the time between cases does not run then, where it counts.
func TestTheTimeStandsStillBetweenCases(t *testing.T) {
	p, k := friday(t, func(p *Plan) { p.CountPauses = true }), newStation()
	a := sitFirst(t, p, k)
	at := morning.Add(10 * time.Minute)
	require.NoError(t, a.Hold("fire alarm", at))
	refused(t, a.Begin(at), "practical.not-now")
	require.NoError(t, a.GoOn(at.Add(time.Hour)))
	_, err := a.Tick(at.Add(time.Hour+time.Minute), time.Minute)
	require.NoError(t, err)
	s := a.State().(Ready)
	assert.Equal(t, time.Minute, s.rec.Waited)
	assert.True(t, s.rec.Interruptions[0].Between)
	require.NoError(t, a.Close("enough", at.Add(time.Hour+time.Minute)))
	assert.Equal(t, Times{
		Begun: morning, Ended: at.Add(time.Hour + time.Minute), Used: 10 * time.Minute, Paused: time.Minute, Interrupted: time.Hour,
	}, a.State().(Over).Record().in.times())
}

// sitFirst is an attempt of B2 whose first case was stated after 10 minutes.
func sitFirst(t testing.TB, p *Plan, k *station) *Attempt {
	a := examining(t, p, k, 10*time.Minute)
	k.write(t, p, "B2", true, a.State().(Examining).Case())
	require.NoError(t, a.HandIn(morning.Add(10*time.Minute)))
	return a
}

func TestAnAttemptThatIsClosed(t *testing.T) {
	p := friday(t, nil)
	at := morning.Add(20 * time.Minute)
	for name, c := range map[string]struct {
		a     func(k *station) *Attempt
		ended []string
	}{
		"before the first case": {func(k *station) *Attempt { return admittedAt(t, p, k) }, nil},
		"in a case":             {func(k *station) *Attempt { return examining(t, p, k, time.Minute) }, []string{ByAssessor}},
		"between cases":         {func(k *station) *Attempt { return sitFirst(t, p, k) }, []string{Stated}},
		"while the time stands still": {func(k *station) *Attempt {
			a := examining(t, p, k, time.Minute)
			require.NoError(t, a.Hold("fire alarm", morning.Add(time.Minute)))
			return a
		}, []string{ByAssessor}},
		"as the end point was stated": {func(k *station) *Attempt {
			a := examining(t, p, k, time.Minute)
			k.write(t, p, "B2", true, a.State().(Examining).Case())
			return a
		}, []string{Stated}},
	} {
		k := newStation()
		a := c.a(k)
		refused(t, a.Close("two\nlines", at), "practical.rule.reason")
		require.NoError(t, a.Close("taken ill", at), name)
		rec := must(ReadResult(p, "x", must(a.Result()), assessor.Key()))
		assert.Equal(t, a.State().(Over).Code(), rec.Code(), name)
		require.Len(t, rec.in.Cases, len(c.ended), name)
		for i, ended := range c.ended {
			assert.Equal(t, ended, rec.in.Cases[i].Ended, name)
		}
		last := rec.in.Rulings[len(rec.in.Rulings)-1]
		assert.Equal(t, []any{Closed, "taken ill", at}, []any{last.Do, last.Reason, last.At}, name)
		assert.Equal(t, at, rec.in.Ended, name)
		refused(t, a.Close("again", at), "practical.not-now")
		assert.Equal(t, must(a.Result()), must(again(t, p, k).Result()), name)
	}
}

// A machine that dies while an attempt is closed finds it open, or closed.
func TestAMachineThatDiesWhileItIsClosed(t *testing.T) {
	p := friday(t, nil)
	for _, after := range []bool{false, true} {
		for keeps := range 2 {
			k := newStation()
			a := examining(t, p, k, time.Minute)
			k.keeps, k.after = keeps, after
			require.Error(t, a.Close("taken ill", morning.Add(time.Minute)))
			k.keeps = -1
			b := again(t, p, k)
			if keeps == 0 && !after {
				assert.Equal(t, 0, len(b.State().(Examining).rec.Rulings))
				continue
			}
			assert.Equal(t, ByAssessor, b.State().(Over).Record().Cases()[0].Ended)
		}
	}
}

// moved is the place of another number, with the logs of a station.
func moved(k *station) *station {
	to := newStation()
	for i, log := range k.logs {
		to.logs[i] = log
	}
	return to
}

func TestAWrongNumberIsCorrected(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := examining(t, p, k, 19*time.Minute)
	order := p.Entry("B2").Order()
	refused(t, a.Renumber("b2", "x", moved(k), morning), "practical.rule.same-number")
	refused(t, a.Renumber("A B", "x", moved(k), morning), "practical.no-number")
	refused(t, a.Renumber("A7", "", moved(k), morning), "practical.rule.reason")
	refused(t, a.Renumber("A7", "x", newStation(), morning), "practical.no-log")
	to := moved(k)
	require.NoError(t, a.Renumber("a7", "read off the wrong line", to, morning.Add(19*time.Minute)))
	left, _ := a.State().(Examining).Left()
	assert.Equal(t, 6*time.Minute, left, "A7 has a quarter more")

	to.logs[order[0]] = []byte(examined(t, p, "B2", order[0]))
	b := again(t, p, to)
	ready := b.State().(Ready)
	assert.Equal(t, []any{"A7", "B2", order[1]}, []any{ready.Candidate(), ready.rec.BegunAs, ready.Case()})
	assert.Equal(t, p.Entry("B2").Keys(0), ready.Entry().Keys(0), "the luck stays")
	require.NoError(t, b.Close("x", morning.Add(time.Hour)))
	rec := must(ReadResult(p, "x", must(b.Result()), assessor.Key()))
	assert.Equal(t, "A7", rec.Candidate())
	sheet, err := NewMarker(p, p).Mark(rec)
	require.NoError(t, err)
	assert.Equal(t, []any{"B2", 2, 0.25}, []any{sheet.BegunAs, len(sheet.Rulings), sheet.Extra})
	assert.Equal(t, p.Entry("B2").Order(), sheet.Entry(p).Order())
}

// Nobody has the number of somebody else's attempt; a move that broke off is done
// again.
func TestANumberThatIsTaken(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := examining(t, p, k, time.Minute)
	for _, r := range []record{{Candidate: "C3", Started: morning}, {Candidate: "C3", Started: morning.Add(1), BegunAs: "B2"}} {
		other := moved(k)
		r.Version, r.Practical = recordVersion, p.ID
		other.record = must(json.Marshal(r))
		refused(t, a.Renumber("C3", "x", other, morning), "practical.rule.number-taken")
	}
	to := moved(k)
	was := *a
	require.NoError(t, a.Renumber("C3", "x", to, morning))
	require.NoError(t, was.Renumber("C3", "x", to, morning), "as the machine died before the old place was empty")
}

// Who has begun nothing has seen nothing: the luck is that of the right number. And
// who gets back to the first number has its luck.
func TestTheLuckOfANumberThatIsCorrectedTwice(t *testing.T) {
	p, k := friday(t, nil), newStation()
	a := admittedAt(t, p, k)
	require.NoError(t, a.Renumber("C3", "x", newStation(), morning))
	ready := a.State().(Ready)
	assert.Equal(t, []any{"", p.Entry("C3").Keys(0)}, []any{ready.rec.BegunAs, ready.Entry().Keys(0)})

	k = newStation()
	a = sitFirst(t, p, k)
	require.NoError(t, a.Renumber("C3", "x", moved(k), morning))
	assert.Equal(t, "B2", a.State().(Ready).rec.BegunAs, "between cases")

	k = newStation()
	a = examining(t, p, k, time.Minute)
	require.NoError(t, a.Renumber("C3", "x", moved(k), morning))
	require.NoError(t, a.Renumber("D4", "y", moved(k), morning))
	assert.Equal(t, "B2", a.State().(Examining).rec.BegunAs)
	require.NoError(t, a.Renumber("B2", "z", moved(k), morning))
	assert.Equal(t, "", a.State().(Examining).rec.BegunAs)
	back := a.State().(Examining)
	assert.NoError(t, back.rec.check(p))
}

// A record says how it came to another number's luck, and nothing else than a
// ruling gives it.
func TestRulingsThatCannotBe(t *testing.T) {
	p := friday(t, nil)
	for name, change := range map[string]func(*record){
		"luck without a ruling":       func(r *record) { r.BegunAs = "C3" },
		"luck of a third number":      func(r *record) { r.BegunAs, r.Rulings[1].From, r.Rulings[1].To = "D4", "C3", "B2" },
		"a number that does not lead": func(r *record) { r.Rulings[1].From, r.Rulings[1].To = "B2", "C3" },
		"numbers that do not join": func(r *record) {
			r.Rulings = append(r.Rulings, Ruling{Do: Renumbered, Reason: "x", From: "D4", To: "B2"})
		},
		"time that is none":          func(r *record) { r.Rulings[0].Time = 0 },
		"more time than may be":      func(r *record) { r.Rulings[0].Time = longest + 1 },
		"more than may be in all":    func(r *record) { r.Rulings[0].Time, r.Rulings[1] = longest, Ruling{Do: Granted, Reason: "x", Time: 1} },
		"more taken back than given": func(r *record) { r.Rulings[1] = Ruling{Do: Lessened, Reason: "x", Time: time.Minute + 1} },
		"taken back of another case": func(r *record) { r.Rulings[1] = Ruling{Do: Lessened, Reason: "x", Time: 1, Case: 1} },
		"taken back before it was given": func(r *record) {
			r.Rulings = []Ruling{{Do: Lessened, Reason: "x", Time: time.Minute}, {Do: Granted, Reason: "x", Time: time.Minute}}
		},
		"nothing taken back":           func(r *record) { r.Rulings[1] = Ruling{Do: Lessened, Reason: "x"} },
		"no reason":                    func(r *record) { r.Rulings[0].Reason = "" },
		"a case that there is not":     func(r *record) { r.Rulings[0].Case = 2 },
		"something else":               func(r *record) { r.Rulings[0].Do = "praised" },
		"something after it is closed": func(r *record) { r.Rulings[0] = Ruling{Do: Closed, Reason: "x"} },
		"closed by nobody":             func(r *record) { r.Cases[1].Ended = ByAssessor },
	} {
		r := sat(t, p, "B2")
		r.Rulings = []Ruling{{Do: Granted, Reason: "x", Time: time.Minute}, {Do: Renumbered, Reason: "x", From: "C3", To: "B2"}}
		require.NoError(t, r.check(p))
		change(r)
		assert.Error(t, r.check(p), name)
	}
	r := sat(t, p, "B2")
	r.Held = &Hold{From: morning, Reason: "x"}
	refused(t, r.over(p), "practical.not-over")
}

// A record without any of it is read as it was.
func TestARecordOfVersion3IsRead(t *testing.T) {
	p := friday(t, nil)
	r := sat(t, p, "B2")
	r.Version = 3
	data := must(json.Marshal(r))
	assert.NotContains(t, string(data), "rulings")
	var again record
	require.NoError(t, readRecord(data, &again))
	assert.Equal(t, code(r), code(&again))
}
