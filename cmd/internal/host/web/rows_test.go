package web_test

import (
	"html"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/wire"
)

var boardState = regexp.MustCompile(`(?s)id="n-(\w+)">.*?class="dot"></i>(.*?)</td>`)

// states are how candidates stand by the board, by number.
func (d *desk) states(path string) map[string]string {
	status, page := d.gets(path)
	require.Equal(d.o.t, 200, status)
	assert.Empty(d.o.t, unsaid.FindAllString(page, -1))
	all := map[string]string{}
	for _, m := range boardState.FindAllStringSubmatch(page, -1) {
		all[m[1]] = html.UnescapeString(strings.TrimSpace(m[2]))
	}
	return all
}

// The board has a word of its own for each way in which a candidate stands, came to the
// end, or is no longer there.
func TestTheWordsForASeat(t *testing.T) {
	words := map[string][2]string{
		"first": {"has not begun", "hat nicht begonnen"}, "between": {"between cases", "zwischen zwei Fällen"}, "runs": {"examines", "untersucht"},
		"away":  {"nothing heard · silent for 0:16 · time stood still for 0:16", "nichts gehört · seit 0:16 still · Zeit stand 0:16 lang still"},
		"still": {"the time stands still", "die Zeit steht still"}, "halted": {"the time stands still · time stood still for 0:16", "die Zeit steht still · Zeit stand 0:16 lang still"},
		"through": {"through", "fertig"}, "time": {"the time was up", "die Zeit war um"}, "closed": {"closed before the end", "vor dem Ende abgeschlossen"},
		"void": {"void", "ungültig"}, "erased": {"erased", "gelöscht"}, "none": {"not here", "nicht da"}, "absent": {"did not sit it", "war nicht da"},
	}
	o := newOffice(t)
	both := [2]*desk{o.as("AB", staff.Assessor, "en"), o.as("CD", staff.Assessor, "de")}
	both[0].makes(twoCases, "title", "Friday", "numbers", "a1 b2 c3 d4 e5 f6 g7", "per-case", "1")
	x := o.service.Rooms()[0]
	path := "/staff/p/" + x.Plan().ID + "/"
	says := func(want string) { // of each number
		t.Helper()
		for i, d := range both {
			all := map[string]string{}
			for c, w := range strings.Fields(want) {
				all[x.Plan().Candidates[c]] = words[w][i]
			}
			assert.Equal(t, all, d.states(path))
		}
	}
	begin := func(session string) wire.Seat {
		seat, err := x.Begin(session, "tab")
		require.NoError(t, err)
		return *seat
	}
	both[0].posts(path+"move", "do", "opened")
	sits(t, x, "A1")
	timed := admitted(t, x, "B2")
	for range 2 {
		begin(timed)
		for range 6 {
			require.NoError(t, x.Pass(10*time.Second))
			_, err := x.Beat(timed, "tab", false)
			require.NoError(t, err)
		}
	}
	admitted(t, x, "C3")
	begin(admitted(t, x, "D4"))
	left := admitted(t, x, "E5")
	begin(left)
	between := admitted(t, x, "F6")
	ends(t, x, between, begin(between))
	says("through time first runs runs between none")
	require.NoError(t, x.Pass(16*time.Second))
	_, err := x.Beat(left, "tab", false)
	require.NoError(t, err)
	assert.Equal(t, words["away"][0], both[0].states(path)["D4"])
	assert.Equal(t, words["away"][1], both[1].states(path)["D4"])

	both[0].posts(path+"shut", "candidate", "E5", "reason", "left")
	both[0].posts(path+"move", "do", "halted", "reason", "alarm")
	says("through time still halted closed still none")
	for i, handed := range []string{"3 of 7 have handed in", "3 von 7 haben abgegeben"} {
		_, page := both[i].gets(path)
		assert.Contains(t, page, handed+" · <bdi>alarm</bdi>")
		_, page = both[i].gets(path + "seat/E5")
		assert.Contains(t, page, "</i>"+words["closed"][i])
	}

	both[0].posts(path+"move", "do", "resumed")
	_, page := both[0].gets(path)
	assert.NotContains(t, page, "alarm")
	both[0].posts(path+"move", "do", "shut", "reason", "the end")
	says("through time closed closed closed closed absent")
	for do, c := range map[room.Deed]string{room.Voided: "A1", room.Erasable: "B2"} {
		require.NoError(t, x.Ask(do, c, "AB", "asked for it", o.now))
		require.NoError(t, x.Confirm(x.Requests()[0].N, "CD", o.now))
	}
	_, err = x.Erase("B2", "AB", "asked for it", o.now)
	require.NoError(t, err)
	says("void erased closed closed closed closed absent")
}

