package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/sitting"
)

func markCommand(v voice.Voice) *cobra.Command {
	var caseFile string
	var asJSON, full bool
	var k keyring
	cmd := &cobra.Command{
		Use:   "mark LOG",
		Short: "Mark a sitting from its log",
		Long: `Mark a sitting from its log. Every action is done again on the case; a log that
was changed, or whose answers are not those of this patient, is not marked.

The points are given by the marking scheme of the case (see conoid case new),
steps and time against those of the expert on the same case. A sitting that was
broken off is reviewed as far as it went, and the exit code is 1.`,
		Example: "  conoid mark fifth.jsonl\n  conoid mark fifth.jsonl --full\n  conoid mark theirs.jsonl --case my-case.toml --json",
		Args:    arguments(1, 1, "argument.log"),
		RunE: func(cmd *cobra.Command, args []string) error {
			r, torn, err := reviewed(args[0], caseFile, &k)
			if err != nil {
				return err
			}
			if torn {
				fmt.Fprintf(cmd.ErrOrStderr(), "conoid: the last line of %s was cut off and is left out\n", args[0])
			}
			if err := writeReport(cmd.OutOrStdout(), v, r, asJSON, full); err != nil {
				return err
			}
			if r.Mark == nil {
				return fmt.Errorf("%s: %w", args[0], scoring.NoEndPoint{})
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&caseFile, "case", "", "file of the case, or its name in the library (left out: the library is searched)")
	k.flag(v, cmd)
	cmd.Flags().BoolVar(&full, "full", false, "tell everything: why points were earned and lost, in which events, and what each finding did to the focal lines")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write the whole report as JSON")
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
		return nil, fmt.Errorf("%s: %w", path, err)
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
		return nil, false, fmt.Errorf("%s: %w", path, err)
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
