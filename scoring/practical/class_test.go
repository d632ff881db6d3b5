package practical

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/scoring/exchange"
	"conoid/sim/sitting"
)

// simulatedClass is a class of simulated candidates, three of whose stations died.
func simulatedClass(t testing.TB, p *Plan, n int) []File {
	s := p.Simulator()
	var out []File
	for i := range n {
		name := fmt.Sprintf("K%02d", i+1)
		r, err := s.Sit(name, Skills[i%len(Skills)], morning, i%10 == 4)
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
		ratings[fmt.Sprintf("K%02d", i+1)] = []float64{4, 3, 3, 4, 2, 1, 1}[i%len(Skills)]
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
		i := slices.IndexFunc(Skills, func(k Skill) bool { return k.Name == name })
		return c.Sheets[i]
	}
	mean := func(name string) (sum float64) { // of all with a skill
		n := 0.0
		for i, s := range c.Sheets {
			if Skills[i%len(Skills)].Name == name {
				sum, n = sum+s.Points, n+1
			}
		}
		return sum / n
	}
	for _, k := range Skills[1:] {
		assert.Greater(t, mean(Skills[0].Name), mean(k.Name), k.Name)
	}
	assert.Equal(t, TimedUp, first("gives up").Cases[0].Ended)
	assert.Contains(t, []string{"", TimedUp}, first("slow").Cases[p.Order("K07")[1]].Ended)

	var page, table bytes.Buffer
	require.NoError(t, c.WriteHTML(&page))
	if path := os.Getenv("CONOID_REPORT"); path != "" {
		require.NoError(t, os.WriteFile(path, page.Bytes(), 0o600))
	}
	assert.Contains(t, page.String(), c.Caution)
	assert.NotContains(t, page.String(), "http", "nothing is fetched")
	require.NoError(t, c.WriteCSV(&table))
	rows, err := csv.NewReader(&table).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 31)
	data, err := json.Marshal(c)
	require.NoError(t, err)
	assert.NotContains(t, string(data), "NaN")
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
	var page bytes.Buffer
	require.NoError(t, c.WriteHTML(&page))
	for _, x := range c.Troubles {
		assert.Contains(t, page.String(), x.File)
	}
}

