package web_test

import (
	"archive/zip"
	"bytes"
	"crypto/tls"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/web"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

// office is where the staff is, in a test.
type office struct {
	t       *testing.T
	service *host.Service
	staff   *web.Staff
	at      *httptest.Server
	now     time.Time
	patient bool         // nobody is in a hurry: a second passes with each request
	asked   atomic.Int64 // requests
}

func newOffice(t *testing.T) *office {
	o := &office{t: t, now: morning}
	var err error
	o.service, err = host.Open(filepath.Join(t.TempDir(), "host"), func() time.Time {
		if !o.patient {
			return o.now
		}
		return o.now.Add(time.Duration(o.asked.Load()) * time.Second)
	})
	require.NoError(t, err)
	o.serves()
	return o
}

// serves has the pages of a service be there, until the end.
func (o *office) serves() {
	o.staff = web.NewStaff(o.service, voice.English)
	o.at = httptest.NewTLSServer(o.staff.Handler())
	o.t.Cleanup(func() { o.at.Close(); require.NoError(o.t, o.service.Close()) })
}

// desk is a browser of somebody.
type desk struct {
	o        *office
	client   http.Client
	language string
}

func (o *office) desk(language string) *desk {
	jar, _ := cookiejar.New(nil)
	return &desk{o, http.Client{Jar: jar, Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}, language}
}

func (d *desk) asks(method, path, kind string, body io.Reader) (status int, page string) {
	r, err := http.NewRequest(method, d.o.at.URL+path, body)
	require.NoError(d.o.t, err)
	r.Header.Set("Accept-Language", d.language)
	d.o.asked.Add(1)
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	resp, err := d.client.Do(r)
	require.NoError(d.o.t, err)
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	require.NoError(d.o.t, err)
	return resp.StatusCode, string(text)
}

// as is the browser of somebody who came in by a link for a role, under a name.
func (o *office) as(name string, role staff.Role, language string) *desk {
	link, err := o.service.Staff().Link(role, "test", o.now)
	require.NoError(o.t, err)
	d := o.desk(language)
	status, page := d.posts("/staff/in/"+link, "name", name)
	require.Equal(o.t, http.StatusOK, status, page)
	return d
}

func (d *desk) gets(path string) (int, string) { return d.asks("GET", path, "", nil) }

func (d *desk) posts(path string, pairs ...string) (int, string) {
	v := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		v.Set(pairs[i], pairs[i+1])
	}
	return d.asks("POST", path, "application/x-www-form-urlencoded", bytes.NewReader([]byte(v.Encode())))
}

// makes sends the form for a practical, with an assignment if there is one.
func (d *desk) makes(assignment string, pairs ...string) (int, string) {
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	for i := 0; i < len(pairs); i += 2 {
		require.NoError(d.o.t, m.WriteField(pairs[i], pairs[i+1]))
	}
	if assignment != "" {
		f, err := m.CreateFormFile("assignment", "week1.toml")
		require.NoError(d.o.t, err)
		_, err = f.Write([]byte(assignment))
		require.NoError(d.o.t, err)
	}
	require.NoError(d.o.t, m.Close())
	return d.asks("POST", "/staff/make", m.FormDataContentType(), &b)
}

// The printed link lets one person in, once, who says under what name. Looking at it
// alone does not use it up, and nobody else sees anything.
func TestTheStaffsLink(t *testing.T) {
	o := newOffice(t)
	status, _ := o.desk("en").gets("/staff/")
	assert.Equal(t, http.StatusForbidden, status)
	status, _ = o.desk("en").gets("/staff/in/WRONG")
	assert.Equal(t, http.StatusForbidden, status)
	link, err := o.staff.Link()
	require.NoError(t, err)
	d := o.desk("en")
	for range 2 {
		status, page := d.gets(link)
		assert.Equal(t, http.StatusOK, status)
		assert.Contains(t, page, "What are you called here?")
	}
	status, page := d.posts(link, "name", "no name!")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "no short name")
	status, page = d.posts(link, "name", "AB")
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, page, "Make a practical")
	assert.Contains(t, page, "AB · assessor")
	status, _ = o.desk("en").posts(link, "name", "CD")
	assert.Equal(t, http.StatusForbidden, status, "it is good once")

	second, err := o.staff.Link()
	require.NoError(t, err)
	_, page = d.posts(second, "name", "CD")
	assert.Contains(t, page, "sign out first", "one person in a browser")
	status, page = d.posts("/staff/out")
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, page, "signed out")
	status, _ = d.gets("/staff/")
	assert.Equal(t, http.StatusForbidden, status)
}

