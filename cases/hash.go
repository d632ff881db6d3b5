package cases

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strconv"

	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Hash is the SHA-256, in hexadecimal, of all that bears on the answers: what Setup
// gives, and of the record card the best sphere and the spectacles where the case gives
// them. Neither the layout nor the comments of the file matter, nor do its texts in any
// language, its notes and feedback, how the objective result was come by, nor the
// marking scheme: a case with a translation more, or marked otherwise, is the same
// patient, and a sitting can be marked again. Numbers count to a millionth, so that
// the last bit of a float, which differs from machine to machine, does not matter
// either.
func (c *Case) Hash() string {
	return hashOf(c.Setup(), c.Eyes[:]...)
}

// hashOf is Hash; record are the eyes, right and left, for what the card says of them.
func hashOf(s sitting.Setup, record ...Eye) string {
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
	for i, e := range record {
		if e.BestSphereLens != nil {
			put(h, "best sphere", i, *e.BestSphereLens)
		}
		if e.Spectacles != nil {
			putRx(h, "spectacles "+strconv.Itoa(i), *e.Spectacles)
		}
	}
	return hex.EncodeToString(h.Sum(nil))
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
