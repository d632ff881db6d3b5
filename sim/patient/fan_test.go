package patient

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/retina"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	sixMetres = 6.0 // metres from the chart to the eye
	backCell  = optics.UsualVertex
)

// fogged is the sight of an eye whose correction is -1.00 / -2.00 at an axis,
// through a lens of -0.50: the back line lies 0.50 D before the retina.
func fogged(axis float64) Sight {
	e := Focused(bare(4), optics.Rx{Sphere: -1, Cyl: -2, Axis: axis}, optics.Power{}, backCell, sixMetres)
	f := optics.NewFrame(backCell)
	f.Lenses[optics.Back] = optics.SphereOf(-0.5)
	return Through(e, f.AtCornea(sixMetres), 0, 0)
}

// darkness is how much light a line's place lacks in an image, on average.
func darkness(im *retina.Image, l chart.Line) float64 {
	sin, cos := math.Sincos(l.Angle * math.Pi / 180)
	const along, across = 20, 6
	var sum float64
	for i := range along {
		u := ((float64(i)+0.5)/along - 0.5) * l.Length
		for j := range across {
			v := ((float64(j)+0.5)/across - 0.5) * l.Width
			sum += 1 - im.At(chart.Point{X: l.Centre.X + u*cos - v*sin, Y: l.Centre.Y + u*sin + v*cos})
		}
	}
	return sum / (along * across)
}

// most is the place of the largest of some numbers.
func most(v []float64) int { return slices.Index(v, slices.Max(v)) }

// The label at the darkest line of the fan is the axis of the minus cylinder:
// the way fans are printed, common practice in the trade. The image decides,
// and the patient's judgement agrees with it.
func TestDarkestLineOfTheFanIsLabelledWithTheAxis(t *testing.T) {
	t.Parallel()
	r := standard()
	r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
	lines := fanLines()
	for axis := 10.0; axis <= 180; axis += 10 {
		s := fogged(axis)
		im, err := r.Image(s.Pupil)
		require.NoError(t, err)
		look := s.Look(r)
		dark, clear := make([]float64, len(lines)), make([]float64, len(lines))
		for i, l := range lines {
			dark[i], clear[i] = darkness(im, l), look.Clarity(l, chart.White)
		}
		assert.Equal(t, axis, chart.LabelOf(lines[most(dark)].Angle), "in the image")
		assert.Equal(t, axis, chart.LabelOf(lines[most(clear)].Angle), "by clarity")
		said := Manners()["noiseless"].Lines(Moment{}, Once(look), lines)
		assert.Equal(t, []float64{lines[most(dark)].Angle}, said.Lines, "as it is said")
	}
}

// The rule of 30, in every clinical handbook: the axis of the minus cylinder
// is thirty times the smaller hour at which the clearest line of a clock dial
// points. The hours stand as on any clock: 12 on top, 3 at the patient's right.
func TestRuleOf30(t *testing.T) {
	t.Parallel()
	r := standard()
	r.SetChart(chart.Named(chart.Clock).Draw(chart.Hung{Labels: chart.ByHour}))
	for hour := 1; hour <= 6; hour++ {
		t.Run(fmt.Sprint(hour, " o'clock"), func(t *testing.T) {
			im, err := r.Image(fogged(30 * float64(hour)).Pupil)
			require.NoError(t, err)
			dark := make([]float64, 13)
			for h := 1; h <= 12; h++ {
				l := chart.Named(chart.Clock).Marks(chart.Hung{})[0]
				l.Angle = float64(90 - 30*h)
				distance := math.Hypot(l.Centre.X, l.Centre.Y)
				sin, cos := math.Sincos(l.Angle * math.Pi / 180)
				l.Centre = chart.Point{X: distance * cos, Y: distance * sin}
				dark[h] = darkness(im, l)
			}
			assert.Contains(t, []int{hour, hour + 6}, most(dark))
			assert.InDelta(t, dark[hour], dark[hour+6], 0.01, "both ends of the line are alike")
			for h := 1; h <= 12; h++ {
				if h%6 != hour%6 {
					assert.Less(t, dark[h], dark[hour]-0.02, "%d o'clock", h)
				}
			}
		})
	}
}
