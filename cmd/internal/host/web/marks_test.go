package web_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/report/classes"
	"conoid/render/voice"
	"conoid/scoring/cohort"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/sitting"
)

// admitted has a candidate let in.
func admitted(t *testing.T, x *room.Room, number string) (session string) {
	ticket, err := x.Ticket(number, "", "", morning)
	require.NoError(t, err)
	session, err = x.Enter(ticket, "id")
	require.NoError(t, err)
	require.NoError(t, x.Admit(number, "", morning))
	_, err = x.Claim(session, "tab")
	require.NoError(t, err)
	return session
}

// sits has a candidate sit all cases, in few steps: each is stated as the card has it.
func sits(t *testing.T, x *room.Room, number string) (session string) {
	session = admitted(t, x, number)
	for range x.Plan().Cases {
		seat, err := x.Begin(session, "tab")
		require.NoError(t, err)
		ends(t, x, session, *seat)
	}
	return session
}

// ends has a candidate state the end point of the case under way as the card has it.
func ends(t *testing.T, x *room.Room, session string, seat wire.Seat) {
	card := seat.Patient.Objective[seat.Patient.Tested.Index()]
	_, err := x.Act(session, wire.Act{Tab: "tab", Place: seat.Place, N: 1, ID: "end", Action: sitting.Action{Do: sitting.End, Rx: &card}})
	require.NoError(t, err)
}

// The pass mark of a report, as the page with the marks tells it.
func TestThePassMarkOfAReport(t *testing.T) {
	for language, says := range map[string]string{"en": "Pass mark 55.34 points: 1 candidate reaches it, 2 do not.", "de": "Bestehensgrenze 55,34 Punkte: 1 Prüfling erreicht sie, 2 nicht."} {
		o := newOffice(t)
		d := o.as("AB", staff.Assessor, language)
		x, path := rehearses(d, "a7")
		require.NoError(t, x.Move(room.Opened, "AB", "", o.now))
		require.NoError(t, x.Move(room.Shut, "AB", "the end", o.now))
		_, page := d.gets(path + "marks")
		assert.NotContains(t, page, says[:8])
		c := &class.Class{PassMark: cohort.Number(55.34), Reach: 1, Miss: 2}
		data, err := json.Marshal(c)
		require.NoError(t, err)
		require.NoError(t, x.Marked(c, map[string][]byte{host.Paper("de", classes.DataFile): data, host.Paper("en", classes.DataFile): data}, "AB", o.now))
		_, page = d.gets(path + "marks")
		assert.Contains(t, page, says)
	}
}

// Where something was set down after the marks were worked out, the page says when they were,
// and by what they are out of date, to auditors too; until they are worked out again.
func TestMarksThatAreOutOfDate(t *testing.T) {
	for language, says := range map[string][4]string{
		"en": {"The marks were worked out on 4 Apr 2031", "code on paper entered: N2</li>", "and 2 more like these", "That takes a while"},
		"de": {"Die Punkte wurden am 04.04.2031", "Code auf Papier eingegeben: N2</li>", "und 2 weitere wie diese", "Das dauert"},
	} {
		o := newOffice(t)
		d := o.as("AU", staff.Auditor, language)
		x, path := rehearses(o.as("AB", staff.Assessor, language), "n1 n2 n3 n4 n5 n6 n7 n8 n9 n10 n11 n12")
		require.NoError(t, x.Move(room.Opened, "AB", "", o.now))
		require.NoError(t, x.Move(room.Shut, "AB", "the end", o.now))
		copies := func(number string) {
			require.NoError(t, x.Beside().Copy(map[string]string{number: "7T8Y-Y8RK-MFXA-HKR3"}, "IN", o.now))
		}
		marks := func() (page string) {
			_, page = d.gets(path + "marks")
			return page
		}
		works := func() {
			papers, err := x.Beside().Files()
			require.NoError(t, err)
			papers["x"] = []byte("{}")
			require.NoError(t, x.Marked(&class.Class{}, papers, "AB", o.now))
		}
		copies("N1")
		page := marks()
		assert.NotContains(t, page, says[0], "they never were")
		assert.Contains(t, page, says[3])
		works()
		assert.NotContains(t, marks(), says[0])
		copies("N2")
		page = marks()
		assert.Contains(t, page, says[0])
		assert.Contains(t, page, says[1])
		assert.NotContains(t, page, ": N1</li>", "that is in them")
		assert.NotContains(t, page, says[3])
		for n := 3; n <= 11; n++ {
			copies("N" + strconv.Itoa(n))
		}
		page = marks()
		assert.Contains(t, page, ": N11</li></ul>", "all ten")
		require.NoError(t, x.Beside().Copy(map[string]string{"N12": "7T8Y-Y8RK-MFXA-HKR3", "N1": ""}, "IN", o.now))
		page = marks()
		assert.Contains(t, page, says[2])
		assert.Empty(t, unsaid.FindAllString(page, -1))
		works()
		page = marks()
		assert.NotContains(t, page, says[0])
		assert.NotContains(t, page, says[1])
	}
}

