package figure_test

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/render/figure"
	"conoid/render/voice"
	"conoid/sim/optics"
)

func steps() []figure.Step {
	truth := optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}.Power()
	var out []figure.Step
	for i, rx := range []optics.Rx{{Sphere: -1}, {Sphere: -0.5}, {Sphere: -0.5, Cyl: -1, Axis: 30}, {Sphere: -1, Cyl: -2, Axis: 30}} {
		out = append(out, figure.Step{N: i + 1, Worn: rx.Power(), Left: rx.Power().Sub(truth), Mistake: i == 1})
	}
	return out
}

func TestFiguresAreWellFormed(t *testing.T) {
	truth := optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}.Power()
	for _, f := range []*figure.Figure{figure.Astigmatism(voice.English, steps(), truth, &truth), figure.Focus(voice.English, steps()), figure.Focus(voice.English, nil), figure.Astigmatism(voice.English, nil, truth, nil)} {
		d := xml.NewDecoder(strings.NewReader(f.SVG()))
		for {
			_, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
		}
		for _, m := range f.Marks {
			for _, p := range m.Points {
				assert.True(t, p.X >= 0 && p.X <= f.W && p.Y >= 0 && p.Y <= f.H, "%v lies outside %q", p, f.Title)
			}
		}
		assert.NotEmpty(t, f.Alt)
	}
}

// A minus cylinder at 180 lies to the right, at 45 up, at 90 to the left: for a
// cylinder C at axis a, J0 is −C/2 cos 2a and J45 is −C/2 sin 2a (Thibos,
// Wheeler and Horner 1997).
func TestAstigmatismSpaceStandsUpright(t *testing.T) {
	at := func(axis float64) figure.Point {
		p := optics.Rx{Cyl: -2, Axis: axis}.Power()
		f := figure.Astigmatism(voice.English, []figure.Step{{N: 1, Worn: p}}, p, nil)
		for _, m := range f.Marks {
			if m.Kind == figure.Circle && m.Tone == figure.Accent {
				return figure.Point{X: m.Points[0].X - f.W/2, Y: f.H/2 - m.Points[0].Y}
			}
		}
		return figure.Point{}
	}
	assert.Greater(t, at(180).X, 50.0)
	assert.InDelta(t, 0, at(180).Y, 1e-6)
	assert.Greater(t, at(45).Y, 50.0)
	assert.InDelta(t, 0, at(45).X, 1e-6)
	assert.Less(t, at(90).X, -50.0)
	assert.Less(t, at(135).Y, -50.0)
}

func TestThePathEndsOnItsTarget(t *testing.T) {
	truth := optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}.Power()
	f := figure.Astigmatism(voice.English, steps(), truth, nil)
	var end, target figure.Point
	for _, m := range f.Marks {
		switch {
		case m.Kind == figure.Circle && m.Size == 5:
			end = m.Points[0]
		case m.Kind == figure.Ring && m.Tone == figure.Second:
			target = m.Points[0]
		}
	}
	assert.Equal(t, target, end)
	assert.Contains(t, f.Alt, "−2.00 axis 30")
}

func TestFogLiesAboveTheRetina(t *testing.T) {
	fogged := []figure.Step{{N: 1, Left: optics.Sphere(0.5)}, {N: 2, Left: optics.Sphere(-0.5)}}
	f := figure.Focus(voice.English, fogged)
	for _, m := range f.Marks {
		if m.Kind == figure.Line && m.Width == 2.5 {
			assert.Less(t, m.Points[0].Y, f.H/2, "before the retina is up")
			assert.Greater(t, m.Points[1].Y, f.H/2)
			return
		}
	}
	t.Fatal("no back line")
}

// The word for the beginning stands above a path that goes down, and below any other.
func TestTheBeginningIsNamedOffThePath(t *testing.T) {
	for to, below := range map[float64]bool{45: true, 90: true, 135: false, 180: true} {
		second := optics.Rx{Cyl: -1, Axis: to}.Power()
		f := figure.Astigmatism(voice.English, []figure.Step{{N: 1}, {N: 2, Worn: second}}, second, nil)
		for _, m := range f.Marks {
			if m.Text == voice.English.Text("figure.start") {
				assert.Equal(t, below, m.Points[0].Y > f.H/2, "axis %g", to)
			}
		}
	}
}

// The word for the retina lies over no line, in any language.
func TestTheRetinaIsNamedBesideTheLines(t *testing.T) {
	for _, language := range assets.Languages() {
		f := figure.Focus(voice.In(language), steps())
		name, most := 0.0, 0.0
		for _, m := range f.Marks {
			if m.Kind == figure.Text && m.Tone == figure.Ink {
				name = m.Points[0].X
				assert.Less(t, name+0.65*m.Size*float64(len(m.Text)), f.W, "it is not cut")
			}
			for _, p := range m.Points {
				if m.Kind == figure.Line || m.Kind == figure.Area {
					most = max(most, p.X)
				}
			}
		}
		assert.Greater(t, name, most, language)
	}
}

// Where mistakes stand close together only so many of them are numbered as can be read.
func TestNumbersOfMistakesDoNotTouch(t *testing.T) {
	numbered := func(steps int) (at []float64) {
		var all []figure.Step
		for i := range steps {
			all = append(all, figure.Step{N: i + 1, Mistake: true})
		}
		for _, m := range figure.Focus(voice.English, all).Marks {
			if m.Kind == figure.Text && m.Tone == figure.Warn {
				at = append(at, m.Points[0].X)
			}
		}
		return at
	}
	assert.Len(t, numbered(20), 20, "all that have room")
	close := numbered(60)
	assert.Less(t, len(close), 60)
	for i := 1; i < len(close); i++ {
		assert.Greater(t, close[i]-close[i-1], 14.0, "two digits of 12 units")
	}
}
