//go:build !js

package bench

import (
	"context"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
)

// spends lets the time at a service go by, of which the bench hears each time after less than
// it takes to be silent.
func (h *hands) spends(r *room.Room, d time.Duration) {
	for range d / (10 * time.Second) {
		require.NoError(h.t, r.Pass(10*time.Second))
		h.goes(6 * time.Second)
	}
}

// limited gives a practical the time for each case and in all; 0 is no limit.
func limited(perCase, total time.Duration) func(*practical.Plan) {
	return func(p *practical.Plan) { p.PerCase, p.Total, p.Show.Clock = perCase, total, true }
}

// reads is all that a candidate can read, the notice too.
func (h *hands) reads() string { return h.labels() + "\n" + h.notice() }

// What is released stands at the end with its sum: a case that was withdrawn has no points, a
// result that is void has none, and a practical that shows none says so.
func TestReleasedMarksAtTheBench(t *testing.T) {
	const waits = "Points, where they are shown, stand here once they are released."
	for _, c := range []struct {
		name         string
		show, void   bool
		says, silent []string
	}{
		{
			"points", true, false,
			[]string{"Case 1: 10.25 of 100 points.", "Case 2 was withdrawn for everybody, and does not count.", "Case 3: 4 of 100 points.", "In all: 14.25 points."},
			[]string{"7.65", "no points"},
		},
		{"void", true, true, []string{"there are no points for this result. Ask the staff."}, []string{"of 100 points", "In all"}},
		{"not shown", false, false, []string{"This practical shows no points here"}, []string{"of 100 points", "In all", "no points for"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r, w := served(t, 3, func(p *practical.Plan) { p.Show.Mark = c.show })
				h := newHands(t, 1280, 800, Options{Service: w})
				h.goes(6 * time.Second)
				require.NoError(t, r.Move(room.Shut, "AB", "the end", noon))
				h.goes(8 * time.Second)
				require.Contains(t, h.labels(), "closed before the end")
				assert.Contains(t, h.labels(), waits)
				confirmed := func() { require.NoError(t, r.Confirm(r.Requests()[0].N, "CD", noon)) }
				require.NoError(t, r.Beside().AskCase(room.Withdrawn, 2, "AB", "its story gave it away", noon))
				confirmed()
				made := &class.Class{}
				if c.void {
					require.NoError(t, r.Ask(room.Voided, "A7", "AB", "wrote it down", noon))
					confirmed()
				} else {
					made.Sheets = []*practical.Sheet{{Candidate: "A7", Cases: []practical.CaseMark{{Points: 10.25}, {Points: 7.65, Withdrawn: true}, {Points: 4}}}}
				}
				files, err := r.Beside().Files()
				require.NoError(t, err)
				require.NoError(t, r.Marked(made, files, "AB", noon))
				require.NoError(t, r.Ask(room.Released, "", "AB", "", noon))
				h.goes(16 * time.Second)
				assert.Contains(t, h.labels(), waits)
				confirmed()
				h.goes(16 * time.Second)
				for _, text := range c.says {
					assert.Contains(t, h.labels(), text)
				}
				for _, text := range append(c.silent, waits, "wrote it down", "its story") {
					assert.NotContains(t, h.labels(), text)
				}
			})
		})
	}
}

// Whose time is up is told so, with what became of the form, and of the cases that come no more.
func TestTheTimeIsUpAtAService(t *testing.T) {
	for _, c := range []struct {
		name           string
		perCase, total time.Duration
		form, over     bool
		says           string
	}{
		{"a case", 40 * time.Second, 0, false, false, "The time for case 1 was up. The case was handed in as it stood, without an end point."},
		{"with the form", 40 * time.Second, 0, true, false, "The time for case 1 was up. The case was handed in as it stood. What was in the form for the end point was not stated yet"},
		{"a case, and not all", 40 * time.Second, 41 * time.Second, false, false, "The time for case 1 was up. The case was handed in"},
		{"both", 40 * time.Second, 40 * time.Second, false, true, "The time for everything was up, during case 1."},
		{"everything", 0, 40 * time.Second, false, true, "The time for everything was up, during case 1. The case was handed in as it stood, without an end point."},
	} {
		t.Run(c.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r, w := served(t, 2, limited(c.perCase, c.total))
				h := newHands(t, 1280, 800, Options{Service: w})
				h.goes(6 * time.Second)
				require.True(t, at[*chairside.Screen](h))
				if c.form {
					h.press("end")
					h.fill("end acuity", "6/9")
				}
				h.spends(r, 50*time.Second)
				require.True(t, at[*exam.Served](h))
				assert.Contains(t, h.notice(), c.says)
				over := strings.Contains(h.labels(), "The time is up: what was done is handed in, and 1 case was not begun.")
				assert.Equal(t, c.over, over)
				assert.NotContains(t, h.labels(), "all cases are handed in")
				h = newHands(t, 390, 844, Options{Service: w}) // the page is loaded again
				h.goes(6 * time.Second)
				assert.Contains(t, h.notice(), "was up")
				if over {
					return
				}
				h.press("begin")
				h.goes(2 * time.Second)
				require.True(t, at[*chairside.Screen](h))
				assert.Empty(t, h.notice())
				h.leaves(r, "A7")
				assert.NotContains(t, h.reads(), "was up")
			})
		})
	}
}

