package retina

import (
	"math"

	"conoid/sim/eye"
)

// Section is the optical transfer function along one direction: that of the
// line spread of a long straight line whose bars run at the given angle,
// degrees in the patient's view. freqs are in cycles per degree; a positive
// one counts its phase towards angle + 90 degrees. The values go into dst,
// which is made longer if need be, and returned. They are 1 at frequency 0 and
// carry the factor 1 - Veil elsewhere.
//
// The function is the overlap of the pupil with itself, shifted across the
// line by wavelength times frequency, integrated by Gauss's rule with as many
// nodes as the phase of the integrand asks for. It needs no image and no
// transform, so that it is what tests hold both against. Section panics where Pupil.Check finds an error.
func Section(p Pupil, l Light, angle float64, freqs []float64, dst []complex128) []complex128 {
	if err := p.Check(); err != nil {
		panic(err.Error())
	}
	c := newCut(p.seen(), angle)
	for len(dst) < len(freqs) {
		dst = append(dst, 0)
	}
	dst = dst[:len(freqs)]
	for i, f := range freqs {
		dst[i] = 1
		if f == 0 {
			continue
		}
		var sum complex128
		for k, nm := range l.Nm {
			sum += complex(l.Weight[k], 0) * c.overlap(f*perRadian/1000, nm)
		}
		dst[i] = sum * complex((1-p.Veil)/c.energy, 0)
	}
	return dst
}

// cut is a pupil in axes along (v) and across (u) a line.
type cut struct {
	radius, decay float64
	u0, v0        float64 // peak of the Stiles-Crawford function
	w             surface
	flat          bool    // whether the wavefront is of second order
	energy        float64 // what the overlap with itself is without a shift
	leastUU       float64 // range over the pupil of the second derivative across the line, dioptres
	mostUU        float64
	mostUV        float64                // largest mixed derivative
	table         [tabulated + 1]float64 // see efficiency
}

func newCut(v view, angle float64) *cut {
	sin, cos := math.Sincos((angle + 90) * math.Pi / 180)
	c := &cut{
		radius: v.radius, decay: v.decay(),
		u0: v.x0*cos + v.y0*sin, v0: v.y0*cos - v.x0*sin,
		w: v.w.turned(cos, sin),
	}
	c.flat = c.w.order() <= 2
	c.leastUU, c.mostUU = math.Inf(1), math.Inf(-1)
	du := c.w.dx()
	uu, uv := du.dx(), du.dy()
	for _, q := range places {
		x, y := q.x*v.radius, q.y*v.radius
		a := uu.at(x, y)
		c.leastUU, c.mostUU = min(c.leastUU, a), max(c.mostUU, a)
		c.mostUV = max(c.mostUV, math.Abs(uv.at(x, y)))
	}
	c.energy = math.Pi * c.radius * c.radius
	if c.decay > 0 {
		c.tabulate()
		c.energy = real(c.overlap(0, eye.ReferenceNm))
	}
	return c
}

// overlap integrates the pupil, shifted back by half the shift, times the
// conjugate of itself shifted forward, over the area that both share: light
// whose phase rises across the line is seen further along, and lags. The frequency is in cycles per
// milliradian, the wavelength in nanometres: their product is in micrometres
// per milliradian, which are millimetres.
func (c *cut) overlap(f, nm float64) complex128 {
	um := nm / 1000
	half := um * f / 2
	top := math.Sqrt(max(0, c.radius*c.radius-half*half))
	if top == 0 {
		return 0
	}
	focus := eye.ChromaticFocus(nm)
	steepest := max(math.Abs(c.leastUU+focus), math.Abs(c.mostUU+focus))
	turns := 2 * math.Abs(f) * steepest * (c.radius - math.Abs(half))
	inner := gauss(nodes(turns))
	// The ends of the rows run through the same phases; the sine that spaces the
	// rows is pi/2 times as steep in the middle as on average.
	outer := gauss(nodes(turns + math.Pi/2*2*math.Abs(f)*c.mostUV*top))
	step := c.w.step(half)
	step[1][0] += 2 * focus * half
	step = step.scaled(1 / um)

	var re, im float64
	for i, t := range outer.x {
		sin, cos := math.Sincos(t * math.Pi / 2)
		v := top * sin
		reach := math.Sqrt(c.radius*c.radius-v*v) - math.Abs(half)
		weight := outer.w[i] * math.Pi / 2 * top * cos * reach
		if c.decay > 0 {
			weight *= math.Exp(-c.decay * (half*half + (v-c.v0)*(v-c.v0)))
		}
		x, y := c.chord(step.row(v), reach, inner)
		re += weight * x
		im -= weight * y
	}
	return complex(re, im)
}

