package room_test

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/wire"
)

// Whatever lines of notes there are: they are a chain, or it is said at which one it breaks;
// and a room that has them opens and goes on, or says why not.
func FuzzNotes(f *testing.F) {
	disk := storetest.NewMemory()
	x, err := room.New(short(), nil, disk, nil, morning)
	require.NoError(f, err)
	_, err = x.Ticket("A7", "AB", "", morning)
	require.NoError(f, err)
	require.NoError(f, x.Move(room.Opened, "AB", "", morning))
	good, err := disk.Notes(short().ID)
	require.NoError(f, err)
	f.Add(bytes.Join(good, []byte("\n")))
	for _, text := range []string{
		`{"n":1,"do":"made","before":""}`, `{"n":1,"do":"asked","asks":"released","before":""}`, `{"n":1,"do":"voided","candidate":"A7"}`,
		`{"n":1,"do":"marked","sum":"x"}`, `{"n":-1}`, `{"n":1,"at":"never"}`, "null", "[]", "\xff", "",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		lines := bytes.Split(data, []byte("\n"))
		all, err := room.ReadNotes(lines)
		if (err == nil) != (len(all) == len(lines)) {
			t.Errorf("%d of %d lines, and %v", len(all), len(lines), err)
		}
		disk := storetest.NewMemory()
		require.NoError(t, disk.SetPractical(store.Practical{ID: short().ID, Stage: string(room.Open)}))
		for i, l := range lines {
			require.NoError(t, disk.Note(short().ID, i+1, l))
		}
		x, unread := room.New(short(), nil, disk, nil, morning)
		if unread != nil {
			return
		}
		x.Board()
		_, _ = x.Papers()
		for _, n := range x.Requests() {
			_ = x.Decline(n.N, "AB", "no", morning)
		}
		if _, failed := x.Ticket("A7", "AB", "", morning); (err == nil) != (failed == nil) {
			t.Errorf("the chain: %v; a ticket: %v", err, failed)
		}
	})
}

// Whatever is kept of a candidate who examines: the room says why it does not open, or a
// request has an answer of those that a bench knows.
func FuzzRows(f *testing.F) {
	x := newIll(f, well)
	x.begins()
	_, err := x.acts(1, 0)
	require.NoError(f, err)
	seat, err := x.disk.Seat(short().ID, "A7")
	require.NoError(f, err)
	lines, err := x.disk.Lines(store.Place{Practical: short().ID, Candidate: "A7"})
	require.NoError(f, err)
	require.Len(f, lines, 2)
	add := func(stage, tab string, record, result, head, line []byte) {
		f.Add(stage, tab, record, result, head, line)
	}
	add("open", "tab", seat.Record, nil, lines[0].Text, lines[1].Text)
	add("held", "", seat.Record, []byte("x"), lines[0].Text, nil)
	add("closed", "tab", []byte("{}"), nil, []byte("{}\n"), []byte("{}\n"))
	add("open", "tab", nil, seat.Record, nil, lines[1].Text)
	add("nowhere", "\xff", seat.Record[:len(seat.Record)/2], nil, lines[0].Text[:9], lines[1].Text)
	f.Fuzz(func(t *testing.T, stage, tab string, record, result, head, line []byte) {
		disk := storetest.NewMemory()
		require.NoError(t, disk.SetPractical(store.Practical{ID: short().ID, Stage: stage}))
		kept := seat
		kept.Tab = tab
		require.NoError(t, disk.SetSeat(kept))
		for _, keep := range []struct {
			data []byte
			as   func(practical, candidate string, data []byte) error
		}{{record, disk.SetRecord}, {result, disk.SetResult}} {
			if len(keep.data) > 0 {
				require.NoError(t, keep.as(short().ID, "A7", keep.data))
			}
		}
		for i, text := range [][]byte{head, line} {
			if len(text) > 0 {
				_ = disk.Append(store.Place{Practical: short().ID, Candidate: "A7"}, store.Line{N: i, ID: "x", Text: text})
			}
		}
		r, err := room.New(short(), nil, disk, []byte("secret"), morning)
		if err != nil {
			return
		}
		room.Lend(lender(), r)
		for _, err := range []error{
			second(r.Seat(x.session)), second(r.Claim(x.session, "tab")), second(r.Beat(x.session, "tab", true)), second(r.Begin(x.session, "tab")),
			second(r.Act(x.session, wire.Act{Tab: "tab", Place: 1, N: 2, ID: "y", Action: which})),
		} {
			if err != nil && problem(err) == "" {
				t.Errorf("a bench is told %v", err)
			}
		}
		_ = r.Pass(time.Second)
		r.Board()
		_, _ = r.Results()
	})
}
