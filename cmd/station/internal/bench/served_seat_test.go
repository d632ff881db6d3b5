//go:build !js

package bench

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/web"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// goes lets a page go on, and what it asks of the service be answered.
func (h *hands) goes(d time.Duration) {
	for range d / time.Second {
		h.let(time.Second)
		time.Sleep(time.Second)
		synctest.Wait()
	}
	h.settle()
}

// offers reports whether there is something on the screen.
func (h *hands) offers(id string) bool {
	return slices.ContainsFunc(h.a.desk.UI.Things(), func(t ui.Thing) bool { return t.ID == id })
}

// scheduled is a service at which A7 sits, and which is not open yet.
func scheduled(t *testing.T, rehearsal bool, change ...func(*practical.Plan)) (*room.Room, *wires) {
	c := cases.Library()[0]
	r := roomOf(t, practical.Plan{
		Title: "Friday", Rehearsal: rehearsal, Cases: []practical.Case{{ID: "one", Title: c.Title, Text: string(cases.Write(c))}},
	}, change)
	return r, &wires{Handler: web.Seats{Rooms: func() []*room.Room { return []*room.Room{r} }, Now: time.Now, Wait: func(time.Time) {}}.Handler()}
}

// enters types the ticket of a number.
func (h *hands) enters(r *room.Room, number string) {
	ticket, err := r.Ticket(number, "", "", noon)
	require.NoError(h.t, err)
	h.fill("ticket", ticket)
	h.press("enter")
	h.goes(2 * time.Second)
}

// leaves ends the place of who examines, and with it what the page sends.
func (h *hands) leaves(r *room.Room, number string) {
	require.NoError(h.t, r.End(number, "", "the test", noon))
	h.goes(8 * time.Second)
	require.True(h.t, at[*exam.Served](h))
}

// Whoever is let in before the practical is open is told so, and has nothing to press that
// cannot work; once it is open they can begin.
func TestWhoIsLetInBeforeTheOpening(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, w := scheduled(t, false)
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(2 * time.Second)
		h.enters(r, "A7")
		assert.Contains(t, h.labels(), "You are number A7.")
		require.NoError(t, r.Admit("A7", "", noon))
		h.goes(4 * time.Second)
		assert.Contains(t, h.labels(), "Candidate A7: you are let in.")
		assert.False(t, h.offers("begin"))
		require.NoError(t, r.Move(room.Opened, "", "", noon))
		h.goes(4 * time.Second)
		assert.NotContains(t, h.labels(), "you are let in")
		assert.True(t, h.offers("begin"))
		require.NoError(t, r.Move(room.Halted, "", "an alarm", noon))
		h.goes(4 * time.Second)
		assert.False(t, h.offers("begin"))
		require.NoError(t, r.Move(room.Resumed, "", "", noon))
		h.goes(4 * time.Second)
		h.press("begin")
		h.goes(2 * time.Second)
		require.True(t, at[*chairside.Screen](h))
		h.leaves(r, "A7")
	})
}

// At the end another ticket can be typed, after a question where something is shown that is
// shown nowhere else; by mouse, and by keys. Nothing of who left is seen then, nor when the page
// is loaded again.
func TestAnotherTicketAtTheEnd(t *testing.T) {
	for name, rehearsal := range map[string]bool{"practical": false, "rehearsal": true} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r, w := scheduled(t, rehearsal)
				require.NoError(t, r.Move(room.Opened, "", "", noon))
				h := newHands(t, 1280, 800, Options{Service: w})
				h.goes(2 * time.Second)
				h.enters(r, "A7")
				assert.False(t, h.offers("another"), "who waits would lose the place")
				require.NoError(t, r.Admit("A7", "", noon))
				h.goes(4 * time.Second)
				assert.False(t, h.offers("another"))
				require.NoError(t, r.End("A7", "", "the test", noon))
				h.goes(4 * time.Second)
				_, all := r.Board()
				code := all[0].Code
				require.NotEmpty(t, code)
				require.Contains(t, h.labels(), "closed before the end")
				h.press("another")
				if !rehearsal {
					assert.Contains(t, h.labels(), "Is the code on the ticket, and signed?")
					h.press("another stay")
					assert.Contains(t, h.labels(), "closed before the end")
					assert.NotContains(t, h.labels(), "Is the code on the ticket")
					h.tab("another")
					h.tab("another leave")
				}
				h.goes(2 * time.Second)
				door := func() {
					assert.True(t, h.offers("enter"))
					assert.Empty(t, h.thing("ticket").Value)
					assert.Empty(t, h.notice())
					for _, of := range []string{"A7", "Friday", code[:4]} {
						assert.NotContains(t, h.labels(), of)
					}
				}
				door()
				assert.Equal(t, "__Host-seat=", w.cookie)
				h = newHands(t, 390, 844, Options{Service: w})
				h.goes(2 * time.Second)
				door()
				h.enters(r, "B2")
				assert.Contains(t, h.labels(), "You are number B2.")
			})
		})
	}
}

