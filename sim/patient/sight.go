package patient

import (
	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

// Sight is what one eye makes of the light: the pupil that images it and the
// age of the lens that colours it.
type Sight struct {
	Pupil retina.Pupil
	Left  optics.Power // error that is left, as of eye.Eye.Left: where the focal lines stand
	Age   float64      // years
	Grain float64      // of the nervous system, as of eye.Eye.Grain
}

// coarseness is the factor by which the nervous system is coarser than most
// people's.
func (s Sight) coarseness() float64 { return max(1, s.Grain) }

// Through is the sight of an eye that meets light of the given vergence at
// the cornea (dioptres) with so much accommodation (dioptres), through a round
// aperture in millimetres; 0 for the pupil alone.
func Through(e eye.Eye, atCornea optics.Power, accommodation, aperture float64) Sight {
	d := e.Pupil
	if aperture > 0 {
		d = min(d, aperture)
	}
	return Sight{Age: e.Age, Grain: e.Grain, Left: e.Left(atCornea, accommodation), Pupil: retina.Pupil{
		Diameter: d,
		Residual: e.Residual(atCornea, accommodation),
		Zernike:  e.Aberrations.At(d),
		Rho:      e.Rho, X0: e.X0, Y0: e.Y0,
		Veil: e.Veil,
	}}
}

// Light is the light of a kind as it reaches the retina of this eye.
func (s Sight) Light(l chart.Light) retina.Light {
	return retina.Filter(l).Through(func(nm float64) float64 { return eye.Transmittance(nm, s.Age) })
}

// accommodated is the same sight with d dioptres more accommodation.
func (s Sight) accommodated(d float64) Sight {
	s.Pupil.Residual.M += d
	s.Left.M += d
	return s
}

// Grid is all that an observer needs, who judges by the transfer function: as
// fine as an image, and as wide as a letter and its usual blur. Wider blurs are
// worked out on a wider one.
func Grid() retina.Grid { return retina.Grid{N: 256, Pitch: 0.35} }

// Look is a sight with its transfer functions worked out: all that an observer
// needs to judge marks and letters. What was judged once is kept, for charts
// and questions change more often than lenses. It is not for use by two
// goroutines.
type Look struct {
	Sight
	renderer *retina.Renderer
	transfer map[chart.Light]*retina.Transfer
	clear    map[judged]float64
	dials    map[chart.Line][]float64 // by their first lines
	dim      map[chart.Light]float64
	letters  map[float64]*gram // by logMAR size
}

// judged is a line in a light, as far as its clarity goes.
type judged struct {
	mark
	angle float64
	light chart.Light
}

// Look prepares a sight for judging, with a renderer to work on.
func (s Sight) Look(r *retina.Renderer) *Look {
	return &Look{
		Sight: s, renderer: r,
		transfer: map[chart.Light]*retina.Transfer{},
		clear:    map[judged]float64{},
		dials:    map[chart.Line][]float64{},
		dim:      map[chart.Light]float64{},
		letters:  map[float64]*gram{},
	}
}

// through is the transfer function for a light; nil when the blur is too wide
// for any image, so that nothing can be seen.
func (l *Look) through(light chart.Light) *retina.Transfer { return l.upTo(retina.Finest, light) }

// coarsely is the transfer function as far as lines need it.
func (l *Look) coarsely(light chart.Light) *retina.Transfer { return l.upTo(lineLimit, light) }

// pause is called in long work.
func (l *Look) pause() {
	if l.renderer.Pause != nil {
		l.renderer.Pause()
	}
}

func (l *Look) upTo(limit float64, light chart.Light) *retina.Transfer {
	t, ok := l.transfer[light]
	if !ok || t != nil && t.Limit < limit {
		t, _ = l.renderer.TransferTo(l.Pupil, l.Light(light), limit)
		l.transfer[light] = t
	}
	return t
}
