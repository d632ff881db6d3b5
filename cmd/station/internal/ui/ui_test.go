package ui_test

import (
	"image/color"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// contrast is the contrast ratio of two colours. Source: WCAG 2.1, definitions
// of relative luminance and contrast ratio.
func contrast(a, b color.NRGBA) float64 {
	light := func(c color.NRGBA) float64 {
		l := func(v uint8) float64 {
			s := float64(v) / 255
			if s <= 0.03928 {
				return s / 12.92
			}
			return math.Pow((s+0.055)/1.055, 2.4)
		}
		return 0.2126*l(c.R) + 0.7152*l(c.G) + 0.0722*l(c.B)
	}
	x, y := light(a), light(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// 4.5 to 1 for text and 3 to 1 for parts: WCAG 2.1, success criteria 1.4.3 and
// 1.4.11.
func TestContrast(t *testing.T) {
	for name, th := range map[string]ui.Theme{"light": ui.Light(), "dark": ui.Dark()} {
		for _, ground := range []color.NRGBA{th.Room, th.Desk, th.Sheet, th.Touch} {
			for _, text := range []color.NRGBA{th.Ink, th.Quiet, th.Warn, th.Blue, th.Amber} {
				assert.GreaterOrEqual(t, contrast(text, ground), 4.5, name)
			}
			for _, part := range []color.NRGBA{th.Act, th.Edge, th.Brass} {
				assert.GreaterOrEqual(t, contrast(part, ground), 3.0, name)
			}
		}
		assert.GreaterOrEqual(t, contrast(th.OnAct, th.Act), 4.5, name)
		for _, ground := range []color.NRGBA{th.Sheet, th.Felt} {
			assert.GreaterOrEqual(t, contrast(th.Steel, ground), 3.0, name)
		}
		for _, ground := range []color.NRGBA{th.Room, th.Desk} {
			assert.GreaterOrEqual(t, contrast(th.Wood, ground), 3.0, name)
		}
		for _, text := range []color.NRGBA{th.Chamber.Ink, th.Chamber.Quiet, th.Chamber.Blue, th.Chamber.Amber} {
			assert.GreaterOrEqual(t, contrast(text, th.Chamber.Ground), 4.5, name)
		}
	}
	assert.InDelta(t, 21, contrast(color.NRGBA{255, 255, 255, 255}, color.NRGBA{0, 0, 0, 255}), 1e-9)
}

// screen is a small screen for tests.
type screen struct {
	u       *ui.UI
	text    string
	pressed []string
	dialog  bool
}

func (s *screen) frame(in ui.Input) {
	u := s.u
	u.Begin(in, 400, 300)
	f := u.Flow(10, 10, 380)
	for _, id := range []string{"one", "two", "three"} {
		if f.ButtonIf(id != "two", id, id, ui.Plain) {
			s.pressed = append(s.pressed, id)
		}
	}
	u.Field("field", paper.Rect{X: 10, Y: 60, W: 200, H: 30}, "Field", &s.text)
	x, y, w := u.Scroll("column", paper.Rect{X: 10, Y: 100, W: 200, H: 100}, false)
	c := u.Column(x, y, w)
	for _, id := range []string{"a", "b", "c", "d", "e"} {
		if u.Button(id, c.Block(40), id, ui.Plain) {
			s.pressed = append(s.pressed, id)
		}
	}
	u.EndScroll(c.Y)
	if s.dialog && u.Dialog("dialog", "Dialog", "Close", 300, func(c *ui.Column) { c.Para("text", ui.Body) }) {
		s.dialog = false
	}
	u.End()
}

func (s *screen) keys(keys ...ui.Key) {
	for _, k := range keys {
		s.frame(ui.Input{Keys: []ui.Press{{Key: k}}})
	}
	s.frame(ui.Input{})
}

func (s *screen) focused() string {
	for _, t := range s.u.Things() {
		if t.Focused {
			return t.ID
		}
	}
	return ""
}

func (s *screen) at(id string) paper.Rect {
	for _, t := range s.u.Things() {
		if t.ID == id {
			return t.Rect
		}
	}
	return paper.Rect{}
}

func (s *screen) click(p paper.Point) {
	s.frame(ui.Input{Pointer: p, Over: true, Down: true, Pressed: true})
	s.frame(ui.Input{Pointer: p, Over: true, Released: true})
}

func TestTabGoesThroughAllThatCanBeUsedAndAround(t *testing.T) {
	s := &screen{u: ui.New()}
	var order []string
	for range 8 {
		s.keys(ui.Tab)
		order = append(order, s.focused())
	}
	assert.Equal(t, []string{"one", "three", "field", "a", "b", "c", "d", "e"}, order, "two is out of use")
	s.keys(ui.Tab)
	assert.Equal(t, "one", s.focused())
	s.frame(ui.Input{Keys: []ui.Press{{Key: ui.Tab, Shift: true}}})
	s.frame(ui.Input{})
	assert.Equal(t, "e", s.focused())
}

func TestWhatHasTheFocusIsScrolledIntoView(t *testing.T) {
	s := &screen{u: ui.New()}
	for range 8 {
		s.keys(ui.Tab)
	}
	assert.Equal(t, "e", s.focused())
	s.frame(ui.Input{})
	r := s.at("e")
	assert.LessOrEqual(t, r.Bottom(), 200.0)
	assert.GreaterOrEqual(t, r.Y, 100.0)
}

func TestArrowKeysGoToTheNeighbour(t *testing.T) {
	s := &screen{u: ui.New()}
	s.keys(ui.Tab, ui.Right)
	assert.Equal(t, "three", s.focused())
	s.keys(ui.Down)
	assert.Equal(t, "field", s.focused())
}

func TestButtonsArePressedByMouseAndKeys(t *testing.T) {
	s := &screen{u: ui.New()}
	s.frame(ui.Input{})
	s.click(s.at("one").Centre())
	s.click(s.at("two").Centre())
	s.keys(ui.Tab, ui.Enter, ui.Space)
	assert.Equal(t, []string{"one", "three", "three"}, s.pressed)
	// Pressed, and let go elsewhere: nothing.
	s.pressed = nil
	s.frame(ui.Input{Pointer: s.at("one").Centre(), Over: true, Down: true, Pressed: true})
	s.frame(ui.Input{Pointer: paper.Point{X: 390, Y: 290}, Over: true, Released: true})
	assert.Empty(t, s.pressed)
}

func TestFieldIsEdited(t *testing.T) {
	s := &screen{u: ui.New()}
	s.frame(ui.Input{})
	s.click(s.at("field").Centre())
	s.frame(ui.Input{Text: "6/6é"})
	s.keys(ui.Backspace, ui.Home)
	s.frame(ui.Input{Text: "−"})
	s.keys(ui.End)
	s.frame(ui.Input{Text: "x\x07"})
	assert.Equal(t, "−6/6x", s.text)
	s.keys(ui.Left, ui.Left, ui.Delete)
	assert.Equal(t, "−6/x", s.text)
}

// What is meant by its name gets the focus, comes into view and is pressed, wherever the
// focus was.
func TestWhatIsMeantByItsNameIsPressed(t *testing.T) {
	s := &screen{u: ui.New()}
	s.frame(ui.Input{})
	enter := []ui.Press{{Key: ui.Enter}}
	s.frame(ui.Input{Aim: "e", Keys: enter})
	s.frame(ui.Input{})
	assert.Equal(t, []string{"e"}, s.pressed)
	assert.Equal(t, "e", s.focused())
	assert.LessOrEqual(t, s.at("e").Bottom(), 200.0, "it is scrolled into view")
	s.frame(ui.Input{Aim: "one"})
	s.frame(ui.Input{})
	assert.Equal(t, "one", s.focused())
	assert.Equal(t, []string{"e"}, s.pressed)

	for _, cannot := range []string{"two", "nobody"} {
		s.frame(ui.Input{Aim: cannot, Keys: enter})
		s.frame(ui.Input{})
		assert.Equal(t, "one", s.focused(), cannot)
		assert.Equal(t, []string{"e"}, s.pressed, "what was meant for another is not done to the one with the focus")
	}
	s.dialog = true
	s.frame(ui.Input{})
	s.frame(ui.Input{})
	s.frame(ui.Input{Aim: "one", Keys: enter})
	assert.Equal(t, []string{"e"}, s.pressed, "a dialog is in front")
}

// What a field says elsewhere is what could have been typed in it.
func TestAFieldIsWritten(t *testing.T) {
	s := &screen{u: ui.New()}
	s.frame(ui.Input{})
	s.frame(ui.Input{Aim: "field", Written: &ui.Written{Text: "6\x07/6", Caret: 2}})
	assert.Equal(t, "6/6", s.text)
	s.frame(ui.Input{Text: "−"})
	assert.Equal(t, "6−/6", s.text, "the caret is behind the first sign that can be seen")
	s.frame(ui.Input{Aim: "field", Written: &ui.Written{Text: "6\x07/6", Caret: 1, Mark: 2}})
	assert.Equal(t, []int{1, 1}, s.selected(), "what is selected there is selected here")
	s.frame(ui.Input{Aim: "field", Written: &ui.Written{Text: strings.Repeat("x", 300), Caret: 300}})
	assert.Len(t, s.text, 200)
	s.frame(ui.Input{Aim: "nobody", Written: &ui.Written{Text: "lost"}})
	assert.Len(t, s.text, 200)
}

func TestADialogShutsTheRestOut(t *testing.T) {
	s := &screen{u: ui.New(), dialog: true}
	s.frame(ui.Input{})
	s.frame(ui.Input{})
	s.click(s.at("one").Centre())
	assert.Empty(t, s.pressed)
	for range 3 {
		s.keys(ui.Tab)
		assert.Equal(t, "dialog close", s.focused())
	}
	s.keys(ui.Escape)
	assert.False(t, s.dialog)
	s.frame(ui.Input{})
	s.click(s.at("one").Centre())
	assert.Equal(t, []string{"one"}, s.pressed)
}

// After a dialog the focus is again where it was, unless something else has it.
func TestADialogGivesTheFocusBack(t *testing.T) {
	s := &screen{u: ui.New()}
	s.frame(ui.Input{Keys: []ui.Press{{Key: ui.Tab}}})
	s.keys(ui.Tab)
	was := s.focused()
	for _, then := range []string{"", "c"} {
		s.dialog = true
		s.keys(ui.Tab)
		s.keys(ui.Tab)
		assert.Equal(t, "dialog close", s.focused())
		if then != "" {
			s.u.Focus(then)
			was = then
		}
		s.keys(ui.Escape)
		s.frame(ui.Input{})
		assert.Equal(t, was, s.focused())
	}
}

func TestAColumnScrollsByWheelBarAndFinger(t *testing.T) {
	s := &screen{u: ui.New()}
	s.frame(ui.Input{})
	top := s.at("a").Y
	over := paper.Point{X: 100, Y: 150}
	s.frame(ui.Input{Pointer: over, Over: true, Wheel: -1})
	s.frame(ui.Input{})
	assert.Less(t, s.at("a").Y, top)
	s.frame(ui.Input{Pointer: over, Over: true, Wheel: 50})
	s.frame(ui.Input{})
	assert.Equal(t, top, s.at("a").Y, "not further than its start")

	s.frame(ui.Input{Pointer: over, Over: true, Down: true, Pressed: true})
	s.frame(ui.Input{Pointer: paper.Point{X: 100, Y: 120}, Over: true, Down: true})
	s.frame(ui.Input{Pointer: paper.Point{X: 100, Y: 110}, Over: true, Down: true})
	s.frame(ui.Input{Pointer: paper.Point{X: 100, Y: 110}, Over: true, Released: true})
	s.frame(ui.Input{})
	assert.InDelta(t, top-40, s.at("a").Y, 1)
	assert.Empty(t, s.pressed, "a drag presses nothing")

	bar := s.at("bar:column")
	s.frame(ui.Input{Pointer: paper.Point{X: bar.Centre().X, Y: bar.Bottom() - 2}, Over: true, Down: true, Pressed: true})
	s.frame(ui.Input{Released: true})
	s.frame(ui.Input{})
	assert.Less(t, s.at("a").Y, top-80, "to the end")
}

// A talk stays at its end when more is said and when its place shrinks, and where
// the user scrolled it to otherwise.
func TestAColumnThatIsToStayAtItsEndDoes(t *testing.T) {
	u := ui.New()
	last := func(high float64, lines int, in ui.Input) float64 {
		for range 2 {
			u.Begin(in, 200, 200)
			x, y, w := u.Scroll("talk", paper.Rect{W: 200, H: high}, true)
			c := u.Column(x, y, w)
			for range lines {
				c.Gap(20)
			}
			u.EndScroll(c.Y)
			u.End()
			in = ui.Input{}
		}
		_, y, _ := u.Scroll("talk", paper.Rect{W: 200, H: high}, true)
		return y + 20*float64(lines) // where the last line ends
	}
	assert.Equal(t, 150.0, last(150, 20, ui.Input{}))
	assert.Equal(t, 150.0, last(150, 21, ui.Input{}), "more was said")
	assert.Equal(t, 100.0, last(100, 21, ui.Input{}), "its place has shrunk")
	assert.Greater(t, last(100, 21, ui.Input{Pointer: paper.Point{X: 9, Y: 9}, Over: true, Wheel: 1}), 100.0, "scrolled back")
	assert.Greater(t, last(90, 21, ui.Input{}), 90.0, "it stays where the user has it")
}

// Cells of a table stand below one another where there is room for the columns.
func TestCellsOfATableStandInColumns(t *testing.T) {
	u := ui.New()
	u.Begin(ui.Input{}, 400, 300)
	rows := [][]string{{"0,5", "HNV", "read HNV"}, {"0,125", "Z", "read Z"}}
	assert.False(t, u.Column(0, 0, 60).Table(rows, ui.Small))
	c := u.Column(0, 0, 380)
	assert.True(t, c.Table(rows, ui.Small))
	assert.Equal(t, 2*u.LineHeight(ui.Small), c.Y)
	u.End()
	left := map[string]float64{}
	for _, th := range u.Things() {
		left[th.Label] = th.Rect.X
	}
	assert.Len(t, left, 6)
	assert.Equal(t, left["HNV"], left["Z"])
	assert.Equal(t, left["read HNV"], left["read Z"])
	assert.Less(t, left["0,125"], left["Z"])
	assert.Less(t, left["Z"], left["read Z"])
}

// A button that is held tells when it was taken and when it was let go of, wherever
// that was; a key only strikes it.
func TestAButtonThatIsHeld(t *testing.T) {
	u := ui.New()
	place := paper.Rect{X: 10, Y: 10, W: 80, H: 44}
	feed := func(in ui.Input) ui.Held {
		u.Begin(in, 200, 200)
		h := ui.Hold(u, true, "hold", place, "Hold", ui.Plain)
		u.End()
		return h
	}
	on, off := paper.Point{X: 20, Y: 20}, paper.Point{X: 150, Y: 150}
	assert.Equal(t, ui.Held{Taken: true}, feed(ui.Input{Pointer: on, Over: true, Down: true, Pressed: true}))
	assert.Equal(t, ui.Held{}, feed(ui.Input{Pointer: off, Over: true, Down: true}))
	assert.Equal(t, ui.Held{Freed: true}, feed(ui.Input{Pointer: off, Over: true, Released: true}))
	assert.Equal(t, ui.Held{}, feed(ui.Input{Pointer: off, Over: true, Down: true, Pressed: true}))
	feed(ui.Input{Pointer: on, Over: true, Down: true, Pressed: true})
	assert.Equal(t, ui.Held{Freed: true}, feed(ui.Input{Pointer: on, Over: true, Released: true}), "on it as well")
	u.Focus("hold")
	assert.Equal(t, ui.Held{Struck: true}, feed(ui.Input{Keys: []ui.Press{{Key: ui.Enter}}}))
}

// A window that changes its size lets go of what is held, and presses nothing by that.
func TestAWindowThatChangesItsSizeLetsGo(t *testing.T) {
	u := ui.New()
	place := paper.Rect{X: 10, Y: 10, W: 80, H: 44}
	on := paper.Point{X: 20, Y: 20}
	feed := func(in ui.Input, w float64) (g ui.Grip, pressed bool) {
		u.Begin(in, w, 200)
		g = u.Grip("grip", "Grip", "", place, nil)
		pressed = u.Button("button", paper.Rect{X: 10, Y: 100, W: 80, H: 44}, "Button", ui.Plain)
		u.End()
		return g, pressed
	}
	down := ui.Input{Pointer: on, Over: true, Down: true}
	feed(ui.Input{Pointer: on, Over: true, Down: true, Pressed: true}, 200)
	g, _ := feed(down, 200)
	assert.True(t, g.Held)
	g, _ = feed(down, 300)
	assert.True(t, g.Freed)
	g, _ = feed(down, 300)
	assert.False(t, g.Held || g.Freed, "it is not taken up again")

	on.Y = 110
	feed(ui.Input{Pointer: on, Over: true, Down: true, Pressed: true}, 300)
	_, pressed := feed(ui.Input{Pointer: on, Over: true, Down: true}, 200)
	assert.False(t, pressed)
	_, pressed = feed(ui.Input{Pointer: on, Over: true, Released: true}, 200)
	assert.False(t, pressed)
}

// A part that moves by itself, as lids do, is drawn again when its time has come
// and not before; the earliest of several counts, and a frame forgets the last.
func TestAFrameIsWokenWhenItIsDue(t *testing.T) {
	u := ui.New()
	u.Begin(ui.Input{}, 100, 100)
	assert.False(t, u.Woken(time.Hour), "nobody waits")
	u.Wake(3 * time.Second)
	u.Wake(2 * time.Second)
	u.Wake(4 * time.Second)
	assert.False(t, u.Woken(2*time.Second-1))
	assert.True(t, u.Woken(2*time.Second))
	u.Begin(ui.Input{}, 100, 100)
	assert.False(t, u.Woken(time.Hour))
}