// A place that was closed before anybody was let in is left without a question.
func TestAPlaceThatWasClosedBefore(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, w := scheduled(t, false)
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(2 * time.Second)
		h.enters(r, "B2")
		require.NoError(t, r.Move(room.Opened, "", "", noon))
		require.NoError(t, r.Move(room.Shut, "", "the end", noon))
		h.goes(4 * time.Second)
		assert.Contains(t, h.labels(), "The practical was closed before you were let in.")
		h.press("another")
		h.goes(2 * time.Second)
		assert.True(t, h.offers("enter"))
		assert.Empty(t, h.notice())
	})
}

// A number that is corrected is told at once: at the bench, before a case, and while the time
// stands still.
func TestANumberThatIsCorrected(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, w := served(t, 1)
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(6 * time.Second)
		require.True(t, at[*chairside.Screen](h))
		assert.Contains(t, h.labels(), "A7")
		require.NoError(t, r.Renumber("A7", "B2", "IN", "the wrong ticket", noon))
		h.goes(6 * time.Second)
		assert.Equal(t, "Your number is now B2.", h.notice())
		assert.Contains(t, h.labels(), "B2")
		assert.NotContains(t, h.labels(), "A7")
		h.a.desk.Notice.Clear()
		h.goes(6 * time.Second)
		assert.Empty(t, h.notice(), "it is told once")
		require.NoError(t, r.Pause("B2", "IN", "unwell", noon))
		h.goes(6 * time.Second)
		require.True(t, at[*exam.ServedHeld](h))
		require.NoError(t, r.Renumber("B2", "C3", "IN", "and again", noon))
		h.goes(6 * time.Second)
		assert.Contains(t, h.labels(), "Your number is now C3.")
		require.NoError(t, r.GoOn("C3", "IN", noon))
		h.goes(6 * time.Second)
		require.True(t, at[*chairside.Screen](h))
		require.NoError(t, r.End("C3", "IN", "went home", noon))
		h.goes(8 * time.Second)
		require.True(t, at[*exam.Served](h))
		assert.Contains(t, h.labels(), "Number C3: closed before the end")
		assert.Empty(t, h.notice())
	})
	synctest.Test(t, func(t *testing.T) {
		r, w := scheduled(t, false)
		require.NoError(t, r.Move(room.Opened, "", "", noon))
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(2 * time.Second)
		h.enters(r, "A7")
		require.NoError(t, r.Admit("A7", "", noon))
		h.goes(4 * time.Second)
		assert.Empty(t, h.notice())
		require.NoError(t, r.Renumber("A7", "B2", "IN", "the wrong ticket", noon))
		h.goes(4 * time.Second)
		assert.Equal(t, "Your number is now B2.", h.notice())
		h.press("begin")
		h.goes(2 * time.Second)
		require.True(t, at[*chairside.Screen](h))
		assert.NotEqual(t, "Your number is now A7.", h.notice())
		h.leaves(r, "B2")
	})
}

