package web_test

import (
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
)

// fromLibrary is an assignment of cases that every bench has.
const fromLibrary = "conoid-assignment = 1\ntitle = \"Friday\"\ncases = [\"ferry-clerk\"]\n"

// twoCases is an assignment of two cases that no bench has, and oneCase of the first of them.
var (
	twoCases = packed(`"one.toml", "two.toml"`)
	oneCase  = packed(`"one.toml"`)
)

// packed is an assignment of cases that no bench has: those of the library, made older.
func packed(files string) string {
	h, err := cases.Pack("friday.toml", []byte("conoid-assignment = 1\ntitle = \"Friday\"\ncases = ["+files+"]\n"), func(l cases.Listed) ([]byte, error) {
		c := *cases.Library()[map[string]int{"one.toml": 0, "two.toml": 1}[l.File]]
		c.Age++
		return cases.Write(&c), nil
	})
	if err != nil {
		panic(err)
	}
	return string(h.Write())
}

// says is what a page says was wrong.
func says(page string) string {
	m := regexp.MustCompile(`(?s)role="alert">(.*?)</p>`).FindStringSubmatch(page)
	if m == nil {
		return ""
	}
	return m[1]
}

// Minutes are taken with a point or a comma; what is none, or would round to none, which is
// no limit, is refused.
func TestMinutesOfAllKinds(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	for text, want := range map[string]time.Duration{
		"": 0, " 20,5 ": 20*time.Minute + 30*time.Second, "0.009": time.Second, "240": 4 * time.Hour,
	} {
		status, page := d.makes("", "rehearsal", "1", "numbers", "a7", "per-case", text)
		require.Equal(t, http.StatusOK, status, page)
		all := o.service.Rooms()
		assert.Equal(t, want, all[len(all)-1].Plan().PerCase, text)
	}
	for _, text := range []string{"0.008", "0", "-1", "1e9", "240.1", "０", "NaN", "Inf", "20 min"} {
		status, page := d.makes("", "rehearsal", "1", "numbers", "a7", "per-case", text)
		assert.Equal(t, http.StatusUnprocessableEntity, status, text)
		assert.Contains(t, says(page), "“"+text+"” is no time")
	}
}

// The time to open is one to come, that the clock shows.
func TestTimesToOpen(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	require.NoError(t, err)
	o := newOffice(t)
	o.now = time.Date(2031, 3, 28, 9, 0, 0, 0, berlin)
	d := o.as("AB", staff.Assessor, "en")
	for text, want := range map[string]string{
		"2031-03-28T09:00": "is over", "2021-03-28T09:00": "is over", "12031-03-28T09:00": "is no time to open at",
		"2031-03-30T02:30": "the clock is put forward over it", "2031-03-28T09:01": "", "2031-03-30T03:00": "", "9999-12-31T23:59": "",
	} {
		_, page := d.makes(twoCases, "numbers", "a7", "opens", text)
		assert.Contains(t, says(page), want)
		assert.Equal(t, want == "", says(page) == "", text)
	}
	assert.Len(t, o.service.Rooms(), 3)
}

// What is wrong with many numbers is said line by line, and not of all.
func TestManyNumbers(t *testing.T) {
	var good, bad []string
	for i := range 500 {
		good, bad = append(good, fmt.Sprintf("a%d", i)), append(bad, fmt.Sprintf("Jo-Ann%d", i))
	}
	for language, more := range map[string]string{"en": "and 1 more like these.", "de": "und 1 weitere wie diese."} {
		o := newOffice(t)
		d := o.as("AB", staff.Assessor, language)
		status, page := d.makes("", "rehearsal", "1", "numbers", strings.Join(good, "\t"))
		require.Equal(t, http.StatusOK, status, page)
		assert.Len(t, o.service.Rooms()[0].Plan().Candidates, 500)
		for n, want := range map[int]int{10: 10, 11: 11, 500: 11} {
			status, page = d.makes("", "rehearsal", "1", "numbers", strings.Join(bad[:n], "\t"))
			assert.Equal(t, http.StatusUnprocessableEntity, status)
			assert.Len(t, strings.Split(says(page), "\n"), want, n)
			assert.Equal(t, n == 11, strings.HasSuffix(says(page), more), says(page))
		}
		_, page = d.makes("", "rehearsal", "1", "numbers", "a7 A7 b2 b2")
		assert.Contains(t, says(page), "A7")
		assert.Contains(t, says(page), "B2")
	}
}

