package bench

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/optics"
)

// The window over the case is dragged to where lenses are, and moved by keys; a lens that
// is pressed goes in, and the set is closed.
func TestALensIsFoundByTheWindow(t *testing.T) {
	h := newHands(t, 1366, 625, Options{Case: "ferry-clerk"})
	h.press("other back")
	r := h.find("window").Rect
	h.drag(paper.Point{X: r.Centre().X, Y: r.Bottom() - 10}, paper.Point{X: r.X + 0.8*r.W, Y: r.Bottom() - 10})
	h.press("lens +12.00")
	assert.Equal(t, optics.SphereOf(12), h.frameNow().Lenses[optics.Back])
	assert.False(t, h.front())
	h.press("other back")
	h.a.desk.UI.Focus("window")
	for range 3 {
		h.key(ui.Left)
	}
	h.press("lens +8.00")
	assert.Equal(t, optics.SphereOf(8), h.frameNow().Lenses[optics.Back])
}

// A typed power is taken by Enter, or refused with what the set has.
func TestAPowerIsTypedIntoTheSet(t *testing.T) {
	h := newHands(t, 1366, 625, Options{Case: "ferry-clerk"})
	h.press("other back")
	h.fill("power", "-3.3")
	h.key(ui.Enter)
	assert.True(t, h.front(), "refused")
	assert.Equal(t, optics.SphereOf(-1), h.frameNow().Lenses[optics.Back])
	h.fill("power", "-3.25")
	h.key(ui.Enter)
	assert.Equal(t, optics.SphereOf(-3.25), h.frameNow().Lenses[optics.Back])
}

// The axis of a new cylinder is dragged, typed, and turned by keys and buttons.
func TestTheAxisOfANewCylinder(t *testing.T) {
	h := newHands(t, 1366, 625, Options{Case: "ferry-clerk"})
	h.press("other front 1") // at 170
	r := h.find("new axis").Rect
	c := r.Centre()
	h.drag(shape.At(c, 40, 170), shape.At(c, 40, 120))
	assert.Equal(t, "120", h.find("axis typed").Value)
	h.press("new axis -5")
	h.a.desk.UI.Focus("new axis")
	h.frame(ui.Input{Keys: []ui.Press{{Key: ui.Right, Shift: true}}, Shift: true})
	h.settle()
	assert.Equal(t, "116", h.find("axis typed").Value)
	h.frame(ui.Input{Pointer: c, Over: true, Wheel: 1})
	h.settle()
	assert.Equal(t, "116", h.find("axis typed").Value, "the wheel turns no cylinder")
	h.fill("axis typed", "25")
	h.press("lens -0.75")
	assert.Equal(t, optics.CylinderOf(-0.75, 25), h.frameNow().Lenses[optics.Front1])
}

// What is allowed as an axis stands at its field; what is none is refused, in words, as soon as
// it is typed, until it is one or the dial is turned. To clear the field is no mistake.
func TestNonsenseIsNoAxis(t *testing.T) {
	h := newHands(t, 1366, 625, Options{Case: "ferry-clerk"})
	h.press("other front 1") // at 170
	assert.Contains(t, h.labels(), "Axis, 1 to 180")
	refused := func(text string) bool {
		h.fill("axis typed", text)
		s := h.a.Status()
		assert.Equal(t, s.Refused != "", strings.Contains(h.labels(), "is no axis"), text)
		return s.Refused != ""
	}
	for _, text := range []string{"x", "400", "181", "-5", "4.5"} {
		assert.True(t, refused(text), text)
	}
	assert.False(t, refused(""))
	assert.True(t, refused("40x"))
	assert.Contains(t, h.labels(), "it stays at 40")
	h.press("new axis -5")
	assert.Empty(t, h.a.Status().Refused)
	assert.Equal(t, "35", h.find("axis typed").Value)
	h.fill("axis typed", "180")
	assert.Empty(t, h.a.Status().Refused)
	h.fill("axis typed", "400")
	h.press("kind spheres")
	assert.Empty(t, h.a.Status().Refused, "spheres have no axis")
}

// The hand is a place of its own: what is pressed there is held up, a cylinder at its axis.
func TestTheSetHoldsUp(t *testing.T) {
	h := newHands(t, 1366, 625, Options{Case: "ferry-clerk"})
	h.press("other back")
	h.press("into hand")
	h.press("lens +0.50")
	assert.Equal(t, optics.SphereOf(0.5), h.frameNow().Held)
	h.press("other back")
	h.press("into hand")
	h.press("kind cylinders")
	h.press("lens -0.25")
	assert.Equal(t, optics.CylinderOf(-0.25, 170), h.frameNow().Held, "in the place of the other")
}

// What is pressed in the set is large enough for a finger, on a telephone too.
func TestTheSetIsLargeEnoughForAFinger(t *testing.T) {
	long(t)
	for _, size := range []struct{ w, h float64 }{{1024, 640}, {1366, 625}, {390, 844}} {
		for _, language := range assets.Languages() {
			m := newMemory()
			m.files[settings.File] = fmt.Appendf(nil, `{"textSize":100,"curtain":1,"language":%q}`, language)
			h := newHands(t, size.w, size.h, Options{Store: m, Case: "ferry-clerk"})
			h.press("other front 1")
			checkLayout(t, h, "cylinders")
			for _, th := range h.a.desk.UI.Things() {
				if !th.Behind && (th.Role == ui.RoleButton || th.Role == ui.RoleField) {
					assert.GreaterOrEqual(t, min(th.Rect.W, th.Rect.H), 43.9, "%v %s: %s", size, language, th.ID)
				}
			}
			for _, do := range []string{"into hand", "into back", "kind pieces"} {
				h.press(do)
				checkLayout(t, h, do)
			}
		}
	}
}

// The set and the leading question as they were looked at.
func TestPicturesOfWhatLiesInFront(t *testing.T) {
	long(t)
	for _, size := range []struct {
		name string
		w, h float64
	}{{"small", 1366, 625}, {"phone", 390, 844}} {
		h := newHands(t, size.w, size.h, Options{Case: "ferry-clerk"})
		h.press("other front 1")
		compare(t, h, filepath.Join("testdata", "screens", "set "+size.name+".png"))
		h.press("trial set close")
		require.False(t, h.front())
		h.press("show fan")
		h.press("lead")
		compare(t, h, filepath.Join("testdata", "screens", "lead "+size.name+".png"))
	}
}
