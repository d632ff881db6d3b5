package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cmd/internal/debrief"
	"conoid/render/voice"
	"conoid/scoring"
)

func debriefCommand(v voice.Voice) *cobra.Command {
	var caseFile, out string
	var k keyring
	var force bool
	cmd := &cobra.Command{
		Use:   "debrief LOG",
		Short: "Write what there is to learn from a sitting, as one page",
		Long: `Write the debrief of a sitting: the end point beside the truth and an expert's,
the marks and what cost them, the way that the cylinder and the focal lines took,
what the patient saw at the turning points, and every question and answer with
the mistakes where they happened.

The page is one file of HTML that needs no network and no script, and prints
well.`,
		Example: "  conoid debrief fifth.jsonl\n  conoid debrief theirs.jsonl --case my-case.toml --out theirs.html",
		Args:    arguments(1, 1, "argument.log"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				out = strings.TrimSuffix(args[0], ".jsonl") + ".html"
			}
			if exists(out) && !force {
				return fmt.Errorf("%s is there already: name another file with --out, or write --force", out)
			}
			l, err := readSitting(args[0], caseFile, &k)
			if err != nil {
				return err
			}
			fmt.Fprintln(cmd.ErrOrStderr(), "An expert examines the same patient …")
			page, err := debriefOf(v, l)
			if err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			if err := os.WriteFile(out, page, 0o644); err != nil {
				os.Remove(out)
				return fmt.Errorf("the debrief cannot be written: %s: %w", out, cause(err))
			}
			fmt.Fprintf(cmd.OutOrStdout(), "The debrief is in %s\n", out)
			return nil
		},
	}
	k.flag(v, cmd)
	cmd.Flags().StringVar(&caseFile, "case", "", "file of the case, or its name in the library (left out: the library is searched)")
	cmd.Flags().StringVar(&out, "out", "", "file of the page (left out: the log's name, ending in .html)")
	cmd.Flags().BoolVar(&force, "force", false, "write over a page that is there already")
	return cmd
}

func debriefOf(v voice.Voice, l *logged) ([]byte, error) {
	par, err := scoring.ParWith(l.c, l.s, scoring.ParSeeds)
	if err != nil {
		return nil, err
	}
	d, err := debrief.Of(l.c, l.s, l.rec.Header.Seed, par)
	if err != nil {
		return nil, err
	}
	if err := d.Expert(); err != nil {
		return nil, err
	}
	return d.HTML(v)
}