// forge changes an answer in a log and makes the chain anew, as somebody could
// who has opened the practical.
func forge(t testing.TB, p *Plan, r *record) {
	s := &r.Cases[0]
	rec := must(sitting.ReadLog(strings.NewReader(s.Log)))
	for i, e := range rec.Events {
		if e.Answer != nil && len(e.Answer.Lines) > 0 {
			rec.Events[i].Answer.Lines[0] = float64(int(e.Answer.Lines[0]+10) % 180)
			s.Log = logOf(t, p.Header(r.Candidate, s.Case), rec.Events)
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
	assert.ErrorContains(t, err, "the keys that this candidate has", "nobody chooses their luck")
}

func TestDecisions(t *testing.T) {
	long(t)
	p := friday(t, nil)
	files := []File{{Name: "b2", Data: must(p.Result(&Record{*sat(t, p, "B2")}))}, {Name: "b3", Data: must(p.Result(&Record{*sat(t, p, "B3")}))}}
	before := collect(t, p, files, nil)
	assert.Equal(t, "no examiner's ratings were given", before.PassMark.Why)
	passes, defined := before.Passes(before.Sheets[0])
	assert.False(t, passes || defined, "nobody passes or fails without a pass mark")
	seven := 7.0
	var data []byte
	decide := func(d Decision) {
		d.At = morning
		line, err := p.Decide(assessor, "d", data, d)
		require.NoError(t, err)
		data = append(data, line...)
	}
	decide(Decision{Do: Override, Candidate: "b2", Case: 1, Points: &seven, Reason: "the fire alarm rang"})
	decide(Decision{Do: Withdraw, Case: 2, Reason: "its story gave it away"})
	ds := must(p.ReadDecisions("d", data))
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
		"a reason is needed":    {Do: Withdraw, Case: 1},
		"there is no case 3":    {Do: Withdraw, Case: 3, Reason: "because"},
		"the points are":        {Do: Override, Case: 1, Candidate: "B2", Reason: "because"},
		"0 to 100":              {Do: Override, Case: 1, Candidate: "B2", Reason: "because", Points: ptr(101.0)},
		"nothing to decide":     {Do: "pass", Case: 1, Reason: "because"},
		"no candidate's number": {Do: Override, Case: 1, Candidate: "Mira Tolben", Reason: "because", Points: &seven},
	} {
		_, err := p.Decide(assessor, "d", data, d)
		assert.ErrorContains(t, err, want)
	}
	_, err := p.Decide(must(NewKeys()), "d", data, Decision{Do: Withdraw, Case: 1, Reason: "because"})
	assert.ErrorContains(t, err, "another assessor")

	for i := range data {
		b := bytes.Clone(data)
		b[i] ^= 1 << (i % 8)
		_, err := p.ReadDecisions("d", b)
		require.Error(t, err, i)
		if read, err := p.ReadDecisions("d", data[:i]); err == nil { // whole lines were cut off: their number tells
			require.Less(t, len(read), 2)
			require.True(t, i == 0 || data[i-1] == '\n')
		}
	}

	// Another second decision, as well signed, does not stand before a third.
	first, _, _ := strings.Cut(string(data), "\n")
	first += "\n"
	instead := must(p.Decide(assessor, "d", []byte(first), Decision{Do: Withdraw, Case: 1, Reason: "something else", At: morning}))
	third := must(p.Decide(assessor, "d", data, Decision{Do: Restore, Case: 2, Reason: "after all", At: morning}))
	require.Len(t, must(p.ReadDecisions("d", append(bytes.Clone(data), third...))), 3)
	_, err = p.ReadDecisions("d", []byte(first+string(instead)+string(third)))
	assert.ErrorContains(t, err, "d:3:1: the decision is not of this practical, or something before it was changed")

	forgotten := must(p.Forget(assessor, "d", data, "b2", morning))
	assert.NotContains(t, string(forgotten), "B2")
	ds = must(p.ReadDecisions("d", forgotten))
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
	other := collect(t, p, files, func(c *Collecting) { c.By, c.SchemeName = by, "stricter.toml" })
	assert.Equal(t, own.Sheets[0].Points, other.Sheets[0].AsMarked, "both results are kept")
	assert.Equal(t, 60.0, other.Sheets[0].Cases[0].Parts[0].Most)
	_, err = p.Remarked("[marking]\nend-point = 70\n")
	assert.ErrorContains(t, err, "must come to 100")
}

func TestRatings(t *testing.T) {
	r, err := ReadRatings("r.csv", []byte("\ufeffcandidate,rating\r\nb2,3\r\n\"B3\",\u22121.5\r\n"))
	require.NoError(t, err)
	assert.Equal(t, map[string]float64{"B2": 3, "B3": -1.5}, r)
	for bad, want := range map[string]string{
		"":                                "r.csv:1:1: the first line must be",
		"name,rating\n":                   "r.csv:1:1: the first line must be",
		"candidate,rating\nMira T,3\n":    "r.csv:2:1: \"MIRA T\" is no candidate's number",
		"candidate,rating\nB2,NaN\n":      "r.csv:2:1: \"NaN\" is no rating",
		"candidate,rating\nB2,3\nb2,4\n":  "r.csv:3:1: candidate B2 is rated twice",
		"candidate,rating\nB2,3,4\n":      "r.csv:2:1: wrong number of fields",
		"candidate,rating\nB2,\"3\n4\"\n": "is no rating",
	} {
		_, err := ReadRatings("r.csv", []byte(bad))
		assert.ErrorContains(t, err, want, bad)
	}
}

// A cell that begins like a formula is made harmless; numbers and prescriptions
// keep their minus signs.
func TestCells(t *testing.T) {
	for in, want := range map[string]string{
		"=1+1": "'=1+1", "+SUM(A1)": "'+SUM(A1)", "@x": "'@x", "-2+3": "'-2+3", "-cmd|' /C calc'!A0": "'-cmd|' /C calc'!A0", "\tx": "'\tx",
		"-1.50": "-1.50", "-1.00 / -2.00 x 30": "-1.00 / -2.00 x 30", "+1.25 DS": "+1.25 DS", "plano": "plano", "B2": "B2", "": "",
	} {
		assert.Equal(t, want, cell(in))
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
	for n, s := range out {
		assert.Equal(t, morning.Add(time.Duration(n)*9*time.Minute), s.Started)
		assert.True(t, s.Stated)
		ids[s.Registration] = true
		statements, err := exchange.Statements(&s, "https://exams.example.org")
		require.NoError(t, err)
		_, err = exchange.EncodeStatements(statements)
		require.NoError(t, err)
		_, err = exchange.Observation(&s, "https://exams.example.org")
		require.NoError(t, err)
	}
	assert.Len(t, ids, 2)
	require.NoError(t, exchange.WriteGradebook(&bytes.Buffer{}, out))
}
