package chart

import "math"

// Spectrum is the Fourier transform of the shape at the frequency (fx, fy) in
// cycles per minute of arc: the integral of exp(−2πi(fx·x + fy·y)) over its
// area, in square minutes of arc. It is exact for the polygon, Value is not
// included, and at zero frequency it is Area.
//
// Green's theorem makes the integral a sum over the edges. With ω = 2πf, the
// unit vector u along ω, and an edge e whose middle is m,
//
//	F = i/|ω| · Σ (u × e) · exp(−iω·m) · sin(ω·e/2)/(ω·e/2).
//
// The terms (u × e) alone add up to nothing around a closed path; taking them
// off first keeps the sum exact down to the smallest frequencies.
func (s Shape) Spectrum(fx, fy float64) complex128 {
	wx, wy := 2*math.Pi*fx, 2*math.Pi*fy
	w := math.Hypot(wx, wy)
	if w < 1e-100 { // the same to every figure, and clear of underflow
		return complex(s.Area(), 0)
	}
	var sum complex128
	s.edges(func(a, b Point) {
		ex, ey := b.X-a.X, b.Y-a.Y
		across := (wx*ey - wy*ex) / w
		sum += complex(across, 0) * waveLess1((wx*(a.X+b.X)+wy*(a.Y+b.Y))/2, (wx*ex+wy*ey)/2)
	})
	if s.signedArea() < 0 {
		sum = -sum
	}
	return sum * complex(0, 1/w)
}

// waveLess1 is exp(−i·phase)·sin(half)/half − 1, without loss of figures when
// both are small.
func waveLess1(phase, half float64) complex128 {
	sincLess1 := -half * half / 6 // the series; its next term is below 1e-14
	if math.Abs(half) > 1e-3 {
		sincLess1 = math.Sin(half)/half - 1
	}
	sinc := 1 + sincLess1
	chord := math.Sin(phase / 2)
	return complex(sincLess1-2*chord*chord*sinc, -math.Sin(phase)*sinc)
}
