package room_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store/storetest"
	"conoid/scoring/practical/class"
)

// stands is how many lines there are of what was done, and how everything stands.
func (x *ill) stands() (lines int, how string) {
	x.t.Helper()
	all, err := x.room.Notes()
	require.NoError(x.t, err)
	stage, board := x.room.Board()
	how = string(stage)
	for _, b := range board {
		left := time.Duration(-1)
		if b.Clock.Left != nil {
			left = *b.Clock.Left
		}
		how += fmt.Sprint(" ", b.Candidate, b.Clock.Stage, b.Clock.Place, left, b.Ticket, b.Here, b.Void, b.Code != "", b.Paused)
	}
	papers, err := x.room.Papers()
	lines = len(slices.DeleteFunc(all, func(l []byte) bool { return strings.Contains(string(l), `"do":"started"`) })) // by nobody
	return lines, how + fmt.Sprint(" ", len(papers), err, len(x.room.Requests()))
}

// deed is what the staff does, after some others.
type deed struct {
	name   string
	before []string
	do     func(x *ill) error
}

const ab, cd = "AB", "CD"

// answer confirms the request that waits.
func answer(x *ill) error { return x.room.Confirm(x.room.Requests()[0].N, cd, x.now) }

var deeds = []deed{
	{"ticket", nil, func(x *ill) error { return second(x.room.Ticket("C3", ab, "", x.now)) }},
	{"another ticket", nil, func(x *ill) error { return second(x.room.Ticket("A7", ab, "lost", x.now)) }},
	{"admit", nil, func(x *ill) error { return x.room.Admit("B2", ab, x.now) }},
	{"halt", nil, func(x *ill) error { return x.room.Move(room.Halted, ab, "an alarm", x.now) }},
	{"grant", nil, func(x *ill) error { return x.room.Grant("A7", time.Minute, ab, "a lamp", x.now) }},
	{"end", nil, func(x *ill) error { return x.room.End("A7", ab, "unwell", x.now) }},
	{"pause", nil, func(x *ill) error { return x.room.Pause("A7", ab, "unwell", x.now) }},
	{"go on", []string{"pause"}, func(x *ill) error { return x.room.GoOn("A7", ab, x.now) }},
	{"renumber", nil, func(x *ill) error { return x.room.Renumber("A7", "D4", ab, "a wrong ticket", x.now) }},
	{"exchange", []string{"admit"}, func(x *ill) error { return x.room.Exchange("A7", "B2", ab, "wrong tickets", x.now) }},
	{"shut", []string{"admit"}, func(x *ill) error { return x.room.Move(room.Shut, ab, "the time is over", x.now) }},
	{"mark", []string{"shut"}, func(x *ill) error {
		return x.room.Marked(&class.Class{}, map[string][]byte{"x": []byte("y")}, ab, x.now)
	}},
	{"ask", []string{"shut", "mark"}, func(x *ill) error { return x.room.Ask(room.Released, "", ab, "", x.now) }},
	{"decline", []string{"shut", "mark", "ask"}, func(x *ill) error { return x.room.Decline(x.room.Requests()[0].N, cd, "", x.now) }},
	{"release", []string{"shut", "mark", "ask"}, answer},
	{"ask for void", []string{"shut"}, func(x *ill) error { return x.room.Ask(room.Voided, "A7", ab, "notes", x.now) }},
	{"void", []string{"shut", "mark", "ask for void"}, answer},
	{"erase", []string{"shut", "mark", "ask", "release"}, func(x *ill) error { return second(x.room.Erase("A7", ab, "asked for it", x.now)) }},
}

// ready is a room in which what comes before a deed was done: A7 examines, and some of their
// time does not count yet; B2 waits.
func (d deed) ready(t *testing.T, before func(x *ill, n int, what storetest.Write) (bool, error)) *ill {
	x := newIll(t, before)
	x.begins()
	ticket, err := x.room.Ticket("B2", "", "", x.now)
	require.NoError(t, err)
	_, err = x.room.Enter(ticket, "id")
	require.NoError(t, err)
	for _, name := range d.before {
		for _, other := range deeds {
			if other.name == name {
				require.NoError(t, other.do(x), name)
			}
		}
	}
	if d.name != "renumber" && d.name != "exchange" { // what counts is kept before, under the old number
		require.NoError(t, x.room.Pass(5*time.Second))
	}
	return x
}

// A deed and the line about it are kept together, or neither is, however the write fails:
// and the room knows which.
func TestADeedAndItsLineAreOneWrite(t *testing.T) {
	for _, d := range deeds {
		x := d.ready(t, well)
		lines, before := x.stands()
		writes := x.disk.Writes()
		require.NoError(t, d.do(x), d.name)
		now, after := x.stands()
		assert.Equal(t, lines+1, now, d.name)
		assert.NotEqual(t, before, after, d.name)
		assert.Equal(t, writes+1, x.disk.Writes(), "%s is one write", d.name)
		for _, kept := range []bool{false, true} {
			for _, dies := range []bool{false, true} {
				t.Run(fmt.Sprintf("%s: kept %t, dies %t", d.name, kept, dies), func(t *testing.T) {
					armed := false
					x := d.ready(t, func(x *ill, _ int, _ storetest.Write) (bool, error) {
						if !armed {
							return false, nil
						}
						armed = false
						x.dead = dies
						return kept, storetest.ErrDisk
					})
					armed = true
					err := d.do(x)
					check := func() {
						n, how := x.stands()
						if kept {
							assert.Equal(t, lines+1, n)
							assert.Equal(t, after, how)
						} else {
							assert.Equal(t, lines, n)
							assert.Equal(t, before, how)
						}
					}
					if !dies {
						assert.Equal(t, kept, err == nil, "what is kept was done, whatever the store said")
						check()
					}
					x.start()
					check()
					all, err := x.room.Notes()
					require.NoError(t, err)
					_, err = room.ReadNotes(all)
					assert.NoError(t, err)
					if !kept {
						require.NoError(t, d.do(x), "it can be done again")
						check := lines + 1
						n, _ := x.stands()
						assert.Equal(t, check, n)
					}
				})
			}
		}
	}
}