// marked has the marks of a practical worked out by the page, and waits for them.
func (d *desk) marked(path string) (page string) {
	status, page := d.posts(path + "mark")
	require.Equal(d.o.t, http.StatusOK, status, page)
	return d.waited(path)
}

// waited waits for the marks.
func (d *desk) waited(path string) (page string) {
	x, err := d.o.service.Room(strings.Split(path, "/")[3])
	require.NoError(d.o.t, err)
	require.Eventually(d.o.t, func() bool {
		now, is := d.o.service.Marking(x)
		return is && now.Over
	}, time.Minute, 5*time.Millisecond)
	_, page = d.gets(path + "marks")
	require.NotContains(d.o.t, page, `http-equiv="refresh"`)
	return page
}

// The marks that the page works out are those that the results come to at the command
// line, and the page shows the same report. Both work out what an expert gets on the
// case, which takes most of the time of this test.
func TestMarksByThePage(t *testing.T) {
	if testing.Short() {
		t.Skip("it sits whole cases")
	}
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	status, page := d.makes("", "rehearsal", "1", "numbers", "a7 b2", "show-marks", "1")
	require.Equal(t, http.StatusOK, status, page)
	x := o.service.Rooms()[0]
	path := "/staff/p/" + x.Plan().ID + "/"
	d.posts(path+"move", "do", "opened")
	session := sits(t, x, "A7")
	_, err := x.Ticket("B2", "AB", "", morning)
	require.NoError(t, err)
	status, _ = d.gets(path + "appeal/A7")
	assert.Equal(t, http.StatusUnprocessableEntity, status, "nothing is released")
	status, _ = d.posts(path + "mark")
	assert.Equal(t, http.StatusUnprocessableEntity, status, "it is open still")
	_, page = d.gets(path + "marks")
	assert.NotContains(t, page, "/mark\"")
	status, _ = d.gets(path + "report/class.html")
	assert.Equal(t, http.StatusNotFound, status)
	d.posts(path+"move", "do", "shut")
	page = d.marked(path)
	_, board := x.Board()
	require.NotEmpty(t, board[0].Code)
	assert.Contains(t, page, board[0].Code)
	assert.NotContains(t, page, "closed before the end", "A7 stated everything")

	results, err := x.Results()
	require.NoError(t, err)
	c, err := class.Collect(x.Plan(), class.Collecting{
		Files: []class.File{{Name: "A7" + practical.ResultEnding, Data: results["A7"]}}, Key: o.service.Key(), Made: o.now, Served: true,
	})
	require.NoError(t, err)
	require.Len(t, c.Sheets, 1)
	for _, language := range []string{"en", "de"} {
		files, err := classes.Files(voice.In(language), c)
		require.NoError(t, err)
		d.language = language
		for name, data := range files {
			status, got := d.gets(path + "report/" + name)
			assert.Equal(t, http.StatusOK, status, name)
			assert.Equal(t, string(data), got, name)
		}
	}

	lines, err := x.Notes()
	require.NoError(t, err)
	var last room.Note
	require.NoError(t, json.Unmarshal(lines[len(lines)-1], &last))
	assert.Equal(t, room.Marked, last.Do)
	papers, err := x.Papers()
	require.NoError(t, err)
	assert.Len(t, papers, 7)
	var points map[string][]float64
	require.NoError(t, json.NewDecoder(bytes.NewReader(papers["points.json"])).Decode(&points))
	assert.Equal(t, map[string][]float64{"A7": {c.Sheets[0].Points}}, points)

	d.language = "en"
	releasedByTwo(t, d, o.as("CD", staff.Assessor, "de"), path)
	seat, err := x.Seat(session)
	require.NoError(t, err)
	assert.Equal(t, []float64{c.Sheets[0].Points}, seat.Points)
	assert.Equal(t, room.Out, x.Stage())
	appealed(t, d, x, path, results["A7"])
}

// appealed looks at what is handed out of A7: what bears on their marks, whole, and nothing
// of the notes about others.
func appealed(t *testing.T, d *desk, x *room.Room, path string, result []byte) {
	status, _ := d.gets(path + "appeal/B2")
	assert.Equal(t, http.StatusUnprocessableEntity, status, "there is no result")
	files := d.pack(path + "appeal/a7")
	assert.ElementsMatch(t, []string{"A7" + practical.ResultEnding, "marks.json", "notes.jsonl", "notes.sha256", "case-1/log.jsonl", "case-1/case.toml", "case-1/scheme.toml", "case-1/debrief.html", "README.txt", "SHA256SUMS"}, slices.Collect(maps.Keys(files)))
	assert.Equal(t, string(result), files["A7"+practical.ResultEnding])
	assert.Equal(t, x.Plan().Cases[0].Text, files["case-1/case.toml"])
	assert.Contains(t, files["README.txt"], "\ncase-1/ has case 1 of the practical ("+x.Plan().Cases[0].Title+").\n")
	assert.Contains(t, files["marks.json"], `"candidate": "A7"`)
	assert.Contains(t, files["notes.jsonl"], `"do":"released"`)
	assert.NotContains(t, files["notes.jsonl"], `"B2"`)
	for name, text := range files {
		if name != "SHA256SUMS" {
			assert.Contains(t, files["SHA256SUMS"], fmt.Sprintf("%x  %s\n", sha256.Sum256([]byte(text)), name))
		}
	}
	lines, err := x.Notes()
	require.NoError(t, err)
	assert.Equal(t, len(lines), strings.Count(files["notes.sha256"], "\n"))
}

