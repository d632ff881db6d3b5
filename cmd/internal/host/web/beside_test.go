package web_test

import (
	"encoding/json"
	"html"
	"maps"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// Numbers that stand nowhere by chance.
const first, second = "QUINCE771", "ZUCCHINI9"

// closed is a practical that two candidates have sat, and that is closed; others may have a
// number. An assessor holds it.
func closed(t *testing.T, others ...string) (o *office, d *desk, x *room.Room, path string) {
	o = newOffice(t)
	o.patient = true
	d = o.as("AB", staff.Assessor, "en")
	return closedAfter(t, o, d, oneCase, "numbers", strings.Join(append(others, first, second), " "))
}

// closedAfter is one that somebody makes of an assignment, or of none.
func closedAfter(t *testing.T, o *office, d *desk, assignment string, pairs ...string) (_ *office, _ *desk, x *room.Room, path string) {
	status, page := d.makes(assignment, pairs...)
	require.Equal(t, http.StatusOK, status, page)
	rooms := o.service.Rooms()
	x = rooms[len(rooms)-1]
	path = "/staff/p/" + x.Plan().ID + "/"
	d.posts(path+"move", "do", "opened")
	sits(t, x, first)
	sits(t, x, second)
	d.posts(path+"move", "do", "shut")
	require.Equal(t, room.Closed, x.Stage())
	return o, d, x, path
}

// codesOf are the codes of the results, by candidate.
func codesOf(x *room.Room) map[string]string {
	all := map[string]string{}
	_, board := x.Board()
	for _, b := range board {
		all[b.Candidate] = b.Code
	}
	return all
}

// answered has somebody confirm what waits.
func (d *desk) answered(path string) {
	_, page := d.gets(path + "marks")
	n := regexp.MustCompile(`name="n" value="(\d+)"><input type="hidden" name="yes"`).FindStringSubmatch(page)
	require.NotNil(d.o.t, n, page)
	status, page := d.posts(path+"answer", "n", n[1], "yes", "1")
	require.Equal(d.o.t, http.StatusOK, status, page)
}

// Codes are typed from the slips or pasted as a table, and compared as the report compares
// them. The page for that shows no code that is not kept.
func TestTheCodesOnSlips(t *testing.T) {
	o, d, x, path := closed(t)
	codes := codesOf(x)
	in := o.as("IN", staff.Invigilator, "de")
	_, page := in.gets(path)
	assert.Contains(t, page, "/codes\"")
	_, page = in.gets(path + "codes")
	for _, code := range codes {
		assert.NotContains(t, page, code)
	}
	assert.Empty(t, unsaid.FindAllString(page, -1))
	loose := strings.ToLower(strings.ReplaceAll(codes[first], "-", " "))
	for _, c := range []struct {
		form []string
		says string
	}{
		{[]string{"code-" + first, codes[first][:18]}, "kein ganzer Code"},
		{[]string{"code-" + first, loose, "table", "nothing"}, "Die Tabelle:1"},
		{[]string{"code-" + first, loose, "table", "candidate,code\nNOBODY," + codes[first]}, "NOBODY"},
	} {
		status, page := in.posts(path+"codes", c.form...)
		assert.Equal(t, http.StatusUnprocessableEntity, status, c)
		assert.Contains(t, page, c.says)
		assert.Contains(t, page, `value="`+c.form[1]+`"`, "what was typed is there still")
	}
	assert.Empty(t, x.Beside().Slips())
	status, page := in.posts(path+"codes", "code-"+first, loose, "table", "Nummer;Code\n"+strings.ToLower(second)+";"+codes[first])
	require.Equal(t, http.StatusOK, status, page)
	assert.Contains(t, page, "stimmt überein")
	assert.Contains(t, page, "weicht ab")
	assert.Contains(t, page, first, "whose it is")
	_, page = d.posts(path+"codes", "code-"+first, "", "code-"+second, codes[second])
	assert.Contains(t, page, "no slip")
	_, page = d.gets(path + "marks")
	assert.Equal(t, 1, strings.Count(page, "no slip"))
	assert.Equal(t, 1, strings.Count(page, "agrees"))
	assert.Empty(t, unsaid.FindAllString(page, -1))
	_, notes := in.gets(path + "notes")
	assert.Contains(t, notes, "Code auf Papier eingegeben: <code>"+codes[second])
	assert.Empty(t, unsaid.FindAllString(notes, -1))
}

// Where codes on paper are not those of the results the release is asked for with a tick
// that says so, and else without one.
func TestReleaseWithOpenCodes(t *testing.T) {
	const absent, some = "ABSENT3", "7T8Y-Y8RK-MFXA-HKR3"
	_, d, x, path := closed(t, absent)
	codes := codesOf(x)
	for _, c := range []struct {
		slips map[string]string
		open  bool
	}{
		{nil, true},
		{map[string]string{first: codes[first]}, true},
		{map[string]string{first: codes[first], second: some}, true},
		{map[string]string{first: codes[first], second: codes[second], absent: some}, true},
		{map[string]string{first: codes[first], second: codes[second]}, false},
	} {
		require.NoError(t, x.Beside().Copy(map[string]string{first: "", second: "", absent: ""}, "IN", d.o.now))
		require.NoError(t, x.Beside().Copy(c.slips, "IN", d.o.now))
		status, page := d.posts(path+"ask", "do", "released")
		assert.Equal(t, http.StatusUnprocessableEntity, status, "nothing is worked out")
		assert.Equal(t, c.open, strings.Contains(page, "Codes on paper differ from the results, or are missing"), c)
		_, page = d.posts(path+"ask", "do", "released", "codes", "1")
		assert.Contains(t, page, "have to be worked out first", c)
	}
	require.NoError(t, x.Beside().Copy(map[string]string{second: some}, "IN", d.o.now))
	require.NoError(t, x.Ask(room.Voided, second, "AB", "seen with notes", d.o.now))
	require.NoError(t, x.Confirm(x.Requests()[0].N, "CD", d.o.now))
	_, page := d.posts(path+"ask", "do", "released")
	assert.Contains(t, page, "have to be worked out first", "what is void is not released")
}

// From decisions, ratings, codes and a void result to the marks, their release, and an
// appeal. What was decided by two stands in the report, the pass mark is that of the
// ratings, and what waits from before has to be asked for anew.
func TestWhatIsSetDownBearsOnTheMarks(t *testing.T) {
	if testing.Short() {
		t.Skip("it works out what an expert gets")
	}
	o, d, x, path := closed(t)
	other := o.as("CD", staff.Assessor, "de")
	_, page := d.gets(path + "seat/" + first)
	assert.Contains(t, page, `<option value="1">1 · `)
	for form, says := range map[string]string{"points=": "Write a number, such as 3", "points=x": "“x” is no number", "points=101&reason=a+lamp+went+out": "101", "points=5&reason=": "reason", "points=5&case=2&reason=a+lamp+went+out": "case 2"} {
		status, page := d.asks("POST", path+"decide", "application/x-www-form-urlencoded", strings.NewReader("candidate="+first+"&"+form+"&case=1"))
		assert.Equal(t, http.StatusUnprocessableEntity, status, form)
		assert.Contains(t, page, says, form)
	}
	require.Empty(t, x.Requests())
	status, page := d.posts(path+"decide", "candidate", first, "case", "1", "points", "7,5", "reason", "a lamp went out")
	require.Equal(t, http.StatusOK, status, page)
	title := html.EscapeString(x.Plan().Cases[0].Title)
	assert.Contains(t, page, "case 1 ("+title+"): 7.5 points asked for, what it has now shows once")
	_, page = other.gets(path + "marks")
	assert.Contains(t, page, "Fall 1 ("+title+"): erbeten 7,5 Punkte")
	status, page = d.posts(path+"decide", "candidate", first, "case", "1", "points", "8", "reason", "a lamp went out")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "AB asked for this already", "what helps is said")
	assert.Empty(t, unsaid.FindAllString(page, -1))
	page = d.marked(path)
	now := voice.In("en").Value(fact.Points(o.service.Points(x)[first][0]))
	assert.Contains(t, page, "7.5 points asked for, "+now+" points now")
	_, page = d.gets(path + "seat/" + first)
	assert.Contains(t, page, title+" · "+now+" points now")
	d.posts(path+"ask", "do", "released", "codes", "1")
	other.answered(path) // the decision
	_, page = d.gets(path + "marks")
	assert.NotContains(t, page, "class.html", "they have to be worked out anew")

	work := func(c string) string { return x.Plan().Entry(c).Work() }
	for _, who := range []string{"XY", "YZ"} {
		e := o.as(who, staff.Examiner, "en")
		for range 2 {
			_, page := e.gets("/staff/rate/" + x.Plan().ID + "/")
			now := regexp.MustCompile(`name="work" value="([^"]+)"`).FindStringSubmatch(page)
			require.NotNil(t, now, page)
			rating := "2"
			if now[1] == work(second) {
				rating = "4"
			}
			if who == "XY" && rating == "2" { // mistyped, and given anew
				e.posts("/staff/rate/"+x.Plan().ID+"/", "work", now[1], "rating", "3")
				now = append(now, now[1])
			}
			status, page := e.posts("/staff/rate/"+x.Plan().ID+"/", "work", now[1], "rating", rating, "again", strings.Join(now[2:], ""))
			require.Equal(t, http.StatusOK, status, page)
		}
	}
	require.NoError(t, x.Beside().Copy(codesOf(x), "IN", o.now))
	_, page = d.gets(path + "marks")
	assert.Contains(t, page, "2 works are rated")
	status, page = d.posts(path+"mark", "borderline", "most")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "“most” is no number")
	status, _ = d.posts(path+"mark", "borderline", "3")
	assert.Equal(t, http.StatusOK, status)
	page = d.waited(path)
	assert.Contains(t, page, `name="borderline" inputmode="decimal" size="5" autocomplete="off" value="3"`, "it stays for the next time")
	for _, file := range []string{room.CodesPaper, room.DecisionsPaper, room.RatingsPaper} {
		assert.Contains(t, page, "report/"+file)
	}
	_, data := d.gets(path + "report/class.json")
	var c class.Class
	require.NoError(t, json.Unmarshal([]byte(data), &struct {
		Candidates *[]*practical.Sheet
		Decisions  *[]practical.Decision
		Codes      *[]class.Comparison
		Rated      *int
	}{&c.Sheets, &c.Decisions, &c.Codes, &c.Rated}))
	assert.Equal(t, []any{7.5, "a lamp went out"}, []any{c.Sheets[0].Points, c.Sheets[0].Cases[0].Reason})
	assert.Equal(t, 2, c.Rated)
	assert.Equal(t, 2, class.CountCodes(c.Codes).Agree)
	_, notes := d.gets(path + "notes")
	assert.Contains(t, notes, "marks worked out, with 3 as the rating that just passes")
	assert.Contains(t, notes, "case 1 ("+title+"): 7.5 points")
	_, report := d.gets(path + "report/class.html")
	assert.Contains(t, report, "R1, R2", "how far the raters agree")
	assert.Regexp(t, `R1 corrected the rating of `+first+` on [^<]*: 2 in place of 3`, report)
	_, file := d.gets(path + "report/ratings.jsonl")
	ratings, err := class.ReadRatings(x.Plan(), "x", []byte(file))
	require.NoError(t, err)
	assert.Len(t, ratings, 5)
	_, page = d.gets(path + "marks")
	assert.Contains(t, page, "The marks have changed since this was asked for")
	require.NoError(t, x.Decline(x.Requests()[0].N, "AB", "", o.now)) // the release of other marks

	d.posts(path+"ask", "do", "voided", "candidate", second, "reason", "seen with notes")
	other.answered(path)
	d.posts(path+"mark", "borderline", "3")
	d.waited(path)
	_, report = d.gets(path + "report/class.html")
	assert.Contains(t, report, "seen with notes")
	assert.NotContains(t, report, "Missing")
	d.posts(path+"ask", "do", "released")
	_, page = other.gets(path + "marks")
	const none = "Bestehensgrenze nicht bestimmt: die Regression"
	assert.Contains(t, page, "mit 3 als Einschätzung, die gerade besteht", "who confirms sees what is released")
	assert.Equal(t, 2, strings.Count(page, none), "where the marks stand, and in the request")
	assert.NotContains(t, report, "not defined points")
	assert.Contains(t, report, "was tried with the points of 1 candidate against examiners’ ratings, at the rating 3.")
	other.answered(path)
	assert.Equal(t, room.Out, x.Stage())
	_, page = d.gets(path + "seat/" + first)
	assert.NotContains(t, page, "/decide")
	status, _ = d.posts(path+"decide", "candidate", first, "case", "1", "points", "8", "reason", "too late")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	for role, sees := range map[staff.Role]bool{staff.Assessor: true, staff.Auditor: true, staff.Invigilator: false} {
		_, notes := o.as("N"+string(role)[:3], role, "en").gets(path + "notes")
		assert.Contains(t, notes, "other points given", role)
		for _, marks := range []string{"7.5", "a lamp went out", "seen with notes", "just passes", title} {
			assert.Equal(t, sees, strings.Contains(notes, marks), "%s: %s", role, marks)
		}
		assert.Equal(t, !sees, strings.Contains(notes, "shown to assessors and auditors"))
	}
	appealedAgainst(t, d, x, path)
	erasedLater(t, d, x, path)
}

