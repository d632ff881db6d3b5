package web_test

import (
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/web"
	"conoid/render/voice"
)

// clerk is an assessor in a test, who sends forms without a network.
type clerk struct {
	t       testing.TB
	folder  string
	service *host.Service
	http.Handler
	cookie string
	now    time.Time // nobody is in a hurry: a second passes with each request
}

func newClerk(t testing.TB) *clerk {
	c := &clerk{t: t, now: morning}
	var err error
	c.folder, err = os.MkdirTemp("", "forms")
	require.NoError(t, err)
	c.service, err = host.Open(filepath.Join(c.folder, "host"), func() time.Time { return c.now })
	require.NoError(t, err)
	c.Handler = web.NewStaff(c.service, voice.English).Handler()
	c.signsIn()
	return c
}

// signsIn has the clerk come in, anew where somebody ended what they had.
func (c *clerk) signsIn() {
	book := c.service.Staff()
	if _, is := book.Who(strings.TrimPrefix(c.cookie, "__Host-staff="), c.now); is {
		return
	}
	link, err := book.Link(staff.Assessor, "test", c.now)
	require.NoError(c.t, err)
	c.cookie = ""
	w := c.sends("POST", "/staff/in/"+link, "application/x-www-form-urlencoded", "name=AB")
	require.Equal(c.t, http.StatusSeeOther, w.Code, w.Body)
	c.cookie, _, _ = strings.Cut(w.Header().Get("Set-Cookie"), ";")
}

func (c *clerk) sends(method, path, kind, body string) *httptest.ResponseRecorder {
	c.now = c.now.Add(time.Second)
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Header.Set("Content-Type", kind)
	r.Header.Set("Cookie", c.cookie)
	w := httptest.NewRecorder()
	c.ServeHTTP(w, r)
	return w
}

func (c *clerk) closes() {
	require.NoError(c.t, c.service.Close())
	require.NoError(c.t, os.RemoveAll(c.folder))
}

// Whatever is sent in whichever form: there is a page, which says why where nothing was
// done, and the board and the notes are there after it.
func FuzzForms(f *testing.F) {
	const form, parts = "application/x-www-form-urlencoded", "multipart/form-data; boundary=b"
	part := func(name, text string) string {
		return "--b\r\nContent-Disposition: form-data; name=\"" + name + "\"\r\n\r\n" + text + "\r\n"
	}
	paths := []string{"move", "admit", "tickets", "grant", "shut", "ask", "answer", "mark", "/staff/people", "/staff/people/end", "/staff/make"}
	for i, bodies := range [][]string{
		{"do=opened", "do=halted&reason=why", "do=shut&reason=why", "do=released", "do=%ff&reason=%00"}, {"candidate=A7", "candidate=%ff"},
		{"", "candidate=A7&reason=why", "candidate=..%2f..", "candidate=%3Cb%3E"}, {"candidate=A7&minutes=5&reason=why", "candidate=A7&minutes=NaN", "minutes=1e309"},
		{"candidate=A7&reason=why", "candidate=C9"}, {"do=voided&candidate=A7&reason=why", "do=released&reason=why", "do=opened"},
		{"n=1&yes=1", "n=-1&reason=no", "n=99999999999999999999", "n=x"}, {""}, {"role=invigilator", "role=x", "name=AB", "name=%3Cb%3E"},
		{"name=AB", "name=", "name=%00"},
		{
			part("numbers", "A7, B2") + part("rehearsal", "on") + "--b--", part("numbers", "A7") + part("per-case", "1e309") + "--b--",
			part("numbers", strings.Repeat("A", 300)) + part("title", "\xff") + part("rehearsal", "on") + "--b--", "--b", "",
			part("numbers", "A7") + "--b\r\nContent-Disposition: form-data; name=\"assignment\"; filename=\"week1.toml\"\r\n\r\n" + twoCases + "\r\n--b--",
		},
	} {
		for _, body := range bodies {
			f.Add(i, body)
		}
	}
	c, n := newClerk(f), 0
	f.Cleanup(func() { c.closes() })
	page := func() string {
		rooms := c.service.Rooms()
		if len(rooms) == 0 || rooms[len(rooms)-1].Stage().Over() {
			w := c.sends("POST", "/staff/make", parts, part("numbers", "A7, B2")+part("rehearsal", "on")+"--b--")
			require.Equal(c.t, http.StatusSeeOther, w.Code, w.Body)
			rooms = c.service.Rooms()
		}
		return "/staff/p/" + rooms[len(rooms)-1].Plan().ID + "/"
	}
	f.Fuzz(func(t *testing.T, path int, body string) {
		if n++; n%300 == 0 { // lest it fills up
			c.closes()
			c = newClerk(t)
		}
		c.t = t
		c.signsIn()
		kind, to, board := form, paths[uint(path)%uint(len(paths))], page()
		if to == "/staff/make" {
			kind = parts
		}
		if !strings.HasPrefix(to, "/") {
			to = board + to
		}
		w := c.sends("POST", to, kind, body)
		switch w.Code {
		case http.StatusSeeOther:
		case http.StatusOK, http.StatusForbidden, http.StatusNotFound, http.StatusUnprocessableEntity:
			if !strings.Contains(w.Body.String(), "</html>") {
				t.Errorf("no page: %s", w.Body)
			}
		default:
			t.Errorf("status %d: %s", w.Code, w.Body)
		}
		c.signsIn()
		for _, what := range []string{"", "notes", "seat/A7"} {
			if w := c.sends("GET", board+what, "", ""); w.Code != http.StatusOK {
				t.Errorf("%s: status %d: %s", what, w.Code, w.Body)
			}
		}
	})
}

