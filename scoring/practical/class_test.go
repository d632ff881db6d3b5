package practical

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/render/voice"
	"conoid/scoring/exchange"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// simulatedClass is a class of simulated candidates, three of whose stations died.
func simulatedClass(t testing.TB, p *Plan, n int) []File {
	s := p.Simulator()
	var out []File
	for i := range n {
		name := fmt.Sprintf("K%02d", i+1)
		r, err := s.Sit(name, skills[i%len(skills)], morning, i%10 == 4)
		require.NoError(t, err, name)
		data, err := p.Result(r)
		require.NoError(t, err, name)
		out = append(out, File{Name: name + ResultEnding, Data: data})
	}
	return out
}

func collect(t testing.TB, p *Plan, files []File, change func(*Collecting)) *Class {
	c := Collecting{Files: files, Key: assessor.Key(), Made: morning}
	if change != nil {
		change(&c)
	}
	out, err := p.Collect(c)
	require.NoError(t, err)
	return out
}

func TestAWholeClass(t *testing.T) {
	long(t)
	p := friday(t, func(p *Plan) { p.Extra = nil })
	files := simulatedClass(t, p, 30)
	ratings := map[string]float64{} // of an examiner who thinks little of some skills
	for i := range files {
		ratings[fmt.Sprintf("K%02d", i+1)] = []float64{4, 3, 3, 4, 2, 1, 1}[i%len(skills)]
	}
	c := collect(t, p, files, func(c *Collecting) { c.Ratings, c.Borderline = ratings, 2 })
	require.Empty(t, c.Troubles)
	require.Len(t, c.Sheets, 30)
	assert.Equal(t, 30, c.Simulated)
	require.True(t, c.PassMark.OK, c.PassMark.Why)
	assert.Equal(t, 30, c.Rated)
	died := 0
	for i, s := range c.Sheets {
		assert.Equal(t, files[i].Name, s.File)
		died += len(s.Interruptions)
	}
	assert.Equal(t, 3, died)
	first := func(name string) *Sheet { // the first with a skill
		i := slices.IndexFunc(skills, func(k Skill) bool { return k.Name == name })
		return c.Sheets[i]
	}
	mean := func(name string) (sum float64) { // of all with a skill
		n := 0.0
		for i, s := range c.Sheets {
			if skills[i%len(skills)].Name == name {
				sum, n = sum+s.Points, n+1
			}
		}
		return sum / n
	}
	for _, k := range skills[1:] {
		assert.Greater(t, mean(skills[0].Name), mean(k.Name), k.Name)
	}
	assert.Equal(t, TimedUp, first("gives up").Cases[0].Ended)
	assert.Contains(t, []string{"", TimedUp}, first("slow").Cases[p.Entry("K07").Order()[1]].Ended)

	data, err := json.Marshal(c)
	require.NoError(t, err)
	assert.NotRegexp(t, `\bNaN\b`, string(data)) // in a code it may stand by chance
}

