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
)

func populationCommand(v voice.Voice) *cobra.Command {
	var eyes int
	var seed uint64
	var asJSON bool
	var picture string
	cmd := &cobra.Command{
		Use:   "population",
		Short: "Let the expert examine many eyes",
		Long: `Draw many eyes from published distributions, give each an objective result with
the published error of retinoscopy, and let the expert examine each twice, on all
cores. What comes out says whether the simulated patients are as hard to refract
as people are.`,
		Example: "  conoid population --eyes 1000 --seed 1\n  conoid population --eyes 100 --json --figure agreement.png",
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if eyes < 2 || eyes > 1_000_000 {
				return fmt.Errorf("--eyes: %d is not allowed: 2 to 1000000", eyes)
			}
			// Long work must not be lost to a mistyped path at its end.
			if picture != "" {
				if _, err := os.Stat(filepath.Dir(picture)); err != nil {
					return fmt.Errorf("--figure: %s cannot be written: %w", picture, cause(err))
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
	fl.IntVar(&eyes, "eyes", 100, "number of eyes")
	fl.Uint64Var(&seed, "seed", 1, "seed of the population")
	fl.StringVar(&picture, "figure", "", "file for a picture of the agreement of two examinations (PNG)")
	fl.BoolVar(&asJSON, "json", false, "write JSON")
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
		Use:   "figures [NAME]",
		Short: "Measure the patients beside what was published about people",
		Long:  "Measure the simulated patients, and print what comes out beside what was\npublished about people, as a table. The figures are:\n\n" + figureNames(),
		Example: `  conoid figures blur
  conoid figures`,
		Args: arguments(0, 1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			groups := figures.Groups
			if len(args) == 1 {
				g, ok := figures.Find(args[0])
				if !ok {
					return fmt.Errorf("there are no figures %q: there are\n%s", args[0], figureNames())
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
	cmd.Flags().IntVar(&eyes, "eyes", 0, "number of drawn eyes (left out: that of the published table)")
	return cmd
}

func figureNames() (text string) {
	for _, g := range figures.Groups {
		text += fmt.Sprintf("  %-14s %s\n", g.Name, g.About)
	}
	return text
}
