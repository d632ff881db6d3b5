package main

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"conoid/assets"
	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// drawFlags are what is drawn, and where it goes.
type drawFlags struct {
	seed   uint64
	level  int
	count  int
	out    string
	force  bool
	shares bool
	from   string
}

// mostDrawn is the largest set that is drawn.
const mostDrawn = 100

func drawCommand(v voice.Voice) *cobra.Command {
	var f drawFlags
	cmd := &cobra.Command{
		Use:     "draw",
		Short:   v.Text("help.draw.short"),
		Long:    v.Text("help.draw.long"),
		Example: v.Text("help.draw.example"),
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			set := cmd.Flags().Changed("count")
			if f.from != "" && (!set || f.out == "" || f.shares || cmd.Flags().Changed("seed") || cmd.Flags().Changed("level")) {
				return usageError{fact.Refuse("draw.from-alone")}
			}
			if err := f.check(set); err != nil {
				return usageError{err}
			}
			if !cmd.Flags().Changed("seed") {
				f.seed = rand.Uint64() // so many that nobody tries them all
			}
			if f.shares {
				return writeShares(cmd.OutOrStdout(), v)
			}
			if f.from != "" {
				return f.drawFrom(v, cmd)
			}
			if set {
				return f.drawSet(v, cmd)
			}
			return f.draw(v, cmd)
		},
	}
	fl := cmd.Flags()
	fl.Uint64Var(&f.seed, "seed", 0, v.Text("help.draw.flag.seed"))
	fl.IntVar(&f.level, "level", 0, v.Text("help.draw.flag.level"))
	fl.IntVar(&f.count, "count", 0, v.Text("help.draw.flag.count"))
	fl.StringVar(&f.from, "from", "", v.Text("help.draw.flag.from"))
	fl.StringVar(&f.out, "out", "", v.Text("help.draw.flag.out"))
	fl.BoolVar(&f.shares, "shares", false, v.Text("help.draw.flag.shares"))
	fl.BoolVar(&f.force, "force", false, v.Text("help.flag.force"))
	return cmd
}

func (f drawFlags) check(set bool) error {
	switch {
	case f.level < 0 || f.level > cases.Levels:
		return fact.Refuse("draw.level", "level", fact.Count(f.level), "most", fact.Count(cases.Levels))
	case set && (f.count < 1 || f.count > mostDrawn):
		return fact.Refuse("draw.count", "n", fact.Count(f.count), "most", fact.Count(mostDrawn))
	case set && f.out == "":
		return fact.Refuse("set.where")
	case set && f.force:
		return fact.Refuse("set.no-force")
	}
	return nil
}

func (f drawFlags) draw(v voice.Voice, cmd *cobra.Command) error {
	c := cases.Draw(f.seed, f.level)
	if f.out == "" {
		_, err := cmd.OutOrStdout().Write(cases.Write(c))
		return err
	}
	if err := writeNew(f.out, cases.Write(c), 0o644, f.force); err != nil {
		return err
	}
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("draw.done", "name", c.Name, "age", fact.Number(c.Age), "level", fact.Count(c.Level), "seed", seedText(f.seed), "file", f.out))
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("draw.keep-seed"))
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("draw.sit", "command", "conoid sit "+quoted(f.out)))
	return nil
}

func (f drawFlags) drawSet(v voice.Voice, cmd *cobra.Command) error {
	set, drawn := cases.DrawSet(f.seed, f.level, f.count)
	if err := f.writeSet(v, set, drawn); err != nil {
		return err
	}
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("draw.set-done", "title", set.Title, "seed", seedText(f.seed), "folder", f.out))
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("draw.keep-seed"))
	f.tellNext(v, cmd, set)
	return nil
}

// drawFrom draws a set near to the rows of a table. Its seed is told to nobody.
func (f drawFlags) drawFrom(v voice.Voice, cmd *cobra.Command) error {
	data, err := readFile(f.from, "argument.file")
	if err != nil {
		return err
	}
	rows, err := cases.ReadRows(f.from, data)
	if err != nil {
		return err
	}
	set, drawn := cases.DrawFrom(f.seed, f.count, rows)
	if err := f.writeSet(v, set, drawn); err != nil {
		return err
	}
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("draw.from-done", "title", set.Title, "folder", f.out))
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("draw.from-consent"))
	f.tellNext(v, cmd, set)
	return nil
}

// writeSet gives a set its title, and writes it and its cases into a new folder.
func (f drawFlags) writeSet(v voice.Voice, set *cases.Assignment, drawn []*cases.Case) error {
	set.Title = v.Text("draw.title", "n", fact.Count(len(drawn)))
	files := map[string][]byte{cases.AssignmentFile: cases.WriteAssignment(set, v.Say)}
	for i, c := range drawn {
		files[set.Cases[i].File] = cases.Write(c)
	}
	return writeFolder(f.out, files)
}

// tellNext tells what to do with a set.
func (f drawFlags) tellNext(v voice.Voice, cmd *cobra.Command, set *cases.Assignment) {
	first := filepath.Join(f.out, set.Cases[0].File)
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("draw.check-set", "command", "conoid assignment check "+quoted(filepath.Join(f.out, cases.AssignmentFile))))
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("draw.sit-set", "command", "conoid sit "+quoted(first)))
}

// seedText is a seed in digits.
func seedText(seed uint64) string { return strconv.FormatUint(seed, 10) }

// tellsSeed reports whether a set has the title that drawn sets had once, in any
// language: with the seed in it, with which anybody can draw the set again.
func tellsSeed(set *cases.Assignment) bool {
	const here = "\x00"
	for _, language := range assets.Languages() {
		once := voice.In(language).Text("draw.title-once", "n", fact.Count(len(set.Cases)), "seed", here)
		before, after, _ := strings.Cut(once, here)
		if strings.HasPrefix(set.Title, before) && strings.HasSuffix(set.Title, after) {
			return true
		}
	}
	return false
}
