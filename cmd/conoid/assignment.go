package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/handed"
	"conoid/render/voice"
	"conoid/scoring/homework"
	"conoid/sim/fact"
)

func assignmentCommand(v voice.Voice) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "assignment",
		Short: v.Text("help.assignment.short"),
		Long:  v.Text("help.assignment.long"),
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usageError{fact.Refuse("usage.no-command-of", "name", "assignment "+args[0], "commands", names(cmd))}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newAssignmentCommand(v), checkAssignmentCommand(v), schemaOf(v, "assignment", cases.AssignmentSchema), packCommand(v), simulateCommand(v))
	return cmd
}

func newAssignmentCommand(v voice.Voice) *cobra.Command {
	var out string
	var force bool
	cmd := &cobra.Command{
		Use:     "new [" + v.Text("help.case-edit.use") + "]",
		Short:   v.Text("help.assignment-new.short"),
		Long:    v.Text("help.assignment-new.long"),
		Example: v.Text("help.assignment-new.example"),
		Args:    arguments(0, 1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			text := cases.AssignmentTemplate(v.Say)
			if len(args) == 1 {
				out = args[0]
			}
			if out == "" {
				_, err := cmd.OutOrStdout().Write(text)
				return err
			}
			if err := writeNew(out, text, 0o644, force); err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout(), v.Text("assignment.written", "file", out, "check", "conoid assignment check "+quoted(out), "pack", "conoid assignment pack "+quoted(out)))
			return nil
		},
	}
	cmd.Flags().StringVar(&out, "out", "", v.Text("help.assignment-new.flag.out"))
	cmd.Flags().BoolVar(&force, "force", false, v.Text("help.flag.force"))
	return cmd
}

func packCommand(v voice.Voice) *cobra.Command {
	var out string
	var force bool
	cmd := &cobra.Command{
		Use:     "pack " + v.Text("help.assignment-pack.use"),
		Short:   v.Text("help.assignment-pack.short"),
		Long:    v.Text("help.assignment-pack.long", "ending", cases.HandoutEnding),
		Example: v.Text("help.assignment-pack.example"),
		Args:    arguments(1, 1, "argument.assignment"),
		RunE: func(cmd *cobra.Command, args []string) error {
			data, err := readFile(args[0], "argument.assignment")
			if err != nil {
				return err
			}
			h, err := pack(args[0], data)
			if err != nil {
				return err
			}
			if out == "" {
				out = strings.TrimSuffix(args[0], ".toml") + cases.HandoutEnding
			}
			if err := writeNew(out, h.Write(), 0o644, force); err != nil {
				return err
			}
			for _, f := range toldIn(h, v.Language) {
				fmt.Fprintln(cmd.ErrOrStderr(), "conoid:", v.Text("seal.mind", "file", args[0], "what", f))
			}
			fmt.Fprintln(cmd.OutOrStdout(), v.Text("assignment.packed", "title", h.Title, "n", fact.Count(len(h.Cases)), "file", out, "seal", sealOf(h)))
			return nil
		},
	}
	cmd.Flags().StringVar(&out, "out", "", v.Text("help.assignment-pack.flag.out", "ending", cases.HandoutEnding))
	cmd.Flags().BoolVar(&force, "force", false, v.Text("help.flag.force"))
	return cmd
}

// sealOf is which errors can be read in a handout by whoever opens it in an editor. Those of the
// library are in everybody's program.
func sealOf(h *cases.Handout) fact.Fact {
	var open []string
	library := false
	for i, c := range h.Readable() {
		switch {
		case c == nil:
		case ofLibrary(c):
			library = true
		default:
			open = append(open, h.Enclosed[i].Name)
		}
	}
	switch {
	case len(open) > 0:
		return fact.New("assignment.packed.open", "cases", open)
	case library:
		return fact.New("assignment.packed.library")
	}
	return fact.New("assignment.packed.sealed")
}

// ofLibrary reports whether a case is one of the library.
func ofLibrary(c *cases.Case) bool {
	return slices.ContainsFunc(cases.Library(), func(l *cases.Case) bool { return l.Hash() == c.Hash() })
}

