package bench

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/handed"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/lesson"
	"conoid/cmd/station/internal/bench/result"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// week is an assignment of two patients as a class is given it; rules are lines of its
// file.
func week(t testing.TB, rules ...string) []byte {
	text := "conoid-assignment = 1\ntitle = \"Week 1: the arrow\"\naims = \"You settle the axis with the arrow, and know when to stop.\"\n" +
		"cases = [\"ferry-clerk\", \"early-baker\"]\n" + strings.Join(rules, "\n") + "\n[texts.de]\ntitle = \"Woche 1: der Pfeil\"\n"
	h, err := cases.Pack("week.toml", []byte(text), nil)
	require.NoError(t, err)
	return h.Write()
}

// given is a bench on which an assignment was dropped, and the number typed.
func given(t *testing.T, o Options, rules ...string) *hands {
	t.Helper()
	o.Save = func(name string, data []byte) (string, error) {
		o.Store.(*memory).files["saved/"+name] = data
		return name, nil
	}
	if o.Store == nil {
		o.Store = newMemory()
	}
	h := newHands(t, 1366, 768, o)
	h.frame(ui.Input{Files: []ui.File{{Name: "week.conoid-assignment", Data: week(t, rules...)}}})
	h.settle()
	on[*lesson.Screen](h)
	h.press("who")
	h.write("17b")
	h.press("take number")
	return h
}

// settled states what stands in the frame.
func (h *hands) stated() {
	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
}

// An assignment is kept, asks for a number once, begins at its stage with its help, and
// is handed in as one file from which every sitting can be done again.
func TestAnAssignment(t *testing.T) {
	h := given(t, Options{}, `begin = "blocks"`, `help = "alone"`, `attempts = 2`, `minutes = 15`, `charts = ["fan", "arrow", "blocks", "letters"]`, `questions = ["limbs", "blocks", "read"]`)
	assert.Equal(t, "17B", h.a.desk.Settings.Now().Who)
	h.press("begin 1")
	h.press("examine")
	v := h.visit()
	assert.Equal(t, chair.Alone, v.Notes.Help)
	require.NotZero(t, v.Notes.Given)
	_, has := h.look("show duochrome")
	assert.False(t, has, "a chart that is not part of it")
	_, err := v.Do(sitting.Action{Do: sitting.Show, Chart: chart.Duochrome}, noon).Wait()
	assert.ErrorContains(t, err, "task.no-chart")
	v.Hear()
	assert.NotContains(t, v.Questions(), "change")
	h.press("show blocks")
	h.press("ask blocks")
	h.stated()
	on[*result.Screen](h)

	rec := h.log()
	assert.Equal(t, "17B", rec.Header.Who)
	require.NotNil(t, rec.Header.Task)
	assert.Equal(t, 1, rec.Header.Task.Place)
	assert.Equal(t, 1, rec.Header.Task.Attempt)
	for i, e := range rec.Events {
		assert.Equal(t, i < v.Notes.Given, e.Aside != nil && e.Aside.Given, "%d", i)
	}

	h.press("home")
	on[*lesson.Screen](h)
	h.press("hand in")
	var saved []byte
	for n, data := range h.store.files {
		if strings.HasPrefix(n, "saved/") {
			saved = data
			assert.Equal(t, "saved/17b-week-1--the-arrow.conoid-work", n)
		}
	}
	w, err := handed.Read("w", saved)
	require.NoError(t, err)
	require.Len(t, w.Logs, 1)
	got, err := sitting.ReadLog(bytes.NewReader([]byte(w.Logs[0])))
	require.NoError(t, err)
	assert.Equal(t, rec, got)

	h.press("begin 1") // the second attempt
	h.press("examine")
	assert.Equal(t, 2, h.visit().Notes.Terms.Attempt)
	h.stated()
	h.press("home")
	assert.True(t, h.find("begin 1").Disabled, "there is no third")

	again := newHands(t, 1366, 768, Options{Store: h.store})
	again.press("lesson")
	on[*lesson.Screen](again)
	again.press("begin 2")
	again.press("examine")
	again.press("menu")
	again.press("leave")
	on[*lesson.Screen](again)
	again.press("begin 2")
	on[*chairside.Screen](again)
}

// An assignment that the bench is opened with is shown, and again when the page is loaded
// once more.
func TestTheBenchOpensWithAnAssignment(t *testing.T) {
	m := newMemory()
	for range 2 {
		on[*lesson.Screen](newHands(t, 1366, 768, Options{Store: m, Case: "week1.toml", CaseFile: week(t)}))
	}
}

// Where the truth is kept back, nothing tells it: neither the bench, nor the result, nor
// the progress.
func TestAnAssignmentKeepsTheTruthBack(t *testing.T) {
	for shows, points := range map[string]bool{"marks": true, "nothing": false} {
		h := given(t, Options{}, fmt.Sprintf(`shows = %q`, shows), `help = "cues"`)
		h.press("begin 1")
		h.press("examine")
		h.press("show fan")
		_, sees := h.look("view")
		assert.False(t, sees)
		h.stated()
		on[*result.Withheld](h)
		h.settle()
		truth := h.say("bench.result.truth")
		assert.NotContains(t, h.labels(), truth)
		h.press("home")
		assert.Equal(t, points, strings.Contains(h.labels(), "points"), shows)
		assert.Empty(t, h.a.desk.History.All())
	}
}

