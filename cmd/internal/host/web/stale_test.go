package web_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
)

// rehearses has an assessor make a rehearsal; path is its board.
func rehearses(d *desk, numbers string) (x *room.Room, path string) {
	d.makes("", "rehearsal", "1", "numbers", numbers, "per-case", "20")
	x = d.o.service.Rooms()[0]
	return x, "/staff/p/" + x.Plan().ID + "/"
}

// Of two who press the same the second is told how that comes, and it is done once.
func TestTwoWhoPressTheSame(t *testing.T) {
	o := newOffice(t)
	one, other := o.as("AB", staff.Assessor, "en"), o.as("CD", staff.Assessor, "en")
	x, path := rehearses(one, "a7 b2")
	presses := func(says, sub string, pairs ...string) {
		t.Helper()
		status, page := one.posts(path+sub, pairs...)
		require.Equal(t, http.StatusOK, status, page)
		status, page = other.posts(path+sub, pairs...)
		assert.Equal(t, http.StatusUnprocessableEntity, status)
		assert.Contains(t, page, says)
	}
	const meanwhile = "Look how things stand now: something was done meanwhile"
	presses(meanwhile, "move", "do", "opened")
	ticket, err := x.Ticket("A7", "AB", "", o.now)
	require.NoError(t, err)
	_, page := other.posts(path+"admit", "candidate", "A7")
	assert.Contains(t, page, "Nobody waits under this number", "whoever came next would be in")
	assert.Zero(t, notes(t, x, room.Admitted))
	_, err = x.Enter(ticket, "id")
	require.NoError(t, err)
	presses("was let in already", "admit", "candidate", "a7")
	assert.Equal(t, 1, notes(t, x, room.Admitted))
	presses("stands still already", "pause", "candidate", "A7", "reason", "unwell")
	presses(meanwhile, "pause", "candidate", "A7", "on", "1")
	presses(meanwhile, "shut", "candidate", "A7", "reason", "left")
	presses(meanwhile, "move", "do", "shut", "reason", "the end")
	presses("AB asked for this already", "ask", "do", "voided", "candidate", "A7", "reason", "notes")
	assert.NotContains(t, page, meanwhile)
}

// A reason that is refused stays typed on the page that asks for it. Where it is no longer
// asked for, there is the board.
func TestAReasonThatIsRefusedStaysTyped(t *testing.T) {
	const unseen = "an <alarm>\u202e" // what cannot be seen turns around what follows it
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	d.makes(twoCases, "numbers", "a7", "opens", o.now.Add(20*time.Minute).Local().Format("2006-01-02T15:04"))
	x := o.service.Rooms()[0]
	path := "/staff/p/" + x.Plan().ID + "/"
	refused := func(do string) {
		t.Helper()
		status, page := d.posts(path+"move", "do", do, "reason", unseen)
		assert.Equal(t, http.StatusUnprocessableEntity, status)
		assert.Contains(t, page, `value="an &lt;alarm&gt;`)
		assert.Contains(t, page, `name="do" value="`+do+`"`)
		assert.Contains(t, page, `role="alert">A reason is needed`)
	}
	refused("opened")
	o.now = o.now.Add(20 * time.Minute)
	status, _ := d.posts(path+"move", "do", "opened")
	require.Equal(t, http.StatusOK, status)
	refused("halted")
	admitted(t, x, "A7")
	refused("shut")
	d.posts(path+"move", "do", "shut", "reason", "the end")
	status, page := d.posts(path+"move", "do", "halted", "reason", unseen)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.NotContains(t, page, `name="reason"`)
}

// The address of a form, opened anew, leads to the board of its practical, and any other
// one without a page to the first.
func TestAddressesWithoutAPage(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	_, path := rehearses(d, "a7")
	for from, says := range map[string]string{
		path + "grant": "Stop the time for all", path + "nothing/here": "Stop the time for all",
		"/staff/make": "Make a practical", "/staff/people/end": "Make a practical", "/staff/p/NONE/grant": "Make a practical", "/staff/p": "Make a practical",
	} {
		d.posts(path+"move", "do", "opened")
		status, page := d.gets(from)
		assert.Equal(t, http.StatusOK, status, from)
		assert.Contains(t, page, says, from)
	}
	status, page := o.desk("en").gets(path + "grant")
	assert.Equal(t, http.StatusForbidden, status)
	assert.NotContains(t, page, "Stop the time for all")
}

// Who closed the page with the tickets sees who has one, and what to do.
func TestTicketsThatWereLost(t *testing.T) {
	for language, says := range map[string][2]string{
		"en": {"· has a ticket", "for one that was lost press “More …”"},
		"de": {"· hat einen Zugangscode", "Für einen verlorenen drücken Sie neben der Nummer „Mehr …“"},
	} {
		o := newOffice(t)
		d := o.as("AB", staff.Assessor, language)
		x, path := rehearses(d, "a7 b2")
		_, page := d.gets(path)
		assert.NotContains(t, page, says[0])
		_, page = d.posts(path + "tickets")
		assert.Equal(t, 2, strings.Count(page, "<li>"))
		status, page := d.posts(path + "tickets")
		assert.Equal(t, http.StatusUnprocessableEntity, status)
		assert.Contains(t, page, says[1])
		assert.Equal(t, 2, strings.Count(page, says[0]))
		admitted(t, x, "A7")
		_, page = d.gets(path)
		assert.Equal(t, 1, strings.Count(page, says[0]), "it was used")
		require.NoError(t, x.Move(room.Opened, "AB", "", o.now))
		require.NoError(t, x.Move(room.Shut, "AB", "the end", o.now))
		_, page = d.gets(path)
		assert.NotContains(t, page, says[0], "it lets nobody in")
	}
}

