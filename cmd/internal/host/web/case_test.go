package web_test

import (
	"html"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
)

// A case is withdrawn on the page with the marks; who confirms sees which one, and why.
func TestACaseIsWithdrawnOnThePage(t *testing.T) {
	o, d, x, path := closed(t)
	title := html.EscapeString(x.Plan().Cases[0].Title)
	_, page := d.gets(path + "marks")
	assert.Contains(t, page, "<details><summary><span>1 · <bdi>"+title)
	assert.Contains(t, page, "Ask for it: Withdraw the case")
	status, page := d.posts(path+"case", "do", "withdrawn", "case", "1", "reason", "")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "<details open><summary><span>1 · ")
	status, page = d.posts(path+"case", "do", "withdrawn", "case", "one", "reason", "it gave itself away")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Contains(t, page, "<details><summary><span>1 · ")
	status, page = d.posts(path+"case", "do", "withdrawn", "case", "1", "reason", "it gave itself away")
	require.Equal(t, http.StatusOK, status, page)
	assert.Contains(t, page, "This waits for a second person")
	assert.NotContains(t, page, "Ask for it: Withdraw the case")

	other := o.as("CD", staff.Assessor, "de")
	_, page = other.gets(path + "marks")
	assert.Contains(t, page, "Den Fall zurückziehen: Fall 1 ("+title+")")
	assert.Contains(t, page, "it gave itself away")
	_, page = other.gets(path)
	assert.Contains(t, page, "Den Fall zurückziehen: Fall 1 ("+title+")", "the board says which one, too")
	other.answered(path)
	_, page = d.gets(path + "marks")
	assert.Contains(t, page, "withdrawn: it gave itself away")
	assert.Contains(t, page, "Ask for it: Have the case count again")
	assert.Empty(t, unsaid.FindAllString(page, -1))
	_, page = d.gets(path + "notes")
	assert.Contains(t, page, "case withdrawn: case 1 ("+title+")")
	for _, role := range []staff.Role{staff.Invigilator, staff.Auditor, staff.Examiner} {
		status, _ = o.as("N"+string(role)[:3], role, "en").posts(path+"case", "do", "restored", "case", "1", "reason", "it was fair")
		assert.Equal(t, http.StatusForbidden, status, role)
	}
	_, page = o.as("AU", staff.Auditor, "en").gets(path + "marks")
	assert.NotContains(t, page, "Ask for it", "an auditor does nothing")
	assert.Equal(t, map[int]string{1: "it gave itself away"}, x.Beside().Withdrawn())
	assert.Empty(t, x.Requests())
	require.Equal(t, room.Closed, x.Stage())
}

// The page of a number names its practical, and says which case is under way and how much time
// is left; afterwards it has what two people decided, for who may read it.
func TestThePageOfANumber(t *testing.T) {
	for language, says := range map[string][4]string{
		"en": {"case 2 of 2", "in their own order", "21:30 left", "other points: case 1 ("},
		"de": {"Fall 2 von 2", "in eigener Reihenfolge", "noch 21:30", "andere Punkte: Fall 1 ("},
	} {
		o := newOffice(t)
		d := o.as("AB", staff.Assessor, language)
		d.makes(twoCases, "title", "Friday", "numbers", "a7 b2", "per-case", "20", "shuffle", "1")
		x := o.service.Rooms()[0]
		path := "/staff/p/" + x.Plan().ID + "/"
		seat := func(d *desk) (page string) {
			status, page := d.gets(path + "seat/A7")
			require.Equal(t, http.StatusOK, status)
			assert.Contains(t, page, `<a href="`+path+`"><bdi>Friday</bdi></a>`)
			assert.Empty(t, unsaid.FindAllString(page, -1))
			return page
		}
		assert.NotContains(t, seat(d), says[1], "nobody sits there")
		require.NoError(t, x.Move(room.Opened, "AB", "", o.now))
		session := admitted(t, x, "A7")
		for place := 1; place <= 2; place++ {
			at, err := x.Begin(session, "tab")
			require.NoError(t, err)
			if place == 1 {
				ends(t, x, session, *at)
				continue
			}
			require.NoError(t, x.Grant("A7", 90*time.Second, "AB", "a lamp", o.now))
			assert.Contains(t, seat(d), says[0]+" "+says[1]+" · "+says[2])
			ends(t, x, session, *at)
		}
		require.NoError(t, x.Move(room.Shut, "AB", "the end", o.now))
		assert.NotContains(t, seat(d), says[0])
		confirms := func(err error) {
			require.NoError(t, err)
			require.NoError(t, x.Confirm(x.Requests()[0].N, "CD", o.now))
		}
		confirms(x.Beside().AskDecision("A7", 1, 5, "AB", "a lamp", o.now))
		confirms(x.Beside().AskDecision("A7", 1, 7.5, "AB", "two lamps went out", o.now))
		confirms(x.Beside().AskCase(room.Withdrawn, 2, "AB", "it gave itself away", o.now))
		confirms(x.Ask(room.Voided, "A7", "AB", "seen with notes", o.now))
		for _, c := range []struct {
			role staff.Role
			sees bool
		}{{staff.Assessor, true}, {staff.Auditor, true}, {staff.Invigilator, false}} {
			page := seat(o.as("N"+string(c.role)[:3], c.role, language))
			for _, s := range []string{says[3], "<bdi>two lamps went out</bdi>", "it gave itself away", "<bdi>seen with notes</bdi>", map[string]string{"en": "7.5", "de": "7,5"}[language]} {
				assert.Equal(t, c.sees, strings.Contains(page, s), "%s: %s", c.role, s)
			}
			assert.NotContains(t, page, "<bdi>a lamp</bdi>", "other points came after it")
		}
		_, page := d.gets(path + "seat/B2")
		assert.NotContains(t, page, "two lamps")
	}
}
