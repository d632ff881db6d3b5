package homework

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

var morning = time.Date(2030, 1, 7, 9, 0, 0, 0, time.UTC)

// week is an assignment of one patient that closes an hour after morning.
func week(t testing.TB, rules ...string) (*cases.Assignment, []*cases.Case) {
	a, err := cases.ReadAssignment("week.toml", []byte("conoid-assignment = 1\ntitle = \"Week\"\ncases = [\"ferry-clerk\"]\n"+strings.Join(rules, "\n")))
	require.NoError(t, err)
	return a, []*cases.Case{clerk()}
}

var clerk = sync.OnceValue(func() *cases.Case {
	c, err := cases.Find("ferry-clerk")
	if err != nil {
		panic(err)
	}
	return c
})

var seated = sync.OnceValue(func() *sitting.Sitting { return sitting.Start(clerk().Setup(), sitting.Seeded(1)) })

// log is a short log: the end point is stated after so long, without a question.
func log(t testing.TB, who string, seed uint64, begun time.Time, took time.Duration, change ...func(*sitting.Header)) []byte {
	h := sitting.Header{Case: clerk().Hash(), Title: "x", Who: who, Task: &sitting.Task{Assignment: "id", Place: 1, Attempt: 1}}
	for _, f := range change {
		f(&h)
	}
	h = h.Seeded(seed)
	s := seated().Again(h.Keys)
	var b bytes.Buffer
	l, err := sitting.NewLog(&b, h)
	require.NoError(t, err)
	for i, a := range []sitting.Action{{Do: sitting.Cover, Eye: sitting.Left}, {Do: sitting.End, Rx: &optics.Rx{Sphere: -1}}} {
		_, err := s.Do(a)
		require.NoError(t, err)
		require.NoError(t, l.Append(s.Annotate(sitting.Aside{Wall: begun.Add(time.Duration(i) * took), Hint: i == 1, Opened: []string{"view"}})))
	}
	return b.Bytes()
}

func collect(t testing.TB, a *cases.Assignment, all []*cases.Case, logs ...Log) *Class {
	c, err := Collect(Collecting{Assignment: a, ID: "id", Cases: all, Logs: logs, Made: morning, pars: map[int]scoring.Par{1: {Seeds: 1, Steps: 60, Seconds: 300}}})
	require.NoError(t, err)
	return c
}

// remarks are the IDs of what is said of a row.
func remarks(r *Row) (ids []string) {
	for _, f := range r.Remarks {
		ids = append(ids, f.ID)
	}
	return ids
}

