package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cases/study/figures"
	"conoid/render/voice"
	"conoid/scoring/candidate"
	"conoid/scoring/study"
	"conoid/sim/fact"
)

// figure is a group of figures that can be shown: of the patients, or of the marks.
type figure struct {
	name, about string
	full        int                                                        // eyes for the published table
	write       func(out, progress io.Writer, eyes int, logs string) error // logs is a folder, or ""
}

// allFigures are those of the patients, and behind them those of the marks.
func allFigures() (out []figure) {
	for _, g := range figures.Groups() {
		out = append(out, figure{g.Name, g.About, g.Full, func(w, _ io.Writer, eyes int, _ string) error {
			return figures.Write(w, g.Measure(eyes))
		}})
	}
	return append(out, figure{"marks", "what marks tell of candidates whose skill is known, on the library besides", 40, writeMarks})
}

// marksSeed is that of the first eye drawn for the marks.
const marksSeed = 110000

// writeMarks has the battery of candidates sit the library and so many drawn eyes. The
// sittings in which the patient misled good work go to a folder, with their cases.
func writeMarks(out, told io.Writer, eyes int, logs string) error {
	cs := cases.Library()
	for i := range eyes {
		cs = append(cs, cases.Draw(marksSeed+uint64(i), 0))
	}
	sats, err := study.All(cs, candidate.All(), 1, progress(told, len(cs)))
	if err != nil {
		return err
	}
	misled, err := study.MisledOf(sats)
	if err != nil {
		return err
	}
	if err := errors.Join(study.Write(out, sats), study.WriteMisled(out, misled, sats)); err != nil || logs == "" {
		return err
	}
	return keepMisled(logs, misled)
}

// keepMisled writes logs, and the cases to replay them with, into a folder.
func keepMisled(folder string, all []study.Misled) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return unwritable(folder, err)
	}
	for _, m := range all {
		err := writeNew(filepath.Join(folder, m.Name()), m.Log, 0o644, true)
		if err == nil {
			err = writeNew(filepath.Join(folder, m.Case.ID+".toml"), cases.Write(m.Case), 0o644, true)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func figuresCommand(v voice.Voice) *cobra.Command {
	var eyes int
	var logs string
	cmd := &cobra.Command{
		Use:     "figures " + v.Text("help.argument.name-or-none"),
		Short:   v.Text("help.figures.short"),
		Long:    v.Text("help.figures.long", "names", figureNames()),
		Example: v.Text("help.figures.example"),
		Args:    arguments(0, 1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			all := allFigures()
			if len(args) == 1 {
				i := slices.IndexFunc(all, func(f figure) bool { return f.name == args[0] })
				if i < 0 {
					return fact.Refuse("figures.none", "name", args[0], "names", figureNames())
				}
				all = all[i : i+1]
			}
			for _, f := range all {
				n := f.full
				if eyes > 0 {
					n = eyes
				}
				fmt.Fprintf(cmd.OutOrStdout(), "\n%s (%d drawn eyes)\n\n", v.Capital(f.about), n)
				if err := f.write(cmd.OutOrStdout(), cmd.ErrOrStderr(), n, logs); err != nil {
					return err
				}
			}
			return nil
		},
	}
	cmd.Flags().IntVar(&eyes, "eyes", 0, v.Text("help.figures.flag.eyes"))
	cmd.Flags().StringVar(&logs, "logs", "", v.Text("help.figures.flag.logs"))
	return cmd
}

func figureNames() (text string) {
	for _, f := range allFigures() {
		text += fmt.Sprintf("  %-14s %s\n", f.name, f.about)
	}
	return text
}
