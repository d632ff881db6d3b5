package retina

import "conoid/sim/retina/internal/fft"

// spot is the luminance of a point of light on n x n samples of the grid's own
// pitch, column by column (v[x*n+y], y down); the point lies in the middle, at
// x = y = n/2, and the sum is 1.
type spot struct {
	n     int
	v     []float32
	blur  float64 // geometric reach of the light from the middle, minutes of arc
	tails tails   // what the window lacks
}

// beam is the work behind a spot: a pupil in a light, and for each of its
// wavelengths the sampling, the wave, the light that it makes and the share of
// that which is lost.
type beam struct {
	view   view
	light  Light
	bundle rays
	plan   []sampling
	waves  []wave
	power  [][]float32
	lost   []float64
}

// shine computes the spot of a pupil in a light.
func (r *Renderer) shine(v view, l Light, u use) error {
	b, s := &r.beam, &r.spot
	b.view, b.light = v, l
	b.bundle.trace(v)
	s.blur, s.tails = 0, tails{}
	b.plan = b.plan[:0]
	var sizes [maxLevel + 1]int
	edge := v.edge()
	for k, nm := range l.Nm {
		s.blur = max(s.blur, b.bundle.extent(nm))
		p := b.bundle.choose(r.grid, nm, l.Weight[k], u)
		if p.n > fft.Max || p.n>>p.level > 2*r.grid.N {
			return &BlurError{Blur: 2 * s.blur, Room: r.grid.padded().width()}
		}
		r.plan(p.n)
		b.plan = append(b.plan, p)
		sizes[p.level] = max(sizes[p.level], p.n)
		s.tails.add(p.n>>p.level, l.Weight[k]*edge*nm/(2*v.radius))
	}
	for len(b.waves) < len(l.Nm) {
		b.waves, b.power, b.lost = append(b.waves, wave{}), append(b.power, nil), append(b.lost, 0)
	}
	r.each(len(l.Nm), r.doWave)
	r.gather(sizes)
	return nil
}

// wave is the work of one wavelength.
func (r *Renderer) wave(m *mate, k int) {
	b := &r.beam
	p := b.plan[k]
	w := &b.waves[k]
	w.prepare(b.view, r.plans[log2(p.n)], p.n, b.light.Nm[k], p.pitch(r.grid))
	b.power[k] = sized(b.power[k], p.n*p.n)
	b.lost[k] = w.intensity(m, b.power[k], p.n)
}

// gather adds the wavelengths up.
func (r *Renderer) gather(sizes [maxLevel + 1]int) {
	s := &r.spot
	s.n = max(sizes[0], sizes[1]/2)
	s.v = sized(s.v, s.n*s.n)
	r.sumTo, r.sumSize, r.sumLevel = s.v, s.n, 0
	r.each(s.n/strip, r.doSum)
	n := sizes[1]
	if n == 0 {
		return
	}
	r.fine.reset(n)
	r.sumTo, r.sumSize, r.sumLevel = r.fine.re, n, 1
	r.each(n/strip, r.doSum)
	clear(r.fine.im)
	r.halve()
	from := s.n/2 - n/4
	for i := range n / 2 {
		add(s.v[(from+i)*s.n+from:][:n/2], r.half.re[i*n/2:])
	}
}

// sum adds the wavelengths of one level up in a strip of rows, always in their
// order, so that the sum is the same whoever computed them.
func (r *Renderer) sum(_ *mate, item int) {
	n := r.sumSize
	clear(r.sumTo[item*strip*n : (item+1)*strip*n])
	b := &r.beam
	for k := 0; k < len(b.plan); {
		p := b.plan[k]
		end := k + 1
		for end < min(k+4, len(b.plan)) && b.plan[end] == p {
			end++
		}
		if p.level == r.sumLevel {
			r.sumAlike(item, k, end)
		}
		k = end
	}
}

// sumAlike adds up to four wavelengths of the same sampling up.
func (r *Renderer) sumAlike(item, first, end int) {
	n, b := r.sumSize, &r.beam
	p := b.plan[first]
	var w [4]float32 // none for those that are not there
	var rest float32
	for k := first; k < end; k++ {
		w[k-first] = float32(b.light.Weight[k])
		// Light that is lost at the edge would have gone far: it is spread evenly.
		rest += w[k-first] * float32(b.lost[k]/float64(p.n*p.n))
	}
	places := r.plans[log2(p.n)].Places()
	from, half := (n-p.n)/2, p.n/2
	for i := max(item*strip, from); i < min((item+1)*strip, from+p.n); i++ {
		var power [4][]float32
		for k := range power {
			power[k] = b.power[min(first+k, end-1)][int(places[(i-from)^half])*p.n:][:p.n]
		}
		row := r.sumTo[i*n+from:][:p.n]
		weigh(row[:half], places[half:], &w, &power, rest)
		weigh(row[half:], places[:half], &w, &power, rest)
	}
}

func weigh(to []float32, places []int32, w *[4]float32, power *[4][]float32, rest float32) {
	w0, w1, w2, w3 := w[0], w[1], w[2], w[3]
	a := power[0]
	b, c, d := power[1][:len(a)], power[2][:len(a)], power[3][:len(a)]
	places = places[:len(to)]
	for j, at := range places {
		to[j] += w0*a[at] + w1*b[at] + w2*c[at] + w3*d[at] + rest
	}
}

func add(to, from []float32) {
	for k := range to {
		to[k] += from[k]
	}
}

// halve brings the real plane r.fine to half as many samples in r.half, after
// cutting off the frequencies that these cannot hold. The sum stays.
func (r *Renderer) halve() {
	f, h := &r.fine, &r.half
	n := f.n / 2
	fine, coarse := r.plan(f.n), r.plan(n)
	transformRows(f, fine.Forward)
	f.transpose()
	transformRows(f, fine.Forward)
	h.reset(n)
	scale := 1 / float32(n*n)
	for j := range n {
		up, down := fine.Place(signed(j, n)&(f.n-1))*f.n, fine.Place(-signed(-j&(n-1), n)&(f.n-1))*f.n
		for i := range n {
			left, right := fine.Place(signed(i, n)&(f.n-1)), fine.Place(-signed(-i&(n-1), n)&(f.n-1))
			// The highest frequency is both the positive and the negative one.
			to := coarse.Place(j)*n + coarse.Place(i)
			h.re[to] = scale / 4 * (f.re[up+left] + f.re[up+right] + f.re[down+left] + f.re[down+right])
			h.im[to] = scale / 4 * (f.im[up+left] + f.im[up+right] + f.im[down+left] + f.im[down+right])
		}
	}
	transformRows(h, coarse.Inverse)
	h.transpose()
	transformRows(h, coarse.Inverse)
}

func transformRows(p *plane, line func(re, im []float32)) {
	for j := range p.n {
		re, im := p.row(j)
		line(re, im)
	}
}
