package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cmd/internal/debrief"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
)

func debriefCommand(v voice.Voice) *cobra.Command {
	var caseFile, out string
	var k keyring
	var force bool
	cmd := &cobra.Command{
		Use:     "debrief " + v.Text("help.argument.log"),
		Short:   v.Text("help.debrief.short"),
		Long:    v.Text("help.debrief.long"),
		Example: v.Text("help.debrief.example"),
		Args:    arguments(1, 1, "argument.log"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				out = strings.TrimSuffix(args[0], ".jsonl") + ".html"
			}
			if exists(out) && !force {
				return fact.Refuse("debrief-page.there-already", "path", out)
			}
			l, err := readSitting(args[0], caseFile, &k)
			if err != nil {
				return err
			}
			fmt.Fprintln(cmd.ErrOrStderr(), v.Text("debrief-page.expert"))
			page, err := debriefOf(v, l)
			if err != nil {
				return fact.Because(err, "log.in", "path", args[0])
			}
			if err := writeNew(out, page, 0o644, force); err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout(), v.Text("debrief-page.written", "path", out))
			return nil
		},
	}
	k.flag(v, cmd)
	cmd.Flags().StringVar(&caseFile, "case", "", v.Text("help.flag.case"))
	cmd.Flags().StringVar(&out, "out", "", v.Text("help.debrief.flag.out"))
	cmd.Flags().BoolVar(&force, "force", false, v.Text("help.debrief.flag.force"))
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
	d.Tried = l.rec.Header.Try
	if err := d.Expert(); err != nil {
		return nil, err
	}
	return d.HTML(v)
}
