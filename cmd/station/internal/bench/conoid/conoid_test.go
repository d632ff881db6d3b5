package conoid

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// The caption says so when the patient accommodates, since the focal lines then
// lie elsewhere than lens and error alone would have them, and else not.
func TestAccommodationIsTold(t *testing.T) {
	v := voice.English
	told := v.Text("bench.conoid.focus", "power", fact.Amount(0.75))
	apart := optics.Power{M: 0.5, J0: 0.25}
	assert.Contains(t, text(v, apart, 0.75), told)
	assert.Contains(t, text(v, optics.Sphere(0.5), 0.75), told)

	silent := text(v, apart, 0)
	assert.Equal(t, silent, text(v, apart, render.Stigmatic), "so little is none")
	assert.NotEqual(t, silent, text(v, apart, render.Stigmatic+0.001))
	for _, focus := range []float64{0, render.Stigmatic} {
		assert.NotContains(t, text(v, apart, focus), "accommodates")
	}
}

// The caption names both lines as soon as they are drawn as two.
func TestThePointIsTold(t *testing.T) {
	v := voice.English
	told := func(interval float64) string { return text(v, optics.Power{M: 1, J0: interval / 2}, 0) }
	point := v.Text("bench.conoid.point", "place", v.Text("place.before", "power", fact.Amount(1)))
	assert.Equal(t, point, told(render.Stigmatic-0.001))
	assert.NotEqual(t, point, told(render.Stigmatic+0.001))
	assert.Contains(t, told(render.Stigmatic+0.001), "1.03")
}

// The lines of the chart along which the focal lines run are told as the dials have them: by the
// axis, or by the hour, a thirtieth of it.
func TestTheLinesAreTold(t *testing.T) {
	residual := optics.Rx{Sphere: 2, Cyl: -1, Axis: 30}.Power()
	for language, want := range map[string][2]string{"en": {"line 30", "line 1 o’clock"}, "de": {"Linie 30", "Linie 1 Uhr"}} {
		v := voice.In(language)
		assert.Contains(t, text(v, residual, 0), want[0])
		assert.Contains(t, text(v.By(chart.ByHour), residual, 0), want[1])
		assert.NotContains(t, text(v.By(chart.ByHour), residual, 0), want[0])
	}
}

// linesAt is a residual whose focal lines lie at two vergences.
func linesAt(front, back float64) optics.Power {
	return optics.Rx{Sphere: back, Cyl: front - back, Axis: 120}.Power()
}

// drawn is what a chamber shows: its words, and the things that are listed.
func drawn(t *testing.T, w View, r paper.Rect, text float64, language string) (words string, sc *paper.Scene) {
	t.Helper()
	u := ui.New()
	u.Text = text
	sc = u.Begin(ui.Input{}, r.Right(), r.Bottom())
	Draw(u, voice.In(language), r, w)
	u.End()
	for _, th := range u.Things() {
		assert.False(t, th.Cut, "%s: %q in %v", language, th.Label, r)
	}
	for _, m := range sc.Marks() {
		if m.Kind == paper.KindText {
			words += m.Text + "\n"
			assert.GreaterOrEqual(t, m.Size, 13.0)
			assert.True(t, m.Bounds.X >= r.X && m.Bounds.Right() <= r.Right()+0.5, "%s: %q leaves %v", language, m.Text, r)
		}
	}
	return words, sc
}

var usual = paper.Rect{X: 5, Y: 5, W: 643, H: 162}

// What is drawn has names, with minus for what lies behind the retina; whole and cut
// nowhere, at any size, with lines anywhere.
func TestTheLinesHaveNames(t *testing.T) {
	v := voice.English
	words, _ := drawn(t, View{Eye: sitting.Right, Residual: linesAt(1.72, -0.5)}, usual, 1, "en")
	assert.Contains(t, words, v.Text("bench.conoid.front", "place", fact.Amount(1.72)))
	assert.Contains(t, words, v.Text("bench.conoid.back", "place", fact.Power(-0.5)))
	assert.Contains(t, words, "2.22")
	for _, language := range assets.Languages() {
		for _, text := range []float64{1, 1.5, 2} {
			for _, size := range [][2]float64{{643, 162}, {655, 324}, {366, 230}, {1300, 150}, {350, 110}} {
				for _, at := range [][2]float64{{1.72, 0.5}, {0.3, -0.3}, {-2, -4}, {12, 9}, {0.5, 0.5}, {0, 0}, {-0.5, -0.5}, {0.07, 0}} {
					r := paper.Rect{X: 5, Y: 5, W: size[0], H: size[1] * text}
					drawn(t, View{Eye: sitting.Left, Residual: linesAt(at[0], at[1]), Accommodation: 0.5}, r, text, language)
					if at[0] > 2 || at[1] < -1 {
						continue // no hand takes them there
					}
					drawn(t, View{Residual: linesAt(at[0], at[1]), Grips: true, Reach: 2, Behind: 1}, r, text, language)
				}
			}
		}
	}
}