// chord integrates the phase, in turns a polynomial in u, from -reach to reach;
// the length of the chord is left out.
func (c *cut) chord(turns [terms]float64, reach float64, g *rule) (re, im float64) {
	for k := range turns {
		turns[k] *= phases
	}
	turns[0] += 1 << 20 * phases // see wave.phasors
	for i, x := range g.x {
		u := x * reach
		t := turns[1]*u + turns[0]
		if !c.flat {
			t += (((turns[5]*u+turns[4])*u+turns[3])*u + turns[2]) * u * u
		}
		k := int64(t)
		d := (t - float64(k) - 0.5) * (2 * math.Pi / phases)
		p := &phasor[k&(phases-1)]
		a := g.w[i]
		if c.decay > 0 {
			a *= c.efficiency(u)
		}
		re += a * (p[0] - p[1]*d)
		im += a * (p[1] + p[0]*d)
	}
	return re, im
}

// efficiency is the part of the Stiles-Crawford function that varies across the
// line, at u, read from a table.
func (c *cut) efficiency(u float64) float64 {
	x := (u/c.radius + 1) * (tabulated / 2)
	k := min(max(int(x), 0), tabulated-1)
	x -= float64(k)
	return c.table[k] + x*(c.table[k+1]-c.table[k])
}

// tabulated is the number of steps of the table. Between them straight lines
// serve within 1e-5.
const tabulated = 512

func (c *cut) tabulate() {
	for k := range c.table {
		u := (float64(k)/(tabulated/2) - 1) * c.radius
		c.table[k] = math.Exp(-c.decay * (u - c.u0) * (u - c.u0))
	}
}

// step is the difference s(x+half, y) - s(x-half, y) as a surface.
func (s *surface) step(half float64) (out surface) {
	for k := range terms {
		binomial, power := 1.0, half
		for a := k + 1; a < terms; a++ {
			binomial *= float64(a) / float64(a-k)
			if (a-k)%2 == 1 {
				for b := 0; b < terms-a; b++ {
					out[k][b] += 2 * binomial * power * s[a][b]
				}
			}
			power *= half
		}
	}
	return out
}

// turned is the surface in axes turned by an angle whose cosine and sine are
// given: at (u, v) it has the height that s has at u (cos, sin) + v (-sin, cos).
func (s surface) turned(cos, sin float64) (out surface) {
	var x, y surface
	x[1][0], x[0][1] = cos, -sin
	y[1][0], y[0][1] = sin, cos
	var xa surface
	xa[0][0] = 1
	for a := range s {
		term := xa
		for b := 0; b < terms-a; b++ {
			if s[a][b] != 0 {
				out.add(term.scaled(s[a][b]))
			}
			term = term.times(y)
		}
		xa = xa.times(x)
	}
	return out
}

// nodes is how many places integrate a wave of so many turns: pi/2 for every
// turn is the least, the rest is for turns that are not all equally long. There
// are no more than mostNodes; what would need them is blurred to nothing.
func nodes(turns float64) int { return int(min(10+math.Ceil(1.8*math.Abs(turns)), mostNodes)) }
