package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/words"
	"conoid/render/whole"
	"conoid/sim/sitting"
)

func casesCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "cases",
		Short: "List the built-in cases",
		Long: `List the built-in cases, from easy to hard. What is wrong with the eyes is not
shown. Sit down with one by its number or its name:

  conoid sit 3`,
		Example: "  conoid cases\n  conoid cases --json",
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), listed())
			}
			for _, c := range listed() {
				fmt.Fprintf(cmd.OutOrStdout(), "%2d  %-17s level %d  %s, %.0f, %s eye\n", c.Number, c.ID, c.Level, c.Name, c.Age, c.Tested)
				fmt.Fprintf(cmd.OutOrStdout(), "    %s. “%s”\n", c.Title, c.Symptoms)
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "write the list as JSON")
	return cmd
}

// entry is a case as it may be shown to a student.
type entry struct {
	Number   int          `json:"number"`
	ID       string       `json:"id"`
	Level    int          `json:"level"`
	Title    string       `json:"title"`
	Name     string       `json:"name"`
	Age      float64      `json:"age"`
	Tested   sitting.Side `json:"tested"`
	Symptoms string       `json:"symptoms"`
}

func listed() []entry {
	var out []entry
	for i, c := range cases.Library() {
		out = append(out, entry{i + 1, c.ID, c.Level, c.Title, c.Name, c.Age, c.Tested, c.Symptoms})
	}
	return out
}

func caseCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "case",
		Short: "Write, check and seal case files (for tutors)",
		Long: `Write, check and seal case files. A case is one imaginary person in a plain text
file; its hidden error can be read there, so keep it from those who are to find
it, or seal it.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usageError{fmt.Errorf("there is no command \"case %s\": there are %s", args[0], names(cmd))}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newCaseCommand(), checkCaseCommand(), sealCommand(), keysCommand())
	return cmd
}

// names lists the commands of a group, for messages.
func names(cmd *cobra.Command) string {
	var out []string
	for _, c := range cmd.Commands() {
		out = append(out, cmd.Name()+" "+c.Name())
	}
	return strings.Join(out, ", ")
}

func newCaseCommand() *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use:     "new [FILE]",
		Short:   "Write a new case with every key explained",
		Long:    "Write a new case with every key explained, to be changed as you like: into FILE,\nor to the screen.",
		Example: "  conoid case new my-case.toml\n  conoid case check my-case.toml",
		Args:    arguments(0, 1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				_, err := cmd.OutOrStdout().Write(cases.Template())
				return err
			}
			if err := writeNew(args[0], cases.Template(), 0o644, force); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s is written. Change it, then look at it with: conoid case check %s\n", args[0], quoted(args[0]))
			return nil
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "write over a file that is there already")
	return cmd
}

// writeNew writes a file that is complete or not there at all. A file that is
// there already is left alone unless force is set.
func writeNew(path string, data []byte, mode fs.FileMode, force bool) error {
	err := whole.Write(path, mode, force, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
	switch {
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s is there already, and is left as it is: choose another name, or write over it with --force", path)
	case err != nil:
		return fmt.Errorf("%s cannot be written: %w", path, err)
	}
	return nil
}

func checkCaseCommand() *cobra.Command {
	var k keyring
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "Check case files, and tell what they amount to",
		Long: `Check case files. All mistakes are listed with their line and column. A case
without mistakes is told back in plain words, together with what an expert would
find and with what you may not have meant.`,
		Example: "  conoid case check my-case.toml",
		Args:    arguments(1, -1, "the file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			var bad []error
			for _, path := range args {
				data, err := readFile(path, "the case")
				if err != nil {
					bad = append(bad, err)
					continue
				}
				c, err := readCase(path, data, &k)
				if err != nil {
					bad = append(bad, err)
					continue
				}
				fmt.Fprint(cmd.OutOrStdout(), account(path, c))
			}
			return errors.Join(bad...)
		},
	}
	k.flag(cmd)
	return cmd
}

// account tells what a case amounts to.
func account(path string, c *cases.Case) string {
	var b strings.Builder
	truth := sitting.Start(c.Setup(), 1).Truth(c.Tested)
	fmt.Fprintf(&b, "%s: %s, level %d. No mistakes.\n", path, c.Title, c.Level)
	line := func(name, format string, a ...any) {
		fmt.Fprintf(&b, "  %-14s%s\n", name, fmt.Sprintf(format, a...))
	}
	line("Patient", "%s, %.0f; %s eye; answers as %s", c.Name, c.Age, c.Tested, c.MannerName)
	line("Error", "%v: what is marked", truth.Error)
	line("Optical focus", "%v; the error has %.2f D more plus, the most that costs no acuity", truth.Optical.Round(0.01), truth.Offset)
	line("Objective", "%v", c.Of(c.Tested).Objective)
	line("Best acuity", "%s", words.Acuity(truth.Best))
	hard := "none"
	if d := c.Difficulties(); len(d) > 0 {
		hard = strings.Join(d, "; ")
	}
	line("Difficulties", "%s", hard)
	for _, w := range cases.Check(c) {
		fmt.Fprintln(&b, indent(wrap("Mind: "+w, width-margin), margin))
	}
	return b.String()
}

func drawCommand() *cobra.Command {
	var seed uint64
	var level int
	var out string
	var force bool
	cmd := &cobra.Command{
		Use:   "draw",
		Short: "Draw a patient at random",
		Long: `Draw a patient at random, from published figures of how common errors are. With
--out the case goes to a file that you can sit down with and its error is not
shown; without, the whole case is written to the screen.`,
		Example: "  conoid draw --seed 12 --level 2 --out somebody.toml\n  conoid sit somebody.toml",
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if level < 0 || level > cases.Levels {
				return usageError{fmt.Errorf("there is no level %d: levels are 1 to %d, and 0 for any", level, cases.Levels)}
			}
			if !cmd.Flags().Changed("seed") {
				seed = rand.Uint64N(1_000_000)
			}
			c := cases.Draw(seed, level)
			if out == "" {
				_, err := cmd.OutOrStdout().Write(cases.Write(c))
				return err
			}
			if err := writeNew(out, cases.Write(c), 0o644, force); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s, %.0f, level %d, drawn with seed %d, is in %s.\nSit down with: conoid sit %s\n", c.Name, c.Age, c.Level, seed, out, quoted(out))
			return nil
		},
	}
	cmd.Flags().Uint64Var(&seed, "seed", 0, "seed of the draw (left out: a fresh one)")
	cmd.Flags().IntVar(&level, "level", 0, "how hard, 1 to 4; 0 for any, as they come")
	cmd.Flags().StringVar(&out, "out", "", "file to write the case to")
	cmd.Flags().BoolVar(&force, "force", false, "write over a file that is there already")
	return cmd
}