// Who asked to open it early sees so on the board, where another one confirms it; and can
// take it back. Who may do neither sees nothing of it. What is about marks is looked at there.
func TestRequestsOnTheBoard(t *testing.T) {
	for language, says := range map[string][4]string{
		"en": {"you asked for it, ", "Take it back", "AB asked for it, ", "with the marks"},
		"de": {"von Ihnen erbeten, ", "Zurücknehmen", "von AB erbeten, ", "Bei den Punkten"},
	} {
		o := newOffice(t)
		one, other, in := o.as("AB", staff.Assessor, language), o.as("CD", staff.Assessor, language), o.as("IN", staff.Invigilator, language)
		one.makes(twoCases, "numbers", "a7", "opens", o.now.Add(20*time.Minute).Local().Format("2006-01-02T15:04"))
		x := o.service.Rooms()[0]
		path := "/staff/p/" + x.Plan().ID + "/"
		asks := func() {
			status, page := one.posts(path+"move", "do", "opened", "reason", "all are here")
			require.Equal(t, 200, status)
			assert.Contains(t, page, says[0], "at once")
			assert.Contains(t, page, "<bdi>all are here")
			assert.NotContains(t, page, "/move/opened", "it cannot be asked for twice")
			assert.NotContains(t, page, `name="yes"`)
		}
		asks()
		n := strconv.Itoa(x.Requests()[0].N)
		_, page := one.gets(path)
		assert.Contains(t, page, says[1])
		status, page := one.posts(path+"answer", "n", n, "yes", "1")
		assert.Equal(t, 422, status)
		assert.Contains(t, page, `class="board"`, "what is wrong is said on the board")
		_, page = in.gets(path)
		assert.NotContains(t, page, "all are here")
		one.posts(path+"answer", "n", n)
		require.Empty(t, x.Requests())
		_, page = one.gets(path)
		assert.Contains(t, page, "/move/opened")
		asks()
		_, page = other.gets(path)
		assert.Contains(t, page, says[2])
		assert.NotContains(t, page, says[1])
		_, still := other.gets(path + "?still=1")
		assert.Equal(t, 2, strings.Count(still, `/answer?still=1"`))
		sent := regexp.MustCompile(`name="n" value="(\d+)"><input type="hidden" name="yes"`).FindStringSubmatch(page)
		require.NotNil(t, sent, page)
		assert.Empty(t, unsaid.FindAllString(page, -1))
		status, page = other.posts(path+"answer?still=1", "n", sent[1], "yes", "1")
		assert.Equal(t, 200, status)
		assert.Equal(t, room.Open, x.Stage())
		assert.NotContains(t, page, says[2])
		assert.NotContains(t, page, `http-equiv="refresh"`, "it holds still as it did")

		sits(t, x, "A7")
		one.posts(path+"move", "do", "shut")
		one.posts(path+"ask", "do", "voided", "candidate", "A7", "reason", "seen with notes")
		_, page = other.gets(path)
		assert.Contains(t, page, says[3])
		assert.NotContains(t, page, `name="yes"`)
	}
}

