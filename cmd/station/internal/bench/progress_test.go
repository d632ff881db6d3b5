package bench

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/bench/settings"
)

// The sittings of somebody who gets on, invented: each with the next of the library. The
// fifth was a drill and the tenth begun within another; the points of the one before the
// last are not known; the log of the ninth was dropped.
var invented = []struct {
	points, asked, right int
	help                 chair.Help
}{
	{42, 9, 2, chair.Led}, {55, 8, 3, chair.Led}, {8, 7, 2, chair.Led}, {71, 8, 4, chair.Cues}, {63, 0, 0, chair.Led},
	{88, 8, 5, chair.Cues}, {77, 7, 5, chair.Cues}, {90, 6, 5, chair.Alone}, {100, 9, 8, chair.Cues}, {64, 8, 6, chair.Alone},
	{81, 7, 5, chair.Alone}, {-1, 6, 5, chair.Alone}, {84, 9, 7, chair.Alone},
}

const dropped = 8

// practised is a store with them, in a language.
func practised(language string, text int) *memory {
	m := newMemory()
	m.files[settings.File] = fmt.Appendf(nil, `{"textSize":%d,"curtain":1,"language":%q}`, text, language)
	library := cases.Library()
	for i, s := range invented {
		c, points := library[i%len(library)], float64(s.points)
		r := history.Reached{
			Log: fmt.Sprint("sittings/s-", i), ID: c.ID, Title: c.Title, Case: c.Hash(), Level: c.Level, When: noon.AddDate(0, 0, i-20),
			Left: float64(len(invented)-i) * 0.07, Steps: 60 - 2*i, Clock: time.Duration(500+i*7) * time.Second, Points: &points,
			Help: s.help, Kinds: c.Difficulties(), Expected: history.Expected{Asked: s.asked, Right: s.right}, Branch: i == 9,
		}
		if i == 4 {
			r.Drill = string(cases.AtFan)
		}
		if points < 0 {
			r.Points = nil
		}
		line, _ := json.Marshal(r)
		m.files[history.File] = append(m.files[history.File], append(line, '\n')...)
		m.files[r.Log+".json"] = []byte(`{"done":true}`) // notes alone can not be stepped through
		if i != dropped {
			m.files[r.Log+".jsonl"] = []byte("{}")
		}
	}
	return m
}

// What was reached is shown for as many sittings as there is room for, at every size of
// text; each is a row to be pressed, unless its log is gone, and then says so.
func TestWhatWasReachedIsShown(t *testing.T) {
	for _, size := range []struct {
		w, h float64
		text int
		most int // columns
	}{{1366, 625, 100, 12}, {390, 844, 100, 11}, {390, 844, 200, 7}} {
		for _, language := range assets.Languages() {
			h := newHands(t, size.w, size.h, Options{Store: practised(language, size.text)})
			h.press("progress")
			name := fmt.Sprint(size, language)
			checkLayout(t, h, name)
			columns := strings.Count(h.thing("image:"+h.say("bench.progress.picture")).Value, ";") + 1
			assert.LessOrEqual(t, columns, size.most, name)
			assert.GreaterOrEqual(t, columns, size.most/3, name)
			gone := h.say("bench.progress.gone")
			for i := range invented {
				id := fmt.Sprint("replay sittings/s-", i)
				row := h.thing(id)
				assert.Equal(t, i == dropped, row.ID == "", "%s: %s", name, id)
				if row.ID != "" {
					assert.GreaterOrEqual(t, row.Rect.H, 44.0, name)
					assert.NotContains(t, row.Label, gone)
				}
			}
			assert.Contains(t, h.labels(), gone, name)
		}
	}
}

// The mean of 77 and 90, of 100, 81 and 84 is 86.4: without the drill, what was begun
// within another, and what has no points yet. In them 30 of 38 predictions came right.
func TestHowOneStandsIsSaidInWords(t *testing.T) {
	h := newHands(t, 1366, 768, Options{Store: practised("en", 100)})
	h.press("progress")
	assert.Contains(t, h.labels(), "In your last 5 sittings you came to 86 of 100 points on average")
	assert.Contains(t, h.labels(), "Predictions: 30 of 38 right.")
	h = newHands(t, 1366, 768, Options{})
	h.press("progress")
	assert.Contains(t, h.labels(), h.say("bench.progress.none"))
	assert.NotContains(t, h.labels(), "image:"+h.say("bench.progress.picture"))
	h.press("next case")
	assert.NotEmpty(t, h.find("examine led").ID)
}

// An introduction is there as a whole on a small laptop. The parts that can be practised
// stand on one thread: beside one another, or below where their names need the room.
func TestAnIntroductionIsCalm(t *testing.T) {
	for _, size := range []struct {
		w, h   float64
		text   int
		beside bool
	}{{1366, 625, 100, true}, {390, 844, 100, false}, {640, 900, 200, false}} {
		for _, language := range assets.Languages() {
			h := newHands(t, size.w, size.h, Options{Store: practised(language, size.text)})
			h.press("case ferry-clerk")
			name := fmt.Sprint(size, language)
			checkLayout(t, h, name)
			rows, columns := map[float64]bool{}, map[float64]bool{}
			for _, th := range h.a.desk.UI.Things() {
				if strings.HasPrefix(th.ID, "drill ") {
					rows[th.Rect.Y], columns[th.Rect.X] = true, true
					assert.GreaterOrEqual(t, th.Rect.H, 44.0, name)
					assert.GreaterOrEqual(t, th.Rect.W, 44.0, name)
				}
			}
			assert.Len(t, rows, map[bool]int{true: 1, false: len(cases.Stages())}[size.beside], name)
			assert.Len(t, columns, map[bool]int{false: 1, true: len(cases.Stages())}[size.beside], name)
			if size.beside {
				assert.Empty(t, h.thing("bar:case").ID, "%s: nothing is to be scrolled", name)
			}
		}
	}
}

// Pictures of what there is to see once somebody has practised.
func TestPicturesOfSomebodyPractised(t *testing.T) {
	long(t)
	folder := filepath.Join("testdata", "screens")
	h := newHands(t, 1366, 768, Options{Store: practised("en", 100)})
	h.press("progress")
	compare(t, h, filepath.Join(folder, "progress of many.png"))
	phone := newHands(t, 390, 844, Options{Store: practised("de", 100)})
	phone.press("case ferry-clerk")
	compare(t, phone, filepath.Join(folder, "case on a phone.png"))
}
