package chairside

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/paper"
)

func TestTheMeasuresOfTheGrid(t *testing.T) {
	for _, c := range []struct {
		w, h float64
		box  paper.Rect
		desk float64
	}{
		{1366, 625, paper.Rect{X: 108, Y: 52, W: 583, H: 329}, 186},
		{1366, 768, paper.Rect{X: 108, Y: 52, W: 626, H: 353}, 305},
		{1920, 1080, paper.Rect{X: 136, Y: 60, W: 1089, H: 614}, 348},
	} {
		g := GridOf(c.w, c.h, false)
		assert.Equal(t, c.box, g.Box)
		assert.Equal(t, c.desk, g.Desk.H)
		assert.Equal(t, c.h, g.Desk.Bottom())
		m := GridOf(c.w, c.h, true)
		assert.Equal(t, g.Box.W, m.Box.W, "mirrored it is as large")
	}
	assert.Zero(t, GridOf(1179, 640, false).Rack.W)
	assert.NotZero(t, GridOf(1180, 640, false).Rack.W)
}

// Where there is no room for portrait and tray above the desk, the tray fits on it, in one
// column or two; the card stays as large as that allows.
func TestTheMeasuresOfASplitGrid(t *testing.T) {
	for _, c := range []struct {
		w, h float64
		box  float64 // width
		two  bool
	}{{768, 1024, 428, false}, {834, 1112, 469, false}, {1024, 768, 550, false}, {1180, 820, 592, false}, {1280, 720, 612, true}} {
		g := SplitOf(c.w, c.h, 1, false)
		assert.Equal(t, c.box, g.Box.W, "%v x %v", c.w, c.h)
		high := float64(nose.TrayHigh)
		if c.two {
			high = nose.TrayHighWide
		}
		assert.Equal(t, c.two, g.Side.W >= nose.TrayWide, "%v x %v", c.w, c.h)
		assert.GreaterOrEqual(t, g.Side.H-sideTabs, high, "%v x %v", c.w, c.h)
		assert.True(t, g.Split)
	}
}

// No part of the grid lies over another, and none leaves the window.
func TestThePartsOfTheGridLieApart(t *testing.T) {
	for _, s := range [][2]float64{{700, 520}, {1024, 640}, {1180, 600}, {1366, 625}, {1600, 900}, {1920, 1080}, {2560, 1440}} {
		for _, left := range []bool{false, true} {
			for _, g := range []Grid{GridOf(s[0], s[1], left), SplitOf(max(s[0], 768), max(s[1], 720), 1, left)} {
				apart(t, g)
			}
		}
	}
}

func apart(t *testing.T, g Grid) {
	s := [2]float64{g.Bar.W, g.Desk.Bottom()}
	parts := []paper.Rect{g.Bar, g.Rack, g.Box, g.Sill, g.Nose, g.Talk, g.Side}
	for i, a := range parts {
		assert.True(t, a.X >= 0 && a.Right() <= s[0]+0.01 && a.Bottom() <= s[1]+0.01, "%v: %d %v", s, i, a)
		for j, b := range parts[:i] {
			assert.False(t, a.Overlaps(b), "%v: %d and %d", s, i, j)
		}
	}
	for _, led := range []bool{false, true} {
		told := ToldIn(g.Talk, 1, led)
		for _, r := range []paper.Rect{told.Asks, told.Answer, told.Led, told.Aside, told.SoFar} {
			assert.True(t, r.Empty() || within(g.Talk, r), "%v: %v in %v", s, r, g.Talk)
		}
		assert.False(t, told.Answer.Overlaps(told.Asks))
		assert.False(t, told.Answer.Overlaps(told.Led))
		assert.False(t, told.Aside.Overlaps(told.Led))
		assert.False(t, told.Aside.Overlaps(told.SoFar))
	}
}

func within(r, part paper.Rect) bool {
	const little = 0.01
	return part.X >= r.X-little && part.Y >= r.Y-little && part.Right() <= r.Right()+little && part.Bottom() <= r.Bottom()+little
}
