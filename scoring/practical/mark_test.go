package practical

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/sitting"
)

// forge changes an answer in a log and makes the chain anew, as somebody could
// who has opened the practical.
func forge(t testing.TB, p *Plan, r *record) {
	s := &r.Cases[0]
	rec := must(sitting.ReadLog(strings.NewReader(s.Log)))
	for i, e := range rec.Events {
		if e.Answer != nil && len(e.Answer.Lines) > 0 {
			rec.Events[i].Answer.Lines[0] = float64(int(e.Answer.Lines[0]+10) % 180)
			s.Log = logOf(t, p.Entry(r.Candidate).Header(s.Case), rec.Events)
			return
		}
	}
	t.Fatal("nothing to forge")
}

func TestNoForgeryIsMarked(t *testing.T) {
	p := friday(t, nil)
	r := sat(t, p, "B2")
	forge(t, p, r)
	data, err := p.Result(&Record{*r})
	require.NoError(t, err, "whoever opens the practical can sign as a station")
	read, err := ReadResult(p, "b2", data, assessor.Key())
	require.NoError(t, err)
	_, err = NewMarker(p, p).Mark(read)
	var altered *Altered
	require.ErrorAs(t, err, &altered)
	var wrong *sitting.Mismatch
	assert.ErrorAs(t, err, &wrong)

	r = sat(t, p, "B2")
	r.Cases[0].Log = logOf(t, sitting.Header{Case: p.Patient(r.Cases[0].Case).Hash(), Title: p.Cases[r.Cases[0].Case].Title, Keys: sitting.Seeded(1)}, nil)
	_, err = p.Result(&Record{*r})
	assert.ErrorContains(t, err, "practical.log-other", "nobody chooses their luck")
}

func TestDecisions(t *testing.T) {
	p := friday(t, nil)
	seven := 7.0
	var data []byte
	decide := func(d Decision) {
		d.At = morning
		line, err := LedgerOf(p, "d", data).Decide(assessor, d)
		require.NoError(t, err)
		data = append(data, line...)
	}
	decide(Decision{Do: Override, Candidate: "b2", Case: 1, Points: &seven, Reason: "the fire alarm rang"})
	decide(Decision{Do: Withdraw, Case: 2, Reason: "its story gave it away"})
	ds := must(LedgerOf(p, "d", data).Decisions())
	require.Len(t, ds, 2)

	for want, d := range map[string]Decision{
		"practical.decision.reason":             {Do: Withdraw, Case: 1},
		"practical.decision.case (most 2, n 3)": {Do: Withdraw, Case: 3, Reason: "because"},
		"practical.decision.withdraw-so (n 2)":  {Do: Withdraw, Case: 2, Reason: "because"},
		"practical.decision.restore-so (n 1)":   {Do: Restore, Case: 1, Reason: "because"},
		"practical.decision.no-points":          {Do: Override, Case: 1, Candidate: "B2", Reason: "because"},
		"practical.decision.points":             {Do: Override, Case: 1, Candidate: "B2", Reason: "because", Points: ptr(101.0)},
		"practical.decision.unknown":            {Do: "pass", Case: 1, Reason: "because"},
		"practical.no-number":                   {Do: Override, Case: 1, Candidate: "Mira Tolben", Reason: "because", Points: &seven},
	} {
		_, err := LedgerOf(p, "d", data).Decide(assessor, d)
		assert.ErrorContains(t, err, want)
	}
	_, err := LedgerOf(p, "d", data).Decide(must(NewKeys()), Decision{Do: Withdraw, Case: 1, Reason: "because"})
	refused(t, err, "practical.other-assessor-decides")

	for i := range data {
		b := bytes.Clone(data)
		b[i] ^= 1 << (i % 8)
		_, err := LedgerOf(p, "d", b).Decisions()
		require.Error(t, err, i)
		if read, err := LedgerOf(p, "d", data[:i]).Decisions(); err == nil { // whole lines were cut off: their number tells
			require.Less(t, len(read), 2)
			require.True(t, i == 0 || data[i-1] == '\n')
		}
	}

	// Another second decision, as well signed, does not stand before a third.
	first, _, _ := strings.Cut(string(data), "\n")
	first += "\n"
	instead := must(LedgerOf(p, "d", []byte(first)).Decide(assessor, Decision{Do: Withdraw, Case: 1, Reason: "something else", At: morning}))
	third := must(LedgerOf(p, "d", data).Decide(assessor, Decision{Do: Restore, Case: 2, Reason: "after all", At: morning}))
	require.Len(t, must(LedgerOf(p, "d", append(bytes.Clone(data), third...)).Decisions()), 3)
	_, err = LedgerOf(p, "d", []byte(first+string(instead)+string(third))).Decisions()
	assert.ErrorContains(t, err, "practical.at (file d, line 3, what practical.line.before)")

	back := append(bytes.Clone(data), third...)
	_, err = LedgerOf(p, "d", back).Decide(assessor, Decision{Do: Restore, Case: 2, Reason: "because"})
	refused(t, err, "practical.decision.restore-so")
	again := must(LedgerOf(p, "d", back).Decide(assessor, Decision{Do: Withdraw, Case: 2, Reason: "because", At: morning}))
	require.Len(t, must(LedgerOf(p, "d", append(back, again...)).Decisions()), 4, "what was restored can be withdrawn again")

	// A file in which a case was withdrawn twice is still read, and a candidate taken out of it.
	l := LedgerOf(p, "d", data)
	twice := append(bytes.Clone(data), must(l.add(assessor, Decision{Do: Withdraw, Case: 2, Reason: "once more", At: morning}, ds))...)
	require.Len(t, must(LedgerOf(p, "d", must(LedgerOf(p, "d", twice).Forget(assessor, "b2", morning))).Decisions()), 3)

	forgotten := must(LedgerOf(p, "d", data).Forget(assessor, "b2", morning))
	assert.NotContains(t, string(forgotten), `"B2"`, "a signature may hold the letters, and no quotation marks")
	ds = must(LedgerOf(p, "d", forgotten).Decisions())
	require.Len(t, ds, 2)
	assert.Equal(t, Withdraw, ds[0].Do)
	assert.Equal(t, Forgot, ds[1].Do)
}

