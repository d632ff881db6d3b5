package main

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render/voice"
)

// drawFlags are what is drawn, and where it goes.
type drawFlags struct {
	seed  uint64
	level int
	count int
	out   string
	force bool
}

// mostDrawn is the largest set that is drawn.
const mostDrawn = 100

func drawCommand(v voice.Voice) *cobra.Command {
	var f drawFlags
	cmd := &cobra.Command{
		Use:   "draw",
		Short: "Draw a patient at random, or a set of them",
		Long: `Draw a patient at random, from published figures of how common errors are. With
--out the case goes to a file that you can sit down with and its error is not
shown; without, the whole case is written to the screen.

With --count a whole set is drawn into a new folder: the files of the cases, and
set.toml, which names them in their order, from easy to hard. All levels (unless
you name one) and all kinds of difficulty come about equally often, right and left
eyes take turns, and no two people share a name as long as there are names. The
same seed draws the same.`,
		Example: `  conoid draw --seed 12 --level 2 --out somebody.toml
  conoid sit somebody.toml
  conoid draw --count 8 --seed 5 --out friday
  conoid case check friday/set.toml`,
		Args: arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			set := cmd.Flags().Changed("count")
			if err := f.check(set); err != nil {
				return usageError{err}
			}
			if !cmd.Flags().Changed("seed") {
				f.seed = rand.Uint64N(1_000_000)
			}
			if set {
				return f.drawSet(cmd)
			}
			return f.draw(cmd)
		},
	}
	fl := cmd.Flags()
	fl.Uint64Var(&f.seed, "seed", 0, "seed of the draw (left out: a fresh one)")
	fl.IntVar(&f.level, "level", 0, "how hard, 1 to 4; 0 for any, as they come, or in a set for all alike")
	fl.IntVar(&f.count, "count", 0, "draw a set of so many cases")
	fl.StringVar(&f.out, "out", "", "file to write the case to, or new folder for the set")
	fl.BoolVar(&f.force, "force", false, "write over a file that is there already")
	return cmd
}

func (f drawFlags) check(set bool) error {
	switch {
	case f.level < 0 || f.level > cases.Levels:
		return fmt.Errorf("there is no level %d: levels are 1 to %d, and 0 for any", f.level, cases.Levels)
	case set && (f.count < 1 || f.count > mostDrawn):
		return fmt.Errorf("--count: %d is not allowed: 1 to %d", f.count, mostDrawn)
	case set && f.out == "":
		return errors.New("the folder for the set is missing: name a new one with --out")
	case set && f.force:
		return errors.New("--force is for a single file: a set goes into a new folder")
	}
	return nil
}

func (f drawFlags) draw(cmd *cobra.Command) error {
	c := cases.Draw(f.seed, f.level)
	if f.out == "" {
		_, err := cmd.OutOrStdout().Write(cases.Write(c))
		return err
	}
	if err := writeNew(f.out, cases.Write(c), 0o644, f.force); err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s, %.0f, level %d, drawn with seed %d, is in %s.\nSit down with: conoid sit %s\n", c.Name, c.Age, c.Level, f.seed, f.out, quoted(f.out))
	return nil
}

func (f drawFlags) drawSet(cmd *cobra.Command) error {
	set, drawn := cases.DrawSet(f.seed, f.level, f.count)
	files := map[string][]byte{cases.SetFile: cases.WriteSet(set)}
	for i, c := range drawn {
		files[set.Cases[i].File] = cases.Write(c)
	}
	if err := writeFolder(f.out, files); err != nil {
		return err
	}
	first := filepath.Join(f.out, set.Cases[0].File)
	fmt.Fprintf(cmd.OutOrStdout(), "%s, drawn with seed %d, in %s.\nLook at the set with: conoid case check %s\nSit down with:        conoid sit %s\n",
		counted(len(drawn), "case"), f.seed, f.out, quoted(filepath.Join(f.out, cases.SetFile)), quoted(first))
	return nil
}
