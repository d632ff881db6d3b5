package host_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

var morning = time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)

func opened(t *testing.T, folder string) *host.Service {
	s, err := host.Open(folder, func() time.Time { return morning })
	require.NoError(t, err)
	return s
}

// held is a folder with a practical that is open: A7 has stated an end point, B2 is at
// work.
func held(t *testing.T) (folder string, s *host.Service, x *room.Room) {
	folder = filepath.Join(t.TempDir(), "host")
	s = opened(t, folder)
	c := cases.Library()[0]
	x, err := s.Make(practical.Plan{Title: "Friday", Candidates: []string{"A7", "B2"}, Cases: []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}}}, "AB", time.Time{})
	require.NoError(t, err)
	require.NoError(t, x.Move(room.Opened, "AB", "", morning))
	for _, number := range []string{"A7", "B2"} {
		ticket, err := x.Ticket(number, "AB", "", morning)
		require.NoError(t, err)
		session, err := x.Enter(ticket, "id")
		require.NoError(t, err)
		require.NoError(t, x.Admit(number, "AB", morning))
		_, err = x.Claim(session, "tab")
		require.NoError(t, err)
		seat, err := x.Begin(session, "tab")
		require.NoError(t, err)
		card := seat.Patient.Objective[seat.Patient.Tested.Index()]
		actions := []sitting.Action{{Do: sitting.Show, Chart: chart.Fan}, {Do: sitting.Ask, Question: patient.WhichLines}}
		if number == "A7" {
			actions = append(actions, sitting.Action{Do: sitting.End, Rx: &card})
		}
		for i, a := range actions {
			_, err := x.Act(session, wire.Act{Tab: "tab", Place: 1, N: i + 1, ID: "id", Action: a})
			require.NoError(t, err)
		}
	}
	return folder, s, x
}

func backup(t *testing.T, folder string) string {
	var b bytes.Buffer
	require.NoError(t, host.Backup(&b, folder))
	path := filepath.Join(t.TempDir(), "backup.zip")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
	return path
}

// Who sits is counted, for whoever ends the service: not who is through, and nobody at a
// practical that is closed or was not opened.
func TestSitting(t *testing.T) {
	_, s, x := held(t)
	defer s.Close()
	assert.Equal(t, 1, s.Sitting())
	require.NoError(t, x.Move(room.Halted, "AB", "an alarm", morning))
	assert.Equal(t, 1, s.Sitting())
	plan := *x.Plan()
	plan.ID = ""
	other, err := s.Make(plan, "AB", time.Time{})
	require.NoError(t, err)
	_, err = other.Ticket("B2", "AB", "", morning)
	require.NoError(t, err)
	require.NoError(t, other.Admit("B2", "AB", morning))
	assert.Equal(t, 1, s.Sitting())
	require.NoError(t, other.Move(room.Opened, "AB", "", morning))
	assert.Equal(t, 2, s.Sitting())
	require.NoError(t, x.Move(room.Shut, "AB", "the end", morning))
	assert.Equal(t, 1, s.Sitting())
}

// A backup is made while the service runs; what is restored from it goes on where the
// service was, and who was signed in still is.
func TestBackupAndRestore(t *testing.T) {
	folder, s, x := held(t)
	link, err := s.Staff().Link(staff.Assessor, "", morning)
	require.NoError(t, err)
	session, err := s.Staff().Enter(link, "AB", morning)
	require.NoError(t, err)
	path := backup(t, folder)
	found, err := host.Verify(folder)
	require.NoError(t, err)
	want := &host.Findings{Practicals: 1, Candidates: 2, Results: 1, Notes: 6, Cases: 2, Actions: 5}
	assert.Equal(t, want, found)
	require.NoError(t, s.Close())
	assert.Equal(t, found, backedUp(t, path))

	again := filepath.Join(t.TempDir(), "again")
	require.NoError(t, host.Restore(path, again))
	for _, name := range []string{"host.key", "host.secret", "host.db"} {
		info, err := os.Stat(filepath.Join(again, name))
		require.NoError(t, err)
		assert.Zero(t, info.Mode().Perm()&0o077, "only its owner can read %s", name)
	}
	assert.Error(t, host.Restore(path, again), "nothing is written over")
	s = opened(t, again)
	defer s.Close()
	require.Len(t, s.Rooms(), 1)
	assert.Equal(t, x.Plan().ID, s.Rooms()[0].Plan().ID)
	_, was := x.Board()
	_, is := s.Rooms()[0].Board()
	assert.Equal(t, was[0].Code, is[0].Code)
	assert.Equal(t, 1, is[1].Clock.Place)
	me, in := s.Staff().Who(session, morning)
	assert.True(t, in)
	assert.Equal(t, "AB", me.Name)
}