func ptr[T any](v T) *T { return &v }

// A rating outside those before may be a slip; at first one outside 1 to 5, which is a scale
// until somebody has given another one.
func TestUnusualRatings(t *testing.T) {
	for _, c := range []struct {
		past          []float64
		usual, others []float64
	}{
		{nil, []float64{1, 3, 5}, []float64{0.9, 5.1, 33, -3}},
		{[]float64{3, 2}, []float64{1, 5}, []float64{0.9, 5.1}},
		{[]float64{5}, []float64{1, 5}, []float64{0.9, 5.1}},
		{[]float64{1}, []float64{1, 5}, []float64{0.9, 5.1}},
		{[]float64{3, 5.5}, []float64{3, 5.5}, []float64{2.9, 5.6}},
		{[]float64{0.5, 4}, []float64{0.5, 4}, []float64{0.4, 4.1}},
		{[]float64{60, 40}, []float64{40, 60}, []float64{39, 61, 4}},
	} {
		past := []Rating{{Forgot: true}}
		for _, v := range c.past {
			past = append(past, Rating{Rating: v})
		}
		for _, v := range c.usual {
			assert.False(t, RatingUnusual(past, v), "%v: %v", c.past, v)
		}
		for _, v := range c.others {
			assert.True(t, RatingUnusual(past, v), "%v: %v", c.past, v)
		}
	}
}