// Who is given time is told how much, and the warning of less goes; it comes again when it is
// due. A warning does not stand on the page of a time that stands still, on which is how much is
// left.
func TestTimeIsGivenAtAService(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const five, one, given = "At most 5 minutes left for this case.", "At most 1 minute left for this case.", "More time was given for this case: 1:00."
		r, w := served(t, 1, limited(5*time.Minute+20*time.Second, 0))
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(6 * time.Second)
		assert.Empty(t, h.notice())
		h.spends(r, 30*time.Second)
		assert.Equal(t, five, h.notice())
		require.NoError(t, r.Grant("A7", time.Minute, "IN", "a lamp went out", noon))
		h.goes(6 * time.Second)
		assert.Equal(t, given, h.notice())
		h.goes(11 * time.Second)
		assert.Empty(t, h.notice(), "it goes by itself")
		h.spends(r, time.Minute)
		assert.Equal(t, five, h.notice(), "it is due again")

		require.NoError(t, r.Pause("A7", "IN", "an alarm", noon))
		h.goes(6 * time.Second)
		require.True(t, at[*exam.ServedHeld](h))
		assert.NotContains(t, h.reads(), five)
		assert.Contains(t, h.labels(), "A7")
		assert.Regexp(t, `Left for this case: 4:[3-5]\d\.`, h.labels())
		require.NoError(t, r.Grant("A7", time.Minute, "IN", "for the alarm", noon))
		h.goes(6 * time.Second)
		assert.Contains(t, h.labels(), given)
		assert.Regexp(t, `Left for this case: 5:[3-5]\d\.`, h.labels())
		h.goes(11 * time.Second)
		assert.NotContains(t, h.labels(), given)
		require.NoError(t, r.GoOn("A7", "IN", noon))
		h.goes(6 * time.Second)
		require.True(t, at[*chairside.Screen](h))
		assert.Empty(t, h.notice())

		h.spends(r, 4*time.Minute+50*time.Second)
		assert.Equal(t, one, h.notice())
		require.NoError(t, r.Grant("A7", time.Minute, "IN", "once more", noon))
		h.goes(6 * time.Second)
		assert.Equal(t, given, h.notice(), "and not that fewer than 5 minutes are left")
		h.spends(r, 70*time.Second)
		assert.Equal(t, one, h.notice())
		h.leaves(r, "A7")
	})
}

// At a service, too, a warning says which time runs out, and so does the page of a time that stands
// still; a warning of the time in all goes when there is more.
func TestWhichTimeRunsOutAtAService(t *testing.T) {
	for total, says := range map[time.Duration][2]string{
		6 * time.Minute:             {"At most 5 minutes left in all.", "Left in all: 4:"},
		6*time.Minute + time.Second: {"At most 5 minutes left for this case.", "Left for this case: 4:"},
	} {
		synctest.Test(t, func(t *testing.T) {
			r, w := served(t, 2, limited(6*time.Minute, total))
			h := newHands(t, 1280, 800, Options{Service: w})
			h.spends(r, 70*time.Second)
			assert.Equal(t, says[0], h.notice())
			h.press("end")
			assert.Contains(t, h.labels(), "text:"+says[0], "in a form, too")
			h.key(ui.Escape)
			require.NoError(t, r.Pause("A7", "IN", "an alarm", noon))
			h.goes(6 * time.Second)
			require.True(t, at[*exam.ServedHeld](h))
			assert.NotContains(t, h.reads(), says[0])
			assert.Contains(t, h.labels(), says[1])
			require.NoError(t, r.GoOn("A7", "IN", noon))
			h.goes(6 * time.Second)
			assert.Equal(t, says[0], h.notice())
			require.NoError(t, r.Grant("A7", 2*time.Minute, "IN", "for the alarm", noon))
			h.goes(17 * time.Second)
			assert.NotContains(t, h.notice(), says[0])
			h.leaves(r, "A7")
		})
	}
}

// What is told of a number goes by itself, and takes nothing along that was told since.
func TestANoticeGoesByItself(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, w := served(t, 1)
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(6 * time.Second)
		require.NoError(t, r.Renumber("A7", "B2", "IN", "the wrong ticket", noon))
		h.goes(6 * time.Second)
		assert.Equal(t, "Your number is now B2.", h.notice())
		told := 0
		for _, th := range h.a.desk.UI.Things() {
			if th.Label == h.notice() {
				told++
				assert.LessOrEqual(t, th.Rect.Bottom(), 48.0, "in the bar, and not over the chart")
			}
		}
		assert.Equal(t, 1, told)
		h.goes(10 * time.Second)
		assert.Empty(t, h.notice())
		require.NoError(t, r.Renumber("B2", "C3", "IN", "and again", noon))
		h.goes(6 * time.Second)
		h.a.desk.Notice.Tell("bench.exam.few-left", "n", 10)
		h.goes(11 * time.Second)
		assert.Contains(t, h.notice(), "At most 10 actions more")
		h.leaves(r, "C3")
	})
	synctest.Test(t, func(t *testing.T) {
		r, w := scheduled(t, false)
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(2 * time.Second)
		h.enters(r, "A7")
		require.NoError(t, r.Admit("A7", "", noon))
		h.goes(4 * time.Second)
		require.NoError(t, r.Renumber("A7", "B2", "IN", "the wrong ticket", noon))
		h.goes(4 * time.Second)
		assert.Equal(t, "Your number is now B2.", h.notice())
		h.goes(11 * time.Second)
		assert.Empty(t, h.notice())
	})
}

