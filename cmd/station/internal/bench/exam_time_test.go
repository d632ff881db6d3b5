package bench

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/sheet"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// sevenMinutes is a practical of the same case some times, with seven minutes each.
func sevenMinutes(n int) func(*practical.Plan) {
	return func(p *practical.Plan) {
		p.PerCase, p.Total = 7*time.Minute, 0
		c := p.Cases[0]
		p.Cases = nil
		for i := range n {
			c.ID = fmt.Sprint("case-", i)
			p.Cases = append(p.Cases, c)
		}
	}
}

// later is the next frame, after so long.
func (h *hands) later(d time.Duration) {
	h.at += d
	h.settle()
}

// Warnings come in the bench and in the forms that lie in front of it, which keep what
// is typed in them. What is in an open form when the time is up does not count, unless
// the practical says so, and the candidate is told.
func TestACandidateIsWarned(t *testing.T) {
	h := admittedTo(t, Options{}, sevenMinutes(1))
	h.press("begin")
	h.press("end")
	h.fill("end acuity", "6/9")
	h.later(118 * time.Second)
	assert.NotContains(t, h.labels(), "At most")
	h.later(2 * time.Second)
	assert.Equal(t, "At most 5 minutes left for this case.", h.notice())
	require.IsType(t, &sheet.End{}, h.a.screen.(*chairside.Screen).Sheet(), "the form is still there")
	assert.Equal(t, "6/9", h.thing("end acuity").Value)
	assert.Contains(t, h.labels(), "text:At most 5 minutes")
	h.key(ui.Escape)
	h.press("show fan")
	assert.Empty(t, h.notice(), "it is told once")
	h.press("card")
	h.fill("note fan axis", "30")
	h.later(4 * time.Minute)
	assert.Equal(t, "At most 1 minute left for this case.", h.notice())
	assert.Equal(t, "30", h.thing("note fan axis").Value)
	assert.Contains(t, h.labels(), "text:At most 1 minute")
	h.key(ui.Escape)

	h.press("end")
	h.fill("end acuity", "6/9")
	h.later(time.Minute)
	require.True(t, at[*exam.Over](h))
	assert.Contains(t, h.notice(), "What was in the form for the end point was not stated yet, and does not count.")
	assert.Equal(t, practical.TimedUp, h.sat().Ended)
	assert.Contains(t, h.labels(), "text:"+h.notice())
}

// A warning says which time runs out: that in all, where it ends with the one for the case or before.
func TestAWarningOfTheTimeInAll(t *testing.T) {
	for total, told := range map[time.Duration]string{
		7 * time.Minute:             "At most 5 minutes left in all.",
		7*time.Minute + time.Second: "At most 5 minutes left for this case.",
	} {
		h := admittedTo(t, Options{}, func(p *practical.Plan) { sevenMinutes(3)(p); p.Total = total })
		h.press("begin")
		h.later(2*time.Minute + time.Second)
		assert.Equal(t, told, h.notice())
		h.press("end")
		assert.Contains(t, h.labels(), "text:"+told, "in a form, too")
	}
}

// Where the practical says so, what stands whole in an open form is taken. Candidates
// are warned where no clock is shown, too.
func TestAnOpenFormIsTaken(t *testing.T) {
	long(t)
	h := admittedTo(t, Options{}, func(p *practical.Plan) {
		sevenMinutes(3)(p)
		p.TakeOpen, p.Show.Clock = true, false
	})
	for _, c := range []struct{ acuity, told, ended string }{
		{"", "The time for case 1 was up. The case was handed in as it stood, without an end point.", practical.TimedUp},
		{"6/9", "What stood in the form for the end point was taken as stated: −1.00 / −1.00 x 170.", practical.Stated},
		{"well", "What was in the form for the end point could not be taken: ", practical.TimedUp},
	} {
		h.press("begin")
		if c.acuity != "" {
			require.True(t, at[*exam.Ready](h), "it was meant for what stood there before")
			assert.NotEmpty(t, h.notice())
			h.later(2 * time.Second)
			h.press("begin")
			h.press("end")
			h.fill("end acuity", c.acuity)
		}
		h.later(3 * time.Minute)
		assert.Equal(t, "At most 5 minutes left for this case.", h.notice())
		h.later(5 * time.Minute)
		assert.Equal(t, "practical", h.a.screen.Name())
		assert.Contains(t, h.notice(), c.told)
		assert.Equal(t, c.ended, h.sat().Ended)
	}
}

// When the time in all is up during a case the candidate is told so, and how many were not
// begun; with the time of the case up, and more in all, it is that of the case.
func TestTheTimeForEverythingIsUpDuringACase(t *testing.T) {
	for total, told := range map[time.Duration]string{
		7*time.Minute - time.Second: "The time for everything was up, during case 1. The case was handed in",
		7*time.Minute + time.Second: "The time for case 1 was up. The case was handed in",
	} {
		h := admittedTo(t, Options{}, func(p *practical.Plan) { sevenMinutes(3)(p); p.Total = total })
		h.press("begin")
		h.later(7 * time.Minute)
		assert.Contains(t, h.notice(), told)
		assert.Equal(t, total < 7*time.Minute, at[*exam.Over](h))
		if at[*exam.Over](h) {
			assert.Contains(t, h.labels(), "and 2 cases were not begun.")
			assert.NotContains(t, h.labels(), "All cases")
			h.press("dismiss")
			assert.Contains(t, h.labels(), "2 cases were not begun, and after this nothing of this candidate")
			h.press("dismiss not")
			require.True(t, at[*exam.Over](h))
			h.press("dismiss")
			h.press("dismiss now")
			assert.True(t, at[*home.Screen](h))
		}
	}
}

