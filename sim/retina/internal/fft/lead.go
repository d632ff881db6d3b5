package fft

// The first pass of lengths that are no power of 8. There may be two or four
// blocks.

func (p *Plan) split2(re, im []float32) {
	h := p.n / 2
	r0, m0 := re[:h], im[:h]
	r1, m1 := re[h:][:h], im[h:][:h]
	for i := range p.first[:h] {
		t := &p.first[i]
		x, y := r0[i]-r1[i], m0[i]-m1[i]
		r0[i], m0[i] = r0[i]+r1[i], m0[i]+m1[i]
		r1[i], m1[i] = x*t[0]-y*t[1], x*t[1]+y*t[0]
	}
}

func (p *Plan) join2(re, im []float32) {
	h := p.n / 2
	r0, m0 := re[:h], im[:h]
	r1, m1 := re[h:][:h], im[h:][:h]
	for i := range p.first[:h] {
		t := &p.first[i]
		x, y := r1[i]*t[0]-m1[i]*t[1], r1[i]*t[1]+m1[i]*t[0]
		r0[i], m0[i], r1[i], m1[i] = r0[i]+x, m0[i]+y, r0[i]-x, m0[i]-y
	}
}

func (p *Plan) split4(re, im []float32) {
	q := p.n / 4
	r0, r1, r2, r3 := re[:q], re[q:][:q], re[2*q:][:q], re[3*q:][:q]
	m0, m1, m2, m3 := im[:q], im[q:][:q], im[2*q:][:q], im[3*q:][:q]
	for i := range p.first[:q] {
		t := &p.first[i]
		a0, a2, b0, b2 := r0[i]+r2[i], r0[i]-r2[i], m0[i]+m2[i], m0[i]-m2[i]
		a1, a3, b1, b3 := r1[i]+r3[i], m1[i]-m3[i], m1[i]+m3[i], r3[i]-r1[i]
		r0[i], m0[i] = a0+a1, b0+b1
		x, y := a2+a3, b2+b3
		r1[i], m1[i] = x*t[0]-y*t[1], x*t[1]+y*t[0]
		x, y = a0-a1, b0-b1
		r2[i], m2[i] = x*t[2]-y*t[3], x*t[3]+y*t[2]
		x, y = a2-a3, b2-b3
		r3[i], m3[i] = x*t[4]-y*t[5], x*t[5]+y*t[4]
	}
}

func (p *Plan) join4(re, im []float32) {
	q := p.n / 4
	r0, r1, r2, r3 := re[:q], re[q:][:q], re[2*q:][:q], re[3*q:][:q]
	m0, m1, m2, m3 := im[:q], im[q:][:q], im[2*q:][:q], im[3*q:][:q]
	for i := range p.first[:q] {
		t := &p.first[i]
		a0, b0 := r0[i], m0[i]
		a1, b1 := r1[i]*t[0]-m1[i]*t[1], r1[i]*t[1]+m1[i]*t[0]
		a2, b2 := r2[i]*t[2]-m2[i]*t[3], r2[i]*t[3]+m2[i]*t[2]
		a3, b3 := r3[i]*t[4]-m3[i]*t[5], r3[i]*t[5]+m3[i]*t[4]
		a0, a2, b0, b2 = a0+a2, a0-a2, b0+b2, b0-b2
		a1, a3, b1, b3 = a1+a3, b1-b3, b1+b3, a3-a1
		r0[i], m0[i] = a0+a1, b0+b1
		r1[i], m1[i] = a2+a3, b2+b3
		r2[i], m2[i] = a0-a1, b0-b1
		r3[i], m3[i] = a2-a3, b2-b3
	}
}