// While the service is away the bench goes on showing the number and the time, with for how
// long nothing came back.
func TestABenchWithoutItsService(t *testing.T) {
	for _, size := range [][2]float64{{1680, 1050}, {1280, 800}, {390, 844}} {
		synctest.Test(t, func(t *testing.T) {
			r, w := served(t, 1)
			h := newHands(t, size[0], size[1], Options{Service: w, System: settings.System{Still: true}})
			h.goes(6 * time.Second)
			_, err := h.visit().Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, noon).Wait()
			require.NoError(t, err)
			w.cut.Store(true)
			for _, s := range []struct {
				after      time.Duration
				long, less string
			}{
				{35 * time.Second, "Nothing came back for 0:3\\d. The bench tries again", "Nothing (heard|came back) for 0:3\\d"},
				{40 * time.Second, "Nothing came back for 1:1\\d: raise a hand", "Nothing (heard|came back) for 1:1\\d"},
			} {
				h.goes(s.after)
				says := s.less
				if size[0] > 1600 {
					says = s.long
				}
				assert.Regexp(t, `text:A7 · 0:\d\d · `+says, h.labels())
			}
			w.cut.Store(false)
			h.goes(10 * time.Second)
			assert.NotContains(t, h.labels(), "Nothing")
			h.leaves(r, "A7")
		})
	}
}

// A door has one heading. That the service has not answered is said once somebody waits for it:
// half a second after the press, and not before.
func TestTheDoorOfAService(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		_, w := scheduled(t, false)
		h := newHands(t, 1280, 800, Options{Service: w})
		h.goes(2 * time.Second)
		require.True(t, h.offers("ticket"))
		assert.Equal(t, 1, strings.Count(h.labels(), "text:A practical"))
		w.cut.Store(true)
		h.fill("ticket", "ABCD-EFGH-JKLM")
		h.press("enter")
		passes := func(d time.Duration) string {
			time.Sleep(d)
			h.let(d)
			return h.labels()
		}
		assert.NotContains(t, passes(400*time.Millisecond), "not answered")
		assert.Contains(t, passes(200*time.Millisecond), "The service has not answered yet.")
		assert.Contains(t, passes(5*time.Second), "Nothing has come back from the service")
		w.cut.Store(false)
		h.goes(30 * time.Second)
	})
}

// What stands between the cases, at the end and in the bar while the service is away has room
// in every window, in every language, and with large text.
func TestServedPagesHaveRoom(t *testing.T) {
	for _, language := range assets.Languages() {
		for _, text := range []int{100, 200} {
			synctest.Test(t, func(t *testing.T) {
				m := newMemory()
				m.files[settings.File] = fmt.Appendf(nil, `{"textSize":%d,"language":%q}`, text, language)
				r, w := scheduled(t, false, limited(time.Hour, 0))
				h := newHands(t, 1280, 800, Options{Service: w, Store: m})
				see := func(name string) {
					h.everywhere(screenSizes, func(where string) {
						checkLayout(t, h, fmt.Sprintf("%s in %s at %d%s", name, language, text, where))
					})
				}
				h.goes(2 * time.Second)
				h.fill("ticket", "BCDF")
				h.press("enter")
				see("no ticket")
				h.enters(r, "A7")
				require.NoError(t, r.Admit("A7", "", noon))
				h.goes(4 * time.Second)
				see("let in")
				require.NoError(t, r.Move(room.Opened, "", "", noon))
				require.NoError(t, r.Renumber("A7", "123456789012", "IN", "the longest", noon))
				h.goes(4 * time.Second)
				see("another number")
				h.press("begin")
				h.goes(2 * time.Second)
				for range 2 {
					w.cut.Store(true)
					h.goes(35 * time.Second)
					see("unheard")
				}
				w.cut.Store(false)
				require.NoError(t, r.Grant("123456789012", time.Minute, "IN", "the lamp", noon))
				h.goes(10 * time.Second)
				see("more time")
				require.NoError(t, r.Pause("123456789012", "IN", "unwell", noon))
				h.goes(6 * time.Second)
				see("the time stands still")
				h.leaves(r, "123456789012")
				see("the end")
				h.press("another")
				see("another ticket")
			})
		}
	}
}