// erasedLater erases a candidate after the release with a rating that just passes, 3: one
// person alone cannot have another one count.
func erasedLater(t *testing.T, d *desk, x *room.Room, path string) {
	_, err := x.Erase(second, "AB", "asked for it", d.o.now)
	require.NoError(t, err)
	_, page := d.gets(path + "marks")
	assert.Contains(t, page, "with 3 as the rating that just passes.")
	assert.Contains(t, page, "<td>erased</td>")
	_, board := d.gets(path)
	assert.Contains(t, board, "</i>erased</td>")
	assert.NotContains(t, page, `name="borderline"`)
	status, page := d.posts(path+"mark", "borderline", "2")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "released with the rating 3")
	d.marked(path)
	_, report := d.gets(path + "report/class.html")
	assert.Contains(t, report, "what was kept of this candidate was erased")
	assert.NotContains(t, report, "there is no result")
	_, data := d.gets(path + "report/class.json")
	var c class.Class
	require.NoError(t, json.Unmarshal([]byte(data), &struct{ Borderline **float64 }{&c.Borderline}))
	require.NotNil(t, c.Borderline)
	assert.Equal(t, 3.0, *c.Borderline)
}

// appealedAgainst looks at what is handed out of what was set down beside the results: of
// each candidate their own, and nothing of anybody else. With all results those that are void
// lie apart.
func appealedAgainst(t *testing.T, d *desk, x *room.Room, path string) {
	all := d.pack(path + "results.zip")
	assert.ElementsMatch(t, []string{"notes.jsonl", "practical" + practical.Ending, "results/" + first + practical.ResultEnding, "void/" + second + practical.ResultEnding},
		slices.Collect(maps.Keys(all)))
	codes := codesOf(x)
	for candidate, want := range map[string]string{
		first:  `{"decisions":[{"n":1,"do":"override","candidate":"` + first + `","case":1,"points":7.5,"reason":"a lamp went out"}],"meanRating":2,"ratings":[{"rater":"R1","rating":3,"former":true},{"rater":"R1","rating":2},{"rater":"R2","rating":2}],"code":{"candidate":"` + first + `","file":"` + first + `.conoid-result","code":"` + codes[first] + `","paper":"` + codes[first] + `","says":"agrees"}}`,
		second: `{"void":"seen with notes","meanRating":4,"ratings":[{"rater":"R1","rating":4},{"rater":"R2","rating":4}],"code":{"candidate":"` + second + `","file":"` + second + `.conoid-result","code":"` + codes[second] + `","paper":"` + codes[second] + `","says":"agrees","void":true}}`,
	} {
		files := d.pack(path + "appeal/" + candidate)
		got := regexp.MustCompile(`\s*"at": "[^"]*",`).ReplaceAllString(files["decided.json"], "")
		assert.JSONEq(t, want, got, candidate)
		for name, text := range files {
			for other, code := range codes {
				if other != candidate {
					assert.NotContains(t, text, other, name)
					assert.NotContains(t, text, code, name)
				}
			}
			assert.NotContains(t, text, `"do":"rated"`, name)
		}
		assert.Contains(t, files["README.txt"], "decided.json")
	}
}