// Who is asked in comes in by the link that is shown, in the role that was chosen.
func TestAskingSomebodyIn(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	status, page := d.posts("/staff/people", "role", "invigilator")
	require.Equal(t, http.StatusOK, status)
	link := regexp.MustCompile(`https://[^/]+(/staff/in/\w+)`).FindStringSubmatch(page)
	require.NotNil(t, link, page)
	in := o.desk("en")
	_, page = in.posts(link[1], "name", "IN")
	assert.Contains(t, page, "IN · invigilator")
	assert.NotContains(t, page, "Make a practical")
	_, page = d.posts("/staff/people", "name", "IN")
	for _, named := range []string{"<small>Role</small> invigilator", "<small>Asked in by</small> AB", "<small>Since</small> 4 Apr 2031"} {
		assert.Contains(t, page, named, "a narrow page has no heads of columns")
	}
	link = regexp.MustCompile(`https://[^/]+(/staff/in/\w+)`).FindStringSubmatch(page)
	require.NotNil(t, link, page)
	_, page = o.desk("en").gets(link[1])
	assert.Contains(t, page, "<strong>IN</strong>")
	status, page = d.posts("/staff/people", "name", "AB")
	assert.Equal(t, http.StatusUnprocessableEntity, status, page)
	assert.Regexp(t, `<details><summary aria-label="End for IN">End …</summary><p>IN is signed out at once, [^<]*another short name\.</p><form [^>]*/people/end">`, page, "it is asked about once more")
	_, page = d.posts("/staff/people/end", "name", "IN")
	assert.Contains(t, page, "comes in no longer")
	again, err := o.service.Staff().Link(staff.Invigilator, "AB", o.now)
	require.NoError(t, err)
	status, page = o.desk("de").posts("/staff/in/"+again, "name", "in")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "Dieses Kürzel wurde hier beendet")
	status, page = o.desk("en").posts("/staff/in/"+again, "name", "in")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "another short name is needed")
	status, _ = in.gets("/staff/")
	assert.Equal(t, http.StatusForbidden, status)
}