func TestRatings(t *testing.T) {
	p := friday(t, nil)
	var data []byte
	work := p.Entry("b2").Work()
	rate := func(r Rating) {
		line, err := RatingsOf(p, "r", data).Rate(assessor, r)
		require.NoError(t, err)
		data = append(data, line...)
	}
	rate(Rating{At: morning, Work: work, Rater: "r1", Rating: 3})
	rate(Rating{At: morning, Work: p.Entry("B3").Work(), Rater: "r1", Rating: -1.5})
	for want, r := range map[string]Rating{
		"practical.rated-by (rater R1)":                   {Work: work, Rater: "R1", Rating: 3},
		"practical.no-rater (text MIRA TOLBEN)":           {Work: work, Rater: "Mira Tolben", Rating: 3},
		"practical.no-rating (least -1000, most 1000, te": {Work: work, Rater: "R2", Rating: math.NaN()},
		"practical.no-rating":                             {Work: work, Rater: "R2", Rating: math.Inf(-1)},
		"practical.no-rating (least -1000, most 1000, t":  {Work: work, Rater: "R2", Rating: 1000.5},
	} {
		_, err := RatingsOf(p, "r", data).Rate(assessor, r)
		assert.ErrorContains(t, err, want)
	}
	rate(Rating{At: morning, Work: work, Rater: "R2", Rating: 1000})
	_, err := RatingsOf(p, "r", data).Rate(assessor, Rating{Work: work, Rater: "R3", Rating: 2})
	refused(t, err, "practical.rated-enough")
	_, err = RatingsOf(p, "r", data).Rate(must(NewKeys()), Rating{Work: "x", Rater: "R3", Rating: 2})
	refused(t, err, "practical.other-assessor-decides")
	assert.NotContains(t, string(data), `"B2"`, "no candidate is named: a signature may hold the letters, and no quotation marks")

	last := bytes.LastIndexByte(data[:len(data)-1], '\n') + 1
	_, err = RatingsOf(p, "r", data[:last]).Rate(assessor, Rating{At: morning, Work: work, Rater: "R2", Rating: 2})
	require.NoError(t, err, "the last line can be taken off, and rated again")

	for i := range data {
		b := bytes.Clone(data)
		b[i] ^= 1 << (i % 8)
		_, err := RatingsOf(p, "r", b).Ratings()
		require.Error(t, err, i)
	}
	_, err = LedgerOf(p, "d", data).Decisions()
	require.Error(t, err, "a rating is no decision")

	again, n, err := RatingsOf(p, "r", data).Forget(assessor, "b2", morning)
	require.NoError(t, err)
	assert.Equal(t, 2, n)
	left := must(RatingsOf(p, "r", again).Ratings())
	require.Len(t, left, 2)
	assert.Equal(t, -1.5, left[0].Rating)
	assert.True(t, left[1].Forgot)
}

