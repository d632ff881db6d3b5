package cases

import (
	"hash/fnv"
	"math/rand/v2"

	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// made is a person as a sitting has them.
type made struct{ *Case }

// Setup is the case as a sitting starts from it.
func (c *Case) Setup() sitting.Setup {
	return sitting.Setup{
		Eyes:     [2]sitting.EyeSetup{made{c}.eye(sitting.Right), made{c}.eye(sitting.Left)},
		Tested:   c.Tested,
		Age:      c.Age,
		Manner:   c.Manner,
		Focusing: made{c}.focusing(),
		Room: sitting.Room{
			Distance: c.Room.Distance,
			Vertex:   c.Room.Vertex / 1000,
			Labels:   c.Room.Labels,
			Set:      optics.TrialSet{PlusCylinders: c.Room.PlusCylinders},
		},
	}
}

func (c made) focusing() patient.Focusing {
	f := c.Focusing
	f.Latent = c.latent()
	return f
}

// Whoever is younger than latentAge years and more hyperopic than latentFrom
// dioptres, in the mean of both eyes, keeps usualLatent dioptres of accommodation up at
// first. In a clinic that took the refraction of people of 6 to 29 years with and
// without drops, hyperopes differed by 0.54 D (an abstract of Ernst-Abbe University,
// 73 eyes) and others by far less; the figures are the project's own.
const (
	latentAge   = 30
	latentFrom  = 0.50
	usualLatent = 0.50
)

func (c made) latent() float64 {
	switch {
	case c.Latent != nil:
		return *c.Latent
	case c.Age < latentAge && c.hyperopia() >= latentFrom:
		return usualLatent
	}
	return 0
}

// hyperopia is the spherical equivalent of the errors, dioptres, in the mean of
// both eyes.
func (c made) hyperopia() float64 { return (c.Eyes[0].Error.SE() + c.Eyes[1].Error.SE()) / 2 }

// Tonus is the accommodation, in dioptres, that the person keeps up at first and fog
// releases, and what nothing releases but drops: by so much more plus is an eye
// than its error, which is what is found without them.
func (c *Case) Tonus() (released, kept float64) {
	f := made{c}.focusing()
	released = f.Tense().Total(made{c}.amplitude(c.Of(c.Tested)))
	return released, f.Latent + f.Spasm - released
}

func (c made) eye(side sitting.Side) sitting.EyeSetup {
	e := c.Of(side)
	model := eye.New(c.pupil(e), c.Age, e.Aberrations.on(side, c.own()))
	model.X0 *= nasal(side)
	if e.Aberrations.From == None { // nor anything else but scatter
		model.Rho, model.X0, model.Y0 = 0, 0, 0
	}
	neural, _ := patient.ParseAcuity(e.Neural)
	return sitting.EyeSetup{Error: e.Error, Objective: e.Objective, Eye: model.Hazy(e.Haze), Amplitude: c.amplitude(e), Neural: neural}
}

// nasal is the sign of the direction towards the nose in the examiner's view,
// in which the patient's right eye stands on the left.
func nasal(side sitting.Side) float64 {
	if side == sitting.Left {
		return -1
	}
	return 1
}

func (c made) pupil(e *Eye) float64 {
	if e.Pupil != nil {
		return *e.Pupil
	}
	light := float64(eye.ChartLuminance)
	if c.Room.Light != nil {
		light = *c.Room.Light
	}
	d := eye.PupilDiameter(light, eye.RoomArea, false, c.Age)
	return min(max(d, eye.MinPupil), eye.MaxPupil)
}

func (c made) amplitude(e *Eye) float64 {
	if e.Amplitude != nil {
		return *e.Amplitude
	}
	return eye.Amplitude(c.Age)
}

// on gives the aberrations of an eye on a side. The norms are those of right
// eyes, so that a left eye drawn from them is mirrored; what a case gives is
// taken as it is. A typical eye is so in its person's own way.
func (a Aberrations) on(side sitting.Side, own uint64) eye.Aberrations {
	var out eye.Aberrations
	switch a.From {
	case Given:
		return a.Given
	case Typical:
		out = eye.Typical(own)
	case Drawn:
		out = eye.Draw(rand.New(rand.NewPCG(a.Seed, aberrationStream)))
	}
	if side == sitting.Left {
		out = out.Mirrored()
	}
	return out
}

// own is a seed of the person's own: it follows from what is wrong with the eyes, so
// that two people seldom share it.
func (c made) own() uint64 {
	h := fnv.New64a()
	put(h, "own", c.Age)
	for _, e := range c.Eyes {
		putRx(h, "error", e.Error)
	}
	return h.Sum64()
}

// The streams keep what is drawn for one purpose apart from what the same seed
// draws for another.
const (
	aberrationStream = 1
	caseStream       = 2
)
