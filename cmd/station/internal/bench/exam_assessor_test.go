package bench

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
)

// ruled is what is looked at of what the assessor did, as it is kept of a candidate.
type ruled struct {
	Candidate     string
	BegunAs       string
	Rulings       []practical.Ruling
	Interruptions []practical.Interruption
}

func (h *hands) ruledOf(number string) (r ruled) {
	h.t.Helper()
	require.NoError(h.t, json.Unmarshal(h.store.files["practicals/"+seat.Slug(h.head.ID)+"/"+number+".json"], &r))
	return r
}

// assess has the assessor come in, from the menu of a case or from before one.
func (h *hands) assess() {
	h.t.Helper()
	if at[*chairside.Screen](h) {
		h.press("menu")
	}
	h.press("assessor")
	h.fill("passphrase", "open sesame")
	h.press("assessor open")
	require.True(h.t, at[*exam.Assessor](h), h.notice())
}

// rule has the assessor do something, for a reason.
func (h *hands) rule(what practical.Rule, fields ...string) {
	h.t.Helper()
	h.press("rule " + string(what))
	for i := 0; i < len(fields); i += 2 {
		h.fill(fields[i], fields[i+1])
	}
	h.fill("reason", "it was so")
	h.press("rule")
}

// Only with the passphrase; while the assessor is there the time stands still, and the
// candidate goes on where they were.
func TestTheAssessorComesInDuringACase(t *testing.T) {
	long(t)
	h, _ := admitted(t, Options{})
	h.press("begin")
	h.press("show fan")
	h.press("menu")
	h.press("assessor")
	h.fill("passphrase", "wrong")
	h.press("assessor open")
	assert.NotEmpty(t, h.notice())
	h.let(2 * time.Second)
	require.False(t, at[*exam.Assessor](h))
	h.fill("passphrase", "open sesame")
	h.press("assessor open")
	require.True(t, at[*exam.Assessor](h), h.notice())
	before := h.sat().Elapsed
	assert.Greater(t, before, time.Second, "the time ran until then")
	h.later(time.Hour)
	assert.Empty(t, h.thing("rule lessened").ID, "nothing was granted yet")
	h.press("rule granted")
	h.fill("minutes", "x")
	h.press("rule")
	assert.Contains(t, h.notice(), "1440")
	h.fill("minutes", "2")
	h.press("rule")
	assert.Contains(t, h.notice(), "reason")
	h.rule(practical.Granted, "minutes", "3")
	assert.Equal(t, "3 minutes more for case 1 of 2, now under way: recorded.", h.notice())
	h.press("go on")
	require.True(t, at[*chairside.Screen](h), h.notice())
	assert.Len(t, h.visit().Events(), 1)
	r := h.ruledOf("7")
	assert.Equal(t, []any{practical.Granted, 3 * time.Minute, "it was so"}, []any{r.Rulings[0].Do, r.Rulings[0].Time, r.Rulings[0].Reason})
	assert.Equal(t, "the assessor was at the machine", r.Interruptions[0].Reason)
	h.later(3*time.Minute + 10*time.Second)
	assert.Equal(t, "At most 5 minutes left for this case.", h.notice())
	h.assess()
	h.rule(practical.Noted)
	assert.Equal(t, "Recorded.", h.notice())
	h.rule(practical.Granted, "minutes", "45")
	assert.Contains(t, h.labels(), "Candidate 7, case 1 of 2, now under way. The time stands still")
	h.rule(practical.Lessened, "minutes", "49")
	assert.Contains(t, h.notice(), "left", "more than was granted")
	h.rule(practical.Lessened, "minutes", "15")
	assert.Equal(t, "15 minutes taken back, for case 1 of 2, now under way: recorded.", h.notice())
	h.press("go on")
	h.a.desk.Notice.Clear()
	h.later(time.Minute)
	assert.Empty(t, h.notice())
	h.later(29*time.Minute + 50*time.Second)
	assert.Equal(t, "At most 5 minutes left for this case.", h.notice(), "it is said again")
	h.later(3*time.Minute + 40*time.Second)
	require.True(t, at[*chairside.Screen](h), "5 minutes and 33")
	h.later(20 * time.Second)
	require.True(t, at[*exam.Ready](h), h.notice())
}

