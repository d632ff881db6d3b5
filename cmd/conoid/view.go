package main

import (
	"errors"
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/eye"
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
	out, plain, psf  string
	linear, json     bool
}

func viewCommand(v voice.Voice) *cobra.Command {
	var f viewFlags
	cmd := &cobra.Command{
		Use:   "view",
		Short: "Make pictures of a chart as an eye sees it",
		Long: `Make pictures of a chart as a relaxed eye sees it through a lens: pure optics,
without any answers. The error is the lens in the back cell that focuses light of
the reference wavelength from 6 m on the retina; the eye does not accommodate.

Pictures are in the patient's view, for the display (sRGB). With --linear they
are 16-bit grey in proportion to the light, for measuring: 65535 is white paper,
or in --psf the brightest pixel. All three show the same field, pixel on pixel.

A lens or an error is written as you like: "-1.00/-2.00x30", "+0.50",
"plano / -1.00 x 180".`,
		Example: `  conoid view --error "-1.00/-2.00x30" --lens "-0.50" --chart fan --out seen.png
  conoid view --error "+2.00" --pupil 6 --aberrations typical --psf spread.png
  conoid view --error "pl/-1.00x90" --aberrations none --json`,
		Args: arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if f.out == "" && f.plain == "" && f.psf == "" && !f.json {
				return usageError{errors.New("nothing is wanted: name a picture with --out, --plain or --psf, or write --json")}
			}
			report, err := view(f)
			if err != nil || !f.json {
				return err
			}
			return writeJSON(cmd.OutOrStdout(), report)
		},
	}
	fl := cmd.Flags()
	fl.StringVar(&f.fault, "error", "plano", "refractive error of the eye")
	fl.StringVar(&f.lens, "lens", "plano", "lens in the back cell of the frame")
	fl.Float64Var(&f.pupil, "pupil", 4, "diameter of the pupil, mm")
	fl.StringVar(&f.chart, "chart", "fan", "fan, clock, sunburst, arrow, blocks, letters, letter or duochrome")
	fl.StringVar(&f.labels, "labels", "axis", "what is printed on the dials: axis, hours or none")
	fl.IntVar(&f.arrow, "arrow", 180, "label that the arrow points to, 1 to 180")
	fl.Float64Var(&f.size, "size", 0.3, "logMAR size of the letters")
	fl.Float64Var(&f.distance, "distance", 6, "from the chart to the eye, m")
	fl.Float64Var(&f.vertex, "vertex", 12, "from the eye to the lens, mm")
	fl.StringVar(&f.aberrations, "aberrations", "typical", "none, typical, or a whole number: the seed of an eye drawn from the norms")
	fl.StringVar(&f.out, "out", "", "file for the chart as it is seen (PNG)")
	fl.StringVar(&f.plain, "plain", "", "file for the chart as it hangs (PNG)")
	fl.StringVar(&f.psf, "psf", "", "file for the spread of a point of white light (PNG)")
	fl.BoolVar(&f.linear, "linear", false, "write 16-bit grey in linear light")
	fl.BoolVar(&f.json, "json", false, "write the numbers behind the pictures as JSON")
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
			return nil, fmt.Errorf("the blur is %.0f minutes of arc wide, more than the picture can hold: come nearer to the error with --lens, or make the pupil smaller", wide.Blur)
		}
		return nil, err
	}
	r := &numbers{
		Residual:  residual{pupil.Residual.M, pupil.Residual.J0, pupil.Residual.J45},
		Pitch:     retina.Standard.Pitch,
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
	e, err := f.model()
	if err != nil {
		return none, err
	}
	vertex := f.vertex / 1000
	e.Needs = optics.Required(fault, vertex, sitting.TruthDistance)
	return patient.Through(e, optics.Required(lens, vertex, f.distance), 0, 0).Pupil, nil
}

// lenses reads the error and the lens.
func (f viewFlags) lenses() (fault, lens optics.Rx, err error) {
	if fault, err = optics.ParseRx(f.fault); err != nil {
		return fault, lens, fmt.Errorf("--error: %w", err)
	}
	if lens, err = optics.ParseRx(f.lens); err != nil {
		return fault, lens, fmt.Errorf("--lens: %w", err)
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
		{"pupil", f.pupil, eye.MinPupil, eye.MaxPupil, "mm"},
		{"distance", f.distance, 0.2, 1000, "m"},
		{"vertex", f.vertex, 0, 25, "mm"},
	} {
		if !(v.value >= v.low && v.value <= v.high) {
			return fmt.Errorf("--%s: %g %s is not allowed: %g to %g %s", v.name, v.value, v.unit, v.low, v.high, v.unit)
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
			return eye.Eye{}, fmt.Errorf("--aberrations: %q is not allowed: write none, typical, or a whole number from 0", f.aberrations)
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

func (f viewFlags) drawing() (chart.Chart, error) {
	labels, err := chart.ParseLabels(f.labels)
	if err != nil {
		return chart.Chart{}, fmt.Errorf("--labels: %w", err)
	}
	if f.arrow < 1 || f.arrow > 180 {
		return chart.Chart{}, fmt.Errorf("--arrow: %d is not allowed: 1 to 180", f.arrow)
	}
	if !(f.size >= -0.3 && f.size <= 1) {
		return chart.Chart{}, fmt.Errorf("--size: %g logMAR is not allowed: -0.3 to 1", f.size)
	}
	st := sitting.State{Chart: sitting.ChartName(f.chart), Pointer: f.arrow}
	switch st.Chart {
	case sitting.Letters:
		return chart.Letters(f.size, sample), nil
	case sitting.Letter:
		return chart.Letters(f.size, sample[:1]), nil
	}
	c, ok := st.Wall(labels)
	if !ok {
		return c, fmt.Errorf("--chart: there is no chart %q: write fan, clock, sunburst, arrow, blocks, letters, letter or duochrome", f.chart)
	}
	return render.WithLabels(c), nil
}
