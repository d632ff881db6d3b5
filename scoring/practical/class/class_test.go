package class

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
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

func collect(t testing.TB, p *practical.Plan, files []File, change func(*Collecting)) *Class {
	c := Collecting{Files: files, Key: assessor.Key(), Made: morning}
	if change != nil {
		change(&c)
	}
	out, err := Collect(p, c)
	require.NoError(t, err)
	return out
}

func TestAWholeClass(t *testing.T) {
	long(t)
	p := friday(t, func(p *practical.Plan) { p.Extra = nil })
	files := simulatedClass(t, p, 30)
	var ratings []practical.Rating // of an examiner who thinks little of some skills
	for i := range files {
		ratings = append(ratings, practical.Rating{Work: p.Entry(fmt.Sprintf("K%02d", i+1)).Work(), Rating: []float64{4, 3, 3, 4, 2, 1, 1}[i%len(skills)]})
	}
	c := collect(t, p, files, func(c *Collecting) { c.Ratings, c.Borderline = ratings, new(float64); *c.Borderline = 2 })
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
	first := func(name string) *practical.Sheet { // the first with a skill
		i := slices.IndexFunc(skills, func(k practical.Skill) bool { return k.Name == name })
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
	assert.Equal(t, practical.TimedUp, first("gives up").Cases[0].Ended)
	assert.Contains(t, []string{"", practical.TimedUp}, first("slow").Cases[p.Entry("K07").Order()[1]].Ended)

	data, err := json.Marshal(c)
	require.NoError(t, err)
	assert.NotRegexp(t, `\bNaN\b`, string(data)) // in a code it may stand by chance
}

// Each trouble is named, and none stops the rest.
func TestTroublesAreNamed(t *testing.T) {
	long(t)
	p := friday(t, func(p *practical.Plan) {
		p.Candidates, p.Extra, p.Closes = []string{"A1", "A2", "A3", "A4", "A5", "A6", "A7", "A8", "A9"}, nil, morning.Add(time.Minute)
	})
	whole := sat(t, p, "A1").file(t, p, "a1")
	cut := sat(t, p, "A2").file(t, p, "a2")
	cut.Data = cut.Data[:len(cut.Data)/2]
	altered := sat(t, p, "A3")
	altered.forge(t, p)
	late := sat(t, p, "A4")
	late.Started, late.Ended = morning.Add(time.Hour), morning.Add(78*time.Minute)
	slow := sat(t, p, "A5")
	slow.Cases[0].Elapsed, slow.Ended = 21*time.Minute, morning.Add(30*time.Minute)
	doubtful := sat(t, p, "A9")
	doubtful.Ended = morning.Add(3 * time.Hour)
	other := sat(t, p, "A6")
	other.Cases = other.Cases[:1]
	q := friday(t, func(p *practical.Plan) { p.Title = "Saturday" })

	c := collect(t, p, []File{
		whole, cut, altered.file(t, p, "a3"), late.file(t, p, "a4"), slow.file(t, p, "a5"),
		sat(t, p, "A6").file(t, p, "a6"), other.file(t, p, "a6 too"), {Name: "a1 copy", Data: whole.Data},
		doubtful.file(t, p, "a9"), sat(t, q, "A7").file(t, q, "foreign"), {Name: "photo", Data: []byte("not a result")}, {Name: "gone", Err: os.ErrPermission},
	}, nil)
	var marked []string
	for _, s := range c.Sheets {
		marked = append(marked, s.Candidate)
	}
	assert.Equal(t, []string{"A1", "A4", "A5", "A9"}, marked)
	var got []string
	for _, x := range c.Troubles {
		got = append(got, fmt.Sprintf("%s|%s|%s", x.Kind, x.File, x.Candidate))
	}
	assert.ElementsMatch(t, []string{
		"damaged|a2|", "altered|a3|A3", "late|a4|A4", "late|a5|A5", "doubtful|a9|A9", "duplicate|a6|A6", "duplicate|a6 too|A6", "duplicate|a1 copy|A1",
		"another practical|foreign|A7", "damaged|photo|", "damaged|gone|", "missing||A2", "missing||A7", "missing||A8",
	}, got)
}

// Two files of one attempt whose codes differ are not marked, neither of them, and
// both are named; those of two attempts are told apart from them.
func TestTwoCodesOfOneAttempt(t *testing.T) {
	long(t)
	p := friday(t, nil)
	signed, changed, again := sat(t, p, "A1"), sat(t, p, "A1"), sat(t, p, "A2")
	changed.Cases[1].Elapsed++
	again.Started = morning.Add(time.Hour)
	twice, other := sat(t, p, "A3"), sat(t, p, "A3")
	for n, k := range []*kept{twice, other} {
		k.Version, k.Rulings = 4, []practical.Ruling{{Do: practical.Carried, Reason: "x"}, {Do: practical.TakenUp, Reason: "x", At: morning.Add(time.Duration(n))}}
	}
	c := collect(t, p, []File{
		signed.file(t, p, "one"), changed.file(t, p, "two"), sat(t, p, "A2").file(t, p, "first"), again.file(t, p, "second"),
		twice.file(t, p, "there"), other.file(t, p, "and there"),
	}, nil)
	assert.Empty(t, c.Sheets)
	var got []string
	for _, x := range c.Troubles {
		got = append(got, x.File+" "+string(x.Kind)+" "+x.What.ID)
	}
	assert.Equal(t, []string{
		"one duplicate practical.trouble.two-codes", "two duplicate practical.trouble.two-codes",
		"first duplicate practical.trouble.twice", "second duplicate practical.trouble.twice",
		"there duplicate practical.trouble.carried-twice", "and there duplicate practical.trouble.carried-twice",
	}, got)
}

// A clock that was set to the end of the years, or before them, loses no mark and no
// report. What no other system can be told is said instead.
func TestImpossibleTimesLoseNothing(t *testing.T) {
	p := friday(t, nil)
	east, west := time.FixedZone("", 12*3600), time.FixedZone("", -12*3600)
	var files []File
	for i, at := range []time.Time{
		time.Date(9999, 12, 31, 23, 59, 59, 0, west), time.Date(9999, 12, 31, 23, 41, 59, 0, time.UTC), time.Date(9999, 12, 31, 23, 42, 0, 0, time.UTC),
		time.Date(0, 1, 1, 0, 0, 0, 0, east), time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC),
	} {
		k := idle(t, p, fmt.Sprintf("B%d", i+1), at)
		files = append(files, k.file(t, p, k.Candidate))
	}
	c := collect(t, p, files, nil)
	assert.Len(t, c.Sheets, 5)
	sittings, _ := c.Sittings(p)
	sent := map[string]int{}
	for _, s := range sittings {
		sent[s.Candidate]++
	}
	assert.Equal(t, map[string]int{"B2": 2, "B3": 1, "B5": 2}, sent, "the second case of B3 would end in the year 10000")
	kinds := map[Kind]int{}
	for _, x := range c.Troubles {
		kinds[x.Kind]++
	}
	assert.Equal(t, 5, kinds[Unsent])
	assert.Positive(t, kinds[Doubtful], "the times are said to be doubtful as well")
	assert.Len(t, kinds, 2)
	plain := exchange.Words{Language: "en", Say: fact.Fact.String}
	for i := range sittings {
		statements, err := exchange.Statements(&sittings[i], "https://exams.example.org", plain)
		require.NoError(t, err)
		_, err = exchange.EncodeStatements(statements)
		assert.NoError(t, err)
	}
	_, err := json.Marshal(c)
	assert.NoError(t, err)
}

