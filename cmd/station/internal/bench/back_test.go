package bench

import (
	"fmt"
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/replay"
	"conoid/cmd/station/internal/bench/result"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/store"
	"conoid/cmd/station/internal/ui"
)

// told is what the page around the bench was told last.
type told struct{ away, guarded bool }

func (p *told) set(away, guarded bool) { *p = told{away, guarded} }

// back goes back as the browser does.
func (h *hands) back() {
	h.a.Back()
	h.settle()
}

// Back goes where one came from, closes first what lies in front, and keeps a sitting.
func TestBack(t *testing.T) {
	var page told
	h := newHands(t, 1366, 768, Options{Place: page.set})
	assert.Equal(t, told{}, page)
	h.press("case ferry-clerk")
	assert.True(t, page.away)
	h.back()
	assert.False(t, h.front())
	assert.False(t, page.away)
	h.back()
	assert.True(t, at[*home.Screen](h), "from home there is nothing to go back to")

	h.press("case ferry-clerk")
	h.press("examine")
	h.press("show fan")
	h.press("menu")
	h.back()
	require.True(t, at[*chairside.Screen](h))
	assert.False(t, h.front())
	assert.True(t, page.away, "and told again, since the page has gone back")
	h.back()
	require.True(t, at[*home.Screen](h))
	assert.Equal(t, "You have left The ferry clerk: everything is kept, go on any time.", h.notice())
	assert.False(t, page.away)

	h.press("case ferry-clerk")
	h.press("go on")
	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	require.True(t, at[*result.Screen](h))
	h.press("replay")
	require.True(t, at[*replay.Screen](h))
	h.back()
	require.True(t, at[*result.Screen](h))
	h.back()
	require.True(t, at[*home.Screen](h))
	assert.Empty(t, h.notice())
}

// The page is told again after Back, for it has gone back on its own side already.
func TestBackIsToldAgain(t *testing.T) {
	times := 0
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk", Place: func(bool, bool) { times++ }})
	h.press("menu")
	h.settle()
	before := times
	h.back()
	assert.Equal(t, before+1, times)
	h.settle()
	assert.Equal(t, before+1, times)
}

// What is typed on the card and not noted would be lost with the page; Back notes it.
func TestTypedTextIsGuarded(t *testing.T) {
	var page told
	h := newHands(t, 1366, 768, Options{Case: "ferry-clerk", Place: page.set})
	h.press("card")
	assert.False(t, page.guarded)
	field := ""
	for _, th := range h.a.desk.UI.Things() {
		if strings.HasPrefix(th.ID, "note ") {
			field = th.ID
			break
		}
	}
	h.press(field)
	h.write("six")
	assert.True(t, page.guarded)
	h.back()
	assert.False(t, page.guarded)
	assert.True(t, at[*chairside.Screen](h))
	assert.Contains(t, fmt.Sprint(h.visit().State().Card), "six")
}

// A practical is not left by going back, and guarded from its door on to its end.
func TestBackInAPractical(t *testing.T) {
	var page told
	h, file := admitted(t, Options{Place: page.set})
	assert.True(t, page.guarded)
	h.back()
	assert.True(t, at[*exam.Ready](h))
	assert.Contains(t, h.notice(), "not left by the browser’s Back")
	h.press("begin")
	h.back()
	assert.True(t, at[*chairside.Screen](h))
	assert.Contains(t, h.notice(), "not left by the browser’s Back")

	other := newHands(t, 1366, 768, Options{Place: page.set})
	other.frame(ui.Input{Files: []ui.File{{Name: "friday.txt", Data: file}}})
	other.settle()
	require.True(t, at[*exam.Door](other))
	other.back()
	assert.True(t, at[*home.Screen](other))
	assert.False(t, page.guarded)
}

// Where nothing is kept the home screen says so, and the page guards what was begun.
func TestUnkept(t *testing.T) {
	var page told
	h := newHands(t, 1366, 768, Options{Unkept: true, Place: page.set})
	assert.Contains(t, h.labels(), "lets the page keep nothing")
	assert.False(t, page.guarded)
	h.press("case ferry-clerk")
	h.press("examine")
	assert.True(t, page.guarded)
	h.back()
	assert.True(t, page.guarded)
	assert.NotContains(t, newHands(t, 1366, 768, Options{}).labels(), "lets the page keep nothing")
}

// satThrough sits to the end.
func satThrough(h *hands, who string) {
	h.press("case " + who)
	h.press("examine")
	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	h.press("home")
}

