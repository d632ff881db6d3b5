package main

import (
	"errors"
	"math"
	"strconv"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// viewFlags are what is looked at, through what, and what is wanted of it.
type viewFlags struct {
	fault, lens      string
	pupil            float64
	chart, labels    string
	arrow            int
	size             float64
	distance, vertex float64
	aberrations      string
	person           string // a case, instead of what is said of the eye
	keyring          keyring
	out, plain, psf  string
	linear, json     bool
}

func viewCommand(v voice.Voice) *cobra.Command {
	var f viewFlags
	cmd := &cobra.Command{
		Use:     "view",
		Short:   v.Text("help.view.short"),
		Long:    v.Text("help.view.long"),
		Example: v.Text("help.view.example"),
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if f.out == "" && f.plain == "" && f.psf == "" && !f.json {
				return usageError{fact.Refuse("view.nothing")}
			}
			if err := f.alone(cmd); err != nil {
				return err
			}
			report, err := view(f)
			if err != nil || !f.json {
				return err
			}
			return writeJSON(cmd.OutOrStdout(), report)
		},
	}
	fl := cmd.Flags()
	fl.StringVar(&f.fault, "error", "plano", v.Text("help.view.flag.error"))
	fl.StringVar(&f.lens, "lens", "plano", v.Text("help.view.flag.lens"))
	fl.Float64Var(&f.pupil, "pupil", 4, v.Text("help.view.flag.pupil"))
	fl.StringVar(&f.chart, "chart", "fan", v.Text("help.view.flag.chart", "charts", charts()))
	fl.StringVar(&f.labels, "labels", "axis", v.Text("help.view.flag.labels"))
	fl.IntVar(&f.arrow, "arrow", 180, v.Text("help.view.flag.arrow"))
	fl.Float64Var(&f.size, "size", 0.3, v.Text("help.view.flag.size"))
	fl.Float64Var(&f.distance, "distance", 6, v.Text("help.view.flag.distance"))
	fl.Float64Var(&f.vertex, "vertex", 12, v.Text("help.view.flag.vertex"))
	fl.StringVar(&f.aberrations, "aberrations", "typical", v.Text("help.view.flag.aberrations"))
	fl.StringVar(&f.person, "case", "", v.Text("help.view.flag.case"))
	f.keyring.flag(v, cmd)
	fl.StringVar(&f.out, "out", "", v.Text("help.view.flag.out"))
	fl.StringVar(&f.plain, "plain", "", v.Text("help.view.flag.plain"))
	fl.StringVar(&f.psf, "psf", "", v.Text("help.view.flag.psf"))
	fl.BoolVar(&f.linear, "linear", false, v.Text("help.view.flag.linear"))
	fl.BoolVar(&f.json, "json", false, v.Text("help.view.flag.json"))
	return cmd
}

// numbers are the numbers behind the pictures.
type numbers struct {
	Residual    residual  `json:"residual"`
	Pitch       float64   `json:"pitch_arcmin"`
	Wavelengths []float64 `json:"wavelengths_nm"`
	Weights     []float64 `json:"weights"`
	Pupil       float64   `json:"pupil_mm"`
	Reference   float64   `json:"reference_nm"`
}

// residual is a power vector at the cornea, in dioptres.
type residual struct {
	M   float64 `json:"m"`
	J0  float64 `json:"j0"`
	J45 float64 `json:"j45"`
}

// view makes the pictures. Nothing is written before all values are known to
// be good.
func view(f viewFlags) (*numbers, error) {
	pupil, err := f.eye()
	if err != nil {
		return nil, err
	}
	c, err := f.drawing()
	if err != nil {
		return nil, err
	}
	if err := f.pictures(pupil, c); err != nil {
		var wide *retina.BlurError
		if errors.As(err, &wide) {
			return nil, fact.Refuse("view.too-wide", "blur", fact.Count(math.Round(wide.Blur)))
		}
		return nil, err
	}
	r := &numbers{
		Residual:  residual{pupil.Residual.M, pupil.Residual.J0, pupil.Residual.J45},
		Pitch:     retina.Standard().Pitch,
		Pupil:     pupil.Diameter,
		Reference: eye.ReferenceNm,
	}
	for _, layer := range c.Layers {
		light := retina.Filter(layer.Light)
		for i, nm := range light.Nm {
			r.Wavelengths = append(r.Wavelengths, nm)
			r.Weights = append(r.Weights, light.Weight[i]/float64(len(c.Layers)))
		}
	}
	return r, nil
}