// Whoever rated a work can rate it anew: the new rating stands, the former stays in the file, and both
// are signed. A file without corrections reads as ever, byte for byte.
func TestARatingIsCorrected(t *testing.T) {
	p := friday(t, nil)
	var data []byte
	b2, b3 := p.Entry("B2").Work(), p.Entry("B3").Work()
	try := func(r Rating) error {
		r.At = morning
		line, err := RatingsOf(p, "r", data).Rate(assessor, r)
		data = append(data, line...)
		return err
	}
	rate := func(r Rating) { t.Helper(); require.NoError(t, try(r)) }
	stand := func(data []byte, want ...float64) {
		t.Helper()
		var got []float64
		for _, r := range Standing(must(RatingsOf(p, "r", data).Ratings())) {
			got = append(got, r.Rating)
		}
		assert.Equal(t, want, got)
	}
	refused(t, try(Rating{Work: b2, Rater: "R1", Rating: 3, Corrects: true}), "practical.not-rated-by")
	rate(Rating{Work: b2, Rater: "R1", Rating: 33})
	rate(Rating{Work: b3, Rater: "R1", Rating: 2})
	rate(Rating{Work: b2, Rater: "R2", Rating: 4})
	assert.NotContains(t, string(data), "corrects", "as it was written before")
	assert.True(t, RatingUnusual(must(RatingsOf(p, "r", data).Ratings()), 40))
	refused(t, try(Rating{Work: b2, Rater: "R1", Rating: 33, Corrects: true}), "practical.rated-so")
	refused(t, try(Rating{Work: b3, Rater: "R2", Rating: 3, Corrects: true}), "practical.not-rated-by")
	refused(t, try(Rating{Work: b2, Rater: "R3", Rating: 3, Corrects: true}), "practical.not-rated-by")
	refused(t, try(Rating{Work: b2, Rater: "R1", Rating: math.NaN(), Corrects: true}), "practical.no-rating")
	rate(Rating{Work: b2, Rater: "r1", Rating: 5, Corrects: true})
	rate(Rating{Work: b2, Rater: "R1", Rating: 3, Corrects: true})
	stand(data, 2, 4, 3)
	past := must(RatingsOf(p, "r", data).Ratings())
	assert.Equal(t, []any{5, 33.0, "R1"}, []any{len(past), past[0].Rating, past[3].Rater})
	assert.True(t, RatingUnusual(past, 33), "a slip that was corrected says nothing of the scale")
	refused(t, try(Rating{Work: b2, Rater: "R1", Rating: 4}), "practical.rated-by")
	refused(t, try(Rating{Work: b2, Rater: "R3", Rating: 4}), "practical.rated-enough")
	rate(Rating{Work: b3, Rater: "R1", Rating: 1.5, Corrects: true})
	rate(Rating{Work: b3, Rater: "R2", Rating: 1})
	stand(data, 4, 3, 1.5, 1)

	unsaid := bytes.Replace(data, []byte(`,"corrects":true`), nil, 1)
	_, err := RatingsOf(p, "r", unsaid).Ratings()
	require.ErrorContains(t, err, "practical.line.changed", "that it is a correction is signed")
	again, n, err := RatingsOf(p, "r", data).Forget(assessor, "B3", morning)
	require.NoError(t, err)
	assert.Equal(t, 3, n)
	stand(again, 4, 3)
	_, n, err = RatingsOf(p, "r", data).Forget(assessor, "B2", morning)
	require.NoError(t, err)
	assert.Equal(t, 4, n)
}

// A record is late from just more than 2 s over its time on.
func TestLate(t *testing.T) {
	p := friday(t, func(p *Plan) { p.Closes = morning })
	late := func(change func(*record)) (ids []string) {
		r := &record{Candidate: "B2", Started: morning, Cases: []Sat{{Elapsed: 10 * time.Minute}, {Case: 1, Elapsed: 20 * time.Minute}}}
		change(r)
		for _, why := range r.late(p) {
			ids = append(ids, why.String())
		}
		return ids
	}
	assert.Empty(t, late(func(*record) {}))
	assert.Empty(t, late(func(r *record) { r.Cases[1].Elapsed += 2 * time.Second }))
	assert.Equal(t, []string{
		"practical.late-case (allowed 1200, n 2, taken 1202.001)", "practical.late-all (allowed 1800, taken 1802.001)",
	}, late(func(r *record) { r.Cases[1].Elapsed += 2001 * time.Millisecond }))
	assert.Equal(t, []string{"practical.late-begun (begun 2031-04-04 09:00:01 +0000, closed 2031-04-04 09:00:00 +0000)"},
		late(func(r *record) { r.Started = morning.Add(time.Second) }), "where the begin of a case is not told, who was admitted too late")
	assert.Empty(t, late(func(r *record) { r.Started, r.Cases[0].Begun = morning.Add(-time.Hour), morning }))
	assert.Equal(t, []string{"practical.late-begun (begun 2031-04-04 09:00:01 +0000, closed 2031-04-04 09:00:00 +0000)"},
		late(func(r *record) { r.Started, r.Cases[0].Begun = morning.Add(-time.Hour), morning.Add(time.Second) }), "admitted in time, and begun too late")
	assert.Empty(t, late(func(r *record) {
		r.Started, r.Cases[0].Begun, r.Cases[1].Begun = morning.Add(-time.Hour), morning, morning.Add(time.Hour)
	}), "the first begin counts")
	assert.Empty(t, late(func(r *record) { r.Started, r.Cases = morning.Add(time.Second), nil }), "nothing was begun")
}