// The assessor sees how much time is left, so far as it has a limit, and what becomes of it.
func TestTheAssessorSeesTheTimeThatIsLeft(t *testing.T) {
	long(t)
	const ofCase, ofAll = "Time left for case 1 of 2, ", "Time left in all: "
	for _, c := range []struct{ perCase, total time.Duration }{
		{5 * time.Minute, 8 * time.Minute}, {0, 8 * time.Minute}, {5 * time.Minute, 0}, {0, 0},
	} {
		h := admittedTo(t, Options{}, func(p *practical.Plan) { p.PerCase, p.Total = c.perCase, c.total })
		h.assess()
		assert.Equal(t, c.perCase > 0, strings.Contains(h.labels(), ofCase+"which comes next: 5:00."), h.labels())
		assert.Equal(t, c.total > 0, strings.Contains(h.labels(), ofAll+"8:00."))
		h.press("go on")
		h.press("begin")
		h.later(time.Minute + 10*time.Second)
		h.assess()
		assert.Equal(t, c.perCase > 0, strings.Contains(h.labels(), ofCase+"now under way: 3:4"), h.labels())
		assert.Equal(t, c.total > 0, strings.Contains(h.labels(), ofAll+"6:4"))
		if c.perCase+c.total > 0 {
			h.rule(practical.Granted, "minutes", "3")
			assert.Equal(t, c.perCase > 0, strings.Contains(h.labels(), ofCase+"now under way: 6:4"))
			assert.Equal(t, c.total > 0, strings.Contains(h.labels(), ofAll+"9:4"))
		}
		assert.Equal(t, c.perCase > 0, strings.Contains(h.labels(), ofCase))
		assert.Equal(t, c.total > 0, strings.Contains(h.labels(), ofAll))
	}
}

func TestTheAssessorStopsTheTime(t *testing.T) {
	h, _ := admitted(t, Options{})
	h.press("begin")
	h.press("show fan")
	h.assess()
	h.rule("stop")
	require.True(t, at[*exam.Stopped](h), h.notice())
	assert.Contains(t, h.labels(), "it was so")
	h.later(time.Hour)
	h.press("let on")
	require.True(t, at[*exam.Stopped](h), "without the passphrase")
	h.fill("passphrase", "open sesame")
	h.press("let on")
	require.True(t, at[*chairside.Screen](h), h.notice())
	assert.Less(t, h.sat().Elapsed, time.Minute)
	assert.Equal(t, "it was so", h.ruledOf("7").Interruptions[1].Reason)
}

// copied is a store with the same in it.
func copied(m *memory) *memory {
	to := newMemory()
	for name, data := range m.files {
		to.files[name] = append([]byte(nil), data...)
	}
	return to
}

func TestTheAssessorClosesAnAttempt(t *testing.T) {
	var saved []byte
	h, _ := admitted(t, Options{Save: func(_ string, data []byte) (string, error) { saved = data; return "x", nil }})
	h.press("begin")
	h.press("show fan")
	h.assess()
	h.rule(practical.Closed)
	require.True(t, at[*exam.Over](h), h.notice())
	look, err := practical.LookAt("x", saved)
	require.NoError(t, err)
	assert.Contains(t, h.labels(), look.Code)
	assert.Contains(t, h.labels(), "The assessor closed this attempt at 12:00: it was so.")
	assert.Equal(t, practical.ByAssessor, h.sat().Ended)
	h.press("dismiss")
	assert.True(t, at[*home.Screen](h))
}

// A wrong number: in a case, what was done goes along, and the case goes on; the owner of
// the wrong number begins anew.
func TestTheAssessorCorrectsANumber(t *testing.T) {
	long(t)
	h, file := admitted(t, Options{})
	h.press("begin")
	h.press("show fan")
	h.assess()
	h.rule(practical.Renumbered, "number", "not one")
	assert.Contains(t, h.notice(), "NOT ONE")
	h.rule(practical.Renumbered, "number", "9x")
	assert.Equal(t, "This is candidate 9X now: recorded.", h.notice())
	h.press("go on")
	require.True(t, at[*chairside.Screen](h), h.notice())
	h.press("ask which")
	assert.Len(t, h.visit().Events(), 2)
	r := h.ruledOf("9x")
	assert.Equal(t, []string{"9X", "7"}, []string{r.Candidate, r.BegunAs})
	names, err := h.store.List("practicals/" + seat.Slug(h.head.ID) + "/7")
	require.NoError(t, err)
	assert.Empty(t, names, "nothing is left of the wrong number")

	again := newHands(t, 1366, 768, Options{Store: h.store})
	again.head = h.head
	assert.Contains(t, again.labels(), "9X", "it is what goes on here")
	again.fill("passphrase", "open sesame")
	again.press("assessor")
	again.rule(practical.Left)
	require.True(t, at[*home.Screen](again), again.notice())
	again.a.desk.Now = func() time.Time { return noon.Add(time.Minute) }
	again.enterAs("7", file)
	require.True(t, at[*exam.Ready](again), again.notice())
	again.assess()
	again.rule(practical.Renumbered, "number", "9X")
	assert.Contains(t, again.notice(), "9X", "somebody's attempt has that number")
	assert.Empty(t, again.store.files["practicals/"+seat.Slug(h.head.ID)+"/9x.json"], "it lies put away, as before")
}

