package patient

import (
	"math"
	"sync"

	"conoid/sim/chart"
	"conoid/sim/retina"
)

// The two fitted figures of the letter observer; see cases/study/figures/FIGURES.md.
const (
	// letterNoise is the noise of the nervous system behind the contrast
	// sensitivity filter, as an amplitude per degree of visual angle.
	letterNoise = 0.40
	// letterSpan, in minutes of arc, is the height of a letter beyond which a
	// larger one no longer helps: the eye sums over no more than that at a
	// glance, so that the contrast needed levels off.
	letterSpan = 7.9
)

const letters = len(chart.LetterSet)

// gram holds, for every two letters of the set, how much their images have in
// common after the neural filter.
type gram [letters][letters]float64

// bank holds the letters of the set on a grid of frequencies in cycles to the
// height of a letter, so that one bank serves letters of all sizes: for each
// frequency of the half plane the products of every two letters' spectra. Half
// the plane is enough, for a real image's other half is its mirror.
type bank struct {
	window
	at       [][2]float64 // frequencies along x and y, cycles to a letter, row by row
	rows     []int        // number of frequencies in each row; they are 1/room apart
	shapes   [letters]chart.Shape
	products []float32   // pairs of them for each frequency, and zeros for none; see fill
	filled   []sync.Once // of each row
	weights  sync.Map    // of a size, to the weights of the frequencies
}

// size is how large letters are: their height, in minutes of arc, and the grain of
// the nervous system that sees them.
type size struct{ height, grain float64 }

// weight tells what each frequency counts for in letters of a size: the square
// of the neural sensitivity to it, in square degrees.
func (b *bank) weight(at size) []float32 {
	if w, ok := b.weights.Load(at); ok {
		return w.([]float32)
	}
	degrees := at.height / 60
	w := make([]float32, len(b.at))
	for k, f := range b.at {
		n := Neural(math.Hypot(f[0], f[1]) / degrees * at.grain)
		w[k] = float32(n * n * degrees * degrees)
	}
	b.weights.Store(at, w)
	return w
}

// pairs is the number of products kept for each frequency.
const pairs = letters * (letters + 1) / 2

// window is the square, so many letter heights wide, that a bank stands for:
// its frequencies lie 1/room cycles to a letter apart, so that a letter and
// its blur must fit the room or would overlap with their repetitions. Beyond
// detail cycles to a letter the spectrum is left out: five strokes make two
// and a half, letters so large that the eye sees finer detail are read anyhow,
// and letters much smaller than their blur have none left.
type window struct{ room, detail float64 }

var windows = [...]window{{4, 5}, {8, 5}, {16, 2.5}}

var banks = [len(windows)]func() *bank{
	sync.OnceValue(func() *bank { return newBank(windows[0]) }),
	sync.OnceValue(func() *bank { return newBank(windows[1]) }),
	sync.OnceValue(func() *bank { return newBank(windows[2]) }),
}

// newBank is a bank that is not filled yet.
func newBank(w window) *bank {
	step, detail := 1/w.room, w.detail
	b := &bank{window: w}
	for i, r := range chart.LetterSet {
		s, _ := chart.LetterShape(r)
		b.shapes[i] = chart.Scale(s, 0.2, chart.Point{})
	}
	n := int(detail / step)
	for y := 0; y <= n; y++ {
		before := len(b.at)
		for x := -n; x <= n; x++ {
			fx, fy := float64(x)*step, float64(y)*step
			if math.Hypot(fx, fy) > detail || y == 0 && x <= 0 {
				continue
			}
			b.at = append(b.at, [2]float64{fx, fy})
		}
		b.rows = append(b.rows, len(b.at)-before)
	}
	b.products = make([]float32, (len(b.at)+1)*pairs)
	b.filled = make([]sync.Once, len(b.rows))
	return b
}

// fill works out all products that nobody has worked out yet, and calls pause after each
// row of them.
func (b *bank) fill(pause func()) {
	first := 0
	for y, n := range b.rows {
		worked := false
		b.filled[y].Do(func() {
			for k := first; k < first+n; k++ {
				b.add(k)
			}
			worked = true
		})
		if worked { // others may want the row while this waits
			pause()
		}
		first += n
	}
}

// add works out the products at one frequency.
func (b *bank) add(k int) {
	step := 1 / b.room
	f, to := b.at[k], b.product(k)
	var spectra [letters]complex128
	for i := range b.shapes {
		spectra[i] = b.shapes[i].Spectrum(f[0], f[1])
		for j := 0; j <= i; j++ {
			v := real(spectra[i])*real(spectra[j]) + imag(spectra[i])*imag(spectra[j])
			to[i*(i+1)/2+j] = float32(v * (2 * step * step))
		}
	}
}

