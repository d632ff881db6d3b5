package web_test

import (
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
)

// One candidate's time stands still, and a number is corrected, by the pages of an
// invigilator in each language; an auditor sees it and can do nothing of it.
func TestDeedsAtOneSeat(t *testing.T) {
	for language, says := range map[string][]string{
		"en": {"the time stands still · <bdi>unwell", "Let the candidate go on", "time of one stopped", "time of one runs again", "number corrected", "a new ticket for the right number is all", "Somebody was let in under that number", "Nobody was let in under this number yet"},
		"de": {"die Zeit steht still · <bdi>unwell", "Weitermachen lassen", "Zeit bei einem angehalten", "Zeit bei einem läuft weiter", "Nummer berichtigt", "Ein neuer Zugangscode für die richtige Nummer genügt", "Unter jener Nummer ist schon jemand eingelassen", "Unter dieser Nummer ist noch niemand eingelassen"},
	} {
		o := newOffice(t)
		o.as("AB", staff.Assessor, language).makes("", "rehearsal", "1", "numbers", "a7 b2 c3 d4", "per-case", "20")
		x := o.service.Rooms()[0]
		require.NoError(t, x.Move(room.Opened, "AB", "", o.now))
		path := "/staff/p/" + x.Plan().ID + "/"
		d, auditor := o.as("IN", staff.Invigilator, language), o.as("AU", staff.Auditor, language)
		admitted(t, x, "A7")
		admitted(t, x, "C3")
		ticket, err := x.Ticket("D4", "IN", "", o.now)
		require.NoError(t, err)
		_, err = x.Enter(ticket, "id")
		require.NoError(t, err)
		all := ""
		posts := func(want int, path string, pairs ...string) {
			t.Helper()
			status, page := d.posts(path, pairs...)
			assert.Equal(t, want, status, page)
			all += page
		}
		gets := func(d *desk, path string) string {
			_, page := d.gets(path)
			all += page
			return page
		}
		posts(http.StatusOK, path+"pause", "candidate", "a7", "reason", "unwell")
		assert.Contains(t, gets(d, path), `<tr class="paused">`)
		assert.Contains(t, gets(d, path+"seat/A7"), `name="on"`)
		assert.NotContains(t, gets(auditor, path+"seat/A7"), `name="candidate"`)
		posts(http.StatusUnprocessableEntity, path+"pause", "candidate", "A7", "reason", "again")
		posts(http.StatusOK, path+"pause", "candidate", "A7", "on", "1")
		assert.NotContains(t, gets(d, path), `<tr class="paused">`)
		assert.NotContains(t, gets(d, path+"seat/D4"), "/renumber", "a new ticket is enough")
		assert.Contains(t, gets(d, path+"seat/A7"), "/renumber")
		posts(http.StatusUnprocessableEntity, path+"renumber", "candidate", "D4", "to", "B2", "reason", "a wrong ticket")
		posts(http.StatusUnprocessableEntity, path+"renumber", "candidate", "A7", "to", "C3", "reason", "a wrong ticket")
		posts(http.StatusOK, path+"renumber", "candidate", "A7", "to", "C3", "exchange", "1", "reason", "wrong tickets")
		posts(http.StatusOK, path+"renumber", "candidate", "A7", "to", "c3", "exchange", "1", "reason", "wrong after all")
		posts(http.StatusOK, path+"renumber", "candidate", "A7", "to", " b2 ", "reason", "a wrong ticket")
		assert.Contains(t, gets(auditor, path+"notes"), "A7 → B2")
		for _, s := range says {
			assert.True(t, strings.Contains(all, s), s)
		}
		assert.Empty(t, unsaid.FindAllString(all, -1))
	}
}

