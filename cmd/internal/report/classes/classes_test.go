package classes

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/scoring/cohort"
	"conoid/scoring/homework"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// slopeOf is a slope over cases of which each is off the card by 1 D in what was heard,
// and by so much in what was stated.
func slopeOf(candidate string, stated ...float64) class.Listening {
	var groups [][]cohort.Pair
	for _, y := range stated {
		groups = append(groups, []cohort.Pair{{X: 1, Y: y}})
	}
	return class.Listening{Candidate: candidate, Stated: 4, Origin: cohort.ThroughOrigin(groups)}
}

// aClass is a class with something of everything that a report can tell.
func aClass(t *testing.T) *class.Class {
	nine := time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)
	seven := 7.0
	parts := []scoring.Part{{Name: scoring.AxisPart, Points: 40, Most: 50}, {Name: scoring.StepsPart, Points: 21.5, Most: 50}}
	sheet := func(candidate string, points float64) *practical.Sheet {
		return &practical.Sheet{
			Candidate: candidate, Code: "7T8Y-Y8RK-MFXA-HKR3", Started: nine, Elapsed: 61 * time.Minute, Points: points, Most: 100, AsMarked: points, File: candidate + ".conoid-result",
			Cases: []practical.CaseMark{
				{Points: points, Most: 100, AsMarked: points, Ended: practical.Stated, Truth: "-1.00 / -2.00 x 30", EndPoint: "-1.25 DS", Parts: parts, Findings: []string{"wrong-eye"}},
				{Most: 100, Truth: "+1.25 DS", Withdrawn: true},
			},
		}
	}
	c := &class.Class{
		Practical: "ABCD-EFGH", Title: "Friday", Rehearsal: true, Simulated: 1, SignedBy: "3478-9ACD", Scheme: "stricter.toml", Made: nine,
		Cases:  []class.Case{{ID: "one", Title: "The =clerk", Truth: "-1.00 / -2.00 x 30"}, {ID: "two", Title: "The mender", Truth: "+1.25 DS", Withdrawn: true, Reason: "its story gave it away"}},
		Sheets: []*practical.Sheet{sheet("K1", 61.5), sheet("K2", 70), sheet("K3", 40)},
		Troubles: []class.Trouble{
			{Kind: class.Damaged, File: "torn", What: fact.New("practical.trouble.at", "line", fact.Count(3), "what", fact.New("practical.empty-line"))},
			{Kind: class.Foreign, File: "other", What: fact.New("practical.trouble.why", "cause", practical.ErrOther)},
			{Kind: class.Passed, File: "notes.txt", What: fact.New("practical.passed.no-result")},
			{Kind: class.Unsent, File: "late", Candidate: "K2", What: fact.New("practical.trouble.unsent", "n", fact.Count(1), "cause", fact.New("exchange.no-start"))},
			{Kind: class.Late, File: "late", Candidate: "K2", What: fact.New("practical.late-all", "taken", fact.Seconds(1802), "allowed", fact.Seconds(1800))},
		},
		Codes: []class.Comparison{
			{Candidate: "K0", File: "k0", Code: "7T8Y-Y8RK-MFXA-HKR4", Says: class.NoSlip, Void: true},
			{Candidate: "K1", File: "K1.conoid-result", Code: "7T8Y-Y8RK-MFXA-HKR3", Paper: "7T8Y-Y8RK-MFXA-HKR3", Says: class.Agrees},
			{Candidate: "K1", File: "again/K1.conoid-result", Code: "3478-9ACD", Paper: "7T8Y-Y8RK-MFXA-HKR3", Says: class.Another},
			{Candidate: "K2", File: "K2.conoid-result", Code: "7T8Y-Y8RK-MFXA-HKR3", Paper: "3478", Says: class.Differs, Whose: "K3"},
			{Candidate: "K3", File: "K3.conoid-result", Code: "7T8Y-Y8RK-MFXA-HKR3", Says: class.NoSlip},
			{Candidate: "K4", Paper: "9ACD", Says: class.NoFile},
		},
		Decisions: []practical.Decision{
			{N: 1, At: nine, Do: practical.Override, Candidate: "K1", Case: 1, Points: &seven, Reason: "the fire alarm rang"},
			{N: 2, At: nine, Do: practical.Withdraw, Case: 2, Reason: "its story gave it away"}, {N: 3, At: nine, Do: practical.Forgot},
		},
		Findings: []class.FindingCount{{ID: "wrong-eye", Candidates: 3}},
		PassMark: cohort.Number(55.25), Reach: 2, Miss: 1,
		WithExtra: &class.Group{N: 1, Mean: cohort.None(fact.New("practical.small-group", "least", fact.Count(3)))}, WithoutExtra: &class.Group{N: 2, Mean: cohort.Number(55)},
		Places:    []class.Place{{Place: 1, N: 3, Off: cohort.Number(-1.5)}, {Place: 2, N: 3, Off: cohort.Number(1.5)}},
		Raters:    []class.Pair{{First: "R1", Second: "R2", Agreement: cohort.Agreement{N: 3, Bias: cohort.Number(-0.5), Lower: cohort.Number(-1), Upper: cohort.Number(0)}}},
		Corrected: []class.Corrected{{Candidate: "K2", Rater: "R1", From: 33, To: 3, At: nine}},
		LookAgain: []cohort.Total{{Candidate: "K1", Points: 61.5}},
		PartsOf:   []class.PartOf{{Case: 0, Part: scoring.AxisPart}, {Case: 0, Part: scoring.StepsPart}},
	}
	k1, k2 := c.Sheets[0], c.Sheets[1]
	k1.Extra = 0.25
	k1.Cases[0].Reason, k1.Interruptions = "the fire alarm rang", []practical.Interruption{{At: nine, Allowed: nine.Add(time.Minute)}, {At: nine}}
	k2.Jumps, k2.Late = []practical.Jump{{At: nine, By: -time.Hour}}, []fact.Fact{c.Troubles[4].What}
	k2.Cases[0].Ended = practical.TimedUp
	for _, s := range c.Sheets {
		s.Times = practical.Times{Begun: nine, Ended: nine.Add(70 * time.Minute), Used: 61 * time.Minute, Paused: 4 * time.Minute, Interrupted: time.Minute, Gap: 4 * time.Minute}
	}
	k1.Times.Slow, k2.Times.Slow = 28*time.Minute, -time.Minute
	k2.Doubts = []fact.Fact{fact.New("practical.doubt.gap", "span", fact.Seconds(4200), "used", fact.Seconds(3660), "gap", fact.Seconds(240))}
	c.Troubles = append(c.Troubles, class.Trouble{Kind: class.Doubtful, File: "odd", Candidate: "K2", What: k2.Doubts[0]})
	row := func(v ...float64) (out []cohort.Value) {
		for _, x := range v {
			out = append(out, cohort.Number(x))
		}
		return out
	}
	var err error
	names := []string{"K1", "K2", "K3"}
	c.Figures, err = cohort.Describe(cohort.Results{Candidates: names, Items: []cohort.Item{{Name: "1 The clerk", Most: 100}}, Points: [][]cohort.Value{row(61.5), row(70), row(40)}})
	require.NoError(t, err)
	c.Parts, err = cohort.Describe(cohort.Results{Candidates: names, Items: []cohort.Item{{Name: "a", Most: 50}, {Name: "b", Most: 50}}, Points: [][]cohort.Value{row(40, 21.5), row(40, 30), row(20, 20)}})
	require.NoError(t, err)
	c.Cut, err = cohort.Borderline([]cohort.Rated{{Candidate: "K1", Points: 61.5, Rating: 3}, {Candidate: "K2", Points: 70, Rating: 4}, {Candidate: "K3", Points: 40, Rating: 2}}, 1, 100)
	require.NoError(t, err)
	require.True(t, c.Cut.Beyond)
	c.Listening = []class.Listening{slopeOf("K1", -0.8, 0.9, 1.1), slopeOf("K2", 0, 0, 0), slopeOf("K3", 0, 1)}
	return c
}