// What is pressed on the page with the tickets, which are shown once, opens beside it. Each
// slip says of what practical it is, when it was given out, and has a line for each who signs.
func TestSlips(t *testing.T) {
	for language, says := range map[string][]string{
		"en": {"· rehearsal · given out 4 Apr 2031, ", "At the end: the code", "Signed by the candidate<", "signed by an invigilator<"},
		"de": {"· Probelauf · ausgegeben 04.04.2031, ", "Am Ende: der Code", "Unterschrift des Prüflings<", "Unterschrift der Aufsicht<"},
	} {
		o := newOffice(t)
		d := o.as("AB", staff.Assessor, language)
		d.makes("", "rehearsal", "1", "title", "Friday <1>", "numbers", "a7 b2")
		path := "/staff/p/" + o.service.Rooms()[0].Plan().ID + "/"
		const beside = `<base target="_blank">`
		_, page := d.gets(path)
		assert.NotContains(t, page, beside)
		_, page = d.posts(path + "tickets")
		assert.Contains(t, page, beside)
		assert.NotContains(t, page, `http-equiv="refresh"`)
		slips := regexp.MustCompile(`<li>.*?</li>`).FindAllString(page, -1)
		require.Len(t, slips, 2)
		for _, s := range slips {
			assert.Contains(t, s, "<bdi>Friday &lt;1&gt;</bdi> "+says[0])
			for _, line := range says[1:] {
				assert.Regexp(t, `<small class="sign">[^<]*`+line, s)
			}
		}
	}
}

// A board brings itself up to date by its script, or without one by being loaded anew; it says
// since when nothing is heard. No other page may have a script, nor a board that holds still.
func TestABoardThatLives(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	_, path := rehearses(d, "a7")
	header := func(path, name string) (value, page string) {
		resp, err := d.client.Get(o.at.URL + path)
		require.NoError(t, err)
		defer resp.Body.Close()
		text, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		return resp.Header.Get(name), string(text)
	}
	policy, page := header(path, "Content-Security-Policy")
	assert.Contains(t, policy, "; script-src 'self'; connect-src 'self'")
	assert.Contains(t, page, `<script src="/staff/board.js" data-board="`+path+`" defer></script>`)
	assert.Regexp(t, `<noscript><meta http-equiv="refresh" content="5;url=`+path+`"></noscript>`, page)
	assert.Contains(t, page, `id="lost" role="alert" hidden>Nothing was heard of the service since `+o.now.Local().Format("15:04:05"))
	kind, script := header("/staff/board.js", "Content-Type")
	assert.Contains(t, kind, "javascript")
	assert.NotRegexp(t, `innerHTML|eval\(|https?:`, script)
	d.language = "de"
	_, page = d.gets(path)
	assert.Contains(t, page, "Seit "+o.now.Local().Format("15:04:05")+" ist vom Dienst nichts zu hören")
	for _, to := range []string{path + "?still=1", path + "notes", path + "marks", "/staff/"} {
		policy, page = header(to, "Content-Security-Policy")
		assert.NotContains(t, policy, "script-src", to)
		assert.NotContains(t, page, "<script", to)
	}
	d.posts(path+"move", "do", "opened")
	d.posts(path+"move", "do", "shut", "reason", "the end")
	_, page = d.gets(path)
	assert.NotContains(t, page, "<script", "nothing changes any more")
	assert.NotContains(t, page, `id="lost"`)
}

// A board that says why something was not done goes on living, by its own address: what the
// form was for is brought up to date. Without scripts there is time to read it.
func TestABoardThatRefusedLives(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	x, path := rehearses(d, "a7")
	admitted(t, x, "A7")
	sends := func(to string) (policy, page string) {
		resp, err := d.client.PostForm(o.at.URL+to, url.Values{"candidate": {"A7"}})
		require.NoError(t, err)
		defer resp.Body.Close()
		text, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		require.Equal(t, http.StatusUnprocessableEntity, resp.StatusCode)
		return resp.Header.Get("Content-Security-Policy"), string(text)
	}
	policy, page := sends(path + "admit")
	assert.Contains(t, policy, "; script-src 'self'; connect-src 'self'")
	assert.Contains(t, page, `<p class="refused" id="said" role="alert">This candidate was let in already`)
	assert.Contains(t, page, `<script src="/staff/board.js" data-board="`+path+`" defer></script>`)
	assert.Contains(t, page, `<noscript><meta http-equiv="refresh" content="30;url=`+path+`"></noscript>`)
	policy, page = sends(path + "admit?still=1")
	assert.NotContains(t, policy, "script-src")
	assert.Contains(t, page, "Bring this page up to date, and keep it so")
}
