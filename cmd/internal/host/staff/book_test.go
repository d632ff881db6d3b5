package staff_test

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/store/lite"
)

var morning = time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)

// office is a book, and all that outlives the service.
type office struct {
	*staff.Book
	t    *testing.T
	path string
	lite *lite.Store
}

func newOffice(t *testing.T) *office {
	o := &office{t: t, path: filepath.Join(t.TempDir(), "host.db")}
	o.start()
	t.Cleanup(func() { assert.NoError(t, o.lite.Close()) })
	return o
}

func (o *office) start() {
	var err error
	o.lite, err = lite.Open(o.path)
	require.NoError(o.t, err)
	o.Book, err = staff.Open(o.lite.Staff(), []byte("secret"))
	require.NoError(o.t, err)
}

func (o *office) restart() {
	require.NoError(o.t, o.lite.Close())
	o.start()
}

// link is a new link.
func (o *office) link(role staff.Role, by string, now time.Time) string {
	l, err := o.Link(role, by, now)
	require.NoError(o.t, err)
	return l
}

// comes in under a name, by a new link.
func (o *office) comes(name string, role staff.Role, by string, now time.Time) string {
	session, err := o.Enter(o.link(role, by, now), name, now)
	require.NoError(o.t, err)
	return session
}

// A link lets one person in, once and for half an hour; who comes names themselves.
func TestLinks(t *testing.T) {
	o := newOffice(t)
	link := o.link(staff.Assessor, "", morning)
	role, name, err := o.Expects(link, morning.Add(staff.LinkLasts))
	require.NoError(t, err)
	assert.Equal(t, staff.Assessor, role)
	assert.Empty(t, name)
	for _, bad := range []string{"", " ", "Jo Ann", "a-b", "abcdefghijklm", "<b>"} {
		_, err = o.Enter(link, bad, morning)
		assert.ErrorIs(t, err, staff.ErrName, bad)
	}
	session, err := o.Enter(link, " Öz9 ", morning)
	require.NoError(t, err)
	me, is := o.Who(session, morning)
	assert.True(t, is)
	assert.Equal(t, staff.Person{Name: "Öz9", Role: staff.Assessor, Since: morning}, me)
	_, err = o.Enter(link, "QR", morning)
	assert.ErrorIs(t, err, staff.ErrLink, "it is good once")
	_, err = o.Enter("forged", "QR", morning)
	assert.ErrorIs(t, err, staff.ErrLink)
	_, err = o.Enter(session, "QR", morning)
	assert.ErrorIs(t, err, staff.ErrLink, "a session is no link")
	link = o.link(staff.Auditor, "Öz9", morning)
	_, is = o.Who(link, morning)
	assert.False(t, is, "a link is no session")
	_, err = o.Enter(link, "AU", morning.Add(staff.LinkLasts+time.Second))
	assert.ErrorIs(t, err, staff.ErrLink, "it ends")
	_, err = o.Link("king", "Öz9", morning)
	assert.ErrorIs(t, err, staff.ErrRole)
}

// Nobody comes in under a name that somebody else has, but who comes again does: by a
// link that somebody else made for them, or, who came by a printed one, by another.
func TestNames(t *testing.T) {
	o := newOffice(t)
	o.comes("AB", staff.Assessor, "", morning)
	o.comes("IN", staff.Invigilator, "AB", morning)
	for name, by := range map[string]string{"ab": "AB", "IN": "", "in": "AB"} {
		_, err := o.Enter(o.link(staff.Assessor, by, morning), name, morning)
		assert.ErrorIs(t, err, staff.ErrTaken, name)
	}
	again := o.comes("ab", staff.Auditor, "", morning)
	me, _ := o.Who(again, morning)
	assert.Equal(t, "AB", me.Name)
	assert.Equal(t, staff.Assessor, me.Role, "a role stays")

	_, err := o.LinkFor("AB", "ab", morning)
	assert.ErrorIs(t, err, staff.ErrNobody, "nobody makes a link for themselves")
	link, err := o.LinkFor("in", "AB", morning)
	require.NoError(t, err)
	role, name, err := o.Expects(link, morning)
	require.NoError(t, err)
	assert.Equal(t, staff.Invigilator, role)
	assert.Equal(t, "IN", name)
	session, err := o.Enter(link, "XY", morning)
	require.NoError(t, err)
	me, _ = o.Who(session, morning)
	assert.Equal(t, "IN", me.Name)

	assert.ErrorIs(t, o.End("AB", "ab"), staff.ErrNobody)
	require.NoError(t, o.End("in", "AB"))
	_, is := o.Who(session, morning)
	assert.False(t, is, "who comes in no longer is out at once")
	_, err = o.LinkFor("IN", "AB", morning)
	assert.ErrorIs(t, err, staff.ErrNobody)
	require.Len(t, o.People(), 2)
	assert.True(t, o.People()[1].Ended)
}

// A session ends after half an hour without a sign of life, and after eight hours; a
// service that is started again signs nobody out.
func TestSessions(t *testing.T) {
	o := newOffice(t)
	session := o.comes("AB", staff.Assessor, "", morning)
	o.restart()
	_, is := o.Who(session, morning.Add(staff.Idle-time.Second))
	assert.True(t, is)
	_, is = o.Who(session, morning.Add(2*staff.Idle-2*time.Second))
	assert.True(t, is, "half an hour since the last time")
	_, is = o.Who(session, morning.Add(3*staff.Idle))
	assert.False(t, is)

	session = o.comes("AB", staff.Assessor, "", morning)
	for at := morning; at.Before(morning.Add(staff.SessionLasts)); at = at.Add(29 * time.Minute) {
		_, is = o.Who(session, at)
		require.True(t, is, at)
	}
	_, is = o.Who(session, morning.Add(staff.SessionLasts-time.Second))
	assert.True(t, is)
	_, is = o.Who(session, morning.Add(staff.SessionLasts))
	assert.False(t, is)

	session = o.comes("AB", staff.Assessor, "", morning)
	require.NoError(t, o.Leave(session))
	_, is = o.Who(session, morning)
	assert.False(t, is)
	assert.Error(t, o.Leave(session))
}