// A log that is far too long is not done again, and does not hold up the rest.
func TestAnAbsurdLogIsNotDoneAgain(t *testing.T) {
	p := friday(t, nil)
	long := idle(t, p, "B1", morning)
	events := make([]sitting.Event, 2000)
	for n := range events {
		events[n].N = n + 1
	}
	long.Cases[0].Log = logOf(t, p.Entry("B1").Header(long.Cases[0].Case), events)
	c := collect(t, p, []File{long.file(t, p, "b1"), idle(t, p, "B2", morning).file(t, p, "b2"), {Name: "notes", Err: os.ErrInvalid, Passed: true}}, nil)
	assert.Len(t, c.Sheets, 1)
	c.Troubles = slices.DeleteFunc(c.Troubles, func(x Trouble) bool { return x.Kind == Doubtful }) // nothing was done at all
	require.Len(t, c.Troubles, 2)
	assert.Equal(t, "practical.log-long", c.Troubles[0].What.Values["cause"].(fact.Told).Tell().ID)
	assert.Equal(t, []Kind{Damaged, Passed}, []Kind{c.Troubles[0].Kind, c.Troubles[1].Kind})
}

// What an assessor decides counts from then on, and what was marked first is
// kept beside it.
func TestDecisionsCount(t *testing.T) {
	long(t)
	p := friday(t, nil)
	files := []File{sat(t, p, "B2").file(t, p, "b2"), sat(t, p, "B3").file(t, p, "b3")}
	before := collect(t, p, files, nil)
	assert.Equal(t, "practical.no-ratings", before.PassMark.Why.ID)
	passes, defined := before.Passes(before.Sheets[0])
	assert.False(t, passes || defined, "nobody passes or fails without a pass mark")
	seven := 7.0
	after := collect(t, p, files, func(c *Collecting) {
		c.Decisions = []practical.Decision{
			{Do: practical.Override, Candidate: "B2", Case: 1, Points: &seven, Reason: "the fire alarm rang"},
			{Do: practical.Withdraw, Case: 2, Reason: "its story gave it away"},
		}
	})
	b2, b3 := after.Sheets[0], after.Sheets[1]
	assert.Equal(t, 7.0, b2.Points)
	assert.Equal(t, 100.0, b2.Most)
	assert.Equal(t, before.Sheets[0].AsMarked, b2.AsMarked, "what was marked first is kept")
	assert.Equal(t, before.Sheets[0].Cases[0].Points, b2.Cases[0].AsMarked)
	assert.Equal(t, before.Sheets[1].Cases[0].Points, b3.Points)
	assert.True(t, after.Cases[1].Withdrawn)
}