func backedUp(t *testing.T, path string) *host.Findings {
	found, err := host.VerifyBackup(path)
	require.NoError(t, err)
	return found
}

// A backup of which anything was changed or cut off is refused, and nothing is written.
func TestADamagedBackup(t *testing.T) {
	folder, s, _ := held(t)
	require.NoError(t, s.Close())
	path := backup(t, folder)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	for i := 0; i < len(data); i += len(data)/20 + 1 {
		cut := bytes.Clone(data)
		cut[i] ^= 1
		require.NoError(t, os.WriteFile(path, cut, 0o600))
		again := filepath.Join(t.TempDir(), "again")
		if host.Restore(path, again) != nil {
			assert.NoDirExists(t, again, i)
			continue
		}
		assert.Empty(t, backedUp(t, path).Wrong, "byte %d bears on nothing", i) // a time or a name in the zip itself
	}
	require.NoError(t, os.WriteFile(path, data[:len(data)/2], 0o600))
	assert.Error(t, host.Restore(path, filepath.Join(t.TempDir(), "again")))
	_, err = host.VerifyBackup(path)
	assert.Error(t, err)
}

// forgedLog are the lines of B2's log with another answer, in a chain that holds.
func forgedLog(t *testing.T, x *room.Room) [][]byte {
	h := x.Plan().Entry("B2").Header(0)
	s := sitting.Start(x.Plan().Patient(0).Setup(), h.Keys)
	var log bytes.Buffer
	l, err := sitting.NewLog(&log, h)
	require.NoError(t, err)
	for _, a := range []sitting.Action{{Do: sitting.Show, Chart: chart.Fan}, {Do: sitting.Ask, Question: patient.WhichLines}} {
		e, err := s.Do(a)
		require.NoError(t, err)
		if e.Answer != nil {
			e.At++
		}
		require.NoError(t, l.Append(e))
	}
	return bytes.SplitAfter(log.Bytes(), []byte("\n"))
}

// forgedNote adds a rating that nobody signed to the notes, in a chain that holds.
func forgedNote(t *testing.T, x *room.Room) (query string) {
	lines, err := x.Notes()
	require.NoError(t, err)
	sum := sha256.Sum256(lines[len(lines)-1])
	n := room.Note{N: len(lines) + 1, Do: room.Rated, Signed: `{"n":1,"rating":5}`, Before: hex.EncodeToString(sum[:])}
	text, err := json.Marshal(n)
	require.NoError(t, err)
	return fmt.Sprintf("INSERT INTO note (practical, n, text) VALUES ('%s', %d, x'%x')", x.Plan().ID, n.N, text)
}

// Whoever changes what is kept is found out, as far as it is a chain or an answer that the
// case would not have given.
func TestVerifyFindsWhatWasChanged(t *testing.T) {
	folder, s, x := held(t)
	unsigned := forgedNote(t, x)
	require.NoError(t, s.Close())
	path := filepath.Join(folder, "host.db")
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	forged := forgedLog(t, x)
	for name, c := range map[string]struct{ query, says string }{
		"an answer, with its chain": {fmt.Sprintf("UPDATE line SET text = x'%x' WHERE n = 1 AND candidate = 'B2'; UPDATE line SET text = x'%x' WHERE n = 2 AND candidate = 'B2'", forged[1], forged[2]), "log.mismatch"},
		"a reason in a note":        {"UPDATE note SET text = replace(text, 'AB', 'CD') WHERE n = 2", "host.wrong-practical"},
		"a note that is missing":    {"DELETE FROM note WHERE n = 3", "host.wrong-practical"},
		"a line of a log":           {"UPDATE line SET text = replace(text, 'fan', 'arrow') WHERE n = 1 AND candidate = 'B2'", "log.changed"},
		"the end of a log":          {"DELETE FROM line WHERE n = 3 AND candidate = 'A7'", "host.wrong-candidate"},
		"a log of somebody else":    {"UPDATE seat SET result = NULL; UPDATE line SET text = (SELECT text FROM line AS o WHERE o.n = line.n AND o.candidate = 'A7') WHERE candidate = 'B2' AND n = 1", "host.wrong-candidate"},
		"a result":                  {"UPDATE seat SET result = substr(result, 1, 200) WHERE candidate = 'A7'", "host.wrong-candidate"},
		"a rating, in its chain":    {unsigned, "practical.at"},
		"the practical":             {"UPDATE practical SET file = replace(file, 'Friday', 'Monday')", "host.wrong-practical"},
	} {
		require.NoError(t, os.WriteFile(path, whole, 0o600))
		db, err := sql.Open("sqlite", path)
		require.NoError(t, err)
		_, err = db.Exec("DROP TRIGGER line_stays; DROP TRIGGER line_is_kept; DROP TRIGGER note_stays; DROP TRIGGER note_is_kept; " + c.query)
		require.NoError(t, err, name)
		require.NoError(t, db.Close())
		found, err := host.Verify(folder)
		require.NoError(t, err, name)
		if assert.NotEmpty(t, found.Wrong, name) {
			assert.ErrorContains(t, found.Wrong[0], c.says, name)
		}
		if strings.Contains(name, "note") {
			assert.ErrorContains(t, found.Wrong[0], x.Plan().ID+"): host.chain (n 3", "it says at which line")
			saysAtTheStart(t, folder, fmt.Sprintf("host.broken (n 3, practical %s)", x.Plan().ID))
		}
	}
	assert.Equal(t, "Friday", x.Plan().Title)
}