// Each trouble is named, and none stops the rest.
func TestTroublesAreNamed(t *testing.T) {
	long(t)
	p := friday(t, func(p *Plan) {
		p.Candidates, p.Extra, p.Closes = []string{"A1", "A2", "A3", "A4", "A5", "A6", "A7", "A8"}, nil, morning.Add(time.Minute)
	})
	good := func(c string) *record { return sat(t, p, c) }
	file := func(name string, r *record) File { return File{Name: name, Data: must(p.Result(&Record{*r}))} }
	whole := file("a1", good("A1"))

	cut := file("a2", good("A2"))
	cut.Data = cut.Data[:len(cut.Data)/2]
	altered := good("A3")
	forge(t, p, altered)
	late := good("A4")
	late.Started = morning.Add(time.Hour)
	slow := good("A5")
	slow.Cases[0].Elapsed = 21 * time.Minute
	other := good("A6")
	other.Cases = other.Cases[:1]
	q := friday(t, nil)

	c := collect(t, p, []File{
		whole, cut, file("a3", altered), file("a4", late), file("a5", slow), file("a6", good("A6")), file("a6 too", other),
		{Name: "a1 copy", Data: whole.Data}, {Name: "foreign", Data: must(q.Result(&Record{*sat(t, q, "A7")}))},
		{Name: "photo", Data: []byte("not a result")}, {Name: "gone", Err: os.ErrPermission},
	}, nil)
	var marked []string
	for _, s := range c.Sheets {
		marked = append(marked, s.Candidate)
	}
	assert.Equal(t, []string{"A1", "A4", "A5"}, marked)
	var got []string
	for _, x := range c.Troubles {
		got = append(got, fmt.Sprintf("%s|%s|%s", x.Kind, x.File, x.Candidate))
	}
	assert.ElementsMatch(t, []string{
		"damaged|a2|", "altered|a3|A3", "late|a4|A4", "late|a5|A5", "duplicate|a6|A6", "duplicate|a6 too|A6", "duplicate|a1 copy|A1",
		"another practical|foreign|A7", "damaged|photo|", "damaged|gone|", "missing||A2", "missing||A7", "missing||A8",
	}, got)
}

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
	read, err := p.ReadResult("b2", data, assessor.Key())
	require.NoError(t, err)
	_, err = p.Marker(p).Mark(read)
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
	long(t)
	p := friday(t, nil)
	files := []File{{Name: "b2", Data: must(p.Result(&Record{*sat(t, p, "B2")}))}, {Name: "b3", Data: must(p.Result(&Record{*sat(t, p, "B3")}))}}
	before := collect(t, p, files, nil)
	assert.Equal(t, "practical.no-ratings", before.PassMark.Why.ID)
	passes, defined := before.Passes(before.Sheets[0])
	assert.False(t, passes || defined, "nobody passes or fails without a pass mark")
	seven := 7.0
	var data []byte
	decide := func(d Decision) {
		d.At = morning
		line, err := p.Ledger("d", data).Decide(assessor, d)
		require.NoError(t, err)
		data = append(data, line...)
	}
	decide(Decision{Do: Override, Candidate: "b2", Case: 1, Points: &seven, Reason: "the fire alarm rang"})
	decide(Decision{Do: Withdraw, Case: 2, Reason: "its story gave it away"})
	ds := must(p.Ledger("d", data).Decisions())
	require.Len(t, ds, 2)
	after := collect(t, p, files, func(c *Collecting) { c.Decisions = ds })
	b2, b3 := after.Sheets[0], after.Sheets[1]
	assert.Equal(t, 7.0, b2.Points)
	assert.Equal(t, 100.0, b2.Most)
	assert.Equal(t, before.Sheets[0].AsMarked, b2.AsMarked, "what was marked first is kept")
	assert.Equal(t, before.Sheets[0].Cases[0].Points, b2.Cases[0].AsMarked)
	assert.Equal(t, before.Sheets[1].Cases[0].Points, b3.Points)
	assert.True(t, after.Cases[1].Withdrawn)

	for want, d := range map[string]Decision{
		"practical.decision.reason":             {Do: Withdraw, Case: 1},
		"practical.decision.case (most 2, n 3)": {Do: Withdraw, Case: 3, Reason: "because"},
		"practical.decision.no-points":          {Do: Override, Case: 1, Candidate: "B2", Reason: "because"},
		"practical.decision.points":             {Do: Override, Case: 1, Candidate: "B2", Reason: "because", Points: ptr(101.0)},
		"practical.decision.unknown":            {Do: "pass", Case: 1, Reason: "because"},
		"practical.no-number":                   {Do: Override, Case: 1, Candidate: "Mira Tolben", Reason: "because", Points: &seven},
	} {
		_, err := p.Ledger("d", data).Decide(assessor, d)
		assert.ErrorContains(t, err, want)
	}
	_, err := p.Ledger("d", data).Decide(must(NewKeys()), Decision{Do: Withdraw, Case: 1, Reason: "because"})
	refused(t, err, "practical.other-assessor-decides")

	for i := range data {
		b := bytes.Clone(data)
		b[i] ^= 1 << (i % 8)
		_, err := p.Ledger("d", b).Decisions()
		require.Error(t, err, i)
		if read, err := p.Ledger("d", data[:i]).Decisions(); err == nil { // whole lines were cut off: their number tells
			require.Less(t, len(read), 2)
			require.True(t, i == 0 || data[i-1] == '\n')
		}
	}

	// Another second decision, as well signed, does not stand before a third.
	first, _, _ := strings.Cut(string(data), "\n")
	first += "\n"
	instead := must(p.Ledger("d", []byte(first)).Decide(assessor, Decision{Do: Withdraw, Case: 1, Reason: "something else", At: morning}))
	third := must(p.Ledger("d", data).Decide(assessor, Decision{Do: Restore, Case: 2, Reason: "after all", At: morning}))
	require.Len(t, must(p.Ledger("d", append(bytes.Clone(data), third...)).Decisions()), 3)
	_, err = p.Ledger("d", []byte(first+string(instead)+string(third))).Decisions()
	assert.ErrorContains(t, err, "practical.at (file d, line 3, what practical.decision.before)")

	forgotten := must(p.Ledger("d", data).Forget(assessor, "b2", morning))
	assert.NotContains(t, string(forgotten), `"B2"`, "a signature may hold the letters, and no quotation marks")
	ds = must(p.Ledger("d", forgotten).Decisions())
	require.Len(t, ds, 2)
	assert.Equal(t, Withdraw, ds[0].Do)
	assert.Equal(t, Forgot, ds[1].Do)
}

