package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/words"
	"conoid/sim/sitting"
)

func checkCaseCommand() *cobra.Command {
	var k keyring
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "Check case files and sets, and tell what they amount to",
		Long: `Check case files. All mistakes are listed with their line and column. A case
without mistakes is told back in plain words, together with what an expert would
find and with what you may not have meant. The file of a set (see conoid draw)
stands for all cases in it.`,
		Example: "  conoid case check my-case.toml\n  conoid case check friday/set.toml",
		Args:    arguments(1, -1, "the file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			var bad []error
			for _, path := range args {
				bad = append(bad, checkFile(cmd.OutOrStdout(), path, &k))
			}
			return errors.Join(bad...)
		},
	}
	k.flag(cmd)
	return cmd
}

// checkFile checks a case, or a set and all its cases.
func checkFile(w io.Writer, path string, k *keyring) error {
	data, err := readFile(path, "the case")
	if err != nil {
		return err
	}
	if cases.IsSet(data) {
		return checkSet(w, path, data, k)
	}
	c, err := readCase(path, data, k)
	if err != nil {
		return err
	}
	return second(fmt.Fprint(w, account(path, c)))
}

// checkSet checks the cases of a set, and tells how even it is.
func checkSet(w io.Writer, path string, data []byte, k *keyring) error {
	set, err := cases.ReadSet(path, data)
	if err != nil {
		return err
	}
	var read []*cases.Case
	var bad []error
	for _, l := range set.Cases {
		file := filepath.Join(filepath.Dir(path), filepath.FromSlash(l.File))
		data, err := readFile(file, "the case")
		if err != nil {
			bad = append(bad, fmt.Errorf("%s:%d:%d: %w", path, l.Line, l.Column, err))
			continue
		}
		c, err := readCase(file, data, k)
		if err != nil {
			bad = append(bad, err)
			continue
		}
		read = append(read, c)
		fmt.Fprintln(w, account(file, c))
	}
	fmt.Fprint(w, accountOfSet(path, set, read))
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
			fmt.Fprintf(&b, "  %-14s%s\n", l.name, strings.Join(parts, "; "))
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
