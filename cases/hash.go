package cases

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"

	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Hash is the SHA-256, in hexadecimal, of all that bears on the answers and
// the marks: what Setup gives, the marking scheme, and the best sphere of the record
// card where the case gives one. Neither the layout nor the
// comments of the file matter, nor do its texts in any language: a case with a
// translation more is the same patient. A case without either of its own has the
// hash of its setup alone. Numbers count to a millionth, so that the last bit
// of a float, which differs from machine to machine, does not matter either.
func (c *Case) Hash() string {
	return hashOf(c.Setup(), c.Marking, c.Eyes[0].BestSphereLens, c.Eyes[1].BestSphereLens)
}

// hashOf is Hash; best are the best spheres that are given, right and left.
func hashOf(s sitting.Setup, marking *Scheme, best ...*float64) string {
	h := sha256.New()
	put(h, "tested", string(s.Tested))
	put(h, "age", s.Age)
	m := s.Manner
	put(h, "manner", m.Noise, m.Difference, m.Lapse, m.Change, m.Fatigue, m.Suggestible, m.Hesitation, m.Settling,
		m.Dominance, m.Wavering, m.AsksAgain, m.Slowness, m.Weariness, m.Attention)
	f := s.Focusing
	put(h, "focusing", f.Tonic, f.Latent, f.Spasm, f.Release, f.Regard, f.Steadiness)
	put(h, "room", s.Room.Distance, s.Room.Vertex, s.Room.Labels.String(), s.Room.Set.PlusCylinders)
	for _, e := range s.Eyes {
		putRx(h, "error", e.Error)
		putRx(h, "objective", e.Objective)
		n, b := e.Eye.Needs, e.Eye.Balance
		put(h, "eye", n.M, n.J0, n.J45, b.M, b.J0, b.J45, e.Eye.Pupil, e.Eye.Age, e.Eye.Veil, e.Eye.Rho, e.Eye.X0, e.Eye.Y0, e.Amplitude)
		if e.Neural != (patient.Acuity{}) || e.Eye.Grain != 0 {
			put(h, "neural", e.Neural.LogMAR, e.Eye.Grain)
		}
		a := e.Eye.Aberrations
		put(h, "aberrations", a.Diameter, a.Coefficients, a.Deviates)
	}
	for i, lens := range best {
		if lens != nil {
			put(h, "best sphere", i, *lens)
		}
	}
	if marking != nil {
		putScheme(h, *marking)
	}
	return hex.EncodeToString(h.Sum(nil))
}

func putScheme(w io.Writer, s Scheme) {
	k, c := s.Claims, s.Conduct
	put(w, "claims", k.Axis, k.Cylinder, k.Sphere, k.Full, k.Fair, k.Wide, k.FairKeeps, k.WideKeeps, k.AxisKeeps, k.WeakKeeps, k.UnheardKeeps, k.OneUnheard, k.TwoUnheard)
	put(w, "conduct", c.Heeding, c.Cover, c.CylinderOut, c.Verify, c.Check, c.SphereAlone, c.Acuity, c.Lenses, c.Questions)
	put(w, "par", s.Steps.Points, s.Steps.Free, s.Steps.Most, s.Time.Points, s.Time.Free, s.Time.Most)
}

func putRx(w io.Writer, name string, rx optics.Rx) { put(w, name, rx.Sphere, rx.Cyl, rx.Axis) }

// put writes one line. A hash takes whatever it is given, so that there is no
// error to look at.
func put(w io.Writer, name string, values ...any) {
	fmt.Fprint(w, name)
	for _, v := range values {
		switch v := v.(type) {
		case float64:
			fmt.Fprintf(w, " %.6f", v+0) // +0 takes the sign off a zero
		case []float64:
			fmt.Fprintf(w, " %d", len(v))
			for _, x := range v {
				fmt.Fprintf(w, " %.6f", x+0)
			}
		default:
			fmt.Fprintf(w, " %v", v)
		}
	}
	fmt.Fprintln(w)
}
