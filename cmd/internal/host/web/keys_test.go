package web_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
)

// comesToLobby has a candidate wait to be let in.
func comesToLobby(t *testing.T, x *room.Room, number string) {
	ticket, err := x.Ticket(number, "AB", "", morning)
	require.NoError(t, err)
	_, err = x.Enter(ticket, "id")
	require.NoError(t, err)
}

// A board that holds still does so after what is done on it, and is gone on with at the
// candidate: who goes through it by keys is not thrown back. Any other one goes on by itself.
func TestABoardThatHoldsStill(t *testing.T) {
	c := newClerk(t)
	defer c.closes()
	const parts, form = "multipart/form-data; boundary=b", "application/x-www-form-urlencoded"
	w := c.sends("POST", "/staff/make", parts, "--b\r\nContent-Disposition: form-data; name=\"numbers\"\r\n\r\na7 b2\r\n--b\r\nContent-Disposition: form-data; name=\"rehearsal\"\r\n\r\non\r\n--b--")
	path, x := w.Header().Get("Location"), c.service.Rooms()[0]
	comesToLobby(t, x, "A7")
	comesToLobby(t, x, "B2")
	sends := func(to, body string) string {
		w := c.sends("POST", to, form, body)
		require.Equal(t, http.StatusSeeOther, w.Code, w.Body)
		return w.Header().Get("Location")
	}
	page := func(path string) string { return c.sends("GET", path, "", "").Body.String() }
	const lives = `http-equiv="refresh"`
	assert.Contains(t, page(path), lives)
	still := page(path + "?still=1")
	assert.NotContains(t, still, lives)
	assert.Less(t, strings.Index(still, "Bring this page up to date"), strings.Index(still, "<table"), "before what takes many steps to go through")
	assert.Contains(t, still, `id="n-A7"`)
	for _, to := range []string{path + "admit", path + "tickets", path + "move"} {
		assert.Contains(t, still, `action="`+to+`?still=1"`)
	}
	assert.Equal(t, path+"?still=1#n-A7", sends(path+"admit?still=1", "candidate=a7"))
	for _, to := range []string{path + "seat/A7", path + "move/halted"} {
		if strings.HasSuffix(to, "halted") {
			sends(path+"move", "do=opened")
		}
		assert.Contains(t, page(path+"?still=1"), `href="`+to+`?still=1"`)
		there := page(to + "?still=1")
		assert.Contains(t, there, `href="`+path+`?still=1"`, to)
		assert.NotRegexp(t, `action="/staff/p/[^"?]*"`, there)
		assert.NotContains(t, page(to), "still=1")
	}
	assert.Equal(t, path+"?still=1", sends(path+"move?still=1", "do=halted&reason=alarm"))
	assert.Equal(t, path, sends(path+"admit", "candidate=b2"))
}

var (
	heading = regexp.MustCompile(`<h([1-6])`)
	field   = regexp.MustCompile(`<(?:input|select|textarea)[^>]*>`)
	button  = regexp.MustCompile(`<button([^>]*)>([^<]*)`)
	label   = regexp.MustCompile(`aria-label="([^"]*)"`)
)

// Each page has a language, a title of its own and headings in order; each field has a label,
// and no two buttons are called the same that do something else.
func TestPagesForWhoListens(t *testing.T) {
	for _, language := range []string{"en", "de"} {
		o := newOffice(t)
		d, examiner := o.as("AB", staff.Assessor, language), o.as("XM", staff.Examiner, language)
		o.as("IN", staff.Invigilator, language)
		x, path := rehearses(d, "a7 b2 c3")
		comesToLobby(t, x, "A7")
		comesToLobby(t, x, "B2")
		pages := map[string]string{}
		gets := func(d *desk, path string) { _, pages[path] = d.gets(path) }
		gets(d, path)
		d.posts(path+"move", "do", "opened")
		admitted(t, x, "C3")
		for _, to := range []string{"/staff/", "/staff/people", path + "seat/C3", path + "move/shut", path + "notes", path + "marks", "/staff/rate/"} {
			gets(d, to)
		}
		gets(examiner, "/staff/rate/")
		d.posts(path+"move", "do", "shut", "reason", "the end")
		gets(d, path+"codes")
		link, err := o.staff.Link()
		require.NoError(t, err)
		gets(o.desk(language), link)
		_, pages["out"] = d.posts("/staff/out")
		gets(d, path+"results.zip")
		titles := map[string]string{}
		for name, page := range pages {
			assert.Contains(t, page, `<html lang="`+language+`">`, name)
			title := regexp.MustCompile(`<title>([^<]+)</title>`).FindStringSubmatch(page)
			require.NotNil(t, title, name)
			assert.Empty(t, titles[title[1]], name)
			titles[title[1]] = name
			last := "0"
			for i, h := range heading.FindAllStringSubmatch(page, -1) {
				assert.Equal(t, i == 0, h[1] == "1", name)
				assert.LessOrEqual(t, int(h[1][0]), int(last[0])+1, name)
				last = h[1]
			}
			assert.NotEqual(t, "0", last, name)
			for _, at := range field.FindAllStringIndex(page, -1) {
				tag, before := page[at[0]:at[1]], page[:at[0]]
				inside := strings.LastIndex(before, "<label") > strings.LastIndex(before, "</label")
				assert.True(t, inside || strings.Contains(tag, `type="hidden"`) || label.MatchString(tag), "%s: %s", name, tag)
			}
			called := map[string]bool{}
			for _, b := range button.FindAllStringSubmatch(page, -1) {
				if l := label.FindStringSubmatch(b[1]); l != nil {
					assert.Contains(t, strings.ToLower(l[1]), strings.ToLower(b[2]), "who says what they see presses it")
					b[2] = l[1]
				}
				assert.False(t, called[b[2]], "%s: %s", name, b[2])
				called[b[2]] = true
			}
		}
		assert.Len(t, titles, 12)
	}
}