// toldIn is what a handout tells of errors to everybody who is given it: itself, and each of
// its cases that is not sealed.
func toldIn(h *cases.Handout, language string) []fact.Fact {
	all := h.Readable()
	out := h.CheckTold(all, language)
	for i, c := range all {
		if c == nil {
			continue
		}
		for _, f := range cases.CheckTold(c) {
			out = append(out, fact.New("assignment.told.case", "file", h.Enclosed[i].Name, "what", f))
		}
	}
	return out
}

// mostStudents is the largest class that is simulated.
const mostStudents = 200

func simulateCommand(v voice.Voice) *cobra.Command {
	var out string
	var count int
	var k keyring
	cmd := &cobra.Command{
		Use:     "simulate " + v.Text("help.assignment-pack.use"),
		Short:   v.Text("help.assignment-simulate.short"),
		Long:    v.Text("help.assignment-simulate.long", "ending", handed.Ending),
		Example: v.Text("help.assignment-simulate.example"),
		Args:    arguments(1, 1, "argument.assignment"),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case out == "":
				return usageError{fact.Refuse("class.out")}
			case count < 1 || count > mostStudents:
				return usageError{fact.Refuse("practical.flag-count", "n", fact.Count(count), "most", fact.Count(mostStudents))}
			}
			if err := freeFolder(out); err != nil {
				return err
			}
			h, err := readHandout(args[0])
			if err != nil {
				return err
			}
			files, err := simulatedClass(h, &k, count, countOf(v, cmd.ErrOrStderr(), count))
			if err != nil {
				return err
			}
			if err := writeFolder(out, files); err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout(), v.Text("assignment.simulated", "n", fact.Count(count), "folder", out,
				"command", "conoid class "+quoted(out)+" --assignment "+quoted(args[0])+" --out "+quoted(out+"-page")))
			return nil
		},
	}
	k.flag(v, cmd)
	cmd.Flags().StringVar(&out, "out", "", v.Text("help.assignment-simulate.flag.out"))
	cmd.Flags().IntVar(&count, "count", 20, v.Text("help.assignment-simulate.flag.count"))
	return cmd
}

// simulatedClass is what so many simulated students hand in.
func simulatedClass(h *cases.Handout, k *keyring, count int, progress func(done int)) (map[string][]byte, error) {
	all, err := casesOf(h, k)
	if err != nil {
		return nil, err
	}
	files, began := map[string][]byte{}, time.Now().Add(-48*time.Hour).Truncate(time.Minute)
	for i := range count {
		who := fmt.Sprintf("S%02d", i+1)
		logs, err := homework.Simulated(h.Assignment, h.ID, all, i, who, began)
		if why, barred := cases.Barred(err); barred {
			return nil, fact.Refuse("assignment.stuck", "why", why)
		}
		if err != nil {
			return nil, err
		}
		w := handed.Work{Who: who, Assignment: h.ID, Title: h.Title, Simulated: true}
		for _, log := range logs {
			w.Logs = append(w.Logs, string(log))
		}
		files[who+handed.Ending] = w.Write()
		progress(i + 1)
	}
	return files, nil
}

// readHandout reads the file of an assignment with the cases beside it, or what was made
// of them for the class.
func readHandout(path string) (*cases.Handout, error) {
	data, err := readFile(path, "argument.assignment")
	if err != nil {
		return nil, err
	}
	if cases.IsHandout(data) {
		return cases.ReadHandout(path, data)
	}
	return pack(path, data)
}

// casesOf are the cases of a handout; what is sealed is opened with
// the key of an author, for their errors are told.
func casesOf(h *cases.Handout, k *keyring) (all []*cases.Case, err error) {
	var bad []error
	for _, e := range h.Enclosed {
		c, err := readCase(e.Name, []byte(e.Text), k.whole)
		all, bad = append(all, c), append(bad, err)
	}
	return all, errors.Join(bad...)
}

// pack makes a handout of the file of an assignment and the cases beside it.
func pack(path string, data []byte) (*cases.Handout, error) {
	if !cases.IsAssignment(data) {
		return nil, fact.Refuse("assignment.is-none", "file", path)
	}
	return cases.Pack(path, data, func(l cases.Listed) ([]byte, error) {
		return readFile(filepath.Join(filepath.Dir(path), filepath.FromSlash(l.File)), "argument.case")
	})
}

// handout is pack as the file that the bench is given.
func handout(path string, data []byte) ([]byte, error) {
	h, err := pack(path, data)
	if err != nil {
		return nil, err
	}
	return h.Write(), nil
}