// The next candidate comes to a machine where somebody left: their attempt is put away,
// and goes on when they come back.
func TestTheNextCandidateAtAMachineWhereSomebodyLeft(t *testing.T) {
	long(t)
	m := newMemory()
	h, file := admitted(t, Options{Store: m})
	h.press("begin")
	h.press("show fan")
	next := newHands(t, 1366, 768, Options{Store: m})
	next.head = h.head
	require.True(t, at[*exam.Interrupted](next))
	next.fill("passphrase", "open sesame")
	next.press("assessor")
	require.True(t, at[*exam.Assessor](next), next.notice())
	next.rule(practical.Left)
	require.True(t, at[*home.Screen](next), next.notice())
	next.enterAs("8", file)
	require.True(t, at[*exam.Ready](next), next.notice())
	next.assess()
	next.rule(practical.Left)
	next.enterAs("7", file)
	require.True(t, at[*chairside.Screen](next), next.notice())
	assert.Len(t, next.visit().Events(), 1)
	assert.Equal(t, practical.Left, next.ruledOf("7").Rulings[0].Do)
}

// What is carried goes on at the other machine, and not at the first, where it is said
// and can be taken back.
func TestTheAssessorCarriesAnAttempt(t *testing.T) {
	long(t)
	var name string
	var saved []byte
	m := newMemory()
	h, file := admitted(t, Options{Store: m, Save: func(n string, data []byte) (string, error) { name, saved = n, data; return "C:\\" + n, nil }})
	h.press("begin")
	h.press("show fan")
	h.assess()
	h.rule(practical.Carried)
	require.True(t, at[*exam.Interrupted](h), h.notice())
	assert.Contains(t, h.labels(), "C:\\"+name)
	assert.True(t, strings.HasSuffix(name, "-7.conoid-carried"), name)
	h.fill("passphrase", "open sesame")
	h.press("save carried")
	first := newHands(t, 1366, 768, Options{Store: copied(m)})
	assert.Contains(t, first.labels(), "was carried to another machine")
	h.fill("passphrase", "open sesame")
	h.press("done")
	require.True(t, at[*home.Screen](h), h.notice())
	h.enterAs("7", file)
	require.True(t, at[*exam.Interrupted](h), h.notice())

	there := newHands(t, 1366, 768, Options{})
	there.head = h.head
	there.frame(ui.Input{Files: []ui.File{{Name: name, Data: saved}}})
	there.settle()
	require.True(t, at[*exam.Door](there), there.notice())
	assert.Contains(t, there.labels(), "carried here from another machine")
	there.fill("candidate", "8")
	there.fill("passphrase", "open sesame")
	there.press("admit")
	assert.Contains(t, there.notice(), "not that of candidate 8")
	there.fill("candidate", "7")
	there.fill("passphrase", "open sesame")
	there.press("admit")
	require.True(t, at[*chairside.Screen](there), there.notice())
	assert.Len(t, there.visit().Events(), 1)
	assert.Equal(t, practical.TakenUp, there.ruledOf("7").Rulings[1].Do)

	h.fill("passphrase", "open sesame")
	h.press("take back")
	require.True(t, at[*chairside.Screen](h), h.notice())
	assert.Len(t, h.ruledOf("7").Rulings, 2)
}

// Nothing that the assessor sees is cut, and nothing lies over anything else.
func TestTheAssessorsScreensFit(t *testing.T) {
	long(t)
	h, _ := admitted(t, Options{Save: func(name string, _ []byte) (string, error) { return "/results/" + name, nil }})
	everywhere := func(where string) {
		for _, size := range []struct {
			w, h float64
			text int
		}{{1366, 625, 100}, {390, 844, 100}, {390, 844, 150}, {844, 390, 100}, {1366, 768, 200}} {
			for _, language := range assets.Languages() {
				h.a.desk.Change(func(s *settings.Settings) { s.Language, s.TextSize = language, size.text })
				h.w, h.h, h.a.again = size.w, size.h, true
				h.settle()
				checkLayout(t, h, fmt.Sprint(size, language, where))
				for _, th := range h.a.desk.UI.Things() {
					if th.Role == ui.RoleButton {
						assert.GreaterOrEqual(t, th.Rect.H, 44.0, "%s: %s", where, th.ID)
					}
				}
			}
		}
	}
	everywhere("ready")
	h.press("begin")
	h.press("menu")
	everywhere("menu")
	h.press("assessor")
	everywhere("entry")
	h.fill("passphrase", "open sesame")
	h.press("assessor open")
	everywhere("assessor")
	h.rule(practical.Granted, "minutes", "5")
	for _, r := range []practical.Rule{practical.Granted, practical.Lessened, "stop", practical.Renumbered, practical.Closed, practical.Left, practical.Noted, practical.Carried} {
		h.press("rule " + string(r))
		everywhere(string(r))
	}
	h.rule("stop")
	everywhere("stopped")
	h.fill("passphrase", "open sesame")
	h.press("assessor")
	h.rule(practical.Carried)
	everywhere("carried away")
	h.fill("passphrase", "open sesame")
	h.press("take back")
	h.assess()
	h.rule(practical.Closed)
	everywhere("closed")
}
