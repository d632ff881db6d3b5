package web_test

import (
	"bytes"
	"net/http"
	"net/http/httputil"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/wire"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// listened keeps every byte that a browser is answered.
type listened struct {
	http.RoundTripper
	heard *bytes.Buffer
}

func (l listened) RoundTrip(r *http.Request) (*http.Response, error) {
	resp, err := l.RoundTripper.RoundTrip(r)
	if err == nil {
		dump, bad := httputil.DumpResponse(resp, true)
		l.heard.Write(dump)
		err = bad
	}
	return resp, err
}

// listens keeps what a desk is answered from now on.
func (d *desk) listens() *bytes.Buffer {
	var heard bytes.Buffer
	d.client.Transport = listened{d.client.Transport, &heard}
	return &heard
}

// Who may read marks looks at what a candidate did at a case before the release, with the
// truth; not while it is open, and at nothing that was not begun.
func TestALookBeforeTheRelease(t *testing.T) {
	if testing.Short() {
		t.Skip("it works out what an expert gets")
	}
	_, d, x, path := asked(t)
	_, page := d.gets(path + "seat/" + second)
	assert.Contains(t, page, `href="/staff/p/`+x.Plan().ID+`/look/`+second+`?case=2"`)
	begun := x.Plan().Entry(second).Order()[0]
	for n := range 3 {
		status, page := d.gets(path + "look/" + second + "?case=" + strconv.Itoa(n+1))
		if n != begun {
			assert.Equal(t, http.StatusUnprocessableEntity, status)
			assert.Contains(t, page, "was not begun")
			continue
		}
		require.Equal(t, http.StatusOK, status, page)
		c := x.Plan().Patient(n)
		assert.Contains(t, page, voice.In("en").Value(c.Of(c.Tested).Error))
		assert.Contains(t, page, second)
	}
	status, page := d.gets(path + "look/NOBODY?case=1")
	assert.Equal(t, http.StatusUnprocessableEntity, status, page)
	status, page = d.makes("", "rehearsal", "1", "numbers", "a7")
	require.Equal(t, http.StatusOK, status, page)
	open := d.o.service.Rooms()[1]
	there := "/staff/p/" + open.Plan().ID + "/"
	d.posts(there+"move", "do", "opened")
	sits(t, open, "A7")
	status, page = d.gets(there + "look/A7?case=1")
	assert.Equal(t, http.StatusUnprocessableEntity, status, "others may sit it still")
	assert.Contains(t, page, "cannot be done at this stage")
	_, page = d.gets(there + "seat/A7")
	assert.NotContains(t, page, "/look/")
}

// asked is a practical that is closed, in which the first candidate asked a patient
// something, and the place of the second was closed for a reason that has the number in it.
func asked(t *testing.T) (o *office, d *desk, x *room.Room, path string) {
	o = newOffice(t)
	d = o.as("AB", staff.Assessor, "en")
	status, page := d.makes(twoCases, "title", "Friday", "numbers", first+" "+second, "shuffle", "1", "show-marks", "1")
	require.Equal(t, http.StatusOK, status, page)
	x = o.service.Rooms()[0]
	path = "/staff/p/" + x.Plan().ID + "/"
	d.posts(path+"move", "do", "opened")
	for _, number := range []string{first, second} {
		session := admitted(t, x, number)
		for place := range x.Plan().Cases {
			seat, err := x.Begin(session, "tab")
			require.NoError(t, err)
			card := seat.Patient.Objective[seat.Patient.Tested.Index()]
			for i, a := range []sitting.Action{{Do: sitting.Show, Chart: chart.Fan}, {Do: sitting.Ask, Question: patient.WhichLines}, {Do: sitting.Show, Chart: chart.Letters}, {Do: sitting.Ask, Question: patient.ReadLetters}, {Do: sitting.End, Rx: &card}} {
				_, err = x.Act(session, wire.Act{Tab: "tab", Place: place + 1, N: i + 1, ID: "id", Action: a})
				require.NoError(t, err)
			}
			if number == second {
				break
			}
		}
	}
	d.posts(path+"shut", "candidate", second, "reason", second+" was unwell")
	d.posts(path+"move", "do", "shut")
	require.Equal(t, room.Closed, x.Stage())
	return o, d, x, path
}

// An examiner rates works without knowing whose they are: of all bytes that the browser is
// answered, on every page and where something is refused, none tells a number, a code, a
// truth, a mark, or what the staff wrote.
func TestExaminersRateBlind(t *testing.T) {
	languages := []string{"en", "de"}
	if testing.Short() { // every page does the cases again
		languages = languages[1:]
	}
	o, d, x, path := asked(t)
	rate := "/staff/rate/" + x.Plan().ID + "/"
	var heard []*bytes.Buffer
	for _, language := range languages {
		e := o.as("E"+language, staff.Examiner, language)
		heard = append(heard, e.listens())
		_, page := e.gets("/staff/")
		assert.Contains(t, page, "Friday", "who comes in is shown what there is to rate")
		assert.NotContains(t, page, "/staff/people")
		assert.Empty(t, unsaid.FindAllString(page, -1))
		left := 2
		for _, other := range []string{"", "notes", "marks", "codes", "seat/" + first, "appeal/" + first, "look/" + first + "?case=1", "checkpoint", "results.zip", "report/class.csv", "report/ratings.jsonl", "move/shut"} {
			status, _ := e.gets(path + other)
			assert.Equal(t, http.StatusForbidden, status, other)
		}
		status, _ := e.gets("/staff/people")
		assert.Equal(t, http.StatusForbidden, status)
		for ; left > 0; left-- {
			status, page := e.gets(rate)
			require.Equal(t, http.StatusOK, status, page)
			card, step := strings.Index(page, map[string]string{"en": "Objective", "de": "Objektiv"}[language]), strings.Index(page, "<td class=\"n\">1</td>")
			assert.Less(t, 0, card, page)
			assert.Less(t, card, step, "what the candidate was told comes first")
			assert.Regexp(t, `<br><small>[\d/.,]+ +[A-Z]{5}   (read|gelesen) [A-Z.]{5}   \d (of|von) 5</small>`, page, "the letters that hung there, as the candidate saw them")
			work := regexp.MustCompile(`name="work" value="([^"]+)"`).FindStringSubmatch(page)[1]
			assert.Empty(t, unsaid.FindAllString(page, -1))
			wrongs := [][2]string{{work, "soon"}, {work, "1000.5"}, {first, "3"}, {"7T8Y-Y8RK", "3"}}
			if left == 1 { // each takes its time
				wrongs = nil
			}
			for _, wrong := range wrongs {
				status, page := e.posts(rate, "work", wrong[0], "rating", wrong[1])
				assert.Equal(t, http.StatusUnprocessableEntity, status, wrong)
				assert.Contains(t, page, `role="alert"`)
				assert.Equal(t, wrong[0] == work, strings.Contains(page, `value="`+wrong[1]+`"><small>`), "a rating stays with the work that it was typed for")
			}
			status, page = e.posts(rate, "work", work, "rating", "\u22121,5", "sure", "\u22121,5")
			require.Equal(t, http.StatusOK, status, page)
		}
		_, page = e.gets(rate)
		assert.NotContains(t, page, "<select")
		assert.NotContains(t, page, `name="rating"`, "nothing is left")
		all := map[string]string{"en": "You have rated all: 2 works.", "de": "Sie haben alle eingeschätzt: 2 Arbeiten."}[language]
		assert.Contains(t, page, all)
		_, page = e.gets("/staff/rate/")
		assert.Contains(t, page, all)
	}
	for _, other := range []*desk{d, o.as("IN", staff.Invigilator, "en")} {
		status, _ := other.gets(rate)
		assert.Equal(t, http.StatusForbidden, status, "who sees numbers does not rate")
	}
	secret := []string{first, second, "unwell", x.Plan().Cases[0].Title, x.Plan().Cases[1].Title}
	for _, code := range codesOf(x) {
		require.NotEmpty(t, code)
		secret = append(secret, code, strings.ReplaceAll(code, "-", ""), code[:9])
	}
	for i := range x.Plan().Cases {
		c := x.Plan().Patient(i)
		secret = append(secret, c.Of(c.Tested).Error.String())
	}
	for _, all := range heard {
		require.Greater(t, all.Len(), 10000, "nothing was heard")
		text := strings.ToUpper(all.String())
		for _, s := range secret {
			assert.False(t, strings.Contains(text, strings.ToUpper(s)), s)
		}
	}

	// After the release there is nothing to rate any more.
	require.NoError(t, x.Ask(room.Voided, second, "AB", "seen with notes", o.now))
	require.NoError(t, x.Confirm(x.Requests()[0].N, "CD", o.now))
	late := o.as("LATE", staff.Examiner, "en")
	_, page := late.gets(rate)
	assert.Equal(t, len(languages) == 1, strings.Contains(page, `name="rating"`), "two have rated the one, and the other is void")
	assert.Equal(t, len(languages) == 2, strings.Contains(page, "you have rated 0 of 1, and two others the rest"))
}

// Nobody rates a rehearsal, which counts for nothing.
func TestARehearsalIsNotRated(t *testing.T) {
	o := newOffice(t)
	o.patient = true
	d, e := o.as("AB", staff.Assessor, "en"), o.as("XY", staff.Examiner, "en")
	for _, c := range []struct {
		assignment string
		rated      bool
	}{{"", false}, {oneCase, true}} {
		rehearsal := ""
		if !c.rated {
			rehearsal = "1"
		}
		_, _, x, _ := closedAfter(t, o, d, c.assignment, "rehearsal", rehearsal, "numbers", first+" "+second)
		rate := "/staff/rate/" + x.Plan().ID + "/"
		_, page := e.gets("/staff/rate/")
		assert.Equal(t, c.rated, strings.Contains(page, rate))
		_, page = e.gets(rate)
		assert.Equal(t, c.rated, strings.Contains(page, `name="rating"`))
		status, page := e.posts(rate, "work", x.Plan().Entry(first).Work(), "rating", "3")
		assert.Equal(t, c.rated, status == http.StatusOK, page)
	}
}

// A rating that may be a slip is asked about once more, with the number, and is kept when it
// is pressed again; another one is not. No span of what others gave is told.
func TestARatingThatMayBeASlip(t *testing.T) {
	for language, says := range map[string]string{"en": "33 lies outside the ratings of this practical so far", "de": "33 liegt außerhalb der bisherigen Einschätzungen"} {
		o, _, x, _ := closed(t)
		e := o.as("XM", staff.Examiner, language)
		rate := "/staff/rate/" + x.Plan().ID + "/"
		work := x.Plan().Entry(first).Work()
		left, _ := x.Beside().Left("XM")
		if left[0] != work {
			work = x.Plan().Entry(second).Work()
		}
		asks := func(rating string, more ...string) {
			t.Helper()
			status, page := e.posts(rate, append([]string{"work", work, "rating", rating}, more...)...)
			assert.Equal(t, http.StatusUnprocessableEntity, status)
			assert.Zero(t, x.Beside().Rated())
			assert.Contains(t, page, `name="sure" value="`+rating+`"`)
			assert.Contains(t, page, `value="`+rating+`"><small>`, "it can be written anew")
			if rating == "33" {
				assert.Contains(t, page, says)
			}
			assert.Empty(t, unsaid.FindAllString(page, -1))
		}
		asks("33")
		asks("-2", "sure", "33")
		asks("33", "sure", "-2")
		status, page := e.posts(rate, "work", work, "rating", "no", "sure", "33")
		assert.Equal(t, http.StatusUnprocessableEntity, status)
		assert.NotContains(t, page, `name="sure"`)
		status, page = e.posts(rate, "work", work, "rating", "33", "sure", "33")
		require.Equal(t, http.StatusOK, status, page)
		assert.Equal(t, 33.0, x.Beside().RatingsOf(x.Plan().Candidates[slices.IndexFunc(x.Plan().Candidates, func(c string) bool { return x.Plan().Entry(c).Work() == work })])[0].Rating)
		status, page = e.posts(rate, "work", work, "rating", "99")
		assert.Equal(t, http.StatusUnprocessableEntity, status)
		assert.NotContains(t, page, "99", "it was rated already, and nothing is asked")
	}
}

// Whoever mistyped a rating gives it anew, on the page of the work; the former is told beside it
// and stays. Nobody gives anew what somebody else gave.
func TestARatingIsGivenAnew(t *testing.T) {
	for language, says := range map[string][]string{
		"en": {"Rated by you", "You gave it 2.", "Rate it again", "Put this one in its place", ": 4.5<"},
		"de": {"Von Ihnen eingeschätzt", "Sie gaben ihr 2.", "Neu einschätzen", "Diese gilt stattdessen", ": 4,5<"},
	} {
		o, _, x, _ := closed(t)
		e, other := o.as("XM", staff.Examiner, language), o.as("XN", staff.Examiner, language)
		rate := "/staff/rate/" + x.Plan().ID + "/"
		left, _ := x.Beside().Left("XM")
		work := left[0]
		_, page := e.gets(rate)
		assert.NotContains(t, page, says[0])
		_, page = e.posts(rate, "work", work, "rating", "2")
		for _, s := range []string{says[0], says[2], work + ": 2<", "?again=" + work} {
			assert.Contains(t, page, s)
		}
		_, page = other.gets(rate + "?again=" + work)
		assert.NotContains(t, page, `name="again"`, "XN has not rated it")
		status, _ := other.posts(rate, "work", work, "again", work, "rating", "3")
		assert.Equal(t, http.StatusUnprocessableEntity, status)
		_, page = e.gets(rate + "?again=" + work)
		for _, s := range []string{says[1], says[3], `name="again" value="` + work, `name="work" value="` + work} {
			assert.Contains(t, page, s)
		}
		assert.Empty(t, unsaid.FindAllString(page, -1))
		for _, wrong := range []string{"2", "soon", "33"} { // the same, none, and one that may be a slip
			status, page = e.posts(rate, "work", work, "again", work, "rating", wrong)
			assert.Equal(t, http.StatusUnprocessableEntity, status, wrong)
			assert.Contains(t, page, says[3], wrong)
			assert.Contains(t, page, `value="`+wrong+`"><small>`)
		}
		status, page = e.posts(rate, "work", work, "again", work, "rating", "4.5")
		require.Equal(t, http.StatusOK, status, page)
		assert.Contains(t, page, work+says[4])
		candidate, err := x.Beside().Of(work)
		require.NoError(t, err)
		assert.Len(t, x.Beside().RatingsOf(candidate), 2, "the former stays")
	}
}