// Whose session ended while they typed is told so, and gets the reason back; nothing was
// done. Who may not see a page needs no link.
func TestSignedOutMeanwhile(t *testing.T) {
	for language, says := range map[string][3]string{
		"en": {"not signed in with this browser, or no longer", "Nothing was done of what you sent", "makes a new link for you"},
		"de": {"nicht angemeldet oder nicht mehr", "ist nichts geschehen", "macht Ihnen einen neuen Link"},
	} {
		o := newOffice(t)
		d, other := o.as("AB", staff.Assessor, language), o.as("IN", staff.Invigilator, language)
		x, path := rehearses(d, "a7")
		status, page := other.gets(path + "marks")
		assert.Equal(t, http.StatusForbidden, status)
		assert.NotContains(t, page, says[2])
		_, page = d.gets(path)
		out := func(d *desk) {
			t.Helper()
			status, page := d.posts(path+"move", "do", "opened", "reason", "a <lamp>")
			assert.Equal(t, http.StatusForbidden, status)
			for _, s := range append(says[:], "<q>a &lt;lamp&gt;</q>", "<h1>") {
				assert.Contains(t, page, s)
			}
			_, page = d.gets(path)
			assert.Contains(t, page, says[0])
			assert.NotContains(t, page, says[1], "nothing was sent")
		}
		require.NoError(t, o.service.Staff().End("IN", "AB"))
		out(other)
		d.posts("/staff/out") // in another tab
		out(d)
		assert.Equal(t, room.Scheduled, x.Stage())
		assert.Empty(t, unsaid.FindAllString(page, -1))
	}
}

// Who opens a link where somebody is signed in is told at once, and can sign out there; then
// it lets in.
func TestALinkWhereSomebodyIsSignedIn(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	link, err := o.staff.Link()
	require.NoError(t, err)
	for _, does := range []func() (int, string){
		func() (int, string) { return d.gets(link) }, func() (int, string) { return d.posts(link, "name", "CD") },
	} {
		status, page := does()
		assert.Equal(t, http.StatusUnprocessableEntity, status)
		assert.Contains(t, page, "sign out first")
		assert.Contains(t, page, "AB · assessor")
		assert.Contains(t, page, `action="/staff/out"`)
	}
	d.posts("/staff/out")
	status, page := d.gets(link)
	assert.Equal(t, http.StatusOK, status)
	assert.NotContains(t, page, "/staff/out")
	_, page = d.posts(link, "name", "CD")
	assert.Contains(t, page, "CD · assessor")
}

// Who came in by a link and goes back to it is in; for anybody else it is used up.
func TestBackToTheLink(t *testing.T) {
	o := newOffice(t)
	link, err := o.staff.Link()
	require.NoError(t, err)
	d := o.desk("en")
	d.posts(link, "name", "AB")
	for range 25 { // no try to get in by guessing
		status, page := d.gets(link)
		require.Equal(t, http.StatusOK, status)
		require.Contains(t, page, "Make a practical")
		o.now = o.now.Add(time.Second)
	}
	status, page := d.posts(link, "name", "AB")
	assert.Equal(t, http.StatusOK, status, page)
	status, page = o.desk("en").gets(link)
	assert.Equal(t, http.StatusForbidden, status)
	assert.Contains(t, page, "This link lets nobody in: it was used")
	assert.Contains(t, page, "makes a new link for you")
}

// The board tells each what they may do, and who closes a practical how many are not through.
func TestWordsByRole(t *testing.T) {
	for language, says := range map[string][5]string{
		"en": {"then open it. Until", "then an assessor opens it. Until", "1 candidate was let in and is not through. 2 numbers were not let in.", "Write how many minutes: more than 0", "“two” is no time: write minutes, more than 0 and up to 240."},
		"de": {"öffnen Sie dann. Vorher", "dann öffnet die Prüfungsleitung. Vorher", "1 Prüfling ist eingelassen und nicht fertig. 2 Nummern sind nicht eingelassen.", "Schreiben Sie, wie viele Minuten: mehr als 0", "„two“ ist keine Zeit: Schreiben Sie Minuten, mehr als 0 und bis 240."},
	} {
		o := newOffice(t)
		d := o.as("AB", staff.Assessor, language)
		x, path := rehearses(d, "a7 b2 c3 d4")
		for _, c := range []struct {
			d     *desk
			opens bool
		}{{d, true}, {o.as("IN", staff.Invigilator, language), false}, {o.as("AU", staff.Auditor, language), false}} {
			_, page := c.d.gets(path)
			assert.Equal(t, c.opens, strings.Contains(page, says[0]))
			assert.Equal(t, !c.opens, strings.Contains(page, says[1]))
		}
		require.NoError(t, x.Move(room.Opened, "AB", "", o.now))
		admitted(t, x, "A7")
		sits(t, x, "B2")
		comesToLobby(t, x, "C3")
		_, page := d.gets(path + "move/shut")
		assert.Contains(t, page, says[2])
		_, page = d.gets(path + "move/halted")
		assert.NotContains(t, page, says[2])
		for minutes, says := range map[string]string{"": says[3], " ": says[3], "two": says[4]} {
			status, page := d.posts(path+"grant", "candidate", "A7", "minutes", minutes, "reason", "a lamp went out")
			assert.Equal(t, http.StatusUnprocessableEntity, status)
			assert.Contains(t, page, `role="alert">`+says)
		}
		status, page := d.posts(path+"grant", "candidate", "A7", "minutes", "2", "reason", "a lamp went out")
		assert.Equal(t, http.StatusOK, status, page)
		assert.Equal(t, 1, notes(t, x, room.Granted))
	}
}
