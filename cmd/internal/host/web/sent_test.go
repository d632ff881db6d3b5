package web_test

import (
	"net/http"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/staff"
)

// unfolded are the forms on the page of a number that are open, by their headings.
func unfolded(page string) (all []string) {
	for _, m := range regexp.MustCompile(`<details open><summary>([^<]*)`).FindAllStringSubmatch(page, -1) {
		all = append(all, m[1])
	}
	return all
}

// What is refused on the page of a number stays as it was typed, in the one form that is
// open then.
func TestWhatIsRefusedStaysTyped(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	d.makes("", "rehearsal", "1", "numbers", "a7 b2")
	x := o.service.Rooms()[0]
	path := "/staff/p/" + x.Plan().ID + "/"
	d.posts(path+"move", "do", "opened")
	admitted(t, x, "A7")
	_, page := d.gets(path + "seat/A7")
	assert.Empty(t, unfolded(page))
	for _, c := range []struct {
		form  []string
		open  string
		typed []string
	}{
		{[]string{"grant", "candidate", "A7", "minutes", "so\"on", "reason", "a <lamp> went out"}, "Give more time", []string{`value="so&#34;on"`, `value="a &lt;lamp&gt; went out"`}},
		{[]string{"renumber", "candidate", "A7", "to", "Z9", "reason", "a wrong ticket"}, "Correct the number", []string{`value="Z9"`, `value="a wrong ticket"`}},
		{[]string{"pause", "candidate", "A7"}, "Stop the time here", nil},
		{[]string{"tickets", "candidate", "A7"}, "New ticket", nil},
		{[]string{"shut", "candidate", "A7"}, "Close this place", nil},
	} {
		status, page := d.posts(path+c.form[0], c.form[1:]...)
		require.Equal(t, http.StatusUnprocessableEntity, status)
		assert.Equal(t, []string{c.open}, unfolded(page))
		for _, typed := range c.typed {
			assert.Regexp(t, regexp.QuoteMeta(typed), page)
		}
	}
}

// After the close, likewise.
func TestADecisionThatIsRefusedStaysTyped(t *testing.T) {
	_, d, _, path := closed(t)
	status, page := d.posts(path+"decide", "candidate", first, "case", "1", "points", "many", "reason", "a lamp went out")
	require.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Equal(t, []string{"Give other points"}, unfolded(page))
	assert.Contains(t, page, `value="many"`)
	assert.Contains(t, page, `<option value="1" selected>`)
	status, page = d.posts(path+"ask", "do", "voided", "candidate", first)
	require.Equal(t, http.StatusUnprocessableEntity, status)
	assert.Equal(t, []string{"Make the result void"}, unfolded(page))
}

// The form for a practical keeps all but the file, and says so.
func TestAPracticalThatIsRefusedStaysTyped(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "en")
	_, page := d.gets("/staff/")
	assert.Regexp(t, `name="per-case"[^>]*value="20"`, page)
	assert.Regexp(t, `name="shuffle" value="1" checked`, page)
	assert.NotContains(t, page, "Choose the file again.")
	status, page := d.makes(twoCases, "title", "Fri\"day", "numbers", "A1 Jo-Ann", "per-case", "12,5", "opens", "2031-04-04T09:00", "show-marks", "1")
	require.Equal(t, http.StatusUnprocessableEntity, status)
	for _, typed := range []string{`value="Fri&#34;day"`, ">A1 Jo-Ann</textarea>", `value="12,5"`, `value="2031-04-04T09:00"`, `name="show-marks" value="1" checked`, `name="shuffle" value="1">`, "Choose the file again."} {
		assert.Regexp(t, regexp.QuoteMeta(typed), page)
	}
	_, page = d.makes("", "rehearsal", "1", "numbers", "Jo-Ann", "per-case", "")
	assert.Regexp(t, `name="rehearsal" value="1" checked`, page)
	assert.NotContains(t, page, "Choose the file again.", "none was chosen")
	assert.Regexp(t, `name="per-case"[^>]*value=""`, page)
}
