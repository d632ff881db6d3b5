package patient

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// alongside is the clarity of a line of a dial by its definition, from the picture
// of the whole chart: how much of the sharp line is left across it, within the
// window, where it fits best.
func alongside(im *retina.Image, l chart.Line) float64 {
	sin, cos := math.Sincos(l.Angle * math.Pi / 180)
	best := 0.0
	for d := -shiftRange; d <= shiftRange; d += shiftStep {
		var c float64
		for _, in := range dialPlaces {
			r := math.Hypot(l.Centre.X, l.Centre.Y) + l.Length/2 - in
			half := min(r*math.Tan(l.Step/2*math.Pi/180), dialWindow)
			const step = 0.05
			var fits, all float64
			for t := -half + step/2; t < half; t += step {
				sharp := -l.Width / (2 * half)
				if math.Abs(t) < l.Width/2 {
					sharp++
				}
				ink := 1 - im.At(chart.Point{X: r*cos - (t+d)*sin, Y: r*sin + (t+d)*cos})
				fits += ink * sharp
				all += sharp * sharp
			}
			c += fits / all / float64(len(dialPlaces))
		}
		best = max(best, c)
	}
	return best
}

// What the observer works out for the lines of a dial is what stands in the
// picture, at its ends as in its middle, sharp and blurred, among close neighbours
// and far ones.
func TestLinesAmongTheirNeighboursAreThoseOfTheImage(t *testing.T) {
	for _, name := range []chart.Name{chart.Fan, chart.Clock, chart.Sunburst} {
		t.Run(string(name), func(t *testing.T) {
			t.Parallel()
			r, g := standard(), generator(31)
			dial := chart.Named(name)
			lines := dial.Marks(chart.Hung{})
			r.SetChart(longer(lines))
			for k := range 6 {
				e := fromNorms(g, 3+1.5*g.Float64())
				s := with(e, anyDialBlur(g))
				im, err := r.Image(s.Pupil)
				require.NoError(t, err)
				c := s.Look(r).clarities(lines)
				for i := 0; i < len(lines); i += max(1, len(lines)/7) {
					assert.InDelta(t, alongside(im, lines[i]), c[i], 0.02, "eye %d, %+v, line at %v", k, s.Pupil.Residual, lines[i].Angle)
				}
			}
		})
	}
}

// longer draws a dial whose lines run further, so that their ends are far from where
// they are judged.
func longer(lines []chart.Line) chart.Drawing {
	var spokes []chart.Shape
	last := lines[len(lines)-1]
	half := last.Beside[1] < last.Beside[0] // a half circle ends there, with one line more
	for _, turn := range []float64{0, 180} {
		for i, l := range lines {
			if turn > 0 && half && i > 0 {
				break
			}
			l.Angle += turn
			sin, cos := math.Sincos(l.Angle * math.Pi / 180)
			l.Length = 68
			l.Centre = chart.Point{X: 54 * cos, Y: 54 * sin}
			spokes = append(spokes, l.Shape())
		}
	}
	return chart.Drawing{Layers: []chart.Layer{{Ground: 1, Shapes: spokes}}, Radius: 88}
}

// anyDialBlur is a fogged astigmatism.
func anyDialBlur(g *rand.Rand) optics.Power {
	return between(1.2*g.Float64(), 2*g.Float64(), 180*g.Float64())
}

// A dial so blurred that its lines run into each other is an even grey, though each
// line by itself would still be seen.
func TestLinesDrownInTheirNeighbours(t *testing.T) {
	r := standard()
	lines := fanLines()
	look := with(bare(4), between(2, 0.5, 30)).Look(r)
	for i, c := range look.clarities(lines) {
		assert.Less(t, c, VisibleLine, "line at %v", lines[i].Angle)
	}
	assert.Equal(t, Blurred, noiseless.Lines(Moment{}, Once(look), lines).Kind)
	alone := chart.Named(chart.Clock).Marks(chart.Hung{})
	assert.Equal(t, Lines, noiseless.Lines(Moment{}, Once(with(bare(4), between(0.75, 2, 30)).Look(r)), alone).Kind)
}

// Noise that each line has for itself would make one of many the clearest where
// none is: lines beside each other share it, and all are alike when they are felt
// to differ by less than half as much again as what is called a difference.
func TestLinesShareTheirNoise(t *testing.T) {
	m := Manner{Noise: 0.06, Difference: 0.21}
	for name, shared := range map[chart.Name]int{chart.Fan: 1, chart.Sunburst: 2, chart.Clock: 0} {
		lines := chart.Named(name).Marks(chart.Hung{})
		n := len(lines)
		flat := make([]float64, n)
		for i := range flat {
			flat[i] = feel(lines[i], 0.5)
		}
		var same, next, far, square float64
		const looks = 3000
		for k := range looks {
			j := m.judge(moment(k))
			j.noise = m.Noise
			f := j.senseAll(lines, flat)
			at := func(i int) float64 { return f[i%n] - feel(lines[0], 0.5) }
			same += at(1) * at(1)
			next += at(1) * at(1+max(1, shared))
			far += at(1) * at(1+2*shared+1)
			square += at(0) * at(0)
		}
		assert.InDelta(t, m.Noise, math.Sqrt(square/looks), 0.003, string(name))
		assert.InDelta(t, 0, far/same, 0.06, string(name))
		want := float64(shared+1) / float64(2*shared+1)
		if shared == 0 {
			want = 0
		}
		assert.InDelta(t, want, next/same, 0.06, string(name))
	}
	assert.Greater(t, alikeShare(t, Manners()["everyday"], bare(4)), 0.95)
}

// alikeShare is how often lines without astigmatism are called alike in 0.50 D of fog.
func alikeShare(t *testing.T, m Manner, e eye.Eye) (share float64) {
	t.Helper()
	look := []*Look{with(e, optics.Sphere(0.5)).Look(standard())}
	for i := range 200 {
		at := moment(i)
		at.Since = 60
		if k := m.Lines(at, Once(look...), fanLines()).Kind; k == Alike || k == Unsure {
			share += 1.0 / 200
		}
	}
	return share
}

// Where a dial goes all around, no line is special: what blurs and shifts the whole
// image in a direction does to the level line what it does, turned by as much, to
// any other, though the lines beside the level one have their other sides there.
func TestALevelLineIsLikeAnyOther(t *testing.T) {
	lines := chart.Named(chart.Sunburst).Marks(chart.Hung{})
	clarityAt := func(place int, shift, direction float64) float64 {
		profiles := make([]*profile, len(lines))
		for i, l := range lines {
			across := shift * math.Sin((direction+lines[place].Angle-l.Angle)*math.Pi/180)
			var otf [lineCount]complex64
			for k, f := range lineFrequencies {
				otf[k] = complex64(cmplx.Rect(math.Exp(-f*f/80), -2*math.Pi*f/60*across))
			}
			profiles[i] = profileOf(&otf, blurring(1), l)
		}
		return beside(profiles, lines[place], place)
	}
	for _, direction := range []float64{0, 40, 90} {
		want := clarityAt(18, 3, direction)
		for _, place := range []int{0, 1, 35} {
			assert.InDelta(t, want, clarityAt(place, 3, direction), 1e-3, "line %d, shifted at %v", place, direction)
		}
	}
}