// The board tells of a page that is hidden while it is, and the page of the seat for how
// long it was in all.
func TestTheBoardTellsOfAHiddenPage(t *testing.T) {
	c := newClerk(t)
	defer c.closes()
	w := c.sends("POST", "/staff/make", "multipart/form-data; boundary=b",
		"--b\r\nContent-Disposition: form-data; name=\"numbers\"\r\n\r\nA7\r\n--b\r\nContent-Disposition: form-data; name=\"rehearsal\"\r\n\r\non\r\n--b--")
	require.Equal(t, http.StatusSeeOther, w.Code)
	x, at := c.service.Rooms()[0], w.Header().Get("Location")
	require.NoError(t, x.Move(room.Opened, "", "", morning))
	session := admitted(t, x, "A7")
	_, err := x.Begin(session, "tab")
	require.NoError(t, err)
	says := func(hidden bool, board, seat []string) {
		t.Helper()
		for range 4 {
			_, err := x.Beat(session, "tab", hidden)
			require.NoError(t, err)
			require.NoError(t, x.Pass(5*time.Second))
		}
		for i, language := range []string{"en", "de"} {
			for path, phrase := range map[string]string{"": board[i], "seat/A7": seat[i]} {
				r := httptest.NewRequest("GET", at+path, nil)
				r.Header.Set("Cookie", c.cookie)
				r.Header.Set("Accept-Language", language)
				w := httptest.NewRecorder()
				c.ServeHTTP(w, r)
				_, told, _ := strings.Cut(w.Body.String(), `class="dot"`)
				told, _, _ = strings.Cut(told, "<t")
				if path != "" {
					told, _, _ = strings.Cut(told, "</p>")
				}
				assert.Contains(t, told, phrase)
				if phrase == "" {
					assert.NotContains(t, told, "0:20")
				}
			}
		}
	}
	none := []string{"", ""}
	says(false, none, none)
	now, inAll := []string{"page hidden for 0:20", "Seite seit 0:20 nicht zu sehen"}, []string{"page hidden for 0:20 in all", "Seite insgesamt 0:20 nicht zu sehen"}
	says(true, now, inAll)
	says(false, none, inAll)
}
