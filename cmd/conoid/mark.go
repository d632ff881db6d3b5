package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"conoid/scoring"
	"conoid/sim/sitting"
)

func markCommand() *cobra.Command {
	var caseFile string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "mark LOG",
		Short: "Mark a sitting from its log",
		Long: `Mark a sitting from its log. Every action is done again on the case; a log that
was changed, or whose answers are not those of this patient, is not marked.`,
		Example: "  conoid mark fifth.jsonl\n  conoid mark theirs.jsonl --case my-case.toml --json",
		Args:    arguments(1, 1, "the log"),
		RunE: func(cmd *cobra.Command, args []string) error {
			m, torn, err := marked(args[0], caseFile)
			if err != nil {
				return err
			}
			if torn {
				fmt.Fprintf(cmd.ErrOrStderr(), "conoid: the last line of %s was cut off and is left out\n", args[0])
			}
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), m)
			}
			return m.WriteTable(cmd.OutOrStdout())
		},
	}
	cmd.Flags().StringVar(&caseFile, "case", "", "file of the case, or its name in the library (left out: the library is searched)")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write the mark as JSON")
	return cmd
}

func marked(path, caseFile string) (m *scoring.Mark, torn bool, err error) {
	rec, err := readJournal(path)
	if err != nil {
		return nil, false, err
	}
	c, err := caseOf(rec.Header, caseFile)
	if err != nil {
		return nil, false, err
	}
	s, err := sitting.Replay(c.Setup(), rec)
	if err != nil {
		return nil, false, fmt.Errorf("%s: %w", path, err)
	}
	m, err = scoring.Of(s)
	if err != nil {
		return nil, false, fmt.Errorf("%s: %w", path, err)
	}
	return m, rec.Torn, nil
}