// Before its time the button asks, and somebody else confirms; the page says since when
// one person may.
func TestOpeningByThePages(t *testing.T) {
	for language, says := range map[string][]string{
		"en": {"to be opened from", "before then somebody else has to confirm it", "AB asked for it, ", "Open the practical", "Allow erasing", "erasing allowed"},
		"de": {"zu öffnen ab", "Vorher muss jemand anderes es bestätigen", "von AB erbeten, ", "Prüfung öffnen", "Das Löschen erlauben", "Löschen erlaubt"},
	} {
		o := newOffice(t)
		one, other := o.as("AB", staff.Assessor, language), o.as("CD", staff.Assessor, language)
		at := o.now.Add(20 * time.Minute).Local().Truncate(time.Minute)
		makes := func() (x *room.Room, path string) {
			status, page := one.makes(twoCases, "numbers", "A7", "per-case", "20", "opens", at.Format("2006-01-02T15:04"))
			require.Equal(t, http.StatusOK, status, page)
			x = o.service.Rooms()[len(o.service.Rooms())-1]
			assert.True(t, at.Equal(x.Opens()))
			return x, "/staff/p/" + x.Plan().ID + "/"
		}
		x, path := makes()
		_, all := one.gets(path)
		assert.NotContains(t, all, `value="opened"`, "it takes a reason, on a page of its own")
		_, page := one.gets(path + "move/opened")
		assert.Contains(t, page, `name="reason" maxlength="200" required`)
		all += page
		status, _ := one.posts(path+"move", "do", "opened")
		assert.Equal(t, http.StatusUnprocessableEntity, status, "a reason is needed")
		status, page = one.posts(path+"move", "do", "opened", "reason", "all are here")
		assert.Equal(t, http.StatusOK, status, page)
		assert.Equal(t, room.Scheduled, x.Stage())
		_, page = other.gets(path)
		all += page
		_, page = other.gets(path + "marks")
		n := regexp.MustCompile(`name="n" value="(\d+)"><input type="hidden" name="yes"`).FindStringSubmatch(page)
		require.NotNil(t, n, page)
		all += page
		status, page = one.posts(path+"answer", "n", n[1], "yes", "1")
		assert.Equal(t, http.StatusUnprocessableEntity, status, "it is their own request")
		assert.Equal(t, room.Scheduled, x.Stage(), page)
		status, page = other.posts(path+"answer", "n", n[1], "yes", "1")
		assert.Equal(t, http.StatusOK, status, page)
		assert.Equal(t, room.Open, x.Stage())

		admitted(t, x, "A7")
		require.NoError(t, x.Move(room.Shut, "AB", "the time is over", o.now))
		_, page = one.gets(path + "seat/A7")
		all += page
		status, page = one.posts(path+"ask", "do", "erasable", "candidate", "A7", "reason", "asked for it")
		assert.Equal(t, http.StatusOK, status, page)
		status, page = other.posts(path+"answer", "n", strconv.Itoa(x.Requests()[0].N), "yes", "1")
		assert.Equal(t, http.StatusOK, status, page)
		_, page = other.gets(path + "notes")
		all += page
		for _, s := range says {
			assert.True(t, strings.Contains(all, s), s)
		}
		assert.Empty(t, unsaid.FindAllString(all, -1))

		x, path = makes()
		o.now = at
		_, page = one.gets(path)
		assert.Contains(t, page, `value="opened"`)
		status, _ = one.posts(path+"move", "do", "opened")
		assert.Equal(t, http.StatusOK, status)
		assert.Equal(t, room.Open, x.Stage(), "one person may now")
	}
}

// Whoever tries links that let nobody in is told to wait after twenty, and so is whoever
// has a good one there; who is signed in goes on.
func TestLinksTriedWrongly(t *testing.T) {
	for language, says := range map[string]string{"en": "wait a minute", "de": "Warten Sie eine Minute"} {
		o := newOffice(t)
		in := o.as("AB", staff.Assessor, language)
		d := o.desk(language)
		for i := range 20 {
			try := func() (int, string) { return d.gets("/staff/in/WRONG") }
			if i%2 == 1 {
				try = func() (int, string) { return d.posts("/staff/in/WRONG", "name", "X") }
			}
			status, _ := try()
			assert.Equal(t, http.StatusForbidden, status)
		}
		link, err := o.staff.Link()
		require.NoError(t, err)
		for range 2 {
			status, page := d.gets(link)
			assert.Equal(t, http.StatusTooManyRequests, status)
			assert.Contains(t, page, says)
			status, _ = d.posts(link, "name", "X")
			assert.Equal(t, http.StatusTooManyRequests, status)
		}
		status, _ := in.gets("/staff/")
		assert.Equal(t, http.StatusOK, status)
		o.now = o.now.Add(5 * time.Second)
		status, _ = d.gets(link)
		assert.Equal(t, http.StatusTooManyRequests, status, "ten a minute")
		o.now = o.now.Add(2 * time.Second)
		for range 30 {
			status, _ = d.gets(link)
			assert.Equal(t, http.StatusOK, status, "a good one counts for nothing")
		}
		status, _ = d.posts(link, "name", "X")
		assert.Equal(t, http.StatusOK, status)
	}
}

// Somebody of the staff who sends more than forty requests at once is told to wait, and
// nobody else is.
func TestAStaffThatSendsTooMuch(t *testing.T) {
	o := newOffice(t)
	d, other := o.as("AB", staff.Assessor, "en"), o.as("CD", staff.Assessor, "en")
	o.now = o.now.Add(time.Minute)
	for range 40 {
		status, _ := d.gets("/staff/people")
		require.Equal(t, http.StatusOK, status)
	}
	status, page := d.gets("/staff/people")
	assert.Equal(t, http.StatusTooManyRequests, status)
	assert.Contains(t, page, "wait a minute")
	status, _ = other.gets("/staff/people")
	assert.Equal(t, http.StatusOK, status)
	o.now = o.now.Add(200 * time.Millisecond)
	status, _ = d.gets("/staff/people")
	assert.Equal(t, http.StatusOK, status, "five a second")
	status, _ = d.gets("/staff/people")
	assert.Equal(t, http.StatusTooManyRequests, status)
}
