package retina

// plane is a square of complex samples, row by row.
type plane struct {
	n      int
	re, im []float32
}

// reset makes the plane n x n; what stands in it is undefined.
func (p *plane) reset(n int) {
	p.n, p.re, p.im = n, sized(p.re, n*n), sized(p.im, n*n)
}

func (p *plane) clear() {
	clear(p.re)
	clear(p.im)
}

// row is row j.
func (p *plane) row(j int) (re, im []float32) {
	return p.re[j*p.n:][:p.n:p.n], p.im[j*p.n:][:p.n:p.n]
}

// transpose exchanges rows and columns, in blocks that stay in the cache.
func (p *plane) transpose() {
	transpose(p.re, p.n)
	transpose(p.im, p.n)
}

func transpose(s []float32, n int) {
	const block = 16
	for j0 := 0; j0 < n; j0 += block {
		for i0 := j0; i0 < n; i0 += block {
			for j := j0; j < min(j0+block, n); j++ {
				for i := max(i0, j+1); i < min(i0+block, n); i++ {
					s[j*n+i], s[i*n+j] = s[i*n+j], s[j*n+i]
				}
			}
		}
	}
}

// strip is the number of rows that are carried together from one order of the
// data to another: a strip of one row fills a line of the cache.
const strip = 16

// signed is the frequency of element k of a transform of length n.
func signed(k, n int) int {
	if k >= n/2 {
		return k - n
	}
	return k
}