// Lines that have met are one dot, and are said to have met; the threshold is
// render.Stigmatic.
func TestLinesThatHaveMetAreADot(t *testing.T) {
	v := voice.English
	met := v.Text("bench.conoid.met", "place", fact.Amount(1))
	words, _ := drawn(t, View{Eye: sitting.Right, Residual: linesAt(1+render.Stigmatic-0.001, 1)}, usual, 1, "en")
	assert.Contains(t, words, v.Text("bench.conoid.met", "place", fact.Amount(1.03)))
	words, _ = drawn(t, View{Eye: sitting.Right, Residual: linesAt(1+render.Stigmatic+0.001, 1)}, usual, 1, "en")
	assert.NotContains(t, words, met)
	assert.Contains(t, words, v.Text("bench.conoid.back", "place", fact.Amount(1)))
}

func TestHowTheLinesLie(t *testing.T) {
	v := voice.English
	for want, at := range map[string][][2]float64{
		"nothing":  {{0, 0}, {0.024, 0.024}, {0.029, -0.029}, {-0.024, -0.024}},
		"together": {{0.026, 0.026}, {-0.026, -0.026}, {1, 1}},
		"fogged":   {{1, 0.5}, {1, -0.024}},
		"between":  {{1, -0.026}, {0.026, -1}},
		"behind":   {{-0.5, -1}, {0.024, -1}},
	} {
		for _, l := range at {
			assert.Equal(t, v.Text("bench.conoid."+want), state(v, linesAt(l[0], l[1])), "%v", l)
		}
	}
}

// The patch beside the light is to its scale: one point becomes |B| along the front
// line and |F| along the back line (common optics of Sturm's conoid; see render.Strip).
func TestThePatchIsToTheScaleOfTheLight(t *testing.T) {
	u := ui.New()
	u.Begin(ui.Input{}, 700, 400)
	for _, at := range [][2]float64{{1.72, 0.5}, {0.5, -1}, {-1, -3}} {
		c := lay(u, voice.English, usual, View{Eye: sitting.Right, Residual: linesAt(at[0], at[1])})
		require.False(t, c.patch.Empty())
		along, across := c.Section(0)
		assert.InDelta(t, math.Abs(at[1])*c.Scale, along, 1e-9)
		assert.InDelta(t, math.Abs(at[0])*c.Scale, across, 1e-9)
		assert.LessOrEqual(t, max(along, across), c.patch.H/2, "it fits")
		assert.LessOrEqual(t, c.Mid+c.Wide(c.Front, 0), c.light.Bottom())
	}
	assert.True(t, lay(u, voice.English, usual, View{Grips: true}).patch.Empty())
}

// A shutter says why it is closed, in every size, and nothing of the lines.
func TestTheShutterSaysWhy(t *testing.T) {
	for _, language := range assets.Languages() {
		v := voice.In(language)
		for why, id := range map[Shut]string{Dark: "bench.view.dark", Guess: "bench.conoid.shut.guess", Without: "bench.conoid.shut.without"} {
			w := View{Eye: sitting.Right, Shut: why, Residual: linesAt(1, 0.5)}
			words, _ := drawn(t, w, usual, 1, language)
			assert.Contains(t, words, v.Text(id))
			assert.NotContains(t, words, v.Text("bench.conoid.retina"))
			drawn(t, w, paper.Rect{W: 300, H: 110}, 1, language)
			drawn(t, w, paper.Rect{W: 366, H: 300}, 2, language)
		}
	}
}
