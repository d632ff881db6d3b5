package fft

// The first pass of lengths that are no power of 8. There may be two or four
// blocks.

// turns is row k of the twiddles of the first pass: cosines and sines take turns.
func (p *Plan) turns(k int) []float32 {
	block := p.n / p.lead
	return p.first[k*block:][:block]
}

func (p *Plan) split2(re, im []float32) {
	h := p.n / 2
	if vectors {
		splits2(&re[0], &im[0], &p.first[0], 4*h, h/8)
		return
	}
	r0, m0 := re[:h], im[:h]
	r1, m1 := re[h:][:h], im[h:][:h]
	t0, t1 := p.turns(0), p.turns(1)
	for i := range t0 {
		x, y := r0[i]-r1[i], m0[i]-m1[i]
		r0[i], m0[i] = r0[i]+r1[i], m0[i]+m1[i]
		r1[i], m1[i] = x*t0[i]-y*t1[i], x*t1[i]+y*t0[i]
	}
}

func (p *Plan) join2(re, im []float32) {
	h := p.n / 2
	if vectors {
		joins2(&re[0], &im[0], &p.first[0], 4*h, h/8)
		return
	}
	r0, m0 := re[:h], im[:h]
	r1, m1 := re[h:][:h], im[h:][:h]
	t0, t1 := p.turns(0), p.turns(1)
	for i := range t0 {
		x, y := r1[i]*t0[i]-m1[i]*t1[i], r1[i]*t1[i]+m1[i]*t0[i]
		r0[i], m0[i], r1[i], m1[i] = r0[i]+x, m0[i]+y, r0[i]-x, m0[i]-y
	}
}

func (p *Plan) split4(re, im []float32) {
	q := p.n / 4
	if vectors {
		splits4(&re[0], &im[0], &p.first[0], 4*q, q/8)
		return
	}
	r0, r1, r2, r3 := re[:q], re[q:][:q], re[2*q:][:q], re[3*q:][:q]
	m0, m1, m2, m3 := im[:q], im[q:][:q], im[2*q:][:q], im[3*q:][:q]
	t0, t1, t2, t3, t4, t5 := p.turns(0), p.turns(1), p.turns(2), p.turns(3), p.turns(4), p.turns(5)
	for i := range t0 {
		a0, a2, b0, b2 := r0[i]+r2[i], r0[i]-r2[i], m0[i]+m2[i], m0[i]-m2[i]
		a1, a3, b1, b3 := r1[i]+r3[i], m1[i]-m3[i], m1[i]+m3[i], r3[i]-r1[i]
		r0[i], m0[i] = a0+a1, b0+b1
		x, y := a2+a3, b2+b3
		r1[i], m1[i] = x*t0[i]-y*t1[i], x*t1[i]+y*t0[i]
		x, y = a0-a1, b0-b1
		r2[i], m2[i] = x*t2[i]-y*t3[i], x*t3[i]+y*t2[i]
		x, y = a2-a3, b2-b3
		r3[i], m3[i] = x*t4[i]-y*t5[i], x*t5[i]+y*t4[i]
	}
}

func (p *Plan) join4(re, im []float32) {
	q := p.n / 4
	if vectors {
		joins4(&re[0], &im[0], &p.first[0], 4*q, q/8)
		return
	}
	r0, r1, r2, r3 := re[:q], re[q:][:q], re[2*q:][:q], re[3*q:][:q]
	m0, m1, m2, m3 := im[:q], im[q:][:q], im[2*q:][:q], im[3*q:][:q]
	t0, t1, t2, t3, t4, t5 := p.turns(0), p.turns(1), p.turns(2), p.turns(3), p.turns(4), p.turns(5)
	for i := range t0 {
		a0, b0 := r0[i], m0[i]
		a1, b1 := r1[i]*t0[i]-m1[i]*t1[i], r1[i]*t1[i]+m1[i]*t0[i]
		a2, b2 := r2[i]*t2[i]-m2[i]*t3[i], r2[i]*t3[i]+m2[i]*t2[i]
		a3, b3 := r3[i]*t4[i]-m3[i]*t5[i], r3[i]*t5[i]+m3[i]*t4[i]
		a0, a2, b0, b2 = a0+a2, a0-a2, b0+b2, b0-b2
		a1, a3, b1, b3 = a1+a3, b1-b3, b1+b3, a3-a1
		r0[i], m0[i] = a0+a1, b0+b1
		r1[i], m1[i] = a2+a3, b2+b3
		r2[i], m2[i] = a0-a1, b0-b1
		r3[i], m3[i] = a2-a3, b2-b3
	}
}
