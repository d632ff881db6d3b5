package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases/study/figures"
	"conoid/cases/study/population"
	"conoid/render/voice"
	"conoid/sim/fact"
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

func figuresCommand(v voice.Voice) *cobra.Command {
	var eyes int
	cmd := &cobra.Command{
		Use:     "figures " + v.Text("help.argument.name-or-none"),
		Short:   v.Text("help.figures.short"),
		Long:    v.Text("help.figures.long", "names", figureNames()),
		Example: v.Text("help.figures.example"),
		Args:    arguments(0, 1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			groups := figures.Groups()
			if len(args) == 1 {
				g, ok := figures.Find(args[0])
				if !ok {
					return fact.Refuse("figures.none", "name", args[0], "names", figureNames())
				}
				groups = []figures.Group{g}
			}
			for _, g := range groups {
				n := g.Full
				if eyes > 0 {
					n = eyes
				}
				fmt.Fprintf(cmd.OutOrStdout(), "\n%s (%d drawn eyes)\n\n", v.Capital(g.About), n)
				if err := figures.Write(cmd.OutOrStdout(), g.Measure(n)); err != nil {
					return err
				}
			}
			return nil
		},
	}
	cmd.Flags().IntVar(&eyes, "eyes", 0, v.Text("help.figures.flag.eyes"))
	return cmd
}

func figureNames() (text string) {
	for _, g := range figures.Groups() {
		text += fmt.Sprintf("  %-14s %s\n", g.Name, g.About)
	}
	return text
}
