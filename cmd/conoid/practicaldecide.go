package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

func practicalDecideCommand(v voice.Voice) *cobra.Command {
	var a assessor
	var file string
	var d practical.Decision
	var points float64
	cmd := practicalHelp(v, "decide")
	cmd.Args = arguments(1, 1, "argument.decision")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if file == "" {
			return missingFlag("decisions")
		}
		if args[0] == string(practical.Forgot) {
			return usageError{fact.Refuse("practical.decision.unknown", "do", args[0])}
		}
		d.Do, d.At = practical.Deed(args[0]), time.Now()
		if cmd.Flags().Changed("points") {
			d.Points = &points
		}
		p, k, err := a.load(cmd.ErrOrStderr())
		if err != nil {
			return err
		}
		data, err := decisionsIn(file)
		if err != nil {
			return err
		}
		line, err := p.Ledger(file, data).Decide(k, d)
		if err != nil {
			return err
		}
		// A whole new file: a decision is there, or it is not.
		if err := writeNew(file, append(data, line...), 0o600, true); err != nil {
			return err
		}
		fmt.Fprintln(cmd.OutOrStdout(), v.Text("practical.told.decided", "n", fact.Count(strings.Count(string(data), "\n")+1), "file", file, "named", quoted(file)))
		return nil
	}
	a.flags(v, cmd)
	fl := cmd.Flags()
	fl.StringVar(&file, "decisions", "", v.Text("help.practical.flag.decisions"))
	fl.StringVar(&d.Candidate, "candidate", "", v.Text("help.practical.flag.candidate"))
	fl.IntVar(&d.Case, "case", 0, v.Text("help.practical.flag.case"))
	fl.Float64Var(&points, "points", 0, v.Text("help.practical.flag.points"))
	fl.StringVar(&d.Reason, "reason", "", v.Text("help.practical.flag.reason"))
	return cmd
}

// decisionsIn is what a file of decisions holds; nothing when there is none.
func decisionsIn(path string) ([]byte, error) {
	if !exists(path) {
		return nil, nil
	}
	return readFile(path, "argument.decisions")
}

// forgetting is one candidate to be forgotten.
type forgetting struct {
	assessor
	candidate, decisions string
	force                bool
}

func practicalForgetCommand(v voice.Voice) *cobra.Command {
	var f forgetting
	cmd := practicalHelp(v, "forget")
	cmd.Args = arguments(2, -1, "argument.forget")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if err := practical.CheckCandidate(args[0]); err != nil {
			return err
		}
		f.candidate = practical.Candidate(args[0])
		return f.forget(cmd, args[1:])
	}
	f.flags(v, cmd)
	cmd.Flags().StringVar(&f.decisions, "decisions", "", v.Text("help.practical.flag.decisions-redacted"))
	cmd.Flags().BoolVar(&f.force, "force", false, v.Text("help.practical.flag.forget-force"))
	return cmd
}

func (f *forgetting) forget(cmd *cobra.Command, folders []string) error {
	say := func(id string, pairs ...any) {
		fmt.Fprintln(cmd.OutOrStdout(), f.voice.Text("practical.forget."+id, pairs...))
	}
	var found, unknown []string
	for _, folder := range folders {
		err := filepath.WalkDir(folder, func(path string, e fs.DirEntry, err error) error {
			if err != nil || !e.Type().IsRegular() {
				return err
			}
			mine, unsure := f.about(path)
			if mine {
				found = append(found, path)
			} else if unsure {
				unknown = append(unknown, path)
			}
			return nil
		})
		if err != nil {
			return fact.Because(cause(err), "practical.not-searched", "folder", folder)
		}
	}
	for _, path := range unknown {
		say("unknown", "file", path)
	}
	if f.decisions != "" {
		if err := f.redact(cmd); err != nil {
			return err
		}
	}
	for _, path := range found {
		if !f.force {
			say("would-delete", "file", path)
			continue
		}
		if err := os.Remove(path); err != nil {
			return fact.Because(cause(err), "practical.not-deleted", "file", path)
		}
		say("deleted", "file", path)
	}
	if !f.force && len(found) > 0 {
		say("nothing-yet")
	}
	if len(found) == 0 {
		say("nothing-of", "candidate", f.candidate)
	}
	return nil
}

// about reports whether a file is about the candidate, or a result that does
// not say whose it is.
func (f *forgetting) about(path string) (mine, unsure bool) {
	data, err := readFile(path, "argument.file")
	if err != nil {
		return false, strings.HasSuffix(path, practical.ResultEnding)
	}
	switch filepath.Base(path) {
	case "class.json", "class.html", "class.csv":
		return hasWord(string(data), f.candidate), false
	}
	if !practical.IsResult(data) {
		return false, strings.HasSuffix(path, practical.ResultEnding)
	}
	look, err := practical.LookAt(path, data)
	return err == nil && look.Candidate == f.candidate, err != nil
}

// redact takes the candidate out of the decisions.
func (f *forgetting) redact(cmd *cobra.Command) error {
	p, k, err := f.load(cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	data, err := decisionsIn(f.decisions)
	if err != nil {
		return err
	}
	past, err := p.Ledger(f.decisions, data).Decisions()
	if err != nil {
		return err
	}
	mine := 0
	for _, d := range past {
		if d.Candidate == f.candidate {
			mine++
		}
	}
	if mine == 0 || !f.force {
		fmt.Fprintln(cmd.OutOrStdout(), f.voice.Text("practical.forget.decisions", "n", fact.Count(mine), "file", f.decisions))
		return nil
	}
	data, err = p.Ledger(f.decisions, data).Forget(k, f.candidate, time.Now())
	if err != nil {
		return err
	}
	if err := writeNew(f.decisions, data, 0o600, true); err != nil {
		return err
	}
	fmt.Fprintln(cmd.OutOrStdout(), f.voice.Text("practical.forget.taken-out", "n", fact.Count(mine), "file", f.decisions))
	return nil
}

// hasWord reports whether a word stands in a text by itself.
func hasWord(text, word string) bool {
	return regexp.MustCompile(`\b` + regexp.QuoteMeta(word) + `\b`).MatchString(text)
}
