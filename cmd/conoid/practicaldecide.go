package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/cmd/internal/report/classes"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

func practicalDecideCommand(v voice.Voice) *cobra.Command {
	var a assessor
	var file string
	var d practical.Decision
	var points float64
	cmd := practicalHelp(v, "decide")
	cmd.Args = arguments(1, 1, "argument.decision")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if file == "" {
			return missingFlag("decisions")
		}
		if args[0] == string(practical.Forgot) {
			return usageError{fact.Refuse("practical.decision.unknown", "do", args[0])}
		}
		d.Do, d.At = practical.Deed(args[0]), time.Now()
		if cmd.Flags().Changed("points") {
			d.Points = &points
		}
		p, k, err := a.load(cmd.ErrOrStderr())
		if err != nil {
			return err
		}
		data, err := decisionsIn(file)
		if err != nil {
			return err
		}
		line, err := practical.LedgerOf(p, file, data).Decide(k, d)
		if err != nil {
			return err
		}
		// A whole new file: a decision is there, or it is not.
		if err := writeNew(file, append(data, line...), 0o600, true); err != nil {
			return err
		}
		decision := classes.Decision(v, classOf(p), d)
		fmt.Fprintln(cmd.OutOrStdout(), v.Text("practical.told.decided", "decision", decision, "n", fact.Count(strings.Count(string(data), "\n")+1), "file", file, "named", quoted(file)))
		return nil
	}
	a.flags(v, cmd)
	fl := cmd.Flags()
	fl.StringVar(&file, "decisions", "", v.Text("help.practical.flag.decisions"))
	fl.StringVar(&d.Candidate, "candidate", "", v.Text("help.practical.flag.candidate"))
	fl.IntVar(&d.Case, "case", 0, v.Text("help.practical.flag.case"))
	fl.Float64Var(&points, "points", 0, v.Text("help.practical.flag.points"))
	fl.StringVar(&d.Reason, "reason", "", v.Text("help.practical.flag.reason"))
	return cmd
}

// classOf is a class of which the cases of a practical are known, and nothing else.
func classOf(p *practical.Plan) *class.Class {
	var c class.Class
	for _, k := range p.Cases {
		c.Cases = append(c.Cases, class.Case{ID: k.ID, Title: k.Title})
	}
	return &c
}

// decisionsIn is what a file of decisions holds; nothing when there is none.
func decisionsIn(path string) ([]byte, error) {
	if !exists(path) {
		return nil, nil
	}
	return readFile(path, "argument.decisions")
}
