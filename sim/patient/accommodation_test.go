package patient

import (
	"math"
	"math/rand/v2"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWantedAccommodation(t *testing.T) {
	t.Parallel()
	f := NewFocuser()
	wanted := func(residual optics.Power, amplitude float64) Demand {
		return f.Wanted(with(bare(4), residual), amplitude, 0.75)
	}
	at := func(d float64) Demand { return Demand{Front: d, Back: d} }
	near := func(want, got Demand, why string) {
		t.Helper()
		assert.InDelta(t, want.Front, got.Front, 0.16, why)
		assert.InDelta(t, want.Back, got.Back, 0.16, why)
		assert.Equal(t, want.Adrift, got.Adrift, why)
	}
	near(at(0.8), wanted(optics.Sphere(-1), 8), "a young hyperope clears his own dioptre")
	near(at(2.8), wanted(optics.Sphere(-3), 8), "and more")
	near(at(1), wanted(optics.Sphere(-2), 1), "as far as the amplitude goes")
	near(at(0), wanted(optics.Sphere(-3), 0), "a presbyope cannot")
	near(Demand{Front: 0.3, Back: 1.8}, wanted(between(-2, 1.5, 30), 8), "both lines behind the retina")
	near(Demand{Back: 0.3}, wanted(between(-0.5, 1.5, 30), 8), "one before it, one behind")
	assert.InDelta(t, -0.5, wanted(between(-0.5, 1.5, 30), 8).Fog, 1e-9)

	assert.Equal(t, Demand{Most: 8, Fog: 0.25}, wanted(optics.Sphere(0.25), 8), "more plus only blurs")
	for _, fog := range []float64{0.5, 1} {
		assert.True(t, wanted(optics.Sphere(fog), 8).steady(), "fogged by %v D", fog)
		assert.True(t, wanted(between(fog, 1, 30), 8).steady(), "both lines before the retina")
	}
	lost := wanted(optics.Sphere(6), 8)
	assert.True(t, lost.Adrift, "nothing is left to look at")
	assert.InDelta(t, 0.75, lost.At(0.5), 0.01)
	assert.InDelta(t, 0.2, f.Wanted(with(bare(4), optics.Sphere(6)), 8, 0.2).At(0), 0.01, "where that is, is the person's own")
	assert.InDelta(t, 0.5, wanted(optics.Sphere(6), 0.5).At(0), 0.01)
}

// focused is an eye drawn from the norms behind its clinical error.
func focused(g *rand.Rand, r *retina.Renderer, pupil float64) eye.Eye {
	e := fromNorms(g, pupil)
	e.Balance, _ = Balance(r, e)
	e.Needs = e.Balance.Scale(-1)
	return e
}

// sharpestAt is the accommodation from low to high, dioptres, at which something
// is the greatest.
func sharpestAt(low, high float64, clear func(a float64) float64) float64 {
	at, most := low, math.Inf(-1)
	for a := low; a <= high; a += 0.1 {
		if c := clear(a); c > most {
			at, most = a, c
		}
	}
	return at
}

// Accommodation goes by where the focal lines stand, not by a search of the
// image. So it is checked against the image: the strokes of letters in all
// directions are the sharpest with what is wanted for a spherical blur, and the
// lines that run as a focal line does with what is wanted for that.
func TestWantedIsWhereTheImageIsSharpest(t *testing.T) {
	if testing.Short() {
		t.Skip("many images")
	}
	t.Parallel()
	f, r, g := NewFocuser(), retina.New(Grid()), generator(31)
	var spheres, fronts, backs []float64
	for range 12 {
		e := focused(g, r, 3+1.5*g.Float64())
		d := 1 + 2*g.Float64()
		seen := func(p optics.Power, a float64) []*Look { return []*Look{Through(e, p, a, 0).Look(r)} }
		sphere := optics.Sphere(-d)
		peak := sharpestAt(d-1, d+1, func(a float64) float64 {
			return Ring(seen(sphere, a), chart.Line{Width: 1.5, Bars: 1}, chart.White)
		})
		spheres = append(spheres, peak-f.Wanted(Through(e, sphere, 0, 0), 8, 0).Front)

		p := between(-d-1, 1+g.Float64(), 180*g.Float64())
		front, back := p.FocalLines()
		line := func(l optics.FocalLine) float64 {
			along := chart.Line{Angle: optics.PatientAngle(l.Angle), Width: 3, Bars: 1}
			return sharpestAt(-l.Power-1, -l.Power+1, func(a float64) float64 { return seen(p, a)[0].Clarity(along, chart.White) })
		}
		wanted := f.Wanted(Through(e, p, 0, 0), 8, 0)
		fronts = append(fronts, line(front)-wanted.Front)
		backs = append(backs, line(back)-wanted.Back)
	}
	for name, off := range map[string][]float64{"spheres": spheres, "front lines": fronts, "back lines": backs} {
		t.Logf("%s: %.2f", name, off)
		var sum float64
		for _, d := range off {
			assert.InDelta(t, 0, d, 0.30, name)
			sum += d
		}
		mean := sum / float64(len(off))
		assert.InDelta(t, 0, mean, 0.08, name)
	}
}

// Letters are read at that of some glances at which a focal line is nearest to the
// retina. That acuity is better there than in between is known (Remon and others
// 2017), and so it is in the image.
func TestLettersAreReadWithALineOnTheRetina(t *testing.T) {
	d := Demand{Front: 1, Back: 3, Most: 8}
	assert.Equal(t, 2.7, d.Clearest([]float64{1.5, 2.2, 2.7, 1.4}))
	assert.Equal(t, 0.9, d.Clearest([]float64{0.9, 2.2, 2.7, 1.4}))
	assert.Equal(t, 0.3, d.Clearest([]float64{0.3}))
	if testing.Short() {
		t.Skip("many images")
	}
	t.Parallel()
	r, g := retina.New(Grid()), generator(32)
	var lost, circle float64
	const eyes = 8
	for range eyes {
		e := focused(g, r, 4)
		p := between(-2.5, 0.5+1.5*g.Float64(), 180*g.Float64())
		acuity := func(a float64) float64 { return Through(e, p, a, 0).Look(r).Acuity() }
		look, at := ReadsBest(r, e, p, 8)
		assert.Equal(t, look.Acuity(), at)
		best := math.Inf(1)
		for a := 0.25; a <= 4; a += 0.125 {
			best = min(best, acuity(a))
		}
		assert.LessOrEqual(t, at, best+0.03)
		lost += at - best
		circle += acuity(reached(p.M, 8)) - best
	}
	t.Logf("lost %.3f; with the circle on the retina %.3f", lost/eyes, circle/eyes)
	assert.LessOrEqual(t, lost/eyes, 0.015)
	assert.Greater(t, circle, 2*lost)
	old, _ := ReadsBest(r, bare(4), optics.Sphere(-2), 0)
	assert.InDelta(t, -2, old.Left.M, 1e-9, "who cannot accommodate does not")
	able, _ := ReadsBest(r, bare(4), optics.Sphere(-2), 1)
	assert.InDelta(t, -1, able.Left.M, 1e-9, "as far as the amplitude goes")
}

// Whether there is anything to see is looked into on a coarse grid; it must see
// what the fine one sees.
func TestTheSearchSeesTheSameImage(t *testing.T) {
	t.Parallel()
	f := NewFocuser()
	for _, d := range []float64{0, 0.25, 1, 2} {
		p := with(bare(4), optics.Sphere(d)).Pupil
		transfer, err := f.renderer.Transfer(p, searchLight)
		require.NoError(t, err)
		for i, want := range fine(t, p, searchLight, 90)[:40] {
			got := transfer.At(lineFrequencies[i], 0)
			require.InDelta(t, real(want), real(got), 0.02, "%v D, %v c/deg", d, lineFrequencies[i])
		}
	}
}

// Green reports whether white need be looked at: where a large stroke is plainly
// seen in it, accommodation does not drift.
func TestGreenTellsOfWhite(t *testing.T) {
	skipInShort(t)
	t.Parallel()
	f, g := NewFocuser(), generator(15)
	near := 0
	for range 300 {
		e := fromNorms(g, 1.5+5.5*g.Float64())
		e.Age = 15 + 65*g.Float64()
		if g.IntN(6) == 0 {
			e = bare(e.Pupil)
		}
		s := with(e, anyBlur(g).Add(optics.Sphere(4*g.Float64())))
		transfer, err := f.renderer.TransferTo(s.Pupil, searchLight, lineLimit)
		require.NoError(t, err)
		green := inGreen(transfer, largeStroke, 1)
		if green > plainlySeen {
			assert.Zero(t, f.drift(s), "%+v", s.Pupil)
		}
		if green > plainlySeen && green < plainlySeen+0.1 {
			near++
		}
	}
	assert.Greater(t, near, 20, "many are close to it")
}

func TestAccommodateMovesTowardWhatIsWanted(t *testing.T) {
	at := func(d float64) Demand { return Demand{Front: d, Back: d} }
	for _, c := range []struct {
		was    float64
		wanted Demand
		ends   float64
	}{
		{0, at(2), 2}, {2, at(0), 0}, {1, at(1), 1}, {0, Demand{Front: 1, Back: 2}, 1.25},
		{3, Demand{Front: 1, Back: 2}, 1.25}, {1.75, Demand{Front: 1, Back: 2}, 1.25},
	} {
		assert.InDelta(t, c.was, Accommodate(c.was, c.wanted, 0.25, 0), 1e-12, "no time, no change")
		assert.InDelta(t, c.ends, Accommodate(c.was, c.wanted, 0.25, 60), 1e-3, "a minute is enough")
		for _, d := range []float64{0.5, 1, 4, 9} { // two waits are as one
			assert.InDelta(t, Accommodate(c.was, c.wanted, 0.25, d+2), Accommodate(Accommodate(c.was, c.wanted, 0.25, d), c.wanted, 0.25, 2), 1e-12)
		}
	}
	adrift := Accommodate(0, Demand{Adrift: true, Rest: 1}, 0, 1)
	assert.Less(t, adrift, 0.3, "with nothing to look at it takes its time")
	assert.Positive(t, adrift)
	up, down := Accommodate(0, at(1), 0, 1), 1-Accommodate(1, Demand{}, 0, 1)
	assert.Greater(t, up, down, "it rises faster than it relaxes from fog: common practice")
	assert.Positive(t, down)
	assert.Less(t, up, 1.0)
	back := 2 - Accommodate(2, Demand{Front: 1, Back: 2}, 0, 1)
	assert.InDelta(t, up, back, 1e-12, "from one line to the other as fast as it rises")
}
