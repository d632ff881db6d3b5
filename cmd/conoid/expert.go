package main

import (
	"cmp"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cases/study/population"
	"conoid/render/voice"
	"conoid/sim/expert"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// expertReport is what the expert found.
type expertReport struct {
	Sphere   float64        `json:"sphere"`
	Cylinder float64        `json:"cylinder"`
	Axis     float64        `json:"axis"`
	LogMAR   float64        `json:"logmar"`
	Steps    sitting.Steps  `json:"steps"`
	Seconds  float64        `json:"seconds"`
	Par      int            `json:"par,omitempty"` // median of all steps over parSeeds seeds
	Doubts   []expert.Doubt `json:"doubts,omitempty"`
	Seed     uint64         `json:"seed"`
	Caution  string         `json:"caution"`
}

// parSeeds is the number of seeds whose median of steps is par.
const parSeeds = 20

func expertCommand(v voice.Voice) *cobra.Command {
	var seed uint64
	var verbose, asJSON, par bool
	var k keyring
	cmd := &cobra.Command{
		Use:   "expert CASE",
		Short: "Watch an examiner who works by the book",
		Long: `Watch an examiner who works by the book: fog, fan, arrow, blocks, checks, sphere.
The expert has only what any examiner has (the objective result, the lenses, and
what the patient says) and explains each decision in a sentence.

Par, with --par, is the median number of the expert's steps over 20 seeds.`,
		Example: "  conoid expert ferry-clerk --verbose\n  conoid expert my-case.toml --seed 3 --json --par",
		Args:    arguments(1, 1, "argument.case"),
		RunE: func(cmd *cobra.Command, args []string) error {
			c, err := loadCase(args[0], &k)
			if err != nil {
				return err
			}
			s := sitting.Start(c.Setup(), sitting.Seeded(seed))
			found, err := expert.Examine(s, expert.BriefOf(s.Setup()))
			if err != nil {
				return err
			}
			rep := expertReport{
				Sphere: found.Rx.Sphere, Cylinder: found.Rx.Cyl, Axis: found.Rx.Axis, LogMAR: found.LogMAR,
				Steps: s.Steps(), Seconds: s.State().Seconds, Doubts: found.Doubts, Seed: seed, Caution: voice.English.Text("caution"),
			}
			if par {
				repeats, err := population.Repeat(s, parSeeds, func(int) {})
				if err != nil {
					return err
				}
				rep.Par = repeats.Par
			}
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), rep)
			}
			return writeExpert(cmd.OutOrStdout(), c, found, rep, verbose)
		},
	}
	k.flag(v, cmd)
	fl := cmd.Flags()
	fl.Uint64Var(&seed, "seed", 1, "seed of the patient's noise")
	fl.BoolVar(&verbose, "verbose", false, "tell every step, and why")
	fl.BoolVar(&par, "par", false, "work out par as well")
	fl.BoolVar(&asJSON, "json", false, "write JSON")
	return cmd
}

func writeExpert(w io.Writer, c *cases.Case, found *expert.Result, rep expertReport, verbose bool) error {
	if verbose {
		if err := writeFindings(w, c, found); err != nil {
			return err
		}
	}
	_, err := fmt.Fprintf(w, "%s  %s\n", found.Rx, patient.FormatAcuity(found.LogMAR))
	for _, d := range found.Doubts {
		err = cmp.Or(err, second(fmt.Fprintf(w, "Doubt: %s.\n", voice.English.Value(d))))
	}
	err = cmp.Or(err, second(fmt.Fprintf(w, "%d steps (%d lens, %d chart, %d question) in %.0f s of the patient's time.\n",
		rep.Steps.Total(), rep.Steps.Lens, rep.Steps.Chart, rep.Steps.Question, rep.Seconds)))
	if rep.Par > 0 {
		err = cmp.Or(err, second(fmt.Fprintf(w, "Par is %d steps.\n", rep.Par)))
	}
	return cmp.Or(err, second(fmt.Fprintf(w, "\n%s\n", wrap(voice.English.Text("caution"), 80))))
}

func second(_ int, err error) error { return err }

// writeFindings tells what the expert did, as it would stand in a sitting.
func writeFindings(w io.Writer, c *cases.Case, found *expert.Result) error {
	setup := c.Setup()
	s := sitting.Start(setup, sitting.Keys{}) // only for the state of the frame and the wall
	var err error
	for _, f := range found.Findings {
		if f.Why.ID != "" {
			err = cmp.Or(err, second(fmt.Fprintf(w, "\n%s\n", wrap(voice.English.Say(f.Why), 80))))
		}
		if _, refused := s.Do(f.Event.Action); refused != nil {
			return refused
		}
		st := s.State()
		text := voice.English.Done(f.Event, st, setup.Room)
		if a := f.Event.Answer; a != nil {
			text = fmt.Sprintf("“%s” “%s”", voice.English.Question(f.Event.Action, st.Chart), voice.English.Answer(*a, setup.Room.Labels, st.Chart))
		}
		err = cmp.Or(err, second(fmt.Fprintln(w, indent(wrap(text, 76), 4))))
	}
	return cmp.Or(err, second(fmt.Fprintln(w)))
}
