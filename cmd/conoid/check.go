package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/scoring/population"
	"conoid/sim/sitting"
)

func checkCaseCommand(v voice.Voice) *cobra.Command {
	var ch checker
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "Check case files and sets, and tell what they amount to",
		Long: `Check case files. All mistakes are listed with their line and column. A case
without mistakes is told back in plain words: what the patient reads, whether the
fog that is taught is enough, what the expert finds in 20 sittings (this takes a
second or two; --quick leaves it out) and what you may not have meant. The file of
a set (see conoid draw) stands for all cases in it.`,
		Example: "  conoid case check my-case.toml\n  conoid case check friday/set.toml",
		Args:    arguments(1, -1, "argument.file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			ch.out, ch.progress = cmd.OutOrStdout(), io.Discard
			if screen, ok := cmd.ErrOrStderr().(*os.File); ok && term.IsTerminal(int(screen.Fd())) {
				ch.progress = screen
			}
			var bad []error
			for _, path := range args {
				bad = append(bad, ch.file(path))
			}
			return errors.Join(bad...)
		},
	}
	ch.keys.flag(cmd)
	cmd.Flags().BoolVar(&ch.quick, "quick", false, "leave the expert out")
	return cmd
}

// checker checks files, and tells what they amount to.
type checker struct {
	out      io.Writer
	progress io.Writer // a terminal, or nothing
	keys     keyring
	quick    bool
}

// file checks a case, or a set and all its cases.
func (ch *checker) file(path string) error {
	data, err := readFile(path, "argument.case")
	if err != nil {
		return err
	}
	if cases.IsSet(data) {
		return ch.set(path, data)
	}
	_, err = ch.read(path, data)
	return err
}

// read checks a case and gives it.
func (ch *checker) read(path string, data []byte) (*cases.Case, error) {
	c, err := readCase(path, data, &ch.keys)
	if err != nil {
		return nil, err
	}
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	var r *population.Repeats
	if !ch.quick {
		if r, err = repeated(ch.progress, path, s, parSeeds); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	return c, second(fmt.Fprint(ch.out, account(path, c, s, r)))
}

// set checks the cases of a set, and tells how even it is.
func (ch *checker) set(path string, data []byte) error {
	set, err := cases.ReadSet(path, data)
	if err != nil {
		return err
	}
	var read []*cases.Case
	var bad []error
	for _, l := range set.Cases {
		file := filepath.Join(filepath.Dir(path), filepath.FromSlash(l.File))
		data, err := readFile(file, "argument.case")
		if err != nil {
			bad = append(bad, fmt.Errorf("%s:%d:%d: %w", path, l.Line, l.Column, err))
			continue
		}
		c, err := ch.read(file, data)
		if err != nil {
			bad = append(bad, err)
			continue
		}
		read = append(read, c)
		fmt.Fprintln(ch.out)
	}
	fmt.Fprint(ch.out, accountOfSet(path, set, read))
	return errors.Join(bad...)
}

// accountOfSet tells what the cases of a set have in common.
func accountOfSet(path string, set *cases.Set, read []*cases.Case) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, a set of %s.", path, set.Title, counted(len(set.Cases), "case"))
	if n := len(set.Cases) - len(read); n > 0 {
		fmt.Fprintf(&b, " %d of them cannot be used.", n)
	}
	b.WriteString("\n")
	levels, sides, kinds := map[string]int{}, map[string]int{}, map[string]int{}
	for _, c := range read {
		levels[fmt.Sprintf("level %d", c.Level)]++
		sides[string(c.Tested)+" eye"]++
		for _, d := range c.Difficulties() {
			kinds[d]++
		}
	}
	for _, l := range []struct {
		name string
		has  map[string]int
	}{{"Levels", levels}, {"Eyes", sides}, {"Difficulties", kinds}} {
		var parts []string
		for _, what := range slices.Sorted(maps.Keys(l.has)) {
			parts = append(parts, fmt.Sprintf("%d × %s", l.has[what], what))
		}
		if len(parts) > 0 {
			fmt.Fprint(&b, entryOf(l.name, strings.Join(parts, "; ")))
		}
	}
	return b.String()
}

// counted is a number of things.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