// What each role may do, by page and by form, however the form was come by; and the pages
// show nobody what they may not do.
func TestWhatEachRoleMayDo(t *testing.T) {
	o := newOffice(t)
	o.patient = true
	all := map[staff.Role]*desk{}
	for _, role := range staff.Roles {
		all[role] = o.as(string(role), role, "en")
	}
	all[staff.Assessor].makes("", "rehearsal", "1", "numbers", "a7")
	x := o.service.Rooms()[0]
	path := "/staff/p/" + x.Plan().ID + "/"
	const assessor, invigilator, auditor, examiner = staff.Assessor, staff.Invigilator, staff.Auditor, staff.Examiner
	watch := []staff.Role{assessor, invigilator, auditor}
	for _, c := range []struct {
		method, path string
		form         []string
		may          []staff.Role
	}{
		{"GET", "/staff/", nil, staff.Roles},
		{"GET", "/staff/people", nil, watch},
		{"GET", path, nil, watch},
		{"GET", path + "notes", nil, watch},
		{"GET", path + "checkpoint", nil, []staff.Role{assessor, auditor}},
		{"GET", path + "codes", nil, []staff.Role{assessor, invigilator}},
		{"POST", path + "codes", []string{"code-A7", "7T8Y-Y8RK-MFXA-HKR3"}, []staff.Role{assessor, invigilator}},
		{"POST", path + "decide", []string{"candidate", "A7", "case", "1", "points", "5", "reason", "x"}, []staff.Role{assessor}},
		{"GET", path + "report/ratings.jsonl", nil, []staff.Role{assessor, auditor}},
		{"GET", "/staff/rate/", nil, []staff.Role{examiner}},
		{"GET", "/staff/rate/" + x.Plan().ID + "/", nil, []staff.Role{examiner}},
		{"POST", "/staff/rate/" + x.Plan().ID + "/", []string{"work", "x", "rating", "3"}, []staff.Role{examiner}},
		{"GET", path + "marks", nil, []staff.Role{assessor, auditor}},
		{"GET", path + "report/class.html", nil, []staff.Role{assessor, auditor}},
		{"GET", path + "results.zip", nil, []staff.Role{assessor, auditor}},
		{"POST", "/staff/people", []string{"role", "auditor"}, []staff.Role{assessor}},
		{"POST", "/staff/people/end", []string{"name", "x"}, []staff.Role{assessor}},
		{"POST", "/staff/make", nil, []staff.Role{assessor}},
		{"POST", path + "move", []string{"do", "resumed"}, []staff.Role{assessor, invigilator}},
		{"POST", path + "move", []string{"do", "halted"}, []staff.Role{assessor, invigilator}},
		{"POST", path + "move", []string{"do", "opened"}, []staff.Role{assessor}},
		{"POST", path + "move", []string{"do", "shut"}, []staff.Role{assessor}},
		{"POST", path + "move", []string{"do", "released"}, []staff.Role{assessor}},
		{"POST", path + "tickets", nil, []staff.Role{assessor, invigilator}},
		{"POST", path + "admit", []string{"candidate", "A7"}, []staff.Role{assessor, invigilator}},
		{"GET", path + "move/shut", nil, []staff.Role{assessor}},
		{"GET", path + "move/halted", nil, []staff.Role{assessor, invigilator}},
		{"GET", path + "seat/A7", nil, watch},
		{"GET", path + "appeal/A7", nil, []staff.Role{assessor, auditor}},
		{"GET", path + "look/A7?case=1", nil, []staff.Role{assessor, auditor}},
		{"POST", path + "grant", []string{"candidate", "A7", "minutes", "5", "reason", "x"}, []staff.Role{assessor, invigilator}},
		{"POST", path + "shut", []string{"candidate", "A7", "reason", "x"}, []staff.Role{assessor, invigilator}},
		{"POST", path + "pause", []string{"candidate", "A7", "reason", "x"}, []staff.Role{assessor, invigilator}},
		{"POST", path + "pause", []string{"candidate", "A7", "on", "1"}, []staff.Role{assessor, invigilator}},
		{"POST", path + "renumber", []string{"candidate", "A7", "to", "B2", "reason", "x"}, []staff.Role{assessor, invigilator}},
		{"GET", path + "move/opened", nil, []staff.Role{assessor}},
		{"POST", path + "ask", []string{"do", "opened", "reason", "x"}, []staff.Role{assessor}},
		{"POST", path + "ask", []string{"do", "erasable", "candidate", "A7", "reason", "x"}, []staff.Role{assessor}},
		{"POST", path + "ask", []string{"do", "released"}, []staff.Role{assessor}},
		{"POST", path + "answer", []string{"n", "1", "yes", "1"}, []staff.Role{assessor}},
		{"POST", path + "mark", nil, []staff.Role{assessor}}, // the last: it goes on behind
	} {
		does := func(role staff.Role) (status int) {
			if c.method == "GET" {
				status, _ = all[role].gets(c.path)
				return status
			}
			status, _ = all[role].posts(c.path, c.form...)
			return status
		}
		before, _ := x.Notes()
		for _, role := range staff.Roles {
			if !slices.Contains(c.may, role) {
				assert.Equal(t, http.StatusForbidden, does(role), "%s: %s %s %v", role, c.method, c.path, c.form)
			}
		}
		after, _ := x.Notes()
		assert.Equal(t, len(before), len(after), "%s %v", c.path, c.form)
		for _, role := range c.may {
			assert.NotEqual(t, http.StatusForbidden, does(role), "%s: %s %s %v", role, c.method, c.path, c.form)
		}
	}
	_, board := all[auditor].gets(path)
	assert.Equal(t, 1, strings.Count(board, "<form"), "an auditor can only sign out")
	_, board = all[invigilator].gets(path)
	assert.NotContains(t, board, "results.zip")
	assert.NotContains(t, board, "/marks")
}

// unsaid is the ID of a text where the text should be.
var unsaid = regexp.MustCompile(`>[^<]*\b(staff|host)\.[a-z-]+`)

// A practical is made, held and closed by the pages, in each language.
func TestThePagesOfTheStaff(t *testing.T) {
	for language, says := range map[string][]string{
		"en": {"Make a practical", "Give out tickets", "Open", "not here", "What was done", "ticket given out"},
		"de": {"Eine Prüfung anlegen", "Zugangscodes ausgeben", "Geöffnet", "nicht da", "Was getan wurde", "Zugangscode ausgegeben"},
	} {
		o := newOffice(t)
		d := o.as("AB", staff.Assessor, language)
		_, all := d.gets("/staff/")
		_, people := d.posts("/staff/people", "role", "auditor")
		all += people
		status, page := d.makes(twoCases, "numbers", "a7 B2,c3", "per-case", "20", "shuffle", "1")
		require.Equal(t, http.StatusOK, status, page)
		all += page
		require.Len(t, o.service.Rooms(), 1)
		x := o.service.Rooms()[0]
		assert.Equal(t, "Friday", x.Plan().Title)
		assert.Equal(t, []string{"A7", "B2", "C3"}, x.Plan().Candidates)
		assert.Equal(t, 20*time.Minute, x.Plan().PerCase)
		path := "/staff/p/" + x.Plan().ID + "/"
		for _, step := range [][]string{{"move", "do", "opened"}, {"tickets"}, {"move", "do", "halted", "reason", "an alarm"}, {"move", "do", "resumed"}, {"tickets", "candidate", "A7", "reason", "a screen went dark"}, {"move", "do", "shut"}} {
			status, page := d.posts(path+step[0], step[1:]...)
			require.Equal(t, http.StatusOK, status, page)
			all += page
		}
		assert.Equal(t, room.Closed, x.Stage())
		for _, sub := range []string{"seat/A7", "marks", ""} {
			_, page = d.gets(path + sub)
			all += page
		}
		_, page = d.gets(path + "notes")
		all += page
		for _, s := range says {
			assert.True(t, strings.Contains(all, s), s)
		}
		assert.Empty(t, unsaid.FindAllString(all, -1))
		assert.False(t, strings.Contains(all, cases.Library()[0].Setup().Eyes[0].Error.String()), "nobody is shown a truth")

		status, file := d.gets(path + "results.zip")
		require.Equal(t, http.StatusOK, status)
		z, err := zip.NewReader(bytes.NewReader([]byte(file)), int64(len(file)))
		require.NoError(t, err)
		assert.Equal(t, "notes.jsonl", z.File[0].Name)
		f, err := z.Open("practical" + practical.Ending)
		require.NoError(t, err)
		sealed, err := io.ReadAll(f)
		require.NoError(t, err)
		head, err := practical.Read("practical", sealed)
		require.NoError(t, err)
		_, err = head.OpenWith(o.service.Key())
		assert.NoError(t, err)
	}
}

