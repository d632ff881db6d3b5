package retina

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/retina/internal/fft"
)

// Renderer makes images on one grid. It keeps its plans and buffers between
// calls; it is not for use by two goroutines at once.
type Renderer struct {
	// Pause, if it is not nil, is called before each transfer function, so that
	// a program with a single thread can look after its user in between. It
	// must not use the renderer.
	Pause func()

	// Between, if it is not nil, is called between the parts of one image or
	// transfer function, where there is one processor. Nobody may use the
	// renderer meanwhile, and it may panic to give the work up.
	Between func()

	grid  Grid
	plans [12]*fft.Plan // by the logarithm of their length
	tails map[[2]int]*tail
	crew  crew

	chart   chart.Drawing
	reach   float64       // of what is drawn from the middle, minutes of arc
	drawn   [2]bool       // whether the spectra below are of this chart
	spectra [2][]spectrum // of each layer, on the grid and on the padded grid
	lights  [3]Light      // by chart.Light

	beam              beam
	spot              spot
	frame             frame
	sumTo             []float32 // see sum
	sumSize, sumLevel int
	fine, half        plane // see halve
	canvas            canvas
	out               []*Image
	into              *Transfer // see transferStrip

	doWave, doSum, doColumns, doRows, doImage, doTransfer, doEdges, doDrawing func(*mate, int)
}

// New makes a renderer for a grid.
func New(g Grid) *Renderer {
	if g.N < 64 || 2*g.N > fft.Max || g.N&(g.N-1) != 0 || !(g.Pitch > 0) {
		panic("retina: a grid has 64 to 1024 samples, a power of two, and a pitch above 0")
	}
	r := &Renderer{grid: g, tails: map[[2]int]*tail{}}
	for l := range r.lights {
		r.lights[l] = Filter(chart.Light(l))
	}
	r.doWave, r.doSum, r.doColumns, r.doRows, r.doImage = r.wave, r.sum, r.columns, r.rows, r.imageStrip
	r.doTransfer, r.doEdges, r.doDrawing = r.transferStrip, r.edgeStrip, r.drawRows
	return r
}

// each shares items of work among the processors.
func (r *Renderer) each(count int, work func(m *mate, item int)) { r.crew.each(count, work, r.Between) }

func (r *Renderer) plan(n int) *fft.Plan {
	k := log2(n)
	if r.plans[k] == nil {
		r.plans[k] = fft.New(n)
	}
	return r.plans[k]
}

// SetChart takes a chart down and hangs up another.
func (r *Renderer) SetChart(c chart.Drawing) {
	r.chart, r.reach, r.drawn = c, reach(c), [2]bool{}
}

// reach is how far what is drawn lies from the middle, along x or y.
func reach(c chart.Drawing) (most float64) {
	for _, l := range c.Layers {
		for _, s := range l.Shapes {
			for _, path := range s.Paths {
				for _, p := range path {
					most = max(most, math.Abs(p.X), math.Abs(p.Y))
				}
			}
		}
	}
	return most
}

// Image is what the patient sees, all layers together, with every frequency up
// to 60 cycles per degree and none above 77. It belongs to the
// renderer and lasts until the next call. The error is of Pupil.Check, or a
// *BlurError.
func (r *Renderer) Image(p Pupil) (*Image, error) {
	layers, err := r.Layers(p)
	if err != nil {
		return nil, err
	}
	if len(layers) == 1 {
		return layers[0], nil
	}
	sum := r.image(len(layers))
	clear(sum.Y)
	for _, l := range layers {
		add(sum.Y, l.Y)
	}
	return sum, nil
}

// Layers is what Image shows, each layer of the chart by itself. The
// images belong to the renderer and last until the next call.
func (r *Renderer) Layers(p Pupil) ([]*Image, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	v := p.seen()
	for i, l := range r.chart.Layers {
		if i == 0 || l.Light != r.chart.Layers[i-1].Light {
			if err := r.shine(v, r.lights[l.Light], forImage); err != nil {
				return nil, err
			}
		}
		size, err := r.size()
		if err != nil {
			return nil, err
		}
		r.expose(r.image(i), r.spectrum(size, i), r.brightness(l), p.Veil)
	}
	return r.out[:len(r.chart.Layers)], nil
}

// brightness is the mean luminance of a layer over the grid: the light of a veil.
func (r *Renderer) brightness(l chart.Layer) float64 {
	area := 0.0
	for _, s := range l.Shapes {
		area += s.Value * s.Area()
	}
	w := r.grid.width()
	return l.Ground + area/(w*w)
}

// size chooses between the grid (0) and the padded grid (1): light that a blur
// carries around the edge must not come in again where it is seen. On the
// padded grid it may go as far as the other edge of the grid itself.
func (r *Renderer) size() (int, error) {
	w := r.grid.width()
	switch far := r.reach + r.spot.blur; {
	case r.spot.n <= r.grid.N && far <= w/2:
		return 0, nil
	case far <= w*3/2:
		return 1, nil
	}
	return 0, &BlurError{Blur: 2 * r.spot.blur, Room: max(0, 3*w-2*r.reach)}
}

// image is the renderer's image number i.
func (r *Renderer) image(i int) *Image {
	for len(r.out) <= i {
		r.out = append(r.out, &Image{r.grid, make([]float32, r.grid.N*r.grid.N)})
	}
	return r.out[i]
}

// spectrum is that of a layer, on the grid (0) or on the padded grid (1).
func (r *Renderer) spectrum(size, layer int) *spectrum {
	for len(r.spectra[size]) < len(r.chart.Layers) {
		r.spectra[size] = append(r.spectra[size], spectrum{})
	}
	if !r.drawn[size] {
		for i, l := range r.chart.Layers {
			r.draw(&r.spectra[size][i], l, r.grid.N<<size)
		}
		r.drawn[size] = true
	}
	return &r.spectra[size][layer]
}

// expose brings a drawing, blurred by the spot and veiled, into an image.
func (r *Renderer) expose(to *Image, drawn *spectrum, brightness, veil float64) {
	r.begin(drawn.n, drawn.rows)
	r.develop(to, drawn, 1-veil, veil*brightness)
}

// develop finishes the frame that begin has begun.
func (r *Renderer) develop(to *Image, drawn *spectrum, gain, offset float64) {
	f := &r.frame
	f.drawn, f.out, f.gain, f.offset = drawn, to, float32(gain), float32(offset)
	r.each((f.rows+strip-1)/strip, r.doRows)
	r.each(to.N/strip, r.doImage)
}

// PSF is the light of a point in the middle of the grid; its sum is 1. It is
// what the frequencies of the grid can hold of it. The image is the caller's.
func (r *Renderer) PSF(p Pupil, l Light) (*Image, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	if err := r.shine(p.seen(), l, forImage); err != nil {
		return nil, err
	}
	n := r.grid.N
	if r.spot.n > n {
		return nil, &BlurError{Blur: 2 * r.spot.blur, Room: r.grid.width()}
	}
	out := &Image{r.grid, make([]float32, n*n)}
	r.begin(n, n/2)
	area := float64(n * n)
	r.develop(out, nil, (1-p.Veil)/area, p.Veil/area)
	return out, nil
}
