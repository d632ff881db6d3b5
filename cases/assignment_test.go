package cases

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// friday is an assignment as it was when it was only a set of cases.
const friday = `conoid-set = 1
title = "Friday"
# in this order
cases = ["one.toml", # the easy one
  "two.conoid-case", 'deep/three.toml']
`

const axis = `conoid-assignment = 1
title = "The axis"
aims = """
You find the axis
with the arrow."""
cases = ["ferry-clerk", "mine.toml"]
opens = 2030-01-07 08:00:00
closes = "2030-01-14"
minutes = 15
attempts = 2
begin = "arrow"
help = "cues"
charts = ["arrow", "fan"]
questions = ["limbs", "which"]
shows = "marks"

[texts.de]
title = "Die Achse"

[marking]
axis = 30
cylinder = 20
sphere = 15
`

func TestReadAssignment(t *testing.T) {
	a, err := ReadAssignment("friday.toml", []byte(friday))
	require.NoError(t, err)
	assert.Equal(t, &Assignment{Title: "Friday", Cases: []Listed{{"one.toml", 4, 10}, {"two.conoid-case", 5, 3}, {"deep/three.toml", 5, 22}}}, a)

	a, err = ReadAssignment("axis.toml", []byte(axis))
	require.NoError(t, err)
	scheme := DefaultScheme()
	scheme.Claims.Axis, scheme.Claims.Cylinder, scheme.Claims.Sphere = 30, 20, 15
	day := func(d, hour int) Clock { return Clock{time.Date(2030, 1, d, hour, 0, 0, 0, time.UTC)} }
	assert.Equal(t, &Assignment{
		Title: "The axis", Aims: "You find the axis with the arrow.", Cases: []Listed{{"ferry-clerk", 6, 10}, {"mine.toml", 6, 25}},
		Opens: day(7, 8), Closes: day(14, 0), Limit: 15 * time.Minute, Attempts: 2, Begin: AtArrow, Help: Cues,
		Charts: []chart.Name{"arrow", "fan"}, Questions: []patient.Question{"limbs", "which"}, Shows: ShowsMarks, Marking: &scheme,
		Translations: map[string]Lesson{"de": {Title: "Die Achse"}},
	}, a)
	assert.Equal(t, Lesson{"Die Achse", a.Aims}, a.In("de"))
	assert.Equal(t, Lesson{a.Title, a.Aims}, a.In("en"))

	assert.True(t, IsAssignment([]byte(friday)))
	assert.True(t, IsAssignment([]byte(axis)))
	assert.False(t, IsAssignment([]byte(plain)))
	assert.False(t, IsAssignment(Template(plainWords)))
}