// Time in which nothing was heard does not count, and a warning that came in it goes.
func TestAWarningThatCameTooSoon(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const five = "At most 5 minutes left for this case."
		r, w := served(t, 1, limited(5*time.Minute+14*time.Second, 0))
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(6 * time.Second)
		w.cut.Store(true)
		h.goes(14 * time.Second)
		assert.Equal(t, five, h.notice())
		require.NoError(t, r.Pass(room.Silent))
		w.cut.Store(false)
		h.goes(6 * time.Second)
		assert.Empty(t, h.notice())
		h.spends(r, 20*time.Second)
		assert.Equal(t, five, h.notice(), "it is due now")
		h.leaves(r, "A7")
	})
}

// A ticket can be typed as soon as the door opens, and Enter does what the button does; what
// cannot be a ticket is not sent.
func TestTypingATicket(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, w := scheduled(t, false)
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(2 * time.Second)
		ticket, err := r.Ticket("A7", "", "", noon)
		require.NoError(t, err)
		require.Len(t, ticket, 14)
		enters := func(text string) {
			h.fill("ticket", text)
			h.key(ui.Enter)
			h.goes(2 * time.Second)
		}
		h.key(ui.Enter)
		assert.Empty(t, h.notice())
		for text, n := range map[string]string{ticket[:13]: "11", ticket + "A": "13"} {
			enters(text)
			assert.Contains(t, h.notice(), "A ticket has 12 letters and digits, and here are "+n)
		}
		enters("AAAA-AAAA-AAAA")
		assert.Contains(t, h.notice(), "it may be mistyped")

		h = newHands(t, 390, 844, Options{Service: w})
		h.goes(2 * time.Second)
		h.write(strings.ToLower(strings.ReplaceAll(ticket, "-", " ")))
		h.key(ui.Enter)
		h.goes(2 * time.Second)
		assert.Contains(t, h.labels(), "You are number A7.")
		assert.Empty(t, h.notice())
		require.NoError(t, r.Admit("A7", "", noon))
		require.NoError(t, r.Move(room.Opened, "", "", noon))
		require.NoError(t, r.Move(room.Shut, "", "the end", noon))
		h.goes(4 * time.Second)
		h.press("another")
		h.press("another leave")
		h.goes(2 * time.Second)
		h.write("BCDF")
		assert.Equal(t, "BCDF", h.thing("ticket").Value, "whoever comes next can type at once, too")
	})
}

// late answers come a second after they were asked for.
type late struct{ *wires }

func (l late) Send(ctx context.Context, method, path string, body []byte) (int, []byte, error) {
	time.Sleep(time.Second)
	return l.wires.Send(ctx, method, path, body)
}

// Why a ticket lets nobody in is told, too, where the page is drawn just as that comes.
func TestARefusalThatComesWhileThePageIsDrawn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		_, w := scheduled(t, false)
		h := newHands(t, 1280, 800, Options{Service: late{w}})
		h.goes(4 * time.Second)
		h.fill("ticket", "AAAA-AAAA-AAAA")
		h.key(ui.Enter)
		time.Sleep(2 * time.Second)
		synctest.Wait()
		on[*exam.Served](h).Draw(h.a.desk)
		h.settle()
		assert.Contains(t, h.notice(), "it may be mistyped")
	})
}

// What was read out is to be found no more once nothing of it is on the screen.
func TestWhatWasReadOutGoes(t *testing.T) {
	h := newHands(t, 1280, 800, Options{})
	h.a.desk.Notice.Tell("bench.served.number", "candidate", "B1")
	h.settle()
	_, told := h.a.Status().Aloud(Told{})
	assert.False(t, told.Over(Told{}))
	_, again := h.a.Status().Aloud(told)
	assert.False(t, again.Over(told), "it stands there")
	h.a.desk.Notice.Clear()
	h.settle()
	text, none := h.a.Status().Aloud(again)
	assert.Empty(t, text)
	assert.True(t, none.Over(again))
	_, still := h.a.Status().Aloud(none)
	assert.False(t, still.Over(none), "it is said once")
	for _, other := range []Told{{Said: "R, V, P"}, {Refused: "“rubbish”"}, {Came: "Too strong."}} {
		assert.True(t, none.Over(other))
		assert.False(t, other.Over(told), "there is something else")
	}
}
