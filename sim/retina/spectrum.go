package retina

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/retina/internal/fft"
)

// The spectrum of a chart is found without drawing it. By Green's theorem the
// transform of a polygon at a frequency f follows from the transform of its
// boundary, taken as a vector along the edges,
//
//	F = i (fx Gy - fy Gx) / (2 pi |f|^2),   G = sum over edges of e * integral of exp(-2 pi i f r),
//
// and both components of G come from one fast transform after the edges have
// been spread over a grid with a smooth window, whose own transform is then
// divided out (a non-uniform transform). Sampled areas of cells would fold the
// high frequencies of the sharp edges back into the image: one part in a
// hundred near an edge on the Standard grid.

// An image holds all that an eye can use: every frequency up to 60 cycles per
// degree, which is about the finest grating that anybody has been seen to
// resolve (common practice), fading to nothing at 77. On a grid too coarse for
// 77 the fade ends where the grid's own frequencies do.
const (
	sharpest = 60.0
	faded    = 77.0
)

// fade is the share of a frequency, in cycles per sample, that a grid keeps.
func (g Grid) fade(f float64) float64 {
	end := min(faded/60*g.Pitch, band)
	start := end * sharpest / faded
	x := min(max((math.Abs(f)-start)/(end-start), 0), 1)
	return 0.5 + 0.5*math.Cos(math.Pi*x)
}

// The window is the Kaiser-Bessel function, taps samples to each side. A
// frequency f comes with a part of 1 - f folded into it, in cycles per sample:
// 1e-4 at 60 cycles per degree on the Standard grid, and by the end of the band
// a tenth of what is then about to vanish.
const (
	taps      = 3
	band      = 0.45
	beta      = math.Pi * 2 * taps * 0.65
	fractions = 1024 // places between two samples at which the window is tabulated
)

// window holds the 2*taps weights for each fraction.
var window = func() (w [fractions][2 * taps]float32) {
	for k := range w {
		for i := range w[k] {
			x := (float64(i-taps+1) - (float64(k)+0.5)/fractions) / taps
			w[k][i] = float32(bessel0(beta * math.Sqrt(max(0, 1-x*x))))
		}
	}
	return w
}()

// windowSpectrum is the transform of the window at a frequency in cycles per
// sample.
func windowSpectrum(f float64) float64 {
	z := math.Sqrt(beta*beta - math.Pow(2*math.Pi*taps*f, 2))
	return 2 * taps * math.Sinh(z) / z
}

// bessel0 is the modified Bessel function of order 0.
func bessel0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1.0; term > 1e-16*sum; k++ {
		term *= x * x / (4 * k * k)
		sum += term
	}
	return sum
}

// gauss3 is Gauss's rule on 0 to 1.
var gauss3 = [3]struct{ t, w float64 }{
	{0.5 - math.Sqrt(0.15), 5.0 / 18}, {0.5, 8.0 / 18}, {0.5 + math.Sqrt(0.15), 5.0 / 18},
}

// spread adds the edges of a shape to a plane, x along in the real and y (down)
// in the imaginary part, in units of samples, and returns the shape's area. Rows
// of the plane are columns of the chart.
func spread(to *plane, s chart.Shape, pitch float64) (area float64) {
	at := func(p chart.Point) (x, y float64) { return p.X / pitch, -p.Y / pitch }
	for _, path := range s.Paths {
		for i := range path {
			ax, ay := at(path[i])
			bx, by := at(path[(i+1)%len(path)])
			area += (ax*by - bx*ay) / 2
		}
	}
	value := math.Copysign(s.Value, area*s.Value)
	for _, path := range s.Paths {
		for i := range path {
			ax, ay := at(path[i])
			bx, by := at(path[(i+1)%len(path)])
			spreadEdge(to, ax, ay, bx-ax, by-ay, value)
		}
	}
	return math.Abs(area)
}

func spreadEdge(to *plane, x, y, ex, ey, value float64) {
	n := math.Ceil(math.Hypot(ex, ey))
	for i := range int(n) {
		for _, g := range gauss3 {
			t := (float64(i) + g.t) / n
			w := value * g.w / n
			spreadPoint(to, x+t*ex, y+t*ey, float32(w*ex), float32(w*ey))
		}
	}
}

func spreadPoint(to *plane, x, y float64, gx, gy float32) {
	fx, fy := math.Floor(x), math.Floor(y)
	wx := &window[int((x-fx)*fractions)%fractions]
	wy := &window[int((y-fy)*fractions)%fractions]
	mask := to.n - 1
	for i, u := range wx {
		re, im := to.row((int(fx) + i - taps + 1) & mask)
		for j, v := range wy {
			k := (int(fy) + j - taps + 1) & mask
			re[k] += u * v * gx
			im[k] += u * v * gy
		}
	}
}

