package bench

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// A cylinder is held up where the one in the frame stands, turned by its keys, by its knob
// and by the keyboard, and flicked in and out at its axis; it takes the place of a sphere.
func TestACylinderIsHeldUp(t *testing.T) {
	h := newHands(t, 1920, 1080, Options{Case: "ferry-clerk"})
	h.press("hold +0.50")
	h.press("hold cylinders")
	assert.Equal(t, optics.Lens{}, h.frameNow().Held, "the sphere is laid down")
	h.press("hold cylinder -0.25")
	assert.Equal(t, optics.CylinderOf(-0.25, 170), h.frameNow().Held)
	h.press("held axis +5")
	assert.Equal(t, optics.CylinderOf(-0.25, 175), h.frameNow().Held)
	h.press("hold cylinder -0.25")
	assert.Equal(t, optics.Lens{}, h.frameNow().Held, "out")
	h.press("hold cylinder -0.25")
	assert.Equal(t, optics.CylinderOf(-0.25, 175), h.frameNow().Held, "and in, at its axis")
	h.press("hold cylinder -0.50")
	assert.Equal(t, optics.CylinderOf(-0.5, 175), h.frameNow().Held)

	c, knob := h.find("cylinder").Rect.Centre(), h.find("held cylinder").Rect.Centre()
	r := shape.At(c, knob.X-c.X, 0).X - c.X
	h.drag(knob, shape.At(c, -r, 145))
	assert.Equal(t, 145.0, h.frameNow().Held.Axis)
	assert.Equal(t, 170.0, h.frameNow().Lenses[optics.Front1].Axis, "the one in the frame stays")
	h.a.desk.UI.Focus("held cylinder")
	h.frame(ui.Input{Keys: []ui.Press{{Key: ui.Left, Shift: true}}, Shift: true})
	h.settle()
	assert.Equal(t, 144.0, h.frameNow().Held.Axis)
	h.press("hold spheres")
	assert.Equal(t, optics.Lens{}, h.frameNow().Held)
	h.find("hold +0.50")
}

// On a telephone it is held up and turned as well.
func TestACylinderIsHeldUpOnATelephone(t *testing.T) {
	h := newHands(t, 390, 844, Options{Case: "ferry-clerk"})
	h.press("hold cylinders")
	h.press("held axis -5")
	h.press("hold cylinder -0.50")
	assert.Equal(t, optics.CylinderOf(-0.5, 165), h.frameNow().Held)
	c, knob := h.find("cylinder").Rect.Centre(), h.find("held cylinder").Rect.Centre()
	h.drag(knob, shape.At(c, math.Hypot(knob.X-c.X, knob.Y-c.Y), shape.Degrees(c, knob)+20))
	assert.Equal(t, 5.0, h.frameNow().Held.Axis)
	assert.Equal(t, 170.0, h.frameNow().Lenses[optics.Front1].Axis, "the other one has a knob of its own")
}

// Where the screen is narrow the small portrait, pressed beside its knobs, takes the wall's
// place. There the cylinder is turned by hand and questions are asked; another press, or
// what shows a chart, brings the wall back.
func TestTheFrameTakesTheWallsPlace(t *testing.T) {
	h := newHands(t, 390, 844, Options{Case: "ferry-clerk"})
	h.press("show fan")
	h.press("lean in")
	checkLayout(t, h, "near")
	_, wall := h.look("charts")
	assert.False(t, wall)
	r := h.find("cylinder").Rect
	c := r.Centre()
	h.drag(shape.At(c, r.W/2-24, 170), shape.At(c, r.W/2-24, 200))
	assert.Equal(t, 20.0, h.frameNow().Lenses[optics.Front1].Axis)
	h.press("ask which")
	assert.NotNil(t, h.log().Events[len(h.log().Events)-1].Answer)
	h.press("lean in")
	h.find("charts")
	h.press("lean in")
	h.press("lean back")
	h.find("charts")
	h.press("lean in")
	h.key(ui.Escape)
	h.find("charts")
	h.press("lean in")
	h.write("r")
	h.find("charts")
}

// The last change of a lens is put back by its button and by its keys: the log has one more
// action. Where nothing was changed it is refused in words.
func TestTheLastLensIsPutBack(t *testing.T) {
	for _, size := range []struct{ w, h float64 }{{1366, 625}, {390, 844}} {
		h := newHands(t, size.w, size.h, Options{Case: "ferry-clerk"})
		h.press("undo")
		assert.Equal(t, h.say("bench.undo.nothing"), h.notice())
		was := h.frameNow()
		h.press("back+0.25")
		h.press("undo")
		assert.Equal(t, was, h.frameNow())
		h.press("out front 1")
		h.write("z")
		assert.Equal(t, was, h.frameNow())
		h.press("menu")
		h.key(ui.Undo)
		assert.Equal(t, was, h.frameNow(), "a sheet lies in front")
		h.press("menu close")
		h.key(ui.Undo)
		assert.NotEqual(t, was, h.frameNow(), "the putting back is put back")
		h.key(ui.Undo)
		assert.Equal(t, was, h.frameNow())
		var did []sitting.Verb
		for _, e := range h.log().Events {
			did = append(did, e.Action.Do)
		}
		assert.Equal(t, []sitting.Verb{sitting.Exchange, sitting.Exchange, sitting.Take, sitting.Put, sitting.Take, sitting.Put}, did)
		assert.Equal(t, 6, h.visit().Steps().Total(), "each counts")
	}
}