func TestARowTellsASitting(t *testing.T) {
	a, all := week(t)
	data := log(t, "7", 1, morning, 90*time.Second)
	c := collect(t, a, all, Log{File: "a", Who: "7", Data: bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n"))})
	require.Len(t, c.Rows, 1)
	r := c.Rows[0]
	assert.Equal(t, string(data), string(r.Log()), "as it was kept, whatever mail made of it")
	assert.Equal(t, Row{
		File: "a", Who: "7", Place: 1, Attempt: 1, Begun: morning, Took: 90 * time.Second, Hints: 1, Looks: 2, Done: true, Stated: "-1.00 DS", Steps: r.Steps,
		Points: r.Points, Parts: r.Parts, Findings: r.Findings, log: data, head: r.head, ended: r.ended, seed: r.seed, review: r.review, c: r.c, s: r.s,
	}, *r)
	assert.NotEmpty(t, r.Findings)
	assert.InDelta(t, float64(r.review.Total), r.Points, 1e-9)
	assert.Equal(t, "-1.00 / -1.25 x 180", c.Cases[0].Truth)
}

// What is odd about a sitting is said beside it, and only then.
func TestWhatIsOddIsSaid(t *testing.T) {
	rules := []string{`opens = "2030-01-07 09:00"`, `closes = "2030-01-07 10:00"`, "minutes = 1", "attempts = 2"}
	mine := Log{File: "a", Who: "7", Data: log(t, "7", 1, morning, time.Minute)}
	for name, c := range map[string]struct {
		logs []Log
		want []string // of the last row
	}{
		"nothing":           {[]Log{mine}, nil},
		"early":             {[]Log{{Who: "7", Data: log(t, "7", 1, morning.Add(-time.Minute), 0)}}, []string{"homework.early"}},
		"in time":           {[]Log{{Who: "7", Data: log(t, "7", 1, morning.Add(59*time.Minute), 0)}}, nil},
		"late":              {[]Log{{Who: "7", Data: log(t, "7", 1, morning.Add(time.Hour), 0)}}, []string{"homework.late"}},
		"overtime":          {[]Log{{Who: "7", Data: log(t, "7", 1, morning, time.Minute+time.Second)}}, []string{"homework.overtime"}},
		"the clock back":    {[]Log{{Who: "7", Data: log(t, "7", 1, morning.Add(time.Second), -time.Second)}}, []string{"homework.clock-back"}},
		"no number":         {[]Log{{Data: log(t, "", 1, morning, 0)}}, []string{"homework.no-number"}},
		"another number":    {[]Log{{Who: "8", Data: log(t, "7", 1, morning, 0)}}, []string{"homework.other-number"}},
		"another task":      {[]Log{{Who: "7", Data: log(t, "7", 1, morning, 0, func(h *sitting.Header) { h.Task.Assignment = "other" })}}, []string{"homework.other-assignment"}},
		"no task":           {[]Log{{Who: "7", Data: log(t, "7", 1, morning, 0, func(h *sitting.Header) { h.Task = nil })}}, []string{"homework.other-assignment"}},
		"shown before":      {[]Log{mine, {Who: "7", Data: log(t, "7", 2, morning.Add(2*time.Minute), 0)}}, []string{"homework.shown"}},
		"same luck":         {[]Log{mine, {Who: "7", Data: log(t, "7", 1, morning.Add(2*time.Minute), 0)}}, []string{"homework.same-luck", "homework.shown"}},
		"a neighbour's":     {[]Log{mine, {Who: "8", Data: log(t, "8", 1, morning, 0)}}, []string{"homework.same-luck-as"}},
		"one more":          {[]Log{mine, {Who: "7", Data: log(t, "7", 2, morning.Add(2*time.Minute), 0)}, {Who: "7", Data: log(t, "7", 3, morning.Add(4*time.Minute), 0)}}, []string{"homework.one-more", "homework.shown"}},
		"no end point":      {[]Log{{Who: "7", Data: cut(log(t, "7", 1, morning, 0), 2)}}, []string{"homework.not-done"}},
		"the last line off": {[]Log{{Who: "7", Data: log(t, "7", 1, morning, 0)[:len(mine.Data)-9]}}, []string{"homework.torn", "homework.not-done"}},
	} {
		a, all := week(t, rules...)
		got := collect(t, a, all, c.logs...)
		require.Empty(t, got.Troubles, name)
		assert.Equal(t, c.want, remarks(got.Rows[len(got.Rows)-1]), name)
	}
	a, all := week(t, `shows = "marks"`)
	got := collect(t, a, all, mine, Log{Who: "7", Data: log(t, "7", 2, morning.Add(2*time.Minute), 0)})
	assert.Empty(t, remarks(got.Rows[1]), "the error was not shown")
}

// cut is a log of so many lines.
func cut(data []byte, lines int) []byte {
	return []byte(strings.Join(strings.SplitAfter(string(data), "\n")[:lines], ""))
}

// What cannot be marked is told and stops nothing; what mail does to a file is undone.
func TestWhatIsNotMarkedIsTold(t *testing.T) {
	a, all := week(t)
	mine := log(t, "7", 1, morning, time.Minute)
	mailed := "\ufeff" + strings.ReplaceAll(string(log(t, "8", 2, morning, time.Minute)), "\n", "\r\n")
	c := collect(t, a, all,
		Log{File: "a", Data: mine}, Log{File: "a again", Data: mine}, Log{File: "mailed", Data: []byte(mailed)},
		Log{File: "changed", Data: bytes.Replace(mine, []byte(`"-1.00`), []byte(`"-1.25`), 1)},
		Log{File: "other", Data: log(t, "7", 1, morning, 0, func(h *sitting.Header) { h.Case = "b" })},
		Log{File: "empty"}, Log{File: "photo", Data: []byte("not a log")},
	)
	var rows, troubles []string
	for _, r := range c.Rows {
		rows = append(rows, r.File)
	}
	for _, x := range c.Troubles {
		troubles = append(troubles, x.File)
	}
	fits(t, c)
	assert.Equal(t, []string{"a", "mailed"}, rows)
	assert.Equal(t, []string{"a again", "other", "empty", "photo"}, slices.DeleteFunc(troubles, func(f string) bool { return f == "changed" }))
}

// A tutor's own words are those of the cases in which the mistake was made, in the language of
// the page; what is the same of two cases is said once. A row has those of its case.
func TestWhatTheTutorSays(t *testing.T) {
	row := func(place int, said scoring.Remarks) *Row {
		return &Row{Who: "7", Place: place, review: &scoring.Report{Findings: []scoring.Finding{
			{ID: "fog-lost", Severity: scoring.Slight, Remarks: said}, {ID: "wrong-eye", Severity: scoring.Slight, Remarks: scoring.Remarks{"": "no"}},
		}}}
	}
	rows := []*Row{row(1, scoring.Remarks{"": "fog", "de": "Nebel"}), row(2, nil), row(3, scoring.Remarks{"": "fog"}), row(3, scoring.Remarks{"": "fog"}), row(4, scoring.Remarks{"": "more"})}
	m := MistakesIn(rows)[slices.IndexFunc(MistakesIn(rows), func(m Mistake) bool { return m.ID == "fog-lost" })]
	assert.Equal(t, []Said{{"fog", []int{1, 3}}, {"more", []int{4}}}, m.Said("en"))
	assert.Equal(t, []Said{{"Nebel", []int{1}}, {"fog", []int{3}}, {"more", []int{4}}}, m.Said("de"))

	a, _ := week(t)
	c := *clerk()
	c.Feedback = map[string]map[string]string{"": {"letters-missing": "read letters"}}
	got := collect(t, a, []*cases.Case{&c}, Log{Who: "7", Data: log(t, "7", 1, morning, 0)})
	require.Empty(t, got.Troubles)
	i := slices.IndexFunc(got.Mistakes, func(m Mistake) bool { return m.ID == "letters-missing" })
	require.GreaterOrEqual(t, i, 0, got.Rows[0].Findings)
	assert.Equal(t, []Said{{"read letters", []int{1}}}, got.Mistakes[i].Said("en"))
}

// Who is simulated begins where the assignment says, and does without what it leaves out.
func TestASimulatedStudentSitsWhatIsAsked(t *testing.T) {
	a, all := week(t, `begin = "sphere"`, `charts = ["letters"]`, `questions = ["read"]`, "attempts = 1", `shows = "marks"`)
	work, err := Simulated(a, "id", all, 0, "S1", morning)
	require.NoError(t, err)
	require.Len(t, work, 1)
	rec, err := sitting.ReadLog(bytes.NewReader(work[0]))
	require.NoError(t, err)
	assert.Equal(t, "sphere", rec.Header.Begin)
	assert.True(t, rec.Header.Task.Withheld)
	given := slices.IndexFunc(rec.Events, func(e sitting.Event) bool { return !e.Aside.Given })
	assert.Positive(t, given)
	assert.WithinDuration(t, morning, rec.Events[given].Aside.Wall, 10*time.Second, "the time before is not theirs")
	for _, e := range rec.Events[given:] {
		assert.NoError(t, a.Allowed().Refuse(e.Action))
	}
	c := collect(t, a, all, Log{Who: "S1", Data: work[0]})
	assert.Equal(t, given, c.Rows[0].Given)
	assert.Greater(t, c.Rows[0].Points, 90.0)

	a, all = week(t, `charts = ["fan", "letters"]`)
	_, err = Simulated(a, "id", all, 0, "S1", morning)
	_, barred := cases.Barred(err)
	assert.True(t, barred)
}

// A class in which some learn: means, gains and mistakes are those of its sittings.
func TestAClassIsDescribed(t *testing.T) {
	if testing.Short() {
		t.Skip("whole sittings take long")
	}
	a, all := week(t)
	var logs []Log
	for i, who := range []string{"S2", "S10"} { // "no fog" and "with every check" at first
		work, err := Simulated(a, "id", all, 1-i, who, morning)
		require.NoError(t, err)
		for _, data := range work {
			logs = append(logs, Log{File: who, Who: who, Simulated: true, Data: data})
		}
	}
	c := collect(t, a, all, logs...)
	require.Empty(t, c.Troubles)
	assert.Equal(t, 4, c.Simulated)
	require.Len(t, c.Students, 2)
	assert.Equal(t, "S2", c.Students[0].Who, "2 is before 10")
	s := c.Students[0]
	assert.Equal(t, max(s.Rows[0].Points, s.Rows[1].Points), s.Best[0])
	assert.InDelta(t, s.Rows[1].Points-s.Rows[0].Points, float64(s.Gain), 1e-9)
	assert.Greater(t, float64(s.Gain), 10.0, "fog helps")
	require.NotEmpty(t, c.Mistakes)
	for i, m := range c.Mistakes {
		assert.NotEmpty(t, m.Rows)
		if i > 0 {
			assert.LessOrEqual(t, m.Pays(), c.Mistakes[i-1].Pays())
		}
	}
	require.Len(t, c.Parts, len(scoring.PartNames()))
	assert.True(t, slices.IsSortedFunc(c.Parts, func(x, y Share) int { return int(1e6 * (x.Share - y.Share)) }))
	fits(t, c)
	again := collect(t, a, all, logs...)
	assert.Equal(t, c.Students[1].Mean, again.Students[1].Mean)
}

// fits holds a class as JSON against what is written down of it.
func fits(t *testing.T, c *Class) {
	t.Helper()
	written, err := json.Marshal(c)
	require.NoError(t, err)
	require.NoError(t, validate(t, written), "%s", written)
	require.Error(t, validate(t, bytes.Replace(written, []byte(`"seconds":`), []byte(`"took":`), 1)))
}

func validate(t *testing.T, data []byte) error {
	read := func(data []byte) any {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		require.NoError(t, err)
		return doc
	}
	schema, err := os.ReadFile("class.schema.json")
	require.NoError(t, err)
	k := jsonschema.NewCompiler()
	k.AssertFormat()
	require.NoError(t, k.AddResource("class.json", read(schema)))
	compiled, err := k.Compile("class.json")
	require.NoError(t, err)
	return compiled.Validate(read(data))
}

// A class of which nobody handed in anything has all its lists.
func TestAnEmptyClass(t *testing.T) {
	a, all := week(t)
	written, err := json.Marshal(collect(t, a, all))
	require.NoError(t, err)
	assert.NoError(t, validate(t, written))
}

// What pays most comes first: students times points, and neither alone.
func TestWhatPaysMostIsFirst(t *testing.T) {
	row := func(who string, lost ...scoring.Finding) *Row {
		return &Row{Who: who, review: &scoring.Report{Findings: lost}}
	}
	lost := func(id string, points fact.Points) scoring.Finding {
		return scoring.Finding{ID: id, Cost: points, Severity: scoring.Serious}
	}
	got := MistakesIn([]*Row{row("1", lost("dear", 29), lost("shared", 5)), row("2", lost("shared", 5)), row("3", lost("shared", 5)), row("3", lost("often", 1))})
	var ids []string
	for _, m := range got {
		ids = append(ids, m.ID)
	}
	assert.Equal(t, []string{"shared", "dear", "often"}, ids, "3 x 15, 1 x 29, 1 x 1")
}
