package retina

import (
	"math"
	"sync/atomic"
)

// rule is a Gauss-Legendre rule on -1 to 1: places and weights.
type rule struct{ x, w []float64 }

// mostNodes is the most that a rule has.
const mostNodes = 2048

var rules [mostNodes + 1]atomic.Pointer[rule]

// gauss is the rule with n places, at most mostNodes.
func gauss(n int) *rule {
	if r := rules[n].Load(); r != nil {
		return r
	}
	r := newRule(n)
	rules[n].Store(r)
	return r
}

// newRule finds the zeros of the Legendre polynomial of order n by Newton's
// method from Tricomi's estimate; the weights are 2/((1-x^2) P'(x)^2).
func newRule(n int) *rule {
	r := &rule{make([]float64, n), make([]float64, n)}
	for i := range n {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		var slope float64
		for range 10 {
			var p float64
			p, slope = legendre(n, x)
			dx := p / slope
			x -= dx
			if math.Abs(dx) < 1e-15 {
				break
			}
		}
		r.x[i], r.w[i] = x, 2/((1-x*x)*slope*slope)
	}
	return r
}

// legendre is the Legendre polynomial of order n > 0 and its derivative.
func legendre(n int, x float64) (p, slope float64) {
	before, p := 1.0, x
	for k := 2; k <= n; k++ {
		before, p = p, (float64(2*k-1)*x*p-float64(k-1)*before)/float64(k)
	}
	return p, float64(n) * (before - x*p) / (1 - x*x)
}
