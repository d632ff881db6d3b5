package web_test

import (
	"net/http"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/store/lite"
	"conoid/cmd/internal/host/web"
	"conoid/render/voice"
)

// The board of a practical whose notes are broken says so before anything is pressed.
func TestABoardThatCanOnlyBeRead(t *testing.T) {
	o := newOffice(t)
	d := o.as("AB", staff.Assessor, "de")
	d.makes("", "rehearsal", "1", "numbers", "a7")
	x := o.service.Rooms()[0]
	path := "/staff/p/" + x.Plan().ID + "/"
	_, page := d.gets(path)
	assert.NotContains(t, page, "lässt sich nur noch lesen")

	before := o.service
	t.Cleanup(func() { assert.NoError(t, before.Close()) })
	folder := filepath.Join(t.TempDir(), "host")
	now := func() time.Time { return morning }
	s, err := host.Open(folder, now)
	require.NoError(t, err)
	made, err := s.Make(*x.Plan(), "AB", time.Time{})
	require.NoError(t, err)
	require.NoError(t, s.Close())
	disk, err := lite.Open(filepath.Join(folder, "host.db"))
	require.NoError(t, err)
	require.NoError(t, disk.Note(made.Plan().ID, 2, []byte(`{"n":2,"do":"opened","before":"another"}`)))
	require.NoError(t, disk.Close())
	o.service, err = host.Open(folder, now)
	require.NoError(t, err)
	o.at.Config.Handler = web.NewStaff(o.service, voice.English).Handler()
	d = o.as("AB", staff.Assessor, "de")
	path = "/staff/p/" + made.Plan().ID + "/"
	status, page := d.gets(path)
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, page, "lässt sich nur noch lesen")
	status, _ = d.posts(path+"move", "do", "opened")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
}
