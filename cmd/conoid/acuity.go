package main

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/fact"
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
		Use:     "acuity",
		Short:   v.Text("help.acuity.short"),
		Long:    v.Text("help.acuity.long"),
		Example: v.Text("help.acuity.example"),
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := within("age", age, 5, 100, "unit.years"); err != nil {
				return err
			}
			if err := within("runs", float64(runs), 1, 10000, ""); err != nil {
				return err
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
			_, err = fmt.Fprintln(cmd.OutOrStdout(), v.Text("acuity.reached", "row", fact.Row(r.LogMAR), "logmar", fact.Number(math.Round(r.LogMAR*100)/100),
				"spread", fact.Amount(r.SD), "runs", fact.Count(r.Runs), "best", fact.Row(r.Best)))
			return err
		},
	}
	fl := cmd.Flags()
	fl.StringVar(&f.fault, "error", "plano", v.Text("help.view.flag.error"))
	fl.StringVar(&f.lens, "lens", "plano", v.Text("help.view.flag.lens"))
	fl.Float64Var(&f.pupil, "pupil", 0, v.Text("help.acuity.flag.pupil"))
	fl.Float64Var(&age, "age", 30, v.Text("help.acuity.flag.age"))
	fl.Float64Var(&amplitude, "amplitude", 0, v.Text("help.acuity.flag.amplitude"))
	fl.Float64Var(&f.distance, "distance", 6, v.Text("help.view.flag.distance"))
	fl.Float64Var(&f.vertex, "vertex", 12, v.Text("help.view.flag.vertex"))
	fl.StringVar(&f.aberrations, "aberrations", "typical", v.Text("help.view.flag.aberrations"))
	fl.Uint64Var(&seed, "seed", 1, v.Text("help.acuity.flag.seed"))
	fl.IntVar(&runs, "runs", 20, v.Text("help.acuity.flag.runs"))
	fl.BoolVar(&f.json, "json", false, v.Text("help.acuity.flag.json"))
	return cmd
}

// acuity measures: the eye is focused as a case's is, and accommodates as suits letters best.
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
	r := retina.New(patient.Grid())
	balance, best := patient.Balance(r, e)
	e = patient.Focused(e, fault, balance, vertex, sitting.TruthDistance)
	arriving := optics.Required(lens, vertex, f.distance)
	look, expected := patient.ReadsBest(r, e, arriving, amplitude)
	out := &acuityReport{Runs: runs, Best: best, Pupil: e.Pupil, Age: age, Expected: expected}
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
	m := patient.Manners()["everyday"]
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
