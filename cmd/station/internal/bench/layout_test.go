package bench

import (
	"fmt"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/assets"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/replay"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
)

// size is that of a window, logical pixels.
type size struct{ w, h float64 }

// screenSizes are those of small and large desktops and of a phone held upright.
var screenSizes = []size{{1024, 640}, {1366, 625}, {1366, 768}, {1920, 1080}, {2560, 1440}, {390, 844}}

// tour shows every screen and dialog once.
func tour(h *hands, see func(name string)) {
	see("home")
	h.press("case ferry-clerk")
	see("case")
	h.press("examine")
	see("bench")
	h.press("cover left")
	h.press("show fan")
	h.press("ask which")
	see("fan")
	h.press("put in")
	see("trial set")
	h.press("kind cylinders")
	see("cylinders")
	h.press("lens -0.50")
	see("two cylinders")
	h.press("show arrow")
	h.press("view")
	h.press("view") // twice: it stays
	see("arrow")
	h.press("show letters")
	h.press("view")
	h.press("hold +0.50")
	h.press("ask read")
	see("letters")
	h.press("ask row")
	see("rows")
	h.press("rows close")
	h.press("show duochrome")
	h.press("lead")
	see("leading")
	h.press("leading close")
	h.press("card")
	see("card")
	h.press("card close")
	h.press("hint")
	see("hint")
	h.press("hint close")
	h.press("menu")
	see("menu")
	h.press("settings")
	see("settings")
	h.press("calibrate")
	see("calibrate")
	h.press("calibrate close")
	h.press("menu")
	h.press("keys")
	see("keys")
	h.press("keys close")
	h.press("end")
	see("end")
	h.press("acuity 6/6")
	h.press("end now")
	see("result")
	h.press("replay")
	for range 3 {
		h.press("forward")
	}
	see("replay") // of an answer
	for n, all := on[*replay.Screen](h).Sitting().At(); n < all; n++ {
		h.press("forward")
	}
	see("replay end")
	h.press("leave replay")
	h.press("home")
	h.press("progress")
	see("progress")
	h.press("delete all")
	see("delete")
	h.press("delete close")
	h.press("progress close")
	see("home again")
}

// One sitting is looked at in all windows of a kind: what the patient sees and says takes
// longer than to draw it.
func TestNoTextIsCutAndNothingOverlaps(t *testing.T) {
	long(t)
	last := len(screenSizes) - 1
	for name, sizes := range map[string][]size{"desktops": screenSizes[:last], "phone": screenSizes[last:]} {
		for _, text := range []int{100, 200} {
			for _, language := range assets.Languages() {
				t.Run(fmt.Sprintf("%s at %d in %s", name, text, language), func(t *testing.T) {
					m := newMemory()
					m.files[settings.File] = fmt.Appendf(nil, `{"textSize":%d,"curtain":1,"language":%q}`, text, language)
					h := newHands(t, sizes[0].w, sizes[0].h, Options{Store: m})
					tour(h, func(name string) { h.everywhere(sizes, func(where string) { h.check(text, name+where) }) })
				})
			}
		}
	}
}

// On tablets, and on laptops with little height, the tray lies beside the conoid, or above
// it; all that there is can be found and pressed.
func TestTheTrayLiesBesideTheConoid(t *testing.T) {
	sizes := []size{{1024, 768}, {1280, 720}}
	for _, language := range assets.Languages() {
		m := newMemory()
		m.files[settings.File] = fmt.Appendf(nil, `{"textSize":100,"curtain":1,"language":%q}`, language)
		h := newHands(t, 768, 1024, Options{Store: m, Case: "ferry-clerk"})
		see := func(name string) {
			h.everywhere(sizes, func(where string) { h.check(100, name+" "+language+where) })
		}
		h.press("hold cylinders")
		h.press("hold cylinder -0.50")
		h.press("show arrow")
		see("arrow")
		h.press("show fan")
		h.press("ask which")
		see("asked")
		h.w, h.h = 1024, 768
		h.a.again = true
		h.settle()
		h.press("tab conoid")
		h.press("open conoid")
		h.press("tab lenses")
		h.press("back+0.25")
		assert.Contains(t, h.labels(), h.say("bench.talk.sofar"))
		_, again := h.look("tab said")
		assert.False(t, again, "it is listed under the answer")
		h.find("cylinder")
		_, leans := h.look("lean in")
		assert.False(t, leans, "it is as large as it can be")
	}
}