func TestMistakesInAnAssignmentAreFoundWhereTheyStand(t *testing.T) {
	of := func(list string) string { return "conoid-assignment = 1\ntitle = \"T\"\ncases = " + list }
	with := func(line string) string { return of(`["a.toml"]`) + "\n" + line }
	for name, c := range map[string]struct{ file, want string }{
		"unknown key":           {with("minuts = 3"), "4:1: assignment.no-key (allowed [conoid-assignment title aims cases opens closes minutes attempts begin help charts questions shows], key minuts, meant case.did-you-mean (word minutes))"},
		"misspelt":              {strings.Replace(friday, "title", "titel", 1), "2:1: assignment.no-key (allowed [conoid-assignment title aims cases opens closes minutes attempts begin help charts questions shows], key titel, meant case.did-you-mean (word title))"},
		"a section":             {friday + "[room]\nx = 1", "6:2: assignment.no-section (allowed [marking texts.en texts.de], meant , section room)"},
		"no list":               {of(`"a.toml"`), `3:9: case.type (is case.is.text (text "a.toml"), key cases, write assignment.write.files)`},
		"an empty list":         {of(`[]`), "3:9: assignment.count (most 200, n 0)"},
		"a number":              {of(`["a.toml", 7]`), "3:20: case.type (is case.is.number (number 7), key case.item (key cases, n 2), write assignment.write.file)"},
		"twice":                 {of(`["a.toml", "./a.toml"]`), `3:20: assignment.twice (file "./a.toml")`},
		"elsewhere":             {of(`["../a.toml"]`), `3:10: assignment.elsewhere (file "../a.toml")`},
		"from the root":         {of(`["/a.toml"]`), `3:10: assignment.elsewhere (file "/a.toml")`},
		"empty title":           {strings.Replace(friday, "Friday", " ", 1), "2:9: case.empty (key title)"},
		"title as a number":     {strings.Replace(friday, `"Friday"`, "5", 1), "2:9: case.type (is case.is.number (number 5), key title, write case.write.text)"},
		"no title":              {strings.Replace(friday, `title = "Friday"`, "", 1), "1:1: case.missing (how assignment.need.title, key title)"},
		"no version":            {strings.Replace(friday, `conoid-set = 1`, "", 1), "1:1: case.missing (how case.need.version (key conoid-assignment, version 1), key conoid-assignment)"},
		"too large":             {friday + strings.Repeat("#", maxSize), "1:1: case.size (most 65536, size 65660)"},
		"no attempts":           {with("attempts = 0"), "4:12: case.out-of-range (allowed case.range (least 1, most 20), key attempts, value 0)"},
		"many attempts":         {with("attempts = 21"), "4:12: case.out-of-range (allowed case.range (least 1, most 20), key attempts, value 21)"},
		"no time":               {with(`opens = "soon"`), `4:9: assignment.no-clock (key opens, text "soon")`},
		"time as a number":      {with(`opens = 8`), `4:9: case.type (is case.is.number (number 8), key opens, write assignment.write.clock)`},
		"closes first":          {with("opens = \"2030-01-02 10:00\"\ncloses = \"2030-01-02 10:00\""), "5:1: assignment.closes-first (closes 2030-01-02 10:00, opens 2030-01-02 10:00)"},
		"no such stage":         {with(`begin = "arow"`), `4:9: case.choice (allowed ["fog" "fan" "arrow" "blocks" "sphere"], key begin, meant case.did-you-mean (word arrow), value "arow")`},
		"no chart":              {with(`charts = []`), `4:10: case.type (is case.is.list, key charts, write assignment.write.some (options ["fan" "clock" "sunburst" "arrow" "blocks" "letters" "letter" "duochrome"]))`},
		"no such chart":         {with(`charts = ["fan", "fun"]`), `4:18: case.choice (allowed ["fan" "clock" "sunburst" "arrow" "blocks" "letters" "letter" "duochrome"], key case.item (key charts, n 2), meant case.did-you-mean (word fan), value "fun")`},
		"a scheme that is none": {with("[marking]\naxis = 40"), "4:2: case.marking.sum (axis 40, cylinder 20, heeding 25, sphere 25, steps 5, sum 120, time 5, whole 100)"},
	} {
		_, err := ReadAssignment("friday.toml", []byte(c.file))
		require.Error(t, err, name)
		assert.Equal(t, c.want, told(t, err), name)
	}
	var other *Unsupported
	_, err := ReadAssignment("friday.toml", []byte(strings.Replace(axis, "= 1", "= 2", 1)))
	require.ErrorAs(t, err, &other)
	_, err = ReadAssignment("friday.toml", []byte(of(`["ferry-clark"]`)))
	assert.Contains(t, told(t, err), "3:10: assignment.no-case")
	assert.Contains(t, told(t, err), "word ferry-clerk")
}

func TestWriteAssignment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-z"\\é]([a-z"\\é]{0,20}[a-z])?`)
		clock := rapid.Custom(func(t *rapid.T) Clock {
			return ClockOf(time.Unix(rapid.Int64Range(0, 1<<32).Draw(t, "t"), 0).UTC())
		})
		a := &Assignment{
			Title: text.Draw(t, "title"), Aims: text.Draw(t, "aims"), Opens: clock.Draw(t, "opens"),
			Limit: time.Duration(rapid.IntRange(0, mostMinutes).Draw(t, "minutes")) * time.Minute, Attempts: rapid.IntRange(0, mostAttempts).Draw(t, "attempts"),
			Begin: rapid.SampledFrom(append(Stages(), "")).Draw(t, "begin"), Help: rapid.SampledFrom(append(Helps(), "")).Draw(t, "help"),
			Shows: rapid.SampledFrom(Shows()).Draw(t, "shows"), Charts: rapid.SliceOfNDistinct(rapid.SampledFrom(chart.Names()), 1, 8, rapid.ID).Draw(t, "charts"),
			Translations: map[string]Lesson{"de": {Aims: text.Draw(t, "ziele")}},
		}
		if rapid.Bool().Draw(t, "scheme") {
			s := DefaultScheme()
			s.Claims.Axis, s.Claims.Sphere = 25, 20
			a.Marking = &s
		}
		files := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z"é]{1,5}(/[a-z]{1,5})?`), 1, 20, rapid.ID).Draw(t, "files")
		for _, f := range files {
			a.Cases = append(a.Cases, Listed{File: f + ".toml"})
		}
		got, err := ReadAssignment("x", WriteAssignment(a, plainWords))
		require.NoError(t, err)
		for i := range got.Cases {
			got.Cases[i].Line, got.Cases[i].Column = 0, 0
		}
		assert.Equal(t, a, got)
	})
}