// The candidate's number stands on the screen all the time, at every size.
func TestTheNumberStandsThere(t *testing.T) {
	h := admittedTo(t, Options{}, sevenMinutes(1))
	everywhere := func(where string) {
		for _, size := range []struct {
			w, h float64
			text int
		}{{1366, 625, 100}, {390, 844, 100}, {390, 844, 150}, {844, 390, 100}, {1366, 768, 200}} {
			for _, language := range assets.Languages() {
				h.a.desk.Change(func(s *settings.Settings) { s.Language, s.TextSize = language, size.text })
				h.w, h.h, h.a.again = size.w, size.h, true
				h.settle()
				name := fmt.Sprint(size, language, where)
				assert.True(t, h.numbered(), name)
				checkLayout(t, h, name)
			}
		}
	}
	everywhere("before")
	h.press("begin")
	everywhere("in a case")
	h.press("end")
	h.later(6 * time.Minute)
	everywhere("behind the form, and warned")
	h.press("acuity 6/6")
	h.press("end now")
	everywhere("over")
}

// theNumber is how 7 stands in a text as a candidate's number.
var theNumber = regexp.MustCompile(`^(Candidate |Nummer )?7( ·|\.|$)`)

// numbered reports whether the candidate's number is on the screen.
func (h *hands) numbered() bool {
	return slices.ContainsFunc(h.a.desk.UI.Things(), func(t ui.Thing) bool { return theNumber.MatchString(t.Label) && !t.Cut })
}

// A log takes as many actions as can be marked, and the end point behind them. The
// candidate is warned before, on either side, and what was done then is marked.
func TestALogHasAnEnd(t *testing.T) {
	long(t)
	var saved []byte
	file, keys := newPractical(t, sevenMinutes(50)) // the more cases, the fewer actions
	h := newHands(t, 1366, 768, Options{Save: func(_ string, data []byte) (string, error) { saved = data; return "x", nil }})
	h.enter(file)
	h.press("begin")
	do := func(n int) {
		for range n {
			_, err := h.visit().Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, noon).Wait()
			require.NoError(t, err)
		}
		h.visit().Hear()
		h.a.desk.Notice.Clear()
		h.settle()
	}
	h.press("show fan")
	do(95)
	assert.Empty(t, h.notice(), "100 more")
	do(1)
	assert.Contains(t, h.notice(), "At most 100 actions more")
	do(89)
	assert.Empty(t, h.notice(), "it is told once")
	do(1)
	assert.Contains(t, h.notice(), "At most 10 actions more")
	do(9)
	h.press("ask which")
	require.Len(t, h.visit().Events(), 198-1)
	h.press("ask which")
	assert.Contains(t, h.notice(), "No more than 197 actions can be recorded for a case. State the end point now")
	require.Len(t, h.visit().Events(), 198-1)
	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	require.True(t, at[*exam.Ready](h), h.notice())
	h.assess()
	h.rule(practical.Closed)

	p, err := practical.Read("x", file)
	require.NoError(t, err)
	plan, err := p.Open("open sesame")
	require.NoError(t, err)
	done, err := practical.ReadResult(plan, "x", saved, keys.Key())
	require.NoError(t, err)
	marked, err := practical.NewMarker(plan, plan).Mark(done)
	require.NoError(t, err)
	assert.Equal(t, practical.Stated, marked.Cases[done.Cases()[0].Case].Ended)
}

// A warning stands in the bar and not over the chart, the form that lies over the bar has number
// and clock as well, and what the assessor types can be sent without scrolling: on a desk, and on a
// telephone.
func TestNothingNeededIsHiddenInAPractical(t *testing.T) {
	file, _ := newPractical(t, func(p *practical.Plan) { sevenMinutes(2)(p); p.Total = time.Hour })
	for _, size := range []struct{ w, h float64 }{{1366, 768}, {390, 844}} {
		h := newHands(t, size.w, size.h, Options{Save: func(n string, _ []byte) (string, error) { return n, nil }})
		h.enter(file)
		h.press("begin")
		h.press("show fan")
		h.later(2*time.Minute + 5*time.Second)
		require.Equal(t, "At most 5 minutes left for this case.", h.notice())
		warnings := 0
		for _, th := range h.a.desk.UI.Things() {
			if strings.Contains(th.Label, "At most 5") {
				warnings++
				assert.LessOrEqual(t, th.Rect.Bottom(), 48.0, "within the bar")
			}
		}
		assert.Equal(t, 1, warnings, size)
		assert.True(t, h.numbered())

		h.press("end")
		assert.Contains(t, h.labels(), "7 · 4:5", size)
		h.key(ui.Escape)
		h.assess()
		h.press("rule granted")
		for _, id := range []string{"rule", "go on"} {
			th := h.thing(id) // as it stands there, not scrolled to
			assert.LessOrEqual(t, th.Rect.Bottom(), th.Clip.Bottom(), "%v: %s", size, id)
		}
	}
}