// What a form gets wrong is said, and nothing is made.
func TestFormsThatAreWrong(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	for name, c := range map[string]struct {
		assignment string
		form       []string
		says       string
	}{
		"no assignment":     {"", []string{"numbers", "A7"}, "An assignment is needed"},
		"no number":         {twoCases, []string{"numbers", " "}, "There is no candidate number"},
		"a name":            {twoCases, []string{"numbers", "Jo-Ann"}, "JO-ANN"},
		"a time":            {twoCases, []string{"numbers", "A7", "per-case", "soon"}, "“soon” is no time"},
		"no time to open":   {twoCases, []string{"numbers", "A7", "opens", "at noon"}, "“at noon” is no time to open at"},
		"too long":          {twoCases, []string{"numbers", "A7", "per-case", "241"}, "“241” is no time"},
		"no file beside it": {"conoid-assignment = 1\ntitle = \"x\"\ncases = [\"mine.toml\"]\n", []string{"numbers", "A7"}, "mine"},
		"of the library":    {fromLibrary, []string{"numbers", "A7"}, "is a case of the library"},
		"another file":      {"title = \"x\"\n", []string{"numbers", "A7"}, "An assignment is needed"},
	} {
		status, page := d.makes(c.assignment, c.form...)
		assert.Equal(t, http.StatusUnprocessableEntity, status, name)
		assert.Contains(t, page, c.says, name)
	}
	assert.Empty(t, o.service.Rooms())
	status, _ := d.gets("/staff/p/NONE/")
	assert.Equal(t, http.StatusNotFound, status)
	r, _ := http.NewRequest("POST", o.at.URL+"/staff/make", nil)
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	resp, err := d.client.Do(r)
	require.NoError(t, err)
	assert.Equal(t, http.StatusForbidden, resp.StatusCode, "another site cannot send it")
}

// The service goes on with what it holds when it is started again, which stands in what was done.
func TestAServiceThatIsStartedAgain(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "host")
	o := &office{t: t, now: morning}
	now := func() time.Time { return o.now }
	s, err := host.Open(folder, now)
	require.NoError(t, err)
	c := cases.Library()[0]
	x, err := s.Make(practical.Plan{Title: "Friday", Candidates: []string{"A7"}, Cases: []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}}}, "AB", time.Time{})
	require.NoError(t, err)
	require.NoError(t, x.Move(room.Opened, "", "", morning))
	_, err = host.Open(folder, now)
	assert.Error(t, err, "one at a time")
	require.NoError(t, s.Close())
	o.now = morning.Add(time.Minute)
	o.service, err = host.Open(folder, now)
	require.NoError(t, err)
	o.serves()
	require.Len(t, o.service.Rooms(), 1)
	assert.Equal(t, x.Plan().ID, o.service.Rooms()[0].Plan().ID)
	assert.Equal(t, room.Open, o.service.Rooms()[0].Stage())
	for language, says := range map[string]string{"en": "service started again, the last thing before was done on 2 Jan 2006, 15:04:05", "de": "Dienst wieder gestartet, davor geschah zuletzt etwas am 02.01.2006, 15:04:05"} {
		_, page := o.as("AU"+language, staff.Auditor, language).gets("/staff/p/" + x.Plan().ID + "/notes")
		assert.Contains(t, page, "<td></td><td>"+morning.Local().Format(says))
	}
}