// A new assignment can be read as it is, and every line of it that is only shown can be
// used.
func TestTheTemplateOfAnAssignment(t *testing.T) {
	text := string(AssignmentTemplate(plainWords))
	a, err := ReadAssignment("new.toml", []byte(text))
	require.NoError(t, err)
	assert.Equal(t, Cues, a.Help)
	var all []string
	for _, line := range strings.Split(text, "\n") {
		for _, k := range lessonKeys() {
			if after, ok := strings.CutPrefix(line, "# "+k.path+" = "); ok {
				line = k.path + " = " + after
			}
		}
		all = append(all, line)
	}
	a, err = ReadAssignment("new.toml", []byte(strings.Replace(strings.Join(all, "\n"), `closes = "2030-01-31 18:00"`, "", 1)))
	require.NoError(t, err)
	assert.Equal(t, chart.Names(), a.Charts)
	assert.Equal(t, 20*time.Minute, a.Limit)
}

// An assignment is open from the minute when it opens up to the one when it closes.
func TestTheWindowOfAnAssignment(t *testing.T) {
	a, err := ReadAssignment("axis.toml", []byte(axis))
	require.NoError(t, err)
	zone := time.FixedZone("quay", -5*3600)
	for text, want := range map[string]Window{
		"2030-01-07 07:59": Before, "2030-01-07 08:00": Within, "2030-01-13 23:59": Within, "2030-01-14 00:00": After,
	} {
		now, err := time.ParseInLocation("2006-01-02 15:04", text, zone)
		require.NoError(t, err)
		assert.Equal(t, want, a.At(now), text)
	}
	assert.Equal(t, Within, (&Assignment{}).At(time.Now()))
}

func TestWhatAnAssignmentAllows(t *testing.T) {
	a, err := ReadAssignment("axis.toml", []byte(axis))
	require.NoError(t, err)
	shows := func(c chart.Name) sitting.Action { return sitting.Action{Do: sitting.Show, Chart: c} }
	asks := func(q patient.Question) sitting.Action { return sitting.Action{Do: sitting.Ask, Question: q} }
	for _, act := range []sitting.Action{shows("arrow"), shows(""), asks("limbs"), {Do: sitting.Explain}} {
		assert.NoError(t, a.Allowed().Refuse(act))
	}
	for id, act := range map[string]sitting.Action{"task.no-chart": shows("blocks"), "task.no-question": asks("lens")} {
		err := a.Allowed().Refuse(act)
		why, is := Barred(fmt.Errorf("stopped: %w", err))
		assert.True(t, is)
		assert.Equal(t, id, why.ID)
		assert.NoError(t, (&Assignment{}).Allowed().Refuse(act))
	}
	_, is := Barred(&sitting.Refusal{})
	assert.False(t, is, "refused for another reason")
}

func TestDrawSetIsEven(t *testing.T) {
	if testing.Short() {
		t.Skip("many cards are worked out")
	}
	for seed := range uint64(5) {
		s, drawn := DrawSet(seed, 0, 24)
		if seed == 0 {
			again, _ := DrawSet(seed, 0, 24)
			require.Equal(t, s, again)
		}
		require.Len(t, s.Cases, 24)
		levels, sides, who, kinds, wrong := map[int]int{}, map[sitting.Side]int{}, map[string]int{}, map[Difficulty]int{}, 0
		for i, c := range drawn {
			assert.Equal(t, c.ID+".toml", s.Cases[i].File)
			assert.Equal(t, c.grade(), c.Level)
			assert.Empty(t, notMadeUp(c))
			levels[c.Level]++
			sides[c.Tested]++
			who[c.Name]++
			for _, d := range c.Difficulties() {
				kinds[d]++
			}
			if len(c.CardMisses()) >= 2 {
				wrong++
			}
			if i > 0 {
				assert.GreaterOrEqual(t, c.Level, drawn[i-1].Level, "from easy to hard")
			}
		}
		assert.Equal(t, map[int]int{1: 6, 2: 6, 3: 6, 4: 6}, levels)
		assert.Equal(t, map[sitting.Side]int{sitting.Right: 12, sitting.Left: 12}, sides)
		assert.Len(t, who, 24, "nobody shares a name")
		for _, kind := range AllDifficulties() { // 36 or more, over seven kinds
			assert.InDelta(t, 5, kinds[kind], 2, kind)
		}
		assert.GreaterOrEqual(t, wrong, 23, "who copies the cards is wrong in two claims")
	}
}

func TestDrawSet(t *testing.T) {
	_, drawn := DrawSet(7, 3, 30)
	for i, c := range drawn {
		assert.Equal(t, 3, c.Level)
		got, err := Read(c.ID+".toml", Write(c))
		require.NoError(t, err)
		assert.Equal(t, c, got)
		assert.True(t, strings.HasPrefix(c.ID, fmt.Sprintf("%02d-", i+1)), c.ID)
	}
	for _, bad := range [][2]int{{-1, 3}, {5, 3}, {0, 0}, {0, 201}} {
		assert.Panics(t, func() { DrawSet(1, bad[0], bad[1]) })
	}
}

func FuzzReadSet(f *testing.F) {
	f.Add([]byte(friday))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ReadAssignment("quay", data)
		if err == nil {
			for _, c := range s.Cases {
				assert.True(t, c.Line >= 1 && c.Column >= 1)
			}
		}
	})
}