// What is no assignment, or too large, is refused with a sentence. The form is as at first
// where it could not be read.
func TestFilesThatAreNoAssignment(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	keys, err := practical.NewKeys()
	require.NoError(t, err)
	c := cases.Library()[0]
	plan, err := practical.New(practical.Plan{Title: "Friday", Cases: []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}}}, keys)
	require.NoError(t, err)
	sealed, err := plan.SealOwn(keys)
	require.NoError(t, err)
	for what, data := range map[string]string{
		"an image": "\x89PNG\r\n\x1a\n\x00\x00", "a zip": "PK\x03\x04\x00\x00", "blanks": " \n", "a practical": string(sealed),
	} {
		status, page := d.makes(data, "numbers", "a7")
		assert.Equal(t, http.StatusUnprocessableEntity, status, what)
		assert.Contains(t, says(page), "An assignment is needed", what)
	}
	status, page := d.makes("conoid-assignment = 1\ntitle = \"x\"\ncases = []\n", "numbers", "a7")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.NotEmpty(t, says(page))
	for more, want := range map[int]string{0: "larger than 8 MB", -1 << 10: "An assignment is needed"} {
		status, page = d.makes(strings.Repeat("x", 8<<20+more), "numbers", "a7")
		assert.Equal(t, http.StatusUnprocessableEntity, status)
		assert.Contains(t, says(page), want)
		assert.Regexp(t, `name="per-case"[^>]*value="`+map[bool]string{true: "20", false: ""}[more == 0]+`"`, page)
		assert.Equal(t, more == 0, strings.Contains(page, `name="shuffle" value="1" checked`))
	}
	assert.Empty(t, o.service.Rooms())
}

// A title or a reason is one line that can be seen, in any writing.
func TestTitlesOfAllKinds(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	for _, title := range []string{strings.Repeat("x", 81), strings.Repeat("x", 300), "two\nlines", "turned\u202earound", "\u200f"} {
		status, page := d.makes("", "rehearsal", "1", "numbers", "a7", "title", title)
		assert.Equal(t, http.StatusUnprocessableEntity, status, title)
		assert.Contains(t, says(page), "characters that can be seen")
	}
	for _, title := range []string{strings.Repeat("W", 80), "امتحان", "<b>Friday</b> 🙂"} {
		status, page := d.makes("", "rehearsal", "1", "numbers", "a7", "title", title)
		assert.Equal(t, http.StatusOK, status, says(page))
		assert.NotContains(t, page, "<b>")
	}
	_, page := d.makes("", "rehearsal", "1", "numbers", "a7", "title", " \t ")
	assert.Contains(t, page, "<h1><bdi>Rehearsal")
}

// More time is given by number where the practical is made, as at the command line; what
// gives nobody more is refused, and stays typed.
func TestMoreTimeFromTheBeginning(t *testing.T) {
	o := newOffice(t)
	o.patient = true
	d := o.as("AB", staff.Assessor, "en")
	for text, want := range map[string]map[string]float64{
		"": {}, " a7=0.25,\nB2=0,5 ": {"A7": 0.25, "B2": 0.5}, "A7=3": {"A7": 3}, "A7=0": {"A7": 0},
	} {
		status, page := d.makes("", "rehearsal", "1", "numbers", "a7 b2", "per-case", "20", "extra", text)
		require.Equal(t, http.StatusOK, status, says(page))
		all := o.service.Rooms()
		x := all[len(all)-1]
		assert.Equal(t, want, x.Plan().Extra, text)
		path := "/staff/p/" + x.Plan().ID + "/"
		d.posts(path+"move", "do", "opened")
		seat, err := x.Begin(admitted(t, x, "A7"), "tab")
		require.NoError(t, err)
		assert.Equal(t, time.Duration((1+want["A7"])*float64(20*time.Minute)), *seat.Left, text)
		for language, says := range map[string]string{"en": "25 % more time", "de": "25 % mehr Zeit"} {
			d.language = language
			for _, to := range []string{"", "seat/A7"} {
				_, page := d.gets(path + to)
				assert.Equal(t, want["A7"] == 0.25, strings.Contains(page, "· "+says), text)
			}
		}
		d.language = "en"
	}
	made := len(o.service.Rooms())
	for text, wrong := range map[string]string{
		"A7": "“A7” gives nobody more time", "A7=": "gives nobody", "A7=25%": "gives nobody", "0.25": "gives nobody", "A7=0.25,B2=0.5": "gives nobody", "Jo-Ann=1": "gives nobody",
		"A7=0.1 a7=0.2": "twice", "A7=-0.1": "allowed is a share", "A7=3.01": "allowed is a share", "A7=NaN": "allowed is a share", "C3=0.5": "is not among the candidates",
	} {
		status, page := d.makes("", "rehearsal", "1", "numbers", "a7 b2", "extra", text)
		assert.Equal(t, http.StatusUnprocessableEntity, status, text)
		assert.Contains(t, says(page), wrong, text)
		assert.Contains(t, page, ">"+text+"</textarea>", "it stays typed")
	}
	assert.Len(t, o.service.Rooms(), made)
	d.language = "de"
	_, page := d.makes("", "rehearsal", "1", "numbers", "a7", "extra", "A7=25%")
	assert.Contains(t, says(page), "„A7=25%“ gibt niemandem mehr Zeit")
	assert.Empty(t, unsaid.FindAllString(page, -1))
}