// saysAtTheStart has a service be started that opens, and says at once what is wrong.
func saysAtTheStart(t *testing.T, folder, what string) {
	s := opened(t, folder)
	defer s.Close()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	told := 0
	s.Run(ctx, func(err error) {
		told++
		assert.EqualError(t, err, what)
	})
	assert.Equal(t, 1, told)
	assert.Error(t, s.Rooms()[0].Move(room.Shut, "AB", "the end", morning))
}

// Of who is erased the service keeps hashes, the number, and who did it and why; the marks
// are worked out anew without it.
func TestErase(t *testing.T) {
	folder, s, x := held(t)
	_, err := x.Erase("A7", "AB", "asked for it", morning)
	assert.ErrorIs(t, err, room.ErrStage, "it is open")
	require.NoError(t, x.Move(room.Shut, "AB", "the time is over", morning))
	require.NoError(t, x.Marked(&class.Class{}, map[string][]byte{"en/class.html": []byte("A7")}, "AB", morning))
	_, err = x.Erase("C3", "AB", "asked for it", morning)
	assert.ErrorIs(t, err, room.ErrNobody)
	_, err = x.Erase("A7", "AB", "", morning)
	assert.Error(t, err, "a reason is needed")
	results, err := x.Results()
	require.NoError(t, err)
	_, err = x.Erase("a7", "AB", "asked for it", morning)
	assert.ErrorIs(t, err, room.ErrUnreleased, "nobody has agreed to it")
	require.NoError(t, x.Ask(room.Erasable, "A7", "AB", "asked for it", morning))
	_, err = x.Erase("a7", "AB", "asked for it", morning)
	assert.ErrorIs(t, err, room.ErrUnreleased, "nobody has confirmed it")
	require.NoError(t, x.Confirm(x.Requests()[0].N, "CD", morning))
	_, err = x.Erase("B2", "AB", "asked for it", morning)
	assert.ErrorIs(t, err, room.ErrUnreleased, "somebody else")
	n, err := x.Erase("a7", "AB", "asked for it", morning)
	require.NoError(t, err)
	sum := sha256.Sum256(results["A7"])
	assert.Equal(t, hex.EncodeToString(sum[:]), n.Gone["result"])
	assert.Len(t, n.Gone, 3)
	papers, err := x.Papers()
	require.NoError(t, err)
	assert.Empty(t, papers)
	results, err = x.Results()
	require.NoError(t, err)
	assert.Len(t, results, 1)
	require.NoError(t, s.Close())

	found, err := host.Verify(folder)
	require.NoError(t, err)
	assert.Equal(t, &host.Findings{Practicals: 1, Candidates: 1, Erased: 1, Results: 1, Notes: 11, Cases: 1, Actions: 2}, found)
	s = opened(t, folder)
	defer s.Close()
	_, board := s.Rooms()[0].Board()
	assert.Len(t, board, 1)
	assert.Error(t, s.Rooms()[0].Marked(&class.Class{Sheets: []*practical.Sheet{{Candidate: "A7"}}}, nil, "AB", morning), "of marks worked out before")
}