// images gives what the images of letters of a size have in common when they are
// seen through an optical transfer function: in square degrees, times the squares
// of contrast and neural sensitivity.
func (b *bank) images(t *retina.Transfer, s size) *gram {
	b.fill(func() {})
	passed := b.passed(t, s)
	none := len(b.at)
	var sum [pairs]float64
	four, n := [4]int{none, none, none, none}, 0
	for k, w := range passed[:none] {
		if w == 0 {
			continue
		}
		four[n] = k
		if n++; n == len(four) {
			b.sum(&sum, passed, four)
			four, n = [4]int{none, none, none, none}, 0
		}
	}
	b.sum(&sum, passed, four)
	g := new(gram)
	k := 0
	for i := range letters {
		for j := 0; j <= i; j++ {
			g[i][j], g[j][i] = sum[k], sum[k]
			k++
		}
	}
	return g
}

// passed tells how much of each frequency counts in letters of a size, behind a
// transfer function.
func (b *bank) passed(t *retina.Transfer, s size) []float32 {
	weights := b.weight(s)
	out := make([]float32, len(weights)+1) // and 0 for none
	step := 60 / s.height / b.room         // cycles per degree
	most := int(t.Limit / step)
	at := 0
	for y, n := range b.rows {
		if y > most {
			break
		}
		from := -(n / 2)
		if y == 0 {
			from = 1
		}
		lo, hi := max(from, -most), min(from+n-1, most)
		row := out[at+lo-from:][:max(0, hi-lo+1)]
		t.Squares(float64(y)*step, step, lo, row)
		for k := range row {
			row[k] *= weights[at+lo-from+k]
		}
		at += n
	}
	return out
}

// sum adds four frequencies to the sums of the products, in double precision: in
// a blur all letters are nearly alike, and what little differs decides.
func (b *bank) sum(to *[pairs]float64, passed []float32, at [4]int) {
	p0, p1, p2, p3 := b.product(at[0]), b.product(at[1]), b.product(at[2]), b.product(at[3])
	w0, w1, w2, w3 := float64(passed[at[0]]), float64(passed[at[1]]), float64(passed[at[2]]), float64(passed[at[3]])
	for i := range to {
		to[i] += w0*float64(p0[i]) + w1*float64(p1[i]) + w2*float64(p2[i]) + w3*float64(p3[i])
	}
}

func (b *bank) product(k int) *[pairs]float32 { return (*[pairs]float32)(b.products[k*pairs:]) }

// reader judges letters of one size in one image.
//
// The reader knows what each letter of the set looks like blurred as things
// are blurred now (people get used to a blur within seconds), and says the one
// whose memory fits the image best. Noise of the nervous system, even across
// the image, reaches all memories; those that resemble each other are misled
// together.
type reader struct {
	fit   [letters][letters]float64 // how well the memory j fits the image of letter i
	mixed [letters][letters]float64 // lower triangle that gives the noises of the memories their likeness
	noise float64

	known float64 // see Known, once that was tried
	tried bool
}

// fitStep is the step to which fits are rounded, so that no answer hangs on the
// last bits of a sum.
const fitStep = 1e-6

// newReader takes the noise of one with the usual grain. In a coarser nervous
// system it is the greater and the span the wider, so that nothing but the scale
// of things changes.
func newReader(g *gram, s size, noise float64) *reader {
	h := s.height / (letterSpan * s.grain)
	r := &reader{noise: noise * s.grain * math.Sqrt(1+h*h)}
	var length [letters]float64
	for i := range letters {
		length[i] = math.Sqrt(math.Max(g[i][i], 1e-30))
	}
	var like [letters][letters]float64
	for i := range letters {
		for j := range letters {
			r.fit[i][j] = g[i][j] / length[j]
			like[i][j] = g[i][j] / (length[i] * length[j])
		}
		like[i][i] = 1 // also where nothing of the letter is left
	}
	r.mixed = cholesky(like)
	return r
}

// noises are what the nervous system adds to how well each memory fits, when it
// is at z: one standard normal deviate for every letter.
func (r *reader) noises(z *[letters]float64) (n [letters]float64) {
	for j := range letters {
		for k := 0; k <= j; k++ {
			n[j] += r.noise * r.mixed[j][k] * z[k]
		}
	}
	return n
}

// say is the letter (its place in the set) that is read when letter shown is
// there and the nervous system adds its noises.
func (r *reader) say(shown int, noises *[letters]float64) int {
	best, at := math.Inf(-1), 0
	for j := range letters {
		v := r.fit[shown][j] + noises[j]
		if v < best-fitStep {
			continue // rounding cannot lift it that far
		}
		if v = math.Round(v*1e6) / 1e6; v > best {
			best, at = v, j
		}
	}
	return at
}

// cholesky is the lower triangle L with L L' = m for a matrix of likenesses. A
// direction in which the letters do not differ gets no noise.
func cholesky(m [letters][letters]float64) (l [letters][letters]float64) {
	for i := range letters {
		for j := 0; j <= i; j++ {
			s := m[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			switch {
			case i == j:
				l[i][i] = math.Sqrt(math.Max(s, 0))
			case l[j][j] > 1e-6:
				l[i][j] = s / l[j][j]
			}
		}
	}
	return l
}