// Who works alone has what was said so far where the conoid would be shut, and the conoid
// beside it; the bar says how they work. On a telephone a long answer is there whole, with
// less around it.
func TestWhoWorksAloneSeesWhatWasSaid(t *testing.T) {
	h := newHands(t, 1366, 625, Options{Case: "ferry-clerk"})
	assert.Contains(t, h.labels(), h.a.desk.Voice().Value(chair.Alone))
	h.command("cover left")
	assert.Contains(t, h.labels(), "The left eye is covered.")
	_, there := h.look("open conoid")
	assert.False(t, there)
	h.press("tab conoid")
	h.press("open conoid")
	h.press("tab said")
	assert.Contains(t, h.labels(), "The left eye is covered.")
	h.a.desk.Change(func(s *settings.Settings) { s.Language = "de" })
	h.press("hold +0.50") // so that there is much to tell
	h.press("show letters")
	h.press("ask read")
	h.w, h.h = 390, 844
	h.a.again = true
	h.settle()
	assert.NotContains(t, h.labels(), "bar:answer ", "nothing of it is to be scrolled")
	checkLayout(t, h, "a long answer")
}

// everywhere has the window in each of several sizes, and at last as it was.
func (h *hands) everywhere(sizes []size, see func(where string)) {
	was := size{h.w, h.h}
	for _, s := range append(slices.Clone(sizes), was) {
		if h.w, h.h = s.w, s.h; len(sizes) > 1 {
			h.a.again = true
			h.settle()
		}
		see(fmt.Sprintf(" in %vx%v", s.w, s.h))
	}
}

// check checks a screen with text of a size, per cent.
func (h *hands) check(text int, name string) {
	h.t.Helper()
	checkLayout(h.t, h, name)
	if text == 100 && h.w >= 1366 {
		checkOneLine(h.t, h, name)
	}
}

// checkLayout checks that every text fits its place, that everything lies in
// the window across, and that no two parts lie over each other.
func checkLayout(t *testing.T, h *hands, name string) {
	t.Helper()
	var parts []ui.Thing
	for _, th := range h.a.desk.UI.Things() {
		assert.False(t, th.Cut, "%s: %q does not fit %v", name, th.Label, th.Rect)
		if th.Behind {
			continue
		}
		assert.GreaterOrEqual(t, th.Rect.X, -0.5, "%s: %q", name, th.Label)
		assert.LessOrEqual(t, th.Rect.Right(), h.w+0.5, "%s: %q", name, th.Label)
		if th.Role == ui.RoleButton || th.Role == ui.RoleField || th.Role == ui.RoleText {
			parts = append(parts, th)
		}
	}
	for i, a := range parts {
		for _, b := range parts[:i] {
			seen := a.Rect.Intersect(a.Clip).Intersect(b.Rect.Intersect(b.Clip))
			if inside(a, b) || inside(b, a) {
				continue
			}
			assert.False(t, seen.W > 1 && seen.H > 1, "%s: %q lies over %q", name, a.Label, b.Label)
		}
	}
}

// checkOneLine checks that no label takes more than one line of its button, or two
// where questions stand in a row.
func checkOneLine(t *testing.T, h *hands, name string) {
	t.Helper()
	for _, th := range h.a.desk.UI.Things() {
		most := 1
		if spoken.MatchString(th.ID) {
			most = 2
		}
		assert.LessOrEqual(t, th.Lines, most, "%s: %q wraps", name, th.Label)
	}
}

// spoken are the buttons that say something to the patient.
var spoken = regexp.MustCompile("^(ask .*|explain|lead|guide .|something else)$")