// A number without a digit may be a name: that is said until the practical is opened.
func TestNumbersThatMayBeNames(t *testing.T) {
	for language, warns := range map[string]string{"en": "2 candidate numbers have no digit, such as ANNA.", "de": "2 Prüflingsnummern haben keine Ziffer, etwa ANNA."} {
		o := newOffice(t)
		d := o.as("AB", staff.Assessor, language)
		for numbers, warned := range map[string]bool{"k1 anna k2 ben": true, "k1 7 a9": false} {
			status, page := d.makes("", "rehearsal", "1", "numbers", numbers)
			require.Equal(t, http.StatusOK, status)
			assert.Equal(t, warned, strings.Contains(page, warns), numbers)
			all := o.service.Rooms()
			_, page = d.posts("/staff/p/"+all[len(all)-1].Plan().ID+"/move", "do", "opened")
			assert.NotContains(t, page, warns)
		}
	}
}

// The list of practicals tells those of one name apart, and whom a request waits for: who may
// confirm it, and did not ask for it, until nothing changes any more.
func TestTheListOfPracticals(t *testing.T) {
	for language, says := range map[string][4]string{
		"en": {"1 waits for you", "2 wait for you", "Numbers", "made 4 Apr 2031"},
		"de": {"1 wartet auf Sie", "2 warten auf Sie", "Nummern", "angelegt 04.04.2031"},
	} {
		o := newOffice(t)
		ab, cd := o.as("AB", staff.Assessor, language), o.as("CD", staff.Assessor, language)
		others := []*desk{o.as("IN", staff.Invigilator, language), o.as("AU", staff.Auditor, language)}
		home := func(d *desk) (page string) {
			_, page = d.gets("/staff/")
			return page
		}
		ab.makes(oneCase, "title", "Friday", "numbers", "a7 b2 c3", "opens", o.now.Add(time.Hour).Local().Format("2006-01-02T15:04"))
		ab.makes("", "rehearsal", "1", "title", "Friday", "numbers", "a7")
		rooms := o.service.Rooms()
		for _, x := range rooms {
			assert.Contains(t, home(ab), "<code>"+x.Plan().ID+"</code> · "+says[3])
		}
		assert.Contains(t, home(ab), says[2]+"</th>")
		assert.Contains(t, home(ab), `<td class="n">3</td>`, "though no ticket was given out")
		x := rooms[slices.IndexFunc(rooms, func(x *room.Room) bool { return !x.Plan().Rehearsal })]
		path := "/staff/p/" + x.Plan().ID + "/"
		require.NoError(t, x.Ask(room.Opened, "", "ab", "the hall is needed", o.now))
		assert.Contains(t, home(cd), `<a href="`+path+`"><strong>`+says[0])
		assert.NotContains(t, home(ab), says[0], "nobody confirms their own")
		for _, d := range others {
			assert.NotContains(t, home(d), says[0])
		}
		require.NoError(t, x.Confirm(x.Requests()[0].N, "CD", o.now))
		admitted(t, x, "A7")
		admitted(t, x, "B2")
		require.NoError(t, x.Move(room.Shut, "AB", "the end", o.now))
		require.NoError(t, x.Ask(room.Voided, "A7", "AB", "seen with notes", o.now))
		require.NoError(t, x.Ask(room.Voided, "B2", "AB", "seen with notes", o.now))
		assert.Contains(t, home(cd), `<a href="`+path+`marks"><strong>`+says[1])
		papers, err := x.Beside().Files()
		require.NoError(t, err)
		papers["x"] = []byte("{}")
		require.NoError(t, x.Marked(&class.Class{}, papers, "AB", o.now))
		require.NoError(t, x.Ask(room.Released, "", "CD", "", o.now))
		require.NoError(t, x.Confirm(x.Requests()[2].N, "AB", o.now))
		assert.NotContains(t, home(cd), says[1], "nobody can confirm it any more")
		assert.Empty(t, unsaid.FindAllString(home(cd), -1))
	}
}