// When there is no more room it is offered to drop what is finished, by a press; the
// sitting that is under way is not among it, and then goes on.
func TestRoomIsMade(t *testing.T) {
	m := newMemory()
	h := newHands(t, 1366, 768, Options{Store: m})
	satThrough(h, "ferry-clerk")
	old := h.a.desk.History.All()[0].Log
	h.press("case net-mender")
	h.press("examine")
	m.full, m.why = true, store.ErrFull
	h.press("show fan")
	require.True(t, h.front())
	assert.Contains(t, h.labels(), "no more room")
	assert.NotContains(t, h.labels(), "drop "+h.visit().Notes.ID)
	assert.Contains(t, m.files, old+".jsonl", "nothing goes without a press")
	h.press("drop " + old)
	m.full = false
	assert.NotContains(t, m.files, old+".jsonl")
	assert.NotContains(t, m.files, old+".json")
	assert.Contains(t, h.notice(), "The ferry clerk was dropped, and ")
	h.press("room close")
	h.press("show fan")
	assert.Len(t, h.visit().Events(), 1)
	assert.Len(t, h.a.desk.History.All(), 1, "what was reached stays")

	m.full = true
	h.press("show arrow")
	require.True(t, h.front())
	assert.Contains(t, h.labels(), "no finished sitting")
	h.press("room close")
	assert.False(t, h.front(), "it is offered once")
}

// Any other failure of the store offers nothing.
func TestRoomIsNotOfferedOtherwise(t *testing.T) {
	m := newMemory()
	h := newHands(t, 1366, 768, Options{Store: m, Case: "ferry-clerk"})
	m.full = true
	h.press("show fan")
	assert.False(t, h.front())
	assert.NotEmpty(t, h.notice())
}

// A file that is none of ours is refused by what it is, and by what can be dropped.
func TestOtherFilesAreNamed(t *testing.T) {
	var all []*hands
	for _, language := range assets.Languages() {
		all = append(all, newHands(t, 1366, 768, Options{System: settings.System{Language: language}}))
	}
	for _, c := range []struct{ name, data, kind string }{
		{"me.png", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "picture"},
		{"me.jpg", "\xff\xd8\xff\xe0\x00\x10JFIF", "picture"},
		{"me.webp", "RIFF\x24\x00\x00\x00WEBPVP8 ", "picture"},
		{"me.heic", "\x00\x00\x00\x18ftypheic\x00\x00", "picture"},
		{"paper.pdf", "%PDF-1.7\n%\xe2\xe3", "pdf"},
		{"thesis.docx", "PK\x03\x04\x14\x00", "archive"},
		{"song.mp3", "ID3\x04\x00", "sound"},
		{"clip.mp4", "\x00\x00\x00\x18ftypisom\x00\x00", "sound"},
		{"page.html", "<!DOCTYPE html>\n<html>", "page"},
		{"a.svg", "<?xml version='1.0'?><svg/>", "page"},
		{"sitting.jsonl", `{"conoid":4,"case":"x"}`, "log"},
		{"tool.exe", "MZ\x90\x00\x03\x00", "binary"},
		{"essay.txt", "Dear tutor,\nthis is my essay.\n", "text"},
		{"nothing.txt", " \n", "empty"},
		{"short", "RIFF", "text"},
		{"large.png", "\x89PNG\r\n" + strings.Repeat("x", 1<<20), "picture"},
	} {
		for _, h := range all {
			h.frame(ui.Input{Files: []ui.File{{Name: c.name, Data: []byte(c.data)}}})
			h.settle()
			v := h.a.desk.Voice()
			assert.Contains(t, h.notice(), v.Text("bench.drop."+c.kind), "%s in %s", c.name, v.Language)
			assert.Contains(t, strings.ToLower(h.notice()), c.name)
			assert.Contains(t, h.notice(), ".toml")
			assert.True(t, at[*home.Screen](h))
		}
	}
}

// What is said of a browser that keeps nothing, or has no more room, has room itself.
func TestWhatTheBrowserRefusesFits(t *testing.T) {
	once := newMemory()
	satThrough(newHands(t, 1366, 768, Options{Store: once}), "ferry-clerk")
	for _, size := range screenSizes {
		for _, language := range assets.Languages() {
			m := newMemory()
			maps.Copy(m.files, once.files)
			m.files[settings.File] = fmt.Appendf(nil, `{"textSize":100,"curtain":1,"language":%q}`, language)
			h := newHands(t, size.w, size.h, Options{Store: m, Unkept: true, Newer: func() bool { return true },
				Save: func(name string, _ []byte) (string, error) { return name, nil }})
			name := fmt.Sprint(size, language)
			checkLayout(t, h, name)
			m.full, m.why = true, store.ErrFull
			h.press("case net-mender")
			h.press("examine")
			require.True(t, h.front(), name)
			checkLayout(t, h, name)
		}
	}
}