// pack are the files of a zip.
func (d *desk) pack(path string) map[string]string {
	status, pack := d.gets(path)
	require.Equal(d.o.t, http.StatusOK, status, pack)
	z, err := zip.NewReader(strings.NewReader(pack), int64(len(pack)))
	require.NoError(d.o.t, err)
	files := map[string]string{}
	for _, f := range z.File {
		in, err := f.Open()
		require.NoError(d.o.t, err)
		data, err := io.ReadAll(in)
		require.NoError(d.o.t, err)
		files[f.Name] = string(data)
	}
	return files
}

// releasedByTwo has one person ask for the release, and another confirm it.
func releasedByTwo(t *testing.T, one, other *desk, path string) {
	_, page := one.gets(path + "marks")
	assert.Contains(t, page, "Ask for the release")
	assert.Contains(t, page, "0 differ from the result, 1 result has no slip, 0 slips have no result.")
	status, page := one.posts(path+"ask", "do", "released")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "tick that the marks are released all the same")
	_, page = one.posts(path+"ask", "do", "released", "codes", "1")
	assert.Contains(t, page, "Somebody else has to confirm this.")
	n := regexp.MustCompile(`name="n" value="(\d+)"`).FindStringSubmatch(page)
	require.NotNil(t, n, page)
	status, page = one.posts(path+"answer", "n", n[1], "yes", "1")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "obody confirms their own request")
	_, page = other.gets(path)
	assert.Contains(t, page, "von AB erbeten, ")
	_, page = other.gets(path + "marks")
	assert.Contains(t, page, "erbeten von AB")
	status, page = other.posts(path+"answer", "n", n[1], "yes", "1")
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, page, "Die Punkte sind freigegeben")
}

// What needs a reason is asked for on a page of its own, which nothing takes away while
// somebody types, and is not done without one.
func TestReasons(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	d.makes("", "rehearsal", "1", "numbers", "a7 b2", "per-case", "20")
	x := o.service.Rooms()[0]
	path := "/staff/p/" + x.Plan().ID + "/"
	d.posts(path+"move", "do", "opened")
	_, board := d.gets(path)
	assert.Contains(t, board, `http-equiv="refresh"`)
	assert.NotContains(t, board, `name="reason"`)
	_, board = d.gets(path + "?still=1")
	assert.NotContains(t, board, `http-equiv="refresh"`)
	admitted(t, x, "A7")
	for _, page := range []string{"move/halted", "move/shut", "seat/A7", "seat/b2"} {
		status, text := d.gets(path + page)
		assert.Equal(t, http.StatusOK, status, page)
		assert.NotContains(t, text, `http-equiv="refresh"`, page)
		assert.Contains(t, text, `name="reason" maxlength="200" required`, page)
	}
	for _, gone := range []string{"move/resumed", "seat/C3"} {
		status, _ := d.gets(path + gone)
		assert.Equal(t, http.StatusUnprocessableEntity, status, gone)
	}
	for _, form := range [][]string{
		{"grant", "candidate", "A7", "minutes", "5"},
		{"grant", "candidate", "A7", "minutes", "soon", "reason", "a lamp went out"},
		{"grant", "candidate", "A7", "reason", "a lamp went out"},
		{"shut", "candidate", "A7"},
		{"tickets", "candidate", "a7"},
		{"pause", "candidate", "A7"},
		{"pause", "candidate", "A7", "on", "1"},
		{"renumber", "candidate", "A7", "to", "b2"},
		{"renumber", "candidate", "A7", "reason", "a wrong ticket"},
		{"move", "do", "shut"},
	} {
		before, _ := x.Notes()
		status, page := d.posts(path+form[0], form[1:]...)
		assert.Equal(t, http.StatusUnprocessableEntity, status, form)
		assert.Contains(t, page, `role="alert"`, form)
		after, _ := x.Notes()
		assert.Equal(t, before, after, form)
	}
	for _, form := range [][]string{
		{"grant", "candidate", "A7", "minutes", "2,5", "reason", "a lamp went out"},
		{"shut", "candidate", "A7", "reason", "was unwell"},
	} {
		status, page := d.posts(path+form[0], form[1:]...)
		assert.Equal(t, http.StatusOK, status, page)
	}
	_, board = d.gets(path)
	assert.Contains(t, board, "</i>closed before the end")
	_, notes := d.gets(path + "notes")
	assert.Contains(t, notes, "more time given: 2:30")
	assert.Contains(t, notes, "was unwell")
}
