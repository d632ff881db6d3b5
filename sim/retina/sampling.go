package retina

import (
	"math"

	"conoid/sim/eye"
	"conoid/sim/retina/internal/fft"
)

// sampling is how the point spread of one wavelength is computed: on n x n
// samples, the grid's pitch divided by 2^level apart.
type sampling struct{ level, n int }

// pitch is the distance between samples, minutes of arc.
func (s sampling) pitch(g Grid) float64 { return g.Pitch / float64(int(1)<<s.level) }

// rays are the directions in which the light through places of a pupil is
// seen, with the local power there: all that geometric optics says about a
// blur.
type rays struct {
	radius float64
	list   []ray
}

type ray struct {
	x, y       float64 // place, millimetres
	dx, dy     float64 // gradient, milliradians
	xx, xy, yy float64 // second derivatives, dioptres
}

func (r *rays) trace(v view) {
	r.radius, r.list = v.radius, r.list[:0]
	dx, dy := v.w.dx(), v.w.dy()
	xx, xy, yy := dx.dx(), dx.dy(), dy.dy()
	for _, q := range places {
		x, y := q.x*v.radius, q.y*v.radius
		r.list = append(r.list, ray{x, y, dx.at(x, y), dy.at(x, y), xx.at(x, y), xy.at(x, y), yy.at(x, y)})
	}
}

// extent is how far the blur reaches from the middle along x or y in light of
// a wavelength, minutes of arc.
func (r *rays) extent(nm float64) float64 {
	focus := eye.ChromaticFocus(nm)
	var most float64
	for _, q := range r.list {
		most = max(most, math.Abs(q.dx+focus*q.x), math.Abs(q.dy+focus*q.y))
	}
	return most / 1000 * perRadian * 60
}

// detail estimates how much of a frequency (cycles per radian) the point
// spread holds in light of a wavelength: the mean over the patches of a pupil of
// what the whole pupil would hold if its powers were those of the patch, e and
// more. That is the transform of the overlap of two discs of radius R, s of
// their diameter apart, at k = 2 pi f e. No more than its area comes through
// (the diffraction limit). For a large z = k R its edge counts: the two arcs,
// as those of a disc, for 1.6 z^-1.5, and the two corners for 4/pi tan(asin s)
// z^-2, since the chord along the shift has a kink there (the method of
// stationary phase).
func (r *rays) detail(f, nm float64) float64 {
	s := f * nm * 1e-6 / (2 * r.radius)
	if s >= 1 {
		return 0
	}
	focus := eye.ChromaticFocus(nm)
	limit, corners := diffractionLimit(s), 4/math.Pi*s/math.Sqrt(1-s*s)
	var sum float64
	for _, q := range r.list {
		m, j := (q.xx+q.yy)/2+focus, math.Hypot((q.xx-q.yy)/2, q.xy)
		e := math.Abs(math.Abs(m) - j)
		z := 2 * math.Pi * f * e * r.radius / 1000
		sum += min(limit, 1.6/(z*math.Sqrt(z))+corners/(z*z))
	}
	return sum / float64(len(r.list))
}

// What sampling may cost: the part of the transfer function, weighed by the
// share that the wavelength has in the light, that is folded back from
// frequencies beyond the samples' own. In an image it meets the finest detail of
// a chart, of which edges hold little.
const (
	foldedInTransfer = 0.0001 // far below what an observer notices, who is worth 0.003
	foldedInImage    = 0.001
	maxLevel         = 1
)

// Half a window must reach so far beyond the geometric blur, and be at least so
// wide, in units of wavelength over diameter: room for diffracted light, and
// samples enough across the pupil. The transfer function then comes out within
// 0.003; a wavelength that carries little light may err more, and one that
// carries most of it less, since nothing averages what is left.
func beyond(weight float64) float64  { return min(10, 7+40*weight) + max(0, 8*weight-4) }
func atLeast(weight float64) float64 { return min(20, 8+90*weight) }

// use is what a spot is wanted for: frequencies up to a limit, cycles per
// degree, in which so much may be folded.
type use struct{ limit, folded float64 }

var forImage = use{faded, foldedInImage}

// choose finds the smallest sampling for a wavelength of the given weight; one
// of more than fft.Max samples is not to be had.
func (r *rays) choose(g Grid, nm, weight float64, u use) sampling {
	var s sampling
	if weight*r.folded(g.Pitch, nm, u.limit) > u.folded {
		s.level = maxLevel
	}
	airy := nm * 1e-6 / (2 * r.radius) * perRadian * 60
	window := 2 * max(r.extent(nm)+beyond(weight)*airy, atLeast(weight)*airy)
	for s.n = 32 << s.level; s.n <= fft.Max && float64(s.n>>s.level)*g.Pitch < window; {
		s.n *= 2
	}
	return s
}

// folded estimates how much of the detail comes in again below a limit in cycles
// per degree when samples are pitch minutes of arc apart.
func (r *rays) folded(pitch, nm, limit float64) float64 {
	lowest := 1/pitch - min(limit/60, 0.5/pitch)
	return r.detail(lowest*perRadian*60, nm)
}

// places are points all over a pupil of radius 1, its edge included.
var places = func() (out []struct{ x, y float64 }) {
	const rings, spokes = 6, 24
	for i := 0; i <= rings; i++ {
		for k := range spokes {
			sin, cos := math.Sincos(2 * math.Pi * (float64(k) + float64(i%2)/2) / spokes)
			r := float64(i) / rings
			out = append(out, struct{ x, y float64 }{r * cos, r * sin})
			if i == 0 {
				break
			}
		}
	}
	return out
}()
