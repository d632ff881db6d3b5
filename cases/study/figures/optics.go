package figures

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// leftOver is the second order, in micrometres, that was left in the eyes of
// the norms when they were measured behind their best trial lenses: mean and
// standard deviation of modes 3, 4 and 5. Source: Thibos, Hong, Bradley and
// Cheng (2002), JOSA A 19:2329-2348.
var leftOver = map[float64][3][2]float64{
	3:   {{-0.0104, 0.0566}, {0.0091, 0.0749}, {-0.0293, 0.0639}},
	4.5: {{-0.0192, 0.1178}, {0.0963, 0.1774}, {-0.0806, 0.1369}},
	6:   {{-0.0192, 0.2039}, {0.3350, 0.3729}, {-0.1700, 0.2564}},
}

// healthyEyes compares the optics of drawn eyes with the means of the eyes that
// they were drawn after: as those were measured, with what their trial lenses
// left over, in white light.
func healthyEyes(eyes int) []Row {
	frequencies := []float64{2, 5, 10, 20, 30}
	var out []Row
	for _, c := range []struct{ pupil, mean, deviation float64 }{
		{3, 0.0403, 0.0218}, {4.5, 0.1253, 0.0570}, {6, 0.2787, 0.1206},
	} {
		transfer := make([][]float64, len(frequencies))
		for i := range transfer {
			transfer[i] = make([]float64, eyes)
		}
		squares := make([]float64, eyes)
		each(eyes, func(b *bench, k int, r *rand.Rand) {
			z := eye.Draw(r).At(c.pupil)
			squares[k] = eye.RMS(z) * eye.RMS(z)
			for i, v := range leftOver[c.pupil] {
				z[3+i] = v[0] + v[1]*r.NormFloat64()
			}
			t, err := b.renderer.Transfer(retina.Pupil{Diameter: c.pupil, Zernike: z}, retina.White())
			if err != nil {
				return // no drawn blur is wider than the widest window
			}
			for i, f := range frequencies {
				transfer[i][k] = radial(t, f)
			}
		})
		for i, f := range frequencies {
			want := patient.MeanOpticalTransfer(f, c.pupil)
			out = append(out, about(fmt.Sprintf("MTF at %v c/deg, %v mm", f, c.pupil), stat.Mean(transfer[i], nil), want, 0.2*want, "Watson 2013"))
		}
		// Modes are drawn on their own, which keeps the mean square of the eyes
		// but not the spread of their roots.
		want := math.Hypot(c.mean, c.deviation)
		out = append(out, about(fmt.Sprintf("higher-order RMS of all eyes in µm, %v mm", c.pupil), math.Sqrt(stat.Mean(squares, nil)), want, 0.1*want, "Thibos and others 2002"))
	}
	return out
}

// radial is the mean modulation over all directions.
func radial(t *retina.Transfer, f float64) float64 {
	const directions = 24
	var sum float64
	for i := range directions {
		s, c := math.Sincos(float64(i) * math.Pi / directions)
		v := t.At(f*c, f*s)
		sum += math.Hypot(real(v), imag(v))
	}
	return sum / directions
}

// duochrome finds where red and green are alike for eyes that cannot
// accommodate, and what they say on either side.
func duochrome(eyes int) []Row {
	neutral := make([]float64, eyes)
	red, green := make([]float64, eyes), make([]float64, eyes)
	r, g := chart.DuochromeLines()
	m := patient.Manners()["everyday"]
	alike := make([]float64, eyes)
	each(eyes, func(b *bench, k int, rnd *rand.Rand) {
		e := drawn(rnd, 0, 60)
		said := func(d float64) patient.Kind {
			look := patient.Through(e, optics.Sphere(d), 0, 0).Look(b.renderer)
			return m.Colours(patient.Moment{Key: sitting.Seeded(uint64(k)).Noise, View: fmt.Sprint(d), Since: 60}, patient.Once(look), r, g).Kind
		}
		gap := func(d float64) float64 {
			look := []*patient.Look{patient.Through(e, optics.Sphere(d), 0, 0).Look(b.renderer)}
			return patient.Response(patient.Ring(look, r, chart.Red)) - patient.Response(patient.Ring(look, g, chart.Green))
		}
		low, high := -1.0, 1.0
		for range 12 {
			mid := (low + high) / 2
			if gap(mid) < 0 {
				low = mid
			} else {
				high = mid
			}
		}
		neutral[k] = low
		alike[k] = share(said(low) == patient.Alike || said(low) == patient.Unsure)
		red[k] = share(said(low+0.5) == patient.RedClearer)
		green[k] = share(said(low-0.5) == patient.GreenClearer)
	})
	const memory = "from memory: yellowing lenses favour red"
	return []Row{
		within("red over green at 75 less at 25 years, as a response", lensBias(), 0.01, 0.2, memory),
		about("neutral point at 60 years, D from focus at 570 nm", stat.Mean(neutral, nil), 0, 0.125, "common practice (570 nm from memory)"),
		within("share alike at the neutral point", stat.Mean(alike, nil), 0.8, math.Inf(1), "common practice"),
		within("share red with +0.50 D more", stat.Mean(red, nil), 0.9, math.Inf(1), "common practice"),
		within("share green with −0.50 D more", stat.Mean(green, nil), 0.9, math.Inf(1), "common practice"),
	}
}

func share(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

// lensBias is how much clearer red is against green for an old lens than for a
// young one, at the neutral point of an eye without aberrations.
func lensBias() float64 {
	r, g := chart.DuochromeLines()
	gap := func(age float64) float64 {
		e := eye.Eye{Pupil: 3, Age: age}
		look := []*patient.Look{patient.Through(e, optics.Power{}, 0, 0).Look(retina.New(patient.Grid()))}
		return patient.Response(patient.Ring(look, r, chart.Red)) - patient.Response(patient.Ring(look, g, chart.Green))
	}
	return gap(75) - gap(25)
}