func ptr[T any](v T) *T { return &v }

func TestMarkedAgainByAnotherScheme(t *testing.T) {
	long(t)
	p := friday(t, nil)
	by, err := p.Remarked("[marking]\nend-point = 60\nsteps = 0\n")
	require.NoError(t, err)
	files := []File{{Name: "b2", Data: must(p.Result(&Record{*sat(t, p, "B2")}))}}
	own := collect(t, p, files, nil)
	other := collect(t, p, files, func(c *Collecting) { c.By, c.Scheme = by, "stricter.toml" })
	assert.Equal(t, own.Sheets[0].Points, other.Sheets[0].AsMarked, "both results are kept")
	assert.Equal(t, fact.Points(60), other.Sheets[0].Cases[0].Parts[0].Most)
	_, err = p.Remarked("[marking]\nend-point = 70\n")
	assert.Contains(t, voice.English.Error(err), "must come to 100")
}

func TestRatings(t *testing.T) {
	r, err := ReadRatings("r.csv", []byte("\ufeffcandidate,rating\r\nb2,3\r\n\"B3\",\u22121.5\r\n"))
	require.NoError(t, err)
	assert.Equal(t, map[string]float64{"B2": 3, "B3": -1.5}, r)
	for bad, want := range map[string]string{
		"":                                "line 1, what practical.ratings-head",
		"name,rating\n":                   "line 1, what practical.ratings-head",
		"candidate,rating\nMira T,3\n":    "line 2, what practical.no-number (text MIRA T)",
		"candidate,rating\nB2,NaN\n":      "line 2, what practical.no-rating (least -1000, most 1000, text NaN)",
		"candidate,rating\nB2,3\nb2,4\n":  "line 3, what practical.rated-twice (candidate B2)",
		"candidate,rating\nB2,3,4\n":      "line 2, what practical.ratings-line",
		"candidate,rating\nB2,\"3\n4\"\n": "practical.no-rating",
	} {
		_, err := ReadRatings("r.csv", []byte(bad))
		assert.ErrorContains(t, err, want, bad)
	}
}

// What leaves for other systems is what package exchange accepts.
func TestSittingsForOtherSystems(t *testing.T) {
	long(t)
	p := friday(t, nil)
	r := sat(t, p, "B2")
	files := append(simulatedClass(t, p, 1), File{Name: "b2", Data: must(p.Result(&Record{*r}))})
	c := collect(t, p, files, nil)
	out, err := c.Sittings(p)
	require.NoError(t, err)
	require.Len(t, out, 2, "what was simulated is left out")
	ids := map[string]bool{}
	plain := exchange.Words{Language: "en", Say: fact.Fact.String}
	for n, s := range out {
		assert.Equal(t, morning.Add(time.Duration(n)*9*time.Minute), s.Started)
		assert.True(t, s.Stated)
		ids[s.Registration] = true
		statements, err := exchange.Statements(&s, "https://exams.example.org", plain)
		require.NoError(t, err)
		_, err = exchange.EncodeStatements(statements)
		require.NoError(t, err)
		_, err = exchange.Observation(&s, "https://exams.example.org", plain)
		require.NoError(t, err)
	}
	assert.Len(t, ids, 2)
	require.NoError(t, exchange.WriteGradebook(&bytes.Buffer{}, out))
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
		late(func(r *record) { r.Started = morning.Add(time.Second) }))
}