// On a small laptop what is done with a lens stands in one row, however strong the
// lens is, and the usual charts stand below one another; the others are behind More.
func TestRowsOfASmallLaptop(t *testing.T) {
	for _, language := range assets.Languages() {
		m := newMemory()
		m.files[settings.File] = fmt.Appendf(nil, `{"textSize":100,"curtain":1,"language":%q}`, language)
		h := newHands(t, 1366, 768, Options{Store: m, Case: "ferry-clerk"})
		h.command("change sphere to -20.00")
		h.press("show fan")
		row := func(id string) float64 { return h.find(id).Rect.Y }
		for _, cell := range []string{"back", "front 1"} {
			assert.Equal(t, row(cell+"-0.25"), row("out "+cell), "%s: %s", language, cell)
		}
		charts := map[float64]bool{}
		for _, id := range []string{"show fan", "show arrow", "show blocks", "show letters", "show duochrome", "charts"} {
			charts[h.find(id).Rect.X] = true
		}
		assert.Len(t, charts, 1, language)
		assert.False(t, h.front())
		h.press("show clock")
		assert.Equal(t, chart.Clock, h.visit().State().Chart)
		assert.False(t, h.front(), "the sheet is shut again")
	}
}

// inside reports whether a text is part of a button.
func inside(a, b ui.Thing) bool {
	return a.Role == ui.RoleText && b.Role == ui.RoleButton && b.Rect.Inset(-0.5).Contains(a.Rect.Centre())
}

// Those who work with the left hand have the lenses on the left.
func TestTheLensesStandOnEitherSide(t *testing.T) {
	side := func(left bool) (lenses, talk float64) {
		m := newMemory()
		m.files[settings.File] = fmt.Appendf(nil, `{"textSize":100,"curtain":1,"language":"en","left":%v}`, left)
		h := newHands(t, 1366, 768, Options{Store: m, Case: "ferry-clerk"})
		h.press("show fan")
		checkLayout(t, h, "left")
		return h.find("cylinder").Rect.X, h.find("ask which").Rect.X
	}
	lenses, talk := side(false)
	assert.Greater(t, lenses, talk)
	lenses, talk = side(true)
	assert.Less(t, lenses, talk)
}

// A card of 85.60 mm (ISO/IEC 7810, ID-1) that is 428 pixels wide makes 5
// pixels to the millimetre. Seen from 6 m, a minute of arc is 6000 tan(1/60
// degree) = 1.745 mm, 8.73 pixels: a chart on the wall is then true to scale
// when its window of so many minutes is 8.73 times as many pixels wide.
func TestTheScaleOfTheChart(t *testing.T) {
	text := func(card, viewing, pixels float64) string {
		return wall.Scale{Card: card, Viewing: viewing}.Text(voice.English, pixels)
	}
	assert.Contains(t, text(0, 600, 8.7266), "Not to scale")
	assert.Contains(t, text(428, 600, 8.7266), "True to scale")
	assert.Contains(t, text(428, 600, 2*8.7266), "2 times")
	assert.Contains(t, text(428, 300, 2*8.7266), "4 times", "from half as far it looks twice as large again")
}

func TestEveryLabelIsThere(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 768, Options{})
	tour(h, func(name string) {
		for _, th := range h.a.desk.UI.Things() {
			assert.NotRegexp(t, `^[a-z]+\.[a-z. 0-9]+|%!|\{`, th.Label, "%s: a label is missing", name)
		}
	})
}

// Beside the patient's view stands that a picture of blur costs more than blur does,
// in every language and without anything being moved; beside the chart as it hangs
// there is no need of it.
func TestThePatientsViewIsNotTakenForTheRealThing(t *testing.T) {
	for _, size := range []struct{ w, h float64 }{{1366, 625}, {1366, 768}, {1600, 900}, {1920, 1080}} {
		for _, language := range assets.Languages() {
			m := newMemory()
			m.files[settings.File] = fmt.Appendf(nil, `{"textSize":100,"curtain":1,"language":%q}`, language)
			h := newHands(t, size.w, size.h, Options{Store: m, Case: "ferry-clerk"})
			note := h.say("bench.wall.picture")
			for _, name := range []string{"fan", "letters", "arrow", "blocks", "duochrome"} {
				h.press("show " + name)
				beside := h.find("show duochrome").Rect
				assert.NotContains(t, h.labels(), note)
				h.press("view")
				if wall.Swaps(chart.Name(name)) {
					h.press("view") // twice: it stays
				}
				assert.Contains(t, h.labels(), note, name)
				checkLayout(t, h, name)
				assert.Equal(t, beside, h.find("show duochrome").Rect, "%s: nothing moves", name)
				h.press("view")
				assert.NotContains(t, h.labels(), note)
			}
		}
	}
}
