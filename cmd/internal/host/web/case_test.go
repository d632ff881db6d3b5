package web_test

import (
	"html"
	"net/http"
	"testing"

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