// unsaid are IDs without words, and places that nothing was filled into.
var unsaid = regexp.MustCompile(`(practical|cohort|finding|part)\.[a-z]|\{[a-z]|%!|<no value>`)

func TestTheReportOfAClassInEveryLanguage(t *testing.T) {
	c := aClass(t)
	none := *c
	none.PassMark, none.Cut, none.Sheets, none.Figures, none.Parts = cohort.None(fact.New("practical.no-ratings")), nil, nil, nil, nil
	none.Troubles, none.Decisions, none.Scheme = nil, nil, ""
	for _, language := range assets.Languages() {
		v := voice.In(language)
		for _, c := range []*class.Class{c, &none} {
			var page bytes.Buffer
			require.NoError(t, Page(&page, v, c))
			_, body, _ := strings.Cut(page.String(), "<body>")
			assert.Empty(t, unsaid.FindAllString(body, -1), language)
			assert.Contains(t, page.String(), `<html lang="`+language+`">`)
			assert.Contains(t, page.String(), v.Text("caution"))
			assert.Contains(t, page.String(), "practical forget")
			assert.NotContains(t, page.String(), "http", "nothing is fetched")
			assert.Empty(t, unsaid.FindAllString(Table(v, c), -1), language)
		}
	}
	var english, german bytes.Buffer
	require.NoError(t, Page(&english, voice.English, c))
	require.NoError(t, Page(&german, voice.In("de"), c))
	for _, said := range []string{"A rehearsal.", "Case 1 (The =clerk) overridden, 61.5 before: the fire alarm rang.", "Interrupted at 09:00:00, went on at 09:01:00.", "never allowed",
		"Case 1 (The =clerk): the time was up, without an end point.", "The clock was set back by 60 min 0 s.", "Late: 30 min 2 s were taken in all", "The wrong eye answered", "−1.00 / −2.00 x 30",
		"line 3: an empty line is missing", "1 The =clerk: Axis", "override case 1 (The =clerk) of K1: 7 points", "withdraw case 2 (The mender)", "it is a result of another practical",
		"Doubtful: it lasted 70 min 0 s from begin to end, with 61 min 0 s used in cases; nothing in the record explains 4 min 0 s.",
		"fell behind the machine’s by 28 min 0 s", "The machine’s clock fell behind by 1 min 0 s", "4 Apr 2031, 10:10",
		"3 of 4", "−2.19 to 2.99", "<dt>Reach the pass mark</dt><dd>2</dd>", "<dt>Below it</dt><dd>1</dd>", "25 % more time.", "1 candidate had more time: mean not defined. 2 had not: mean 55.", "<td class=\"n\">−1.5</td>", "−1 to 0", "1 agrees, 1 differs, 1 has a slip and no whole result, 1 has a result and no slip. Where codes differ", "signed for. 1 more is of a candidate whose slip agrees with another result of theirs. 1 more is of a result that is void.", "<strong>The slip has the code of the candidate’s other result</strong>", "<strong>Differs</strong>; it is the code of K3", "; the result is void</td><td>k0</td>", "No slope: this needs at least 3 cases in which the answers settle axis, cylinder and sphere; there are 2."} {
		assert.Contains(t, english.String(), said)
	}
	for _, said := range []string{"Ein Probelauf.", "Fall 1 (The =clerk) ersetzt, vorher 61,5", "Bestehensgrenze 55,25", "30 min 2 s", "Zeile 3: eine leere Zeile fehlt", "Fall 2 (The mender) zurückziehen"} {
		assert.Contains(t, german.String(), said)
	}
}

