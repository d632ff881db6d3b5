package staff_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/store/storetest"
)

// hashes is a store that remembers under which hash it kept what lets in last.
type hashes struct {
	store.Staff
	last []byte
}

func (h *hashes) SetPass(p store.Pass) error {
	h.last = p.Hash
	return h.Staff.SetPass(p)
}

// Whatever is kept of the staff and of what lets them in: who comes in by it is somebody
// who has not left, by a link or a session that is not too old, and may do what a role may.
func FuzzKept(f *testing.F) {
	at := morning.UnixNano()
	for _, kind := range []string{store.Link, store.Session, "", "key"} {
		f.Add("AB", "assessor", "", false, kind, "AB", "auditor", "CD", at, at, "XY")
		f.Add("AB", "king", "AB", false, kind, "ab", "king", "", at, at, "AB")
		f.Add("", "", "", false, kind, "", "", "", int64(math.MinInt64), int64(math.MaxInt64), "")
		f.Add("AB", "auditor", "", true, kind, "AB", "", "AB", int64(math.MaxInt64), int64(math.MinInt64), " ab ")
		f.Add("A\x00B", "examiner", "\xff", false, kind, "A\x00B", "examiner", "\xff", int64(0), int64(-1), "\xff")
	}
	f.Add("AB", "assessor", "", true, store.Session, "AB", "", "", at, at, "XY")
	f.Add("AB", "assessor", "", false, store.Session, "AB", "", "", at-int64(staff.SessionLasts), at, "XY")
	f.Add("AB", "assessor", "", false, store.Session, "AB", "", "", at, at-int64(staff.Idle), "XY")
	f.Fuzz(func(t *testing.T, name, role, by string, ended bool, kind, whom, passRole, passBy string, made, seen int64, typed string) {
		kept := &hashes{Staff: storetest.NewMemory().Staff()}
		b, err := staff.Open(kept, []byte("secret"))
		require.NoError(t, err)
		link, err := b.Link(staff.Assessor, "", morning)
		require.NoError(t, err)
		asLink := kept.last
		other, err := b.Link(staff.Assessor, "", morning)
		require.NoError(t, err)
		session, err := b.Enter(other, "ZZ", morning)
		require.NoError(t, err)
		asSession := kept.last
		pass := store.Pass{Kind: kind, Name: whom, Role: passRole, By: passBy, Made: time.Unix(0, made), Seen: time.Unix(0, seen)}
		require.NoError(t, kept.SetPerson(store.Person{Name: name, Role: role, By: by, Ended: ended}))
		for _, hash := range [][]byte{asLink, asSession} {
			pass.Hash = hash
			require.NoError(t, kept.SetPass(pass))
		}
		if b, err = staff.Open(kept, []byte("secret")); err != nil {
			return
		}
		if me, in := b.Who(session, morning); in {
			assert.Equal(t, store.Session, kind)
			assert.False(t, me.Ended)
			assert.Less(t, morning.Sub(pass.Made), staff.SessionLasts)
			assert.Less(t, morning.Sub(pass.Seen), staff.Idle)
		}
		_, _, unexpected := b.Expects(link, morning)
		session, refused := b.Enter(link, typed, morning)
		if refused == nil {
			assert.NoError(t, unexpected)
			assert.Equal(t, store.Link, kind)
			assert.LessOrEqual(t, morning.Sub(pass.Made), staff.LinkLasts)
			me, in := b.Who(session, morning)
			assert.True(t, in)
			assert.False(t, me.Ended)
			assert.Equal(t, slices.Contains(staff.Roles, me.Role), me.Role.May(staff.Watch) || me.Role.May(staff.Rate))
		}
		_, _ = b.LinkFor(name, by, morning)
		_ = b.End(name, by)
		_ = b.Leave(session)
		b.People()
	})
}