// eye is the pupil through which is looked, with what light meets there.
func (f viewFlags) eye() (retina.Pupil, error) {
	var none retina.Pupil
	fault, lens, err := f.lenses()
	if err != nil {
		return none, err
	}
	if err := f.checkRanges(); err != nil {
		return none, err
	}
	if f.person != "" {
		return f.personsEye(lens)
	}
	e, err := f.model()
	if err != nil {
		return none, err
	}
	vertex := f.vertex / 1000
	e.Needs = optics.Required(fault, vertex, sitting.TruthDistance)
	return patient.Through(e, optics.Required(lens, vertex, f.distance), 0, 0).Pupil, nil
}

// ofTheEye are the flags that say what a case says.
var ofTheEye = []string{"error", "pupil", "vertex", "distance", "aberrations"}

// alone refuses what would contradict a case.
func (f viewFlags) alone(cmd *cobra.Command) error {
	for _, name := range ofTheEye {
		if f.person != "" && cmd.Flags().Changed(name) {
			return usageError{fact.Refuse("view.case-says", "flag", "--"+name)}
		}
	}
	return nil
}

// personsEye is the tested eye of a case behind a lens, relaxed, as the person has
// it: the error is the clinical one.
func (f viewFlags) personsEye(lens optics.Rx) (retina.Pupil, error) {
	c, err := loadCase(f.person, f.keyring.whole)
	if err != nil {
		return retina.Pupil{}, err
	}
	setup := c.Setup()
	own := setup.Eyes[setup.Tested.Index()]
	e, _ := own.Focused(retina.New(patient.Grid()), setup.Room.Vertex)
	return patient.Through(e, optics.Required(lens, setup.Room.Vertex, setup.Room.Distance), 0, 0).Pupil, nil
}

// lenses reads the error and the lens.
func (f viewFlags) lenses() (fault, lens optics.Rx, err error) {
	if fault, err = optics.ParseRx(f.fault); err != nil {
		return fault, lens, inFlag("error", err)
	}
	if lens, err = optics.ParseRx(f.lens); err != nil {
		return fault, lens, inFlag("lens", err)
	}
	return fault, lens, nil
}

// checkRanges checks the numbers.
func (f viewFlags) checkRanges() error {
	for _, v := range []struct {
		name             string
		value, low, high float64
		unit             string
	}{
		{"pupil", f.pupil, eye.MinPupil, eye.MaxPupil, "unit.mm"},
		{"distance", f.distance, 0.2, 1000, "unit.m"},
		{"vertex", f.vertex, 0, 25, "unit.mm"},
	} {
		if err := within(v.name, v.value, v.low, v.high, v.unit); err != nil {
			return err
		}
	}
	return nil
}

// model is a right eye with the aberrations that are wanted, and with no
// scatter.
func (f viewFlags) model() (eye.Eye, error) {
	a := cases.Aberrations{From: cases.Source(f.aberrations)}
	if a.From != cases.None && a.From != cases.Typical {
		seed, err := strconv.ParseUint(f.aberrations, 10, 64)
		if err != nil {
			return eye.Eye{}, fact.Refuse("view.aberrations", "value", f.aberrations)
		}
		a = cases.Aberrations{From: cases.Drawn, Seed: seed}
	}
	c := cases.Case{Tested: sitting.Right}
	right := c.Of(sitting.Right)
	right.Pupil, right.Aberrations = &f.pupil, a
	e := c.Setup().Eyes[sitting.Right.Index()].Eye
	e.Veil = 0
	return e, nil
}

// sample is a row of letters for pictures.
const sample = "HVCZN"

// charts are the charts as they are written.
func charts() (names []string) {
	for _, n := range chart.Names() {
		names = append(names, string(n))
	}
	return names
}

func (f viewFlags) drawing() (chart.Drawing, error) {
	labels, err := chart.ParseLabels(f.labels)
	if err != nil {
		return chart.Drawing{}, inFlag("labels", err)
	}
	if err := within("arrow", float64(f.arrow), 1, 180, ""); err != nil {
		return chart.Drawing{}, err
	}
	if err := within("size", f.size, -0.3, 1, "unit.logmar"); err != nil {
		return chart.Drawing{}, err
	}
	c := chart.Named(chart.Name(f.chart))
	if c.Name == chart.NoChart {
		return chart.Drawing{}, fact.Refuse("view.no-chart", "chart", f.chart, "charts", charts())
	}
	h := chart.Hung{Labels: labels, Pointer: float64(f.arrow), Rows: []chart.Row{{LogMAR: f.size, Text: sample}}}
	if c.Sized {
		h.Rows[0].Text = sample[:1]
	}
	return render.WithLabels(c.Draw(h)), nil
}
