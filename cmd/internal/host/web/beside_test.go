package web_test

import (
	"encoding/json"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
)

// Numbers that stand nowhere by chance.
const first, second = "QUINCE771", "ZUCCHINI9"

// closed is a rehearsal that two candidates have sat, and that is closed. An assessor holds
// it.
func closed(t *testing.T) (o *office, d *desk, x *room.Room, path string) {
	o = newOffice(t)
	o.patient = true
	d = o.as("AB", staff.Assessor, "en")
	status, page := d.makes("", "rehearsal", "1", "numbers", first+" "+second)
	require.Equal(t, http.StatusOK, status, page)
	x = o.service.Rooms()[0]
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
	for form, says := range map[string]string{"points=": "no number", "points=101&reason=a+lamp+went+out": "101", "points=5&reason=": "reason", "points=5&case=2&reason=a+lamp+went+out": "case 2"} {
		status, page := d.asks("POST", path+"decide", "application/x-www-form-urlencoded", strings.NewReader("candidate="+first+"&"+form+"&case=1"))
		assert.Equal(t, http.StatusUnprocessableEntity, status, form)
		assert.Contains(t, page, says, form)
	}
	require.Empty(t, x.Requests())
	status, page := d.posts(path+"decide", "candidate", first, "case", "1", "points", "7,5", "reason", "a lamp went out")
	require.Equal(t, http.StatusOK, status, page)
	assert.Contains(t, page, "case 1: 7.5 points")
	_, page = other.gets(path + "marks")
	assert.Contains(t, page, "Fall 1: 7,5 Punkte")
	assert.Empty(t, unsaid.FindAllString(page, -1))
	d.marked(path)
	d.posts(path+"ask", "do", "released")
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
			status, page := e.posts("/staff/rate/"+x.Plan().ID+"/", "work", now[1], "rating", rating)
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
	assert.Equal(t, 2, c.Compared(class.Agrees))
	_, notes := d.gets(path + "notes")
	assert.Contains(t, notes, "marks worked out, pass mark at the rating 3")
	_, html := d.gets(path + "report/class.html")
	assert.Contains(t, html, "R1, R2", "how far the raters agree")
	_, file := d.gets(path + "report/ratings.jsonl")
	ratings, err := class.ReadRatings(x.Plan(), "x", []byte(file))
	require.NoError(t, err)
	assert.Len(t, ratings, 4)
	require.NoError(t, x.Decline(x.Requests()[0].N, "AB", "", o.now)) // the release of other marks

	d.posts(path+"ask", "do", "voided", "candidate", second, "reason", "seen with notes")
	other.answered(path)
	d.marked(path)
	_, html = d.gets(path + "report/class.html")
	assert.Contains(t, html, "seen with notes")
	assert.NotContains(t, html, "Missing")
	d.posts(path+"ask", "do", "released")
	other.answered(path)
	assert.Equal(t, room.Out, x.Stage())
	_, page = d.gets(path + "seat/" + first)
	assert.NotContains(t, page, "/decide")
	status, _ = d.posts(path+"decide", "candidate", first, "case", "1", "points", "8", "reason", "too late")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	appealedAgainst(t, d, x, path)
}

// appealedAgainst looks at what is handed out of what was set down beside the results: of
// each candidate their own, and nothing of anybody else.
func appealedAgainst(t *testing.T, d *desk, x *room.Room, path string) {
	codes := codesOf(x)
	for candidate, want := range map[string]string{
		first:  `{"decisions":[{"n":1,"do":"override","candidate":"` + first + `","case":1,"points":7.5,"reason":"a lamp went out"}],"meanRating":2,"ratings":[{"rater":"R1","rating":2},{"rater":"R2","rating":2}],"code":{"candidate":"` + first + `","file":"` + first + `.conoid-result","code":"` + codes[first] + `","paper":"` + codes[first] + `","says":"agrees"}}`,
		second: `{"void":"seen with notes","meanRating":4,"ratings":[{"rater":"R1","rating":4},{"rater":"R2","rating":4}],"code":{"candidate":"` + second + `","file":"` + second + `.conoid-result","code":"` + codes[second] + `","paper":"` + codes[second] + `","says":"agrees"}}`,
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
