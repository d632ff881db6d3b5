package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases/study/population"
	"conoid/render/voice"
)

func populationCommand(v voice.Voice) *cobra.Command {
	var eyes int
	var seed uint64
	var asJSON bool
	var picture string
	cmd := &cobra.Command{
		Use:     "population",
		Short:   v.Text("help.population.short"),
		Long:    v.Text("help.population.long"),
		Example: v.Text("help.population.example"),
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := within("eyes", float64(eyes), 2, 1_000_000, ""); err != nil {
				return err
			}
			// Long work must not be lost to a mistyped path at its end.
			if picture != "" {
				if _, err := os.Stat(filepath.Dir(picture)); err != nil {
					return inFlag("figure", unwritable(picture, err))
				}
			}
			start := time.Now()
			runs := population.All(eyes, seed, progress(cmd.ErrOrStderr(), eyes))
			rep := population.Summarise(runs, seed, time.Since(start))
			rep.Caution = v.Text("caution")
			if picture != "" {
				img, err := agreement(v, rep)
				if err == nil {
					err = writePNG(picture, img)
				}
				if err != nil {
					return err
				}
			}
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), rep)
			}
			return rep.WriteTable(cmd.OutOrStdout())
		},
	}
	fl := cmd.Flags()
	fl.IntVar(&eyes, "eyes", 100, v.Text("help.population.flag.eyes"))
	fl.Uint64Var(&seed, "seed", 1, v.Text("help.population.flag.seed"))
	fl.StringVar(&picture, "figure", "", v.Text("help.population.flag.figure"))
	fl.BoolVar(&asJSON, "json", false, v.Text("help.population.flag.json"))
	return cmd
}

// progress counts on one line, now and then.
func progress(w io.Writer, of int) func(done int) {
	return func(done int) {
		if step := max(1, of/50); done%step == 0 || done == of {
			fmt.Fprintf(w, "\r%d of %d eyes", done, of)
		}
		if done == of {
			fmt.Fprintln(w)
		}
	}
}
