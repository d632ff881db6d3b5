package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

func markCommand(v voice.Voice) *cobra.Command {
	var caseFile string
	var asJSON, full bool
	var k keyring
	cmd := &cobra.Command{
		Use:     "mark " + v.Text("help.argument.log"),
		Short:   v.Text("help.mark.short"),
		Long:    v.Text("help.mark.long"),
		Example: v.Text("help.mark.example"),
		Args:    arguments(1, 1, "argument.log"),
		RunE: func(cmd *cobra.Command, args []string) error {
			r, torn, err := reviewed(args[0], caseFile, &k)
			if err != nil {
				return err
			}
			if torn {
				fmt.Fprintf(cmd.ErrOrStderr(), "conoid: %s\n", v.Text("log.torn", "path", args[0]))
			}
			if err := writeReport(cmd.OutOrStdout(), v, r, asJSON, full); err != nil {
				return err
			}
			if r.Mark == nil {
				return fact.Because(scoring.NoEndPoint{}, "log.in", "path", args[0])
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&caseFile, "case", "", v.Text("help.flag.case"))
	k.flag(v, cmd)
	cmd.Flags().BoolVar(&full, "full", false, v.Text("help.mark.flag.full"))
	cmd.Flags().BoolVar(&asJSON, "json", false, v.Text("help.mark.flag.json"))
	return cmd
}

func writeReport(w io.Writer, v voice.Voice, r *scoring.Report, asJSON, full bool) error {
	if !asJSON {
		return report.Write(w, v, r, full)
	}
	return writeJSON(w, struct {
		*scoring.Report
		Caution string `json:"caution"`
	}{r, v.Text("caution")})
}

// logged is a sitting that was read from its log.
type logged struct {
	c   *cases.Case
	s   *sitting.Sitting
	rec *sitting.Record
}

// readSitting reads a log and does its sitting again.
func readSitting(path, caseFile string, k *keyring) (*logged, error) {
	rec, err := readLog(path)
	if err != nil {
		return nil, err
	}
	c, err := caseOf(rec.Header, caseFile, k)
	if err != nil {
		return nil, err
	}
	s, err := sitting.Replay(c.Setup(), rec)
	if err != nil {
		return nil, fact.Because(err, "log.in", "path", path)
	}
	return &logged{c, s, rec}, nil
}

// reviewed reads a log and reviews its sitting.
func reviewed(path, caseFile string, k *keyring) (r *scoring.Report, torn bool, err error) {
	l, err := readSitting(path, caseFile, k)
	if err != nil {
		return nil, false, err
	}
	r, err = review(l.c, l.s)
	if err != nil {
		return nil, false, fact.Because(err, "log.in", "path", path)
	}
	return r, l.rec.Torn, nil
}

// review is the report of a sitting, against the expert's par on its case.
func review(c *cases.Case, s *sitting.Sitting) (*scoring.Report, error) {
	par, err := scoring.ParOf(c, scoring.ParSeeds)
	if err != nil {
		return nil, err
	}
	return scoring.Review(c, s, par)
}
