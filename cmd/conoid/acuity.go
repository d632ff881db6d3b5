package main

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// acuityReport is what an observer reaches on the letter rows.
type acuityReport struct {
	LogMAR   float64 `json:"logmar"`
	SD       float64 `json:"sd"`
	Snellen  string  `json:"snellen"`
	Expected float64 `json:"expected_logmar"`
	Best     float64 `json:"best_logmar"`
	Runs     int     `json:"runs"`
	Pupil    float64 `json:"pupil_mm"`
	Age      float64 `json:"age"`
}

func acuityCommand(v voice.Voice) *cobra.Command {
	var f viewFlags
	var age, amplitude float64
	var seed uint64
	var runs int
	cmd := &cobra.Command{
		Use:   "acuity",
		Short: "Measure the acuity that an eye reaches through a lens",
		Long: `Measure the acuity that the simulated observer reaches on the letter rows behind
a lens, as it is scored on a chart: letter by letter. The error is the clinical
one: the most plus with which the relaxed eye is within 0.02 logMAR of its best.
Several runs, each with other letters and fresh noise, give the mean and the
spread; the expected value is that of all noise.`,
		Example: `  conoid acuity --error "-1.00/-2.00x30" --lens "-0.50"
  conoid acuity --lens "+1.00" --pupil 3 --age 60 --aberrations 7 --json`,
		Args: arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if !(age >= 5 && age <= 100) {
				return fmt.Errorf("--age: %g years is not allowed: 5 to 100", age)
			}
			if runs < 1 || runs > 10000 {
				return fmt.Errorf("--runs: %d is not allowed: 1 to 10000", runs)
			}
			if !cmd.Flags().Changed("pupil") {
				f.pupil = eye.PupilDiameter(eye.ChartLuminance, eye.RoomArea, false, age)
			}
			if !cmd.Flags().Changed("amplitude") {
				amplitude = eye.Amplitude(age)
			}
			r, err := f.acuity(age, amplitude, seed, runs)
			if err != nil {
				return err
			}
			if f.json {
				return writeJSON(cmd.OutOrStdout(), r)
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s (%.2f logMAR, spread %.2f over %d runs; best possible %s)\n",
				r.Snellen, r.LogMAR, r.SD, r.Runs, patient.FormatAcuity(r.Best))
			return err
		},
	}
	fl := cmd.Flags()
	fl.StringVar(&f.fault, "error", "plano", "refractive error of the eye")
	fl.StringVar(&f.lens, "lens", "plano", "lens in the back cell of the frame")
	fl.Float64Var(&f.pupil, "pupil", 0, "diameter of the pupil, mm (left out: from the age and the light of the room)")
	fl.Float64Var(&age, "age", 30, "age, years")
	fl.Float64Var(&amplitude, "amplitude", 0, "amplitude of accommodation, D (left out: the mean for the age)")
	fl.Float64Var(&f.distance, "distance", 6, "from the chart to the eye, m")
	fl.Float64Var(&f.vertex, "vertex", 12, "from the eye to the lens, mm")
	fl.StringVar(&f.aberrations, "aberrations", "typical", "none, typical, or a whole number: the seed of an eye drawn from the norms")
	fl.Uint64Var(&seed, "seed", 1, "seed of the noise and the letters")
	fl.IntVar(&runs, "runs", 20, "how often the letters are read")
	fl.BoolVar(&f.json, "json", false, "write JSON")
	return cmd
}

// acuity measures: the eye is focused as a case's is, and accommodates as it
// wants to.
func (f viewFlags) acuity(age, amplitude float64, seed uint64, runs int) (*acuityReport, error) {
	if err := f.checkRanges(); err != nil {
		return nil, err
	}
	fault, lens, err := f.lenses()
	if err != nil {
		return nil, err
	}
	e, err := f.model()
	if err != nil {
		return nil, err
	}
	e.Age, e.Veil = age, eye.Veil(age)
	vertex := f.vertex / 1000
	r := retina.New(patient.Grid)
	offset, best := patient.Offset(r, e)
	e = patient.Focused(e, fault, offset, vertex, sitting.TruthDistance)
	arriving := optics.Required(lens, vertex, f.distance)
	focus := patient.NewFocuser().Wanted(patient.Through(e, arriving, 0, 0), amplitude).Middle()
	look := patient.Through(e, arriving, focus, 0).Look(r)
	out := &acuityReport{Runs: runs, Best: best, Pupil: e.Pupil, Age: age, Expected: look.Acuity()}
	out.LogMAR, out.SD = readings(look, seed, runs)
	out.Snellen = patient.FormatAcuity(out.LogMAR)
	return out, nil
}

// readings has the letters read several times.
func readings(look *patient.Look, seed uint64, runs int) (mean, deviation float64) {
	reading := look.Reading(1)
	var eyes []*patient.Reading
	if reading != nil {
		eyes = append(eyes, reading)
	}
	m := patient.Manners["everyday"]
	m.Lapse = 0
	var all []float64
	for i := range runs {
		letters := rand.New(rand.NewPCG(seed, uint64(i)))
		var rows []patient.RowRead
		for _, size := range chart.RowSizes() {
			row := make([]byte, chart.MaxRow)
			for k, at := range letters.Perm(len(chart.LetterSet))[:chart.MaxRow] {
				row[k] = chart.LetterSet[at]
			}
			rows = append(rows, patient.RowRead{LogMAR: size, Shown: string(row)})
		}
		at := patient.Moment{Key: sitting.Seeded(seed).Noise, View: fmt.Sprint(i), Question: "read"}
		a := m.ReadDown(at, eyes, rows)
		if a.Kind != patient.Read {
			a.LogMAR = chart.RowSizes()[0] + 0.1 // not even the largest row
		}
		all = append(all, a.LogMAR)
		mean += a.LogMAR / float64(runs)
	}
	for _, v := range all {
		deviation += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(deviation / float64(max(1, runs-1)))
}