// The drawing ends at its edges; 0 and 1 stand a quarter from either.
func TestTheDrawingOfASlope(t *testing.T) {
	for slope, at := range map[float64]float64{-9: 0, -0.5: 0, 0: 50, 0.5: 100, 1: 150, 1.5: 200, 9: 200} {
		assert.InDelta(t, at, slopeAt(slope), 1e-9)
	}
	s := stripOf(voice.English, slopeOf("K1", -0.8, 0.9, 1.1))
	assert.Equal(t, []float64{0, 200}, []float64{s.From, s.To})
	assert.Equal(t, "Slope 0.4, from −2.19 to 2.99", s.Title)
}

func TestTable(t *testing.T) {
	assert.Equal(t, `Candidate   Points    of
K1            61.5   100   reaches the pass mark; overridden
K2              70   100   reaches the pass mark
K3              40   100
`, Table(voice.English, aClass(t)))
}

func TestCSV(t *testing.T) {
	for _, language := range assets.Languages() {
		var table bytes.Buffer
		require.NoError(t, CSV(&table, voice.In(language), aClass(t)))
		rows, err := csv.NewReader(&table).ReadAll()
		require.NoError(t, err)
		require.Len(t, rows, 1+3+4+3, "late results have a row of their own already")
		for _, row := range rows {
			require.Len(t, row, len(rows[0]))
			assert.Empty(t, unsaid.FindAllString(strings.Join(row, "\n"), -1), language)
		}
		assert.Equal(t, []string{"61.5", "100", "55.25"}, rows[1][5:8], "numbers are as machines read them")
		assert.Equal(t, "-1.00 / -2.00 x 30", rows[1][12])
		assert.Equal(t, []string{"25", "0"}, []string{rows[1][24], rows[2][24]})
		assert.Equal(t, []string{"3478", voice.In(language).Value(class.Differs)}, rows[2][22:24])
		assert.Equal(t, []string{"9ACD", voice.In(language).Value(class.NoFile)}, rows[10][22:24], "no result has a row of its own")
		assert.Equal(t, []string{"3", "1", "0.4", "-2.19", "2.99", ""}, rows[1][16:22])
		assert.Equal(t, []string{"3", "1", "0", "0", "0", ""}, rows[2][16:22])
		assert.Equal(t, []string{"2031-04-04T10:10:00Z", "4", "1", "4"}, rows[2][25:29])
		assert.NotEmpty(t, rows[2][29])
		assert.Empty(t, rows[1][29])
		assert.Equal(t, []string{"2", "", "", "", ""}, rows[3][16:21], "what is not told is not 0")
		assert.NotEmpty(t, rows[3][21])
	}
}