func TestMarkedAgainByAnotherScheme(t *testing.T) {
	long(t)
	p := friday(t, nil)
	by, err := practical.Remarked(p, "[marking]\nsphere = 30\nsteps = 0\n")
	require.NoError(t, err)
	files := []File{sat(t, p, "B2").file(t, p, "b2")}
	own := collect(t, p, files, nil)
	other := collect(t, p, files, func(c *Collecting) { c.By, c.Scheme = by, "stricter.toml" })
	assert.Equal(t, own.Sheets[0].Points, other.Sheets[0].AsMarked, "both results are kept")
	assert.Equal(t, fact.Points(30), other.Sheets[0].Cases[0].Parts[2].Most)
	_, err = practical.Remarked(p, "[marking]\nsphere = 70\n")
	assert.Contains(t, voice.English.Error(err), "must come to 100")
}

// What leaves for other systems is what package exchange accepts.
func TestSittingsForOtherSystems(t *testing.T) {
	long(t)
	p := friday(t, nil)
	c := collect(t, p, append(simulatedClass(t, p, 1), sat(t, p, "B2").file(t, p, "b2")), nil)
	out, _ := c.Sittings(p)
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
	for id := range ids {
		assert.Regexp(t, `^.{14}5.{4}[89ab]`, id, "a version that every checker knows")
	}
	require.NoError(t, exchange.WriteGradebook(&bytes.Buffer{}, out))
}

// Each case leaves with its own times: admission, waiting, interruptions and the time between
// cases are no part of the time used.
func TestSittingsHaveTheirOwnTimes(t *testing.T) {
	p := friday(t, nil)
	minutes := func(n int) time.Time { return morning.Add(time.Duration(n) * time.Minute) }
	told := idle(t, p, "A1", minutes(10))
	told.Version, told.Started = 4, morning
	told.Cases[0].Begun, told.Cases[0].Until = minutes(10), minutes(22) // 3 minutes of them interrupted
	told.Cases[1].Begun, told.Cases[1].Until = minutes(30), minutes(29) // the clock was set back
	c := collect(t, p, []File{told.file(t, p, "a1"), idle(t, p, "A2", morning).file(t, p, "a2")}, nil)
	begun, _ := c.Sittings(p)
	require.Len(t, begun, 4)
	for i, want := range [][2]int{{10, 22}, {30, 39}, {0, 9}, {9, 18}} { // of A2 it is only known how long each took
		s := begun[i]
		assert.Equal(t, [2]time.Time{minutes(want[0]), minutes(want[1])}, [2]time.Time{s.Started, s.Ended}, i)
		assert.Equal(t, 9*time.Minute, s.Duration)
		statements, err := exchange.Statements(&s, "https://exams.example.org", exchange.Words{Language: "en", Say: fact.Fact.String})
		require.NoError(t, err)
		assert.Equal(t, s.Ended.Format("2006-01-02T15:04:05.000Z"), statements[1].Timestamp)
	}
}

// Who was there and did not begin a case has 0 points for it in a gradebook, or what was
// decided; that nobody sat it is told to no other system. What was withdrawn has none.
func TestACaseThatWasNotBegunCountsInAGradebook(t *testing.T) {
	p := friday(t, nil)
	part, none := idle(t, p, "A1", morning), idle(t, p, "A2", morning)
	open := part.Cases[1].Case
	part.Cases = part.Cases[:1]
	none.Cases, none.Rulings = nil, []practical.Ruling{{Do: practical.Closed, At: morning, Reason: "went home"}}
	points := 60.0
	files := []File{part.file(t, p, "a1"), none.file(t, p, "a2")}
	book := func(decisions ...practical.Decision) string {
		c := collect(t, p, files, func(c *Collecting) { c.Decisions = decisions })
		begun, not := c.Sittings(p)
		require.Len(t, begun, 1)
		assert.Equal(t, "A1", begun[0].Candidate)
		var b bytes.Buffer
		require.NoError(t, exchange.WriteGradebook(&b, append(begun, not...)))
		assert.Equal(t, 2, strings.Count(b.String(), "\nA"))
		return b.String()
	}
	assert.Regexp(t, `\nA1,[0-9.]+,0\r\nA2,0,0\r\n$`, book())
	override := practical.Decision{Do: practical.Override, Candidate: "A1", Case: open + 1, Points: &points, Reason: "the machine stood still"}
	assert.Regexp(t, `\nA1,[0-9.]+,60\r\nA2,0,0\r\n$`, book(override))
	assert.Regexp(t, `\nA1,[0-9.]+\r\nA2,0\r\n$`, book(practical.Decision{Do: practical.Withdraw, Case: open + 1, Reason: "it told too much"}))
}
