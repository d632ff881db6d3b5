package web_test

import (
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
)

// once is the value by which a form of a page, which goes to a path, is known again.
func once(t *testing.T, page, path string) string {
	t.Helper()
	m := regexp.MustCompile(`action="` + regexp.QuoteMeta(path) + `[^>]*><input type="hidden" name="once" value="([^"]+)"`).FindStringSubmatch(page)
	require.NotNil(t, m, page)
	return m[1]
}

// notes is how many notes there are of a deed.
func notes(t *testing.T, x *room.Room, do room.Deed) (n int) {
	lines, err := x.Notes()
	require.NoError(t, err)
	all, err := room.ReadNotes(lines)
	require.NoError(t, err)
	for _, one := range all {
		if one.Do == do {
			n++
		}
	}
	return n
}

// Pressed twice, at once or one after the other, or loaded again: a form does what it says
// once, and is answered as it was. After a while it says that it was done. Another page
// does it once more, and so does the same page that says something else.
func TestAFormThatIsSentTwice(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	d.makes("", "rehearsal", "1", "numbers", "a7 b2", "per-case", "20")
	x := o.service.Rooms()[0]
	path := "/staff/p/" + x.Plan().ID + "/"
	_, page := d.gets(path)
	given := []string{"once", once(t, page, path+"tickets")}
	_, shown := d.posts(path+"tickets", given...)
	ticket := regexp.MustCompile(`<code>[^<]+</code>`).FindString(shown)
	require.NotEmpty(t, ticket)
	_, page = d.posts(path+"tickets", given...)
	assert.Contains(t, page, ticket, "the reply to the first one may have been lost")
	assert.Equal(t, 2, notes(t, x, room.Ticketed))
	o.now = o.now.Add(59 * time.Second)
	_, page = d.posts(path+"tickets", given...)
	assert.Contains(t, page, ticket)
	o.now = o.now.Add(time.Second)
	status, page := d.posts(path+"tickets", given...)
	assert.Equal(t, http.StatusConflict, status)
	assert.Contains(t, page, "was sent before, and done then")
	assert.NotContains(t, page, ticket)

	require.NoError(t, x.Move(room.Opened, "AB", "", o.now))
	admitted(t, x, "A7")
	_, page = d.gets(path + "seat/A7")
	grant := []string{"once", once(t, page, path+"grant"), "candidate", "A7", "reason", "a lamp went out"}
	status, _ = d.posts(path+"grant", append(grant, "minutes", "soon")...)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	var all sync.WaitGroup
	for range 3 {
		all.Go(func() {
			status, page := d.posts(path+"grant", append(grant, "minutes", "5")...)
			assert.Equal(t, http.StatusOK, status, page)
		})
	}
	all.Wait()
	assert.Equal(t, 1, notes(t, x, room.Granted))
	d.posts(path+"grant", append(grant, "minutes", "6")...)
	assert.Equal(t, 2, notes(t, x, room.Granted), "it says something else")
	_, page = d.gets(path + "seat/A7")
	d.posts(path+"grant", "once", once(t, page, path+"grant"), "candidate", "A7", "reason", "a lamp went out", "minutes", "6")
	assert.Equal(t, 3, notes(t, x, room.Granted), "it is another page")
}

// What was refused is looked at anew when it is sent again.
func TestARefusedFormThatIsSentAgain(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	d.makes("", "rehearsal", "1", "numbers", "a7")
	x := o.service.Rooms()[0]
	path := "/staff/p/" + x.Plan().ID + "/"
	admit := []string{"once", "X", "candidate", "A7"}
	status, _ := d.posts(path+"admit", admit...)
	require.Equal(t, http.StatusUnprocessableEntity, status)
	ticket, err := x.Ticket("A7", "AB", "", o.now)
	require.NoError(t, err)
	_, err = x.Enter(ticket, "id")
	require.NoError(t, err)
	status, _ = d.posts(path+"admit", admit...)
	assert.Equal(t, http.StatusOK, status)
	assert.Equal(t, 1, notes(t, x, room.Admitted))
}

// A practical is made once by a page, and another one where it says something else.
func TestAPracticalThatIsMadeTwice(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	_, page := d.gets("/staff/")
	form := []string{"once", once(t, page, "/staff/make"), "numbers", "a7"}
	for range 2 {
		status, page := d.makes(twoCases, form...)
		assert.Equal(t, http.StatusOK, status, page)
	}
	assert.Len(t, o.service.Rooms(), 1)
	d.makes(twoCases+"\n", form...)
	assert.Len(t, o.service.Rooms(), 2, "another file")
}

// Who presses twice to come in, is in; the same link lets in no other browser, and nobody
// gets the reply who is somebody else.
func TestComingInTwice(t *testing.T) {
	o := newOffice(t)
	link, err := o.staff.Link()
	require.NoError(t, err)
	_, page := o.desk("en").gets(link)
	_, other := o.desk("en").gets(link)
	for range 2 { // the reply to the first one is lost, and the cookie with it
		d := o.desk("en")
		_, home := d.posts(link, "once", once(t, page, link), "name", "AB")
		assert.Contains(t, home, "AB · assessor")
	}
	status, _ := o.desk("en").posts(link, "once", once(t, other, link), "name", "AB")
	assert.Equal(t, http.StatusForbidden, status)

	d, e := o.as("CD", staff.Assessor, "en"), o.as("EF", staff.Invigilator, "en")
	_, made := d.posts("/staff/people", "once", "X", "role", "auditor")
	assert.Contains(t, made, "/staff/in/")
	status, page = e.posts("/staff/people", "once", "X", "role", "auditor")
	assert.Equal(t, http.StatusForbidden, status)
	assert.False(t, strings.Contains(page, "/staff/in/"))
}

// Each form is known again, but the one to sign out, which can be sent as often as one likes.
func TestEachFormIsKnownAgain(t *testing.T) {
	files, err := filepath.Glob("pages/*.html")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		all := regexp.MustCompile(`<form method="post" action="[^>]*>(\{\{once\}\})?`).FindAllStringSubmatch(string(text), -1)
		assert.Equal(t, strings.Count(string(text), "<form"), len(all), file)
		for _, m := range all {
			assert.Equal(t, !strings.Contains(m[0], "/staff/out"), m[1] != "", m[0])
		}
	}
}