// Before it opens nobody begins; after it has closed everybody is told.
func TestTheDaysOfAnAssignment(t *testing.T) {
	h := given(t, Options{}, `opens = "2026-03-01 12:01"`)
	assert.True(t, h.find("begin 1").Disabled)
	h = given(t, Options{}, `opens = "2026-03-01 12:00"`)
	assert.False(t, h.find("begin 1").Disabled)
	h = given(t, Options{}, `closes = "2026-03-01 12:00"`)
	assert.False(t, h.find("begin 1").Disabled)
	assert.Contains(t, h.labels(), "counts as late")
}

func TestAssignmentsInEveryWindow(t *testing.T) {
	long(t)
	for _, language := range assets.Languages() {
		for _, text := range []int{100, 200} {
			m := newMemory()
			m.files[settings.File] = fmt.Appendf(nil, `{"textSize":%d,"language":%q}`, text, language)
			h := newHands(t, 1366, 768, Options{Store: m, Save: func(name string, data []byte) (string, error) { return name, nil }})
			h.frame(ui.Input{Files: []ui.File{{Name: "week.conoid-assignment", Data: week(t, `attempts = 2`, `minutes = 15`, `begin = "arrow"`, `help = "cues"`, `shows = "marks"`, `closes = "2026-03-08 18:00"`)}}})
			h.settle()
			see := func(name string) {
				h.everywhere(screenSizes, func(where string) { h.check(text, name+where) })
			}
			see("number")
			h.press("who")
			h.write("17")
			h.press("take number")
			see("assignment")
			h.press("begin 1")
			see("introduced")
			h.press("examine")
			see("bench")
			h.stated()
			see("withheld")
			h.press("home")
			see("one done")
			h.press("hand in")
			see("saved")
			h.drop("Another", `closes = "2026-02-01"`)
			h.press("drop")
			see("another, closed")
			h.press("home")
			h.press("lesson")
			h.press("home")
			see("home")
		}
	}
}

// drop drops the file of an assignment of a title on the bench.
func (h *hands) drop(title string, rules ...string) (id string) {
	h.t.Helper()
	text := "conoid-assignment = 1\ntitle = \"" + title + "\"\ncases = [\"ferry-clerk\"]\n" + strings.Join(rules, "\n")
	p, err := cases.Pack("a.toml", []byte(text), nil)
	require.NoError(h.t, err)
	h.frame(ui.Input{Files: []ui.File{{Name: "a.conoid-assignment", Data: p.Write()}}})
	h.settle()
	on[*lesson.Screen](h)
	return p.ID
}

// An assignment that is dropped again is told to be there; a newer version takes the place
// of one that was not begun, and stands beside one that was. Others are reached from each,
// and from home when none is to be done; one can be taken away, and its sittings stay.
func TestAssignmentsBesideEachOther(t *testing.T) {
	h := given(t, Options{})
	h.frame(ui.Input{Files: []ui.File{{Name: "week.conoid-assignment", Data: week(t)}}})
	h.settle()
	assert.Contains(t, h.labels(), "You have this assignment already.")
	refused := func() bool {
		return slices.ContainsFunc(h.a.desk.UI.Things(), func(th ui.Thing) bool { return th.Label == h.notice() && th.Refused })
	}
	assert.False(t, refused(), "that is no refusal, and does not look like one")
	h.frame(ui.Input{Files: []ui.File{{Name: "wrong.toml", Data: []byte("title = 3\n")}}})
	h.settle()
	assert.True(t, refused(), "this is")
	first := h.drop("Other", "minutes = 20")
	assert.NotContains(t, h.labels(), "newer version")
	second := h.drop("Other", "minutes = 25")
	assert.Contains(t, h.labels(), "it takes the place of the earlier one")
	assert.NotContains(t, h.a.desk.Seats.Handouts(), first)

	h.press("begin 1")
	h.press("examine")
	h.stated()
	h.press("home")
	third := h.drop("Other", "minutes = 30", `closes = "2026-03-08 18:00"`)
	assert.Contains(t, h.labels(), "stays with it, among the other assignments")
	assert.Len(t, h.a.desk.Seats.Handouts(), 3)
	h.press("other " + second)
	assert.Contains(t, h.labels(), "Other, until 8 March 2026")

	assert.NotContains(t, h.labels(), "Last saved")
	h.press("hand in")
	assert.Contains(t, h.labels(), "Send that file to your tutor")
	h.press("home")
	h.press("lesson")
	h.press("other " + second)
	assert.Contains(t, h.labels(), "Last saved for your tutor on 1 March 2026")
	h.press("drop")
	h.press("keep it")
	h.press("drop")
	h.press("drop it")
	assert.NotContains(t, h.a.desk.Seats.Handouts(), second)
	assert.Len(t, h.a.desk.Seats.For(second), 1, "what was sat stays")
	_ = third

	alone := newHands(t, 1366, 768, Options{Store: newMemory()})
	_, has := alone.look("assignments")
	assert.False(t, has)
	done := alone.drop("Done", `closes = "2026-02-01"`)
	alone.press("home")
	alone.press("assignments")
	on[*lesson.Screen](alone)
	assert.Contains(t, alone.a.desk.Seats.Handouts(), done)
}
