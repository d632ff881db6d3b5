package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/expert"
	"conoid/sim/fact"
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
	Par      int            `json:"par,omitempty"` // median of all steps, as marks go by it
	Doubts   []expert.Doubt `json:"doubts,omitempty"`
	Seed     uint64         `json:"seed"`
	Caution  string         `json:"caution"`
}

func expertCommand(v voice.Voice) *cobra.Command {
	var seed uint64
	var verbose, asJSON, par bool
	var k keyring
	cmd := &cobra.Command{
		Use:     "expert " + v.Text("help.argument.case"),
		Short:   v.Text("help.expert.short"),
		Long:    v.Text("help.expert.long"),
		Example: v.Text("help.expert.example"),
		Args:    arguments(1, 1, "argument.case"),
		RunE: func(cmd *cobra.Command, args []string) error {
			c, err := loadCase(args[0], k.whole)
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
				Steps: s.Steps(), Seconds: s.State().Seconds, Doubts: found.Doubts, Seed: seed, Caution: v.Text("caution"),
			}
			if par {
				par, err := scoring.ParWith(c, s, scoring.ParSeeds)
				if err != nil {
					return err
				}
				rep.Par = int(par.WholeSteps())
			}
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), rep)
			}
			text, err := expertText(v, c, found, rep, verbose)
			if err != nil {
				return err
			}
			_, err = io.WriteString(cmd.OutOrStdout(), text)
			return err
		},
	}
	k.flag(v, cmd)
	fl := cmd.Flags()
	fl.Uint64Var(&seed, "seed", 1, v.Text("help.expert.flag.seed"))
	fl.BoolVar(&verbose, "verbose", false, v.Text("help.expert.flag.verbose"))
	fl.BoolVar(&par, "par", false, v.Text("help.expert.flag.par"))
	fl.BoolVar(&asJSON, "json", false, v.Text("help.expert.flag.json"))
	return cmd
}

// expertText is what the expert found, with every step of the way if wanted.
func expertText(v voice.Voice, c *cases.Case, found *expert.Result, rep expertReport, verbose bool) (string, error) {
	var b strings.Builder
	if verbose {
		if err := findings(&b, v, c, found); err != nil {
			return "", err
		}
	}
	say := func(id string, pairs ...any) { fmt.Fprintln(&b, v.Text(id, pairs...)) }
	say("terminal.expert.found", "rx", found.Rx, "row", fact.Row(found.LogMAR))
	for _, d := range found.Doubts {
		say("terminal.expert.doubt", "doubt", d)
	}
	n := rep.Steps
	say("terminal.expert.steps", "all", fact.Count(n.Total()), "lens", fact.Count(n.Lens), "chart", fact.Count(n.Chart),
		"questions", fact.Count(n.Question), "time", fact.Seconds(rep.Seconds))
	if rep.Par > 0 {
		say("terminal.expert.par", "n", fact.Count(rep.Par))
	}
	fmt.Fprintf(&b, "\n%s\n", wrap(rep.Caution, width))
	return b.String(), nil
}

// findings tells what the expert did, as it would stand in a sitting.
func findings(b *strings.Builder, v voice.Voice, c *cases.Case, found *expert.Result) error {
	room := c.Setup().Room
	s := sitting.Start(c.Setup(), sitting.Keys{}) // only for the state of the frame and the wall
	for _, f := range found.Findings {
		if f.Why.ID != "" {
			fmt.Fprintf(b, "\n%s\n", wrap(v.Say(f.Why), width))
		}
		if _, refused := s.Do(f.Event.Action); refused != nil {
			return refused
		}
		st := s.State()
		text := v.Done(f.Event, st, room)
		if a := f.Event.Answer; a != nil {
			text = v.Text("terminal.expert.asked", "question", v.Examiner().Question(f.Event.Action, st.Chart), "answer", v.Answer(*a, room.Labels, st.Chart))
		}
		fmt.Fprintln(b, indent(wrap(text, width-2*margin), 2*margin))
	}
	fmt.Fprintln(b)
	return nil
}