// spectrum is the transform of a layer on the frequencies of a frame: n/2+1 rows
// from vertical frequency 0 down, with horizontal frequency k at Place(k). An
// unscaled inverse transform gives the luminance of each sample, the middle of
// the chart at sample (0, 0); Mean is the luminance at frequency 0. The highest
// frequencies, which have no partners of the other sign, are left out.
type spectrum struct {
	n      int
	rows   int // from here on all are 0
	re, im []float32
	mean   float32
}

func (s *spectrum) row(j int) (re, im []float32) {
	return s.re[j*s.n:][:s.n:s.n], s.im[j*s.n:][:s.n:s.n]
}

// canvas is where a spectrum is made. Rows of the edges are columns of the chart.
type canvas struct {
	edges  plane
	across plane     // the edges transformed along y, and turned so that rows are frequencies
	flat   []float64 // what the spreading must be multiplied by at each frequency
	filled int       // rows of the edges on each side of the middle that are not 0
	plan   *fft.Plan
	out    *spectrum
}

// draw computes the spectrum of a layer on n x n samples.
func (r *Renderer) draw(out *spectrum, l chart.Layer, n int) {
	c := &r.canvas
	if c.edges.n != n {
		c.plan = r.plan(n)
		c.edges.reset(n)
		c.across.reset(n)
		c.flat = make([]float64, n)
		for k := range c.flat {
			f := float64(signed(k, n)) / float64(n)
			c.flat[k] = r.grid.fade(f) / windowSpectrum(f)
		}
	}
	c.edges.clear()
	c.filled = taps + 1 + int(r.reach/r.grid.Pitch)
	area := 0.0
	for _, s := range l.Shapes {
		area += s.Value * spread(&c.edges, s, r.grid.Pitch)
	}
	c.out = out
	out.n, out.mean = n, float32(l.Ground+area/float64(n*n))
	for out.rows = n / 2; c.flat[out.rows-1] == 0; {
		out.rows--
	}
	out.re, out.im = sized(out.re, n*(n/2+1)), sized(out.im, n*(n/2+1))
	r.each(n/strip, r.doEdges)
	r.each(n/2/strip, r.doDrawing)
	out.re[c.plan.Place(0)], out.im[c.plan.Place(0)] = out.mean, 0
}

// edgeStrip transforms a strip of the edges along y and turns it.
func (r *Renderer) edgeStrip(_ *mate, item int) {
	c := &r.canvas
	n, j0 := c.edges.n, item*strip
	for j := j0; j < j0+strip; j++ {
		if k := signed(j, n); max(k, -k) <= c.filled {
			c.plan.Forward(c.edges.row(j))
		}
	}
	re, im := c.edges.re[j0*n:][:strip*n], c.edges.im[j0*n:][:strip*n]
	for i := range n {
		a, b := c.across.re[i*n+j0:][:strip], c.across.im[i*n+j0:][:strip]
		for j := range a {
			a[j], b[j] = re[j*n+i], im[j*n+i]
		}
	}
}

// drawRows finishes a strip of rows of a spectrum.
func (r *Renderer) drawRows(_ *mate, item int) {
	c := &r.canvas
	n := c.across.n
	for j := item * strip; j < min((item+1)*strip, c.out.rows); j++ {
		down, up := c.plan.Place(j), c.plan.Place(-j&(n-1))
		c.plan.Forward(c.across.row(down))
		if up != down {
			c.plan.Forward(c.across.row(up))
		}
		c.drawRow(j, down, up)
	}
}

// drawRow puts the two components of the boundary together. Both are real before
// the transform, so that it holds them as the parts that are even and odd under
// conjugation.
func (c *canvas) drawRow(j, down, up int) {
	n, places := c.across.n, c.plan.Places()
	re, im := c.out.row(j)
	ar, ai := c.across.row(down)
	br, bi := c.across.row(up)
	fy := float64(j)
	row := c.flat[j] / (4 * math.Pi * float64(n))
	for i, a := range places {
		b := places[-i&(n-1)] // the opposite frequency
		gxr, gxi := float64(ar[a]+br[b]), float64(ai[a]-bi[b])
		gyr, gyi := float64(ai[a]+bi[b]), float64(br[b]-ar[a])
		fx := float64(signed(i, n))
		scale := row * c.flat[i] / (fx*fx + fy*fy)
		re[a] = float32(-scale * (fx*gyi - fy*gxi))
		im[a] = float32(scale * (fx*gyr - fy*gxr))
	}
	limit := places[n/2]
	re[limit], im[limit] = 0, 0
}
