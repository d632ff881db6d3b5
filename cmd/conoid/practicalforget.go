package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// forgetting is one candidate to be forgotten.
type forgetting struct {
	assessor
	candidate, decisions string
	ratings              string
	force                bool
	told                 *cobra.Command
}

func practicalForgetCommand(v voice.Voice) *cobra.Command {
	var f forgetting
	cmd := practicalHelp(v, "forget")
	cmd.Args = arguments(2, -1, "argument.forget")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if err := practical.CheckCandidate(args[0]); err != nil {
			return err
		}
		f.candidate, f.told = practical.Candidate(args[0]), cmd
		return f.forget(args[1:])
	}
	f.flags(v, cmd)
	cmd.Flags().StringVar(&f.decisions, "decisions", "", v.Text("help.practical.flag.decisions-redacted"))
	cmd.Flags().StringVar(&f.ratings, "ratings", "", v.Text("help.practical.flag.ratings-redacted"))
	cmd.Flags().BoolVar(&f.force, "force", false, v.Text("help.practical.flag.forget-force"))
	return cmd
}

func (f *forgetting) say(id string, pairs ...any) {
	fmt.Fprintln(f.told.OutOrStdout(), f.voice.Text("practical.forget."+id, pairs...))
}

func (f *forgetting) forget(folders []string) error {
	files, err := f.search(folders)
	if err != nil {
		return err
	}
	if f.decisions != "" {
		if err := f.redact(); err != nil {
			return err
		}
	}
	if f.ratings != "" {
		if err := f.unrate(); err != nil {
			return err
		}
	}
	n := 0
	for _, file := range files {
		done, err := f.treat(file)
		if err != nil {
			return err
		}
		if done {
			n++
		}
	}
	switch {
	case n == 0:
		f.say("nothing-of", "candidate", f.candidate)
	case !f.force:
		f.say("nothing-yet")
	}
	if n > 0 {
		f.say("pass-mark")
	}
	f.say("beyond")
	return nil
}

// mentioned is a file in which a candidate stands, or may stand.
type mentioned struct {
	path string
	is   mention
	data []byte // of a table, or of statements, without the candidate
}

// search finds the files in folders that tell of the candidate.
func (f *forgetting) search(folders []string) (out []mentioned, err error) {
	for _, folder := range folders {
		err := filepath.WalkDir(folder, func(path string, e fs.DirEntry, err error) error {
			if err != nil || !e.Type().IsRegular() {
				return err
			}
			if one := f.about(path); one.is != nowhere {
				out = append(out, one)
			}
			return nil
		})
		if err != nil {
			return nil, fact.Because(cause(err), "practical.not-searched", "folder", folder)
		}
	}
	return out, nil
}

// without is what is said of a file that was written again without the candidate.
var without = map[mention]string{inTable: "row-out", inSent: "void-out"}

// treat deletes a file, takes the candidate out of it, or says that neither can be done.
// It reports whether something was to be done.
func (f *forgetting) treat(file mentioned) (bool, error) {
	switch {
	case file.is == damaged:
		f.say("unknown", "file", file.path)
		return false, nil
	case file.is == unread:
		f.say("unread", "file", file.path)
		return false, nil
	case file.is == signedIn:
		if !f.named(file.path) {
			f.say("signed", "file", file.path)
		}
		return false, nil
	case file.is == elsewhere:
		f.say("elsewhere", "file", file.path)
		return false, nil
	case file.data != nil && f.force:
		if err := writeNew(file.path, file.data, 0o600, true); err != nil {
			return false, err
		}
		f.say(without[file.is], "file", file.path)
	case file.data != nil:
		f.say("would-"+without[file.is], "file", file.path)
	case !f.force:
		f.say("would-delete", "file", file.path)
	default:
		if err := os.Remove(file.path); err != nil {
			return false, fact.Because(cause(err), "practical.not-deleted", "file", file.path)
		}
		f.say("deleted", "file", file.path)
	}
	return true, nil
}

// named reports whether a signed file is one that was named to be signed anew.
func (f *forgetting) named(path string) bool {
	return slices.ContainsFunc([]string{f.decisions, f.ratings}, func(name string) bool {
		a, err := os.Stat(path)
		b, also := os.Stat(name)
		return err == nil && also == nil && os.SameFile(a, b)
	})
}

// redact takes the candidate out of the decisions.
func (f *forgetting) redact() error {
	p, k, err := f.load(f.told.ErrOrStderr())
	if err != nil {
		return err
	}
	data, err := decisionsIn(f.decisions)
	if err != nil {
		return err
	}
	past, err := practical.LedgerOf(p, f.decisions, data).Decisions()
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
		f.say("decisions", "n", fact.Count(mine), "file", f.decisions)
		return nil
	}
	data, err = practical.LedgerOf(p, f.decisions, data).Forget(k, f.candidate, time.Now())
	if err != nil {
		return err
	}
	if err := writeNew(f.decisions, data, 0o600, true); err != nil {
		return err
	}
	f.say("taken-out", "n", fact.Count(mine), "file", f.decisions)
	return nil
}

// unrate takes the candidate out of the ratings.
func (f *forgetting) unrate() error {
	p, k, err := f.load(f.told.ErrOrStderr())
	if err != nil {
		return err
	}
	data, err := readFile(f.ratings, "argument.ratings")
	if err != nil {
		return err
	}
	left, n, err := practical.RatingsOf(p, f.ratings, data).Forget(k, f.candidate, time.Now())
	if err != nil {
		return err
	}
	if n == 0 || !f.force {
		f.say("ratings", "n", fact.Count(n), "file", f.ratings)
		return nil
	}
	if err := writeNew(f.ratings, left, 0o600, true); err != nil {
		return err
	}
	f.say("ratings-out", "n", fact.Count(n), "file", f.ratings)
	return nil
}
