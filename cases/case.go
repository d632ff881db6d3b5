// Package cases holds the people whom a student meets: the case file, which a
// tutor writes in TOML, the built-in library, and cases drawn at random from
// published prevalence.
//
// [Read] makes a [Case] of a file, [Library] and [Find] have those that are built
// in, and [Draw] draws one. A case gives the [sitting.Setup] that a sitting starts
// from, and its [Texts]:
//
//	c, err := cases.Read("mine.toml", data)
//	s := sitting.Start(c.Setup(), sitting.Seeded(1))
//	fmt.Println(c.Texts("de").Story)
//
// What is wrong with a file is told as facts, each with its line and column; so
// is what [Check] finds. [Seal] makes a file from which the error cannot be read.
//
// Every person and place in it is invented.
package cases

import (
	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Case is what a case file says. Prescriptions are in minus-cylinder form. A
// seed is no part of it: seeds give fresh noise to the same person.
type Case struct {
	ID              string // the file's name without folder and ending
	Title           string
	Level           int // 1 to 4; the project's own scale, see Difficulties
	Story           string
	Language        string // that Title, Story and Symptoms are in, by its code (ISO 639-1); empty: not said
	Author          string
	Tags            string // words between commas; see Tagged
	Aims            string // to tutors alone, as Notes
	Notes           string
	Name            string
	Age             float64 // years
	Symptoms        string
	MannerName      string // the ready-made manner that Manner is, or starts from
	Manner          patient.Manner
	Focusing        patient.Focusing // how the person accommodates; its Latent is left to Latent
	Latent          *float64         // dioptres; nil: from the age and the errors
	Tested          sitting.Side
	SpectaclesYears *float64 // how old the spectacles are, years; nil: nobody knows
	Eyes            [2]Eye   // right, left
	Room            Room
	Marking         *Scheme // how the sitting is marked; nil: by DefaultScheme

	Translations map[string]Texts             // the texts in other languages, by their codes; see Texts
	Feedback     map[string]map[string]string // by languages, "" for that of the file, and IDs of findings; see Remarks
}

// Eye is one eye of the person.
type Eye struct {
	Error           optics.Rx  // the hidden truth, as sitting.EyeSetup defines it
	Objective       optics.Rx  // the objective result that the student starts from
	ObjectiveBy     Instrument // how that was come by; empty: not said
	ObjectiveSpread *float64   // its standard deviation, dioptres of spherical equivalent; nil: the usual one
	Spectacles      *optics.Rx // that the person came with; nil: none
	Pupil           *float64   // mm; nil: from the age and the room's light
	Amplitude       *float64   // of accommodation, dioptres; nil: the mean for the age
	Aberrations     Aberrations
	Neural          string  // the best acuity that the nervous system behind it lets it have; empty: that of most people
	Haze            float64 // share of light, 0 to mostHaze, that its media scatter beyond what the age does
	Unaided         string  // acuity without a lens on the record card; empty: as the simulation sees
	BestSphere      string  // acuity with the best sphere on the record card; empty: as the simulation sees

	BestSphereLens *float64 // the best sphere on the record card, dioptres; nil: as foundSphere has it
}

// Aberrations says where an eye's higher-order aberrations come from.
type Aberrations struct {
	From  Source
	Seed  uint64          // Drawn: of the draw
	Given eye.Aberrations // Given: coefficients by OSA single index, and their pupil
}

// Source is a source of aberrations.
type Source string

// The sources of aberrations.
const (
	None    Source = "none"    // a perfect optical system, and no Stiles-Crawford effect
	Typical Source = "typical" // eye.Typical
	Drawn   Source = "drawn"   // eye.Draw
	Given   Source = "given"   // measured or made up
)

// Room is where the person is examined.
type Room struct {
	Distance      float64 // from the chart to the eye, metres
	Vertex        float64 // from the eye to the back cell, millimetres
	Labels        chart.Labels
	PlusCylinders bool     // the trial set has plus cylinders as well
	Light         *float64 // luminance of what the eyes adapt to, cd/m²; nil: eye.ChartLuminance. It sets the pupils, and nothing else
}

// Of is the eye on a side.
func (c *Case) Of(side sitting.Side) *Eye { return &c.Eyes[side.Index()] }

// mirrored is the other eye of a person whose eyes are mirror images. Left and
// right change places, as they do between the patient's view and the
// examiner's, so that the axis turns as it does there.
func (e Eye) mirrored() Eye {
	e.Error, e.Objective = mirrored(e.Error), mirrored(e.Objective)
	e.Aberrations.Given = e.Aberrations.Given.Mirrored()
	if e.Spectacles != nil {
		rx := mirrored(*e.Spectacles)
		e.Spectacles = &rx
	}
	e.Unaided, e.BestSphere, e.BestSphereLens = "", "", nil
	return e
}

func mirrored(rx optics.Rx) optics.Rx {
	if rx.Cyl != 0 {
		rx.Axis = optics.PatientAngle(rx.Axis)
	}
	return rx
}