// The facts of a class can be written as JSON, with errors among them.
func TestAClassAsJSON(t *testing.T) {
	data, err := json.Marshal(aClass(t))
	require.NoError(t, err)
	assert.Contains(t, string(data), `"practical.other-result"`)
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

// The page of a class's work leads to the pages beside it, and only to those that there are;
// it says how it is ordered and by what it is marked, and is whole without a sitting.
func TestTheWorkOfAClass(t *testing.T) {
	at := time.Date(2031, 3, 4, 9, 0, 0, 0, time.UTC)
	done := &homework.Row{Who: "7", Place: 1, Attempt: 2, Begun: at, Done: true, Stated: "-1.00 DS", Remarks: []fact.Fact{fact.New("homework.shown", "n", fact.Count(1)), fact.New("homework.late", "at", "noon")}}
	c := &homework.Class{
		Title: "Week", Made: at, Cases: []homework.Case{{ID: "one", Title: "The clerk", Truth: "-1.25 DS"}},
		Rows:      []*homework.Row{done, {Who: "8", Place: 1, Attempt: 1}, {Place: 1, Attempt: 1, Done: true}},
		Students:  []homework.Student{{Who: "7", Rows: []*homework.Row{done}, Best: []float64{0}}, {Who: "", Best: []float64{-1}}},
		Mistakes:  []homework.Mistake{{ID: "wrong-eye", Students: 1, Points: 12}},
		Troubles:  []homework.Trouble{{File: "photo", What: fact.New("homework.twice")}},
		Simulated: 1,
	}
	page := func(v voice.Voice, c *homework.Class, debriefs bool) string {
		var b bytes.Buffer
		require.NoError(t, Homework(&b, v, c, debriefs))
		return b.String()
	}
	with := page(voice.English, c, true)
	assert.Equal(t, []string{"#troubles", "students/7.html", "students/7.html", "debriefs/7-1-2.html", "students/8.html"}, hrefs(with))
	assert.Equal(t, []string{"#troubles", "students/7.html", "students/7.html", "students/8.html"}, hrefs(page(voice.English, c, false)))
	for _, want := range []string{"4 March 2031, 09:00", "4 Mar 2031, 09:00", "First comes what pays most", "Marked by the assignment’s scheme", ">Why<", "Begun after it had closed on noon.", "Whoever sat a patient again"} {
		assert.Contains(t, with, want)
	}
	assert.NotContains(t, with, "after attempt 1", "what nearly every row has is said once")
	german := page(voice.In("de"), c, true)
	for _, want := range []string{"4. März 2031, 09:00 Uhr", "04.03.2031, 09:00", ">Grund<", ">Auswertung<"} {
		assert.Contains(t, german, want)
	}
	c.Scheme = "strict.toml"
	assert.Contains(t, page(voice.English, c, true), "Marked by strict.toml.")
	for _, text := range []string{with, german, page(voice.English, &homework.Class{Title: "Week", Made: at}, true)} {
		assert.NotRegexp(t, `\{[a-z]+\}|homework\.`, text)
	}
}

// That an error had been shown is said once for all sittings, and only where it had; all else at its own. A
// student's page names the student's own sittings by case and attempt.
func TestWhatIsSaidOfSittings(t *testing.T) {
	late, shown := fact.New("homework.late", "at", "noon"), fact.New("homework.shown", "n", fact.Count(1))
	one, two := &homework.Row{Who: "7", Place: 1, Attempt: 2, Remarks: []fact.Fact{late, shown}}, &homework.Row{Who: "7", Place: 3, Attempt: 1}
	assert.Equal(t, []fact.Fact{late}, odd(one))
	assert.Len(t, one.Remarks, 2, "for spreadsheets and programs they stay")
	assert.True(t, again([]*homework.Row{two, one}))
	assert.False(t, again([]*homework.Row{two}))
	both := homework.Mistake{Rows: []*homework.Row{one, two}}
	assert.Equal(t, "case 1, attempt 2; case 3, attempt 1", sittings(voice.English, both, "homework.own-sitting", "; "))
	assert.Equal(t, "7·1·2, 7·3·1", sittings(voice.English, both, "homework.sitting", ", "))
}

// hrefs are where a page leads.
func hrefs(page string) (out []string) {
	for _, m := range regexp.MustCompile(`href="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		out = append(out, m[1])
	}
	return out
}
