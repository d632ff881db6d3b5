package main

import (
	"context"
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
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

func checkCaseCommand(v voice.Voice) *cobra.Command {
	var ch checker
	cmd := &cobra.Command{
		Use:     "check " + v.Text("help.case-check.use"),
		Short:   v.Text("help.case-check.short"),
		Long:    v.Text("help.case-check.long"),
		Example: v.Text("help.case-check.example"),
		Args:    arguments(1, -1, "argument.file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			ch.voice, ch.out, ch.progress = v, cmd.OutOrStdout(), screenOf(cmd.ErrOrStderr())
			var bad []error
			for _, path := range args {
				bad = append(bad, ch.file(path))
			}
			return errors.Join(bad...)
		},
	}
	ch.keys.flag(v, cmd)
	cmd.Flags().BoolVar(&ch.quick, "quick", false, v.Text("help.case-check.flag.quick"))
	return cmd
}

// checker checks files, and tells what they amount to.
type checker struct {
	voice    voice.Voice
	out      io.Writer
	progress io.Writer // a terminal, or nothing
	keys     keyring
	quick    bool
}

// screenOf is where to write how far something is: a terminal, or else nothing, since
// what is rewritten in place is noise in a file.
func screenOf(w io.Writer) io.Writer {
	if screen, ok := w.(*os.File); ok && term.IsTerminal(int(screen.Fd())) {
		return screen
	}
	return io.Discard
}

// file checks a case, or a set and all its cases.
func (ch *checker) file(path string) error {
	data, err := readFile(path, "argument.case")
	if err != nil {
		return err
	}
	if cases.IsAssignment(data) {
		return ch.set(path, data)
	}
	_, err = ch.read(path, data)
	return err
}

// read checks a case and gives it.
func (ch *checker) read(path string, data []byte) (*cases.Case, error) {
	c, err := readCase(path, data, ch.keys.whole)
	if err != nil {
		return nil, err
	}
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	var r *examined
	if !ch.quick {
		if r, err = ch.examine(path, c, s, nil); err != nil {
			return nil, fact.Because(err, "file.at", "file", path)
		}
	}
	return c, second(fmt.Fprint(ch.out, account(ch.voice, path, c, s, r)))
}

// examine has the expert sit a case, and counts on one line, which is wiped in the end.
func (ch *checker) examine(path string, c *cases.Case, s *sitting.Sitting, as *cases.Assignment) (*examined, error) {
	p := progressLine{voice: ch.voice, w: ch.progress, path: path}
	defer p.wipe()
	return examine(context.Background(), c, s, as, p.show)
}

// set checks the cases of a set, and tells how even it is.
func (ch *checker) set(path string, data []byte) error {
	set, err := cases.ReadAssignment(path, data)
	if err != nil {
		return err
	}
	var read []*cases.Case
	var bad []error
	for _, l := range set.Cases {
		if c, err := cases.Find(l.File); l.InLibrary() && err == nil {
			read = append(read, c) // its own tests check it
			continue
		}
		file := filepath.Join(filepath.Dir(path), filepath.FromSlash(l.File))
		data, err := readFile(file, "argument.case")
		if err != nil {
			bad = append(bad, listedAt(path, l, err))
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
	fmt.Fprint(ch.out, accountOfSet(ch.voice, path, set, read))
	return errors.Join(bad...)
}

// listedAt is an error of a case with the place where its set names it.
func listedAt(set string, l cases.Listed, err error) error {
	return fact.Because(err, "case.within", "file", set, "line", fact.Count(l.Line), "column", fact.Count(l.Column))
}

// accountOfSet tells what the cases of a set have in common.
func accountOfSet(v voice.Voice, path string, set *cases.Assignment, read []*cases.Case) string {
	var b strings.Builder
	b.WriteString(v.Text("check.set", "file", path, "title", set.Title, "n", fact.Count(len(set.Cases))))
	if n := len(set.Cases) - len(read); n > 0 {
		b.WriteString(" " + v.Text("check.set-unusable", "n", fact.Count(n)))
	}
	b.WriteString("\n")
	levels, sides, kinds := tally{}, tally{}, tally{}
	for _, c := range read {
		levels.count(fmt.Sprint(c.Level), v.Text("check.level", "level", fact.Count(c.Level)))
		sides.count(string(c.Tested), v.Value(c.Tested))
		for _, d := range c.Difficulties() {
			kinds.count(string(d), v.Value(d))
		}
	}
	for _, l := range []struct {
		name string
		has  tally
	}{{v.Text("check.levels"), levels}, {v.Text("check.eyes"), sides}, {v.Text("check.difficulties"), kinds}} {
		if len(l.has) > 0 {
			b.WriteString(entryOf(l.name, l.has.String()))
		}
	}
	return b.String()
}

// tally counts things by what they are, with the words for it.
type tally map[string]struct {
	n     int
	words string
}

func (t tally) count(what, words string) {
	so := t[what]
	so.n, so.words = so.n+1, words
	t[what] = so
}

// String lists the things with their numbers.
func (t tally) String() string {
	var parts []string
	for _, what := range slices.Sorted(maps.Keys(t)) {
		parts = append(parts, fmt.Sprintf("%d × %s", t[what].n, t[what].words))
	}
	return strings.Join(parts, "; ")
}
