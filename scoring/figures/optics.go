package figures

import (
	"fmt"
	"math"
	"math/rand/v2"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
)

// population compares the optics of drawn eyes in best focus with the means of
// the eyes that they were drawn after.
func population(eyes int) []Row {
	frequencies := []float64{2, 5, 10, 20, 30}
	var out []Row
	for _, c := range []struct{ pupil, rms float64 }{{3, 0.0403}, {4.5, 0.1253}, {6, 0.2787}} {
		transfer := make([][]float64, len(frequencies))
		for i := range transfer {
			transfer[i] = make([]float64, eyes)
		}
		rms := make([]float64, eyes)
		each(eyes, func(b *bench, k int, r *rand.Rand) {
			e := drawn(r, c.pupil, youngAge)
			e.Rho, e.Veil = 0, 0 // the norms are of wavefronts alone
			rms[k] = eye.RMS(e.Aberrations.At(c.pupil))
			t := inFocus(b.renderer, e)
			for i, f := range frequencies {
				transfer[i][k] = radial(t, f)
			}
		})
		for i, f := range frequencies {
			want := patient.MeanOpticalTransfer(f, c.pupil)
			out = append(out, about(fmt.Sprintf("MTF at %v c/deg, %v mm", f, c.pupil), mean(transfer[i]), want, 0.2*want, "Watson 2013"))
		}
		out = append(out, about(fmt.Sprintf("higher-order RMS in µm, %v mm", c.pupil), mean(rms), c.rms, 0.1*c.rms, "Thibos and others 2002"))
	}
	return out
}

// green is the light of the published transfer formula.
var green = retina.Light{Nm: []float64{555}, Weight: []float64{1}}

// inFocus is the transfer function at the sphere that makes the most of it:
// the largest volume under it, weighted by the nervous system.
func inFocus(r *retina.Renderer, e eye.Eye) (best *retina.Transfer) {
	most := math.Inf(-1)
	for d := -0.75; d <= 0.75; d += 0.125 {
		p := patient.Through(e, optics.Sphere(d), 0, 0).Pupil
		t, err := r.Transfer(p, green)
		if err != nil {
			continue
		}
		var sum float64
		for f := 1.0; f <= 40; f++ {
			sum += f * patient.Neural(f) * radial(t, f)
		}
		if sum > most {
			most, best = sum, t
		}
	}
	return best
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
	m := patient.Manners["everyday"]
	alike := make([]float64, eyes)
	each(eyes, func(b *bench, k int, rnd *rand.Rand) {
		e := drawn(rnd, 0, 60)
		said := func(d float64) patient.Kind {
			look := patient.Through(e, optics.Sphere(d), 0, 0).Look(b.renderer)
			return m.Colours(patient.Moment{Seed: uint64(k), View: fmt.Sprint(d), Since: 60}, []*patient.Look{look}, r, g).Kind
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
	return []Row{
		about("neutral point at 60 years, D from focus at 570 nm", mean(neutral), 0, 0.125, "common practice (570 nm from memory)"),
		within("share alike at the neutral point", mean(alike), 0.8, math.Inf(1), "common practice"),
		within("share red with +0.50 D more", mean(red), 0.9, math.Inf(1), "common practice"),
		within("share green with −0.50 D more", mean(green), 0.9, math.Inf(1), "common practice"),
	}
}

func share(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}
