package retina

import (
	"math"
	"sync"
)

// The light that the edge of the pupil diffracts falls off only with the
// inverse cube of the distance. What leaves the window of a point spread comes
// in again on its other side, and near frequency 0, where the transfer function
// has its cusp, the values between the window's own frequencies come out up to
// a hundredth too high. The error grows as wavelength over diameter and hardly
// depends on the blur, so that it is measured once for each window, on a pupil
// in focus whose transfer function is known, and taken off ever after.

// tails holds, for each window (base-2 logarithm of its size in samples of the
// grid), the sum of weight * edge * wavelength / diameter, nanometres per
// millimetre.
type tails [16]float64

func (t *tails) add(n int, strength float64) { t[log2(n)] += strength }

func log2(n int) (k int) {
	for ; n > 1; n /= 2 {
		k++
	}
	return k
}

// tailSteps is how many frequencies of a window are corrected on each side of 0.
const tailSteps = 8

// tail is the correction of a window of m samples on a spectrum of n samples,
// for 1 nm of wavelength per mm of diameter: frequencies 0 to reach across and
// down, and the same for negative ones.
type tail struct {
	reach int
	v     []float32
}

// at is the correction of a frequency.
func (t *tail) at(i, j int) float32 { return t.v[max(j, -j)*(t.reach+1)+max(i, -i)] }

// tail finds the correction for a window once and keeps it.
func (r *Renderer) tail(m, n int) *tail {
	key := [2]int{m, n}
	if r.tails[key] == nil {
		global := [3]float64{float64(m), float64(n), r.grid.Pitch}
		known, ok := knownTails.Load(global)
		if !ok {
			known, _ = knownTails.LoadOrStore(global, r.measure(m, n))
		}
		r.tails[key] = known.(*tail)
	}
	return r.tails[key]
}

// knownTails are those that any renderer has measured: sizes and pitch, to *tail.
var knownTails sync.Map

// measure compares the transfer function of a pupil in focus with the one that
// its point spread in a window of m samples has on n.
func (r *Renderer) measure(m, n int) *tail {
	const nm = 555.0
	// So narrow a pupil holds no frequency that the samples would fold back.
	d := 1.4 / r.grid.Pitch // millimetres
	var w wave
	plan := r.plan(m)
	w.prepare(view{radius: d / 2}, plan, m, nm, r.grid.Pitch)
	w.w = surface{} // in focus at this wavelength
	power := make([]float32, m*m)
	rest := w.intensity(&mate{}, power, m) / float64(m*m)

	out := &tail{reach: min(tailSteps*n/m, n/4)}
	side := out.reach + 1
	// The light is even about the middle, so that cosines transform it.
	cosines := make([]float64, n)
	for k := range cosines {
		cosines[k] = math.Cos(2 * math.Pi * float64(k) / float64(n))
	}
	wave := func(k, x int) float64 { return cosines[k*signed(x, m)&(n-1)] }
	half := make([]float64, side*m)
	for x := range m {
		for y := range m {
			v := float64(power[plan.Place(x)*m+plan.Place(y)]) + rest
			for i := range side {
				half[i*m+y] += v * wave(i, x)
			}
		}
	}
	perSample := nm * 1e-6 / d * 60 * perRadian / (float64(n) * r.grid.Pitch)
	for j := range side {
		for i := range side {
			var got float64
			for y := range m {
				got += half[i*m+y] * wave(j, y)
			}
			k := math.Hypot(float64(i), float64(j))
			want := diffractionLimit(k * perSample)
			fade := 0.5 + 0.5*math.Cos(math.Pi*min(1, k/float64(side)))
			out.v = append(out.v, float32(fade*(want-got)*d/nm))
		}
	}
	return out
}

// diffractionLimit is the transfer function of a circular pupil in focus at a
// share s of its cut-off frequency.
func diffractionLimit(s float64) float64 {
	if s >= 1 {
		return 0
	}
	return 2 / math.Pi * (math.Acos(s) - s*math.Sqrt(1-s*s))
}

// edge is the efficiency of the light at the edge of the pupil over that of the
// whole pupil: 1 without a Stiles-Crawford effect.
func (v view) edge() float64 {
	if v.rho == 0 {
		return 1
	}
	const spokes = 32
	g := gauss(spokes / 2)
	var edge, whole float64
	for k := range spokes {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / spokes)
		at := func(r float64) float64 {
			x, y := r*v.radius*cos-v.x0, r*v.radius*sin-v.y0
			return math.Exp(-v.decay() * (x*x + y*y))
		}
		edge += at(1)
		for i, x := range g.x {
			r := (1 + x) / 2
			whole += g.w[i] * r * at(r)
		}
	}
	return edge / whole
}
