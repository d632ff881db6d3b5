package main

import (
	"errors"
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
)

func practicalDecideCommand(v voice.Voice) *cobra.Command {
	var a assessor
	var file string
	var d practical.Decision
	var points float64
	cmd := &cobra.Command{
		Use:   "decide override|withdraw|restore --practical FILE --keys FILE --decisions FILE --case N --reason TEXT",
		Short: "Override a mark, or withdraw a case, with a reason",
		Long: `Decide about marks: override the points of a candidate's case, withdraw a case for
everybody, or restore it. A decision needs a reason, which stands in the report: say
nothing in it that tells who a candidate is. It is added to the file of decisions,
signed, and chained to those before it. Nothing in that file is ever changed; a later
decision counts before an earlier one. Keep the file beside the results, and mark the
class again with conoid practical collect --decisions.`,
		Example: `  conoid practical decide override --practical friday.conoid-practical --keys assessor.key \
      --decisions decisions.jsonl --candidate A7 --case 2 --points 61.5 --reason "the fire alarm rang"
  conoid practical decide withdraw --practical friday.conoid-practical --keys assessor.key \
      --decisions decisions.jsonl --case 3 --reason "its story gave it away"`,
		Args: arguments(1, 1, "argument.decision"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if file == "" {
				return usageError{errors.New("the file of decisions is missing: name it with --decisions; it is begun when it is not there")}
			}
			if args[0] == string(practical.Forgot) {
				return usageError{errors.New("there is no such decision: override, withdraw or restore")}
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
			line, err := p.Decide(k, file, data, d)
			if err != nil {
				return err
			}
			// A whole new file: a decision is there, or it is not.
			if err := writeNew(file, append(data, line...), 0o600, true); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "Decision %d is in %s. Mark again with: conoid practical collect --decisions %s\n", strings.Count(string(data), "\n")+1, file, quoted(file))
			return nil
		},
	}
	a.flags(cmd)
	fl := cmd.Flags()
	fl.StringVar(&file, "decisions", "", "file of decisions")
	fl.StringVar(&d.Candidate, "candidate", "", "whose points are overridden")
	fl.IntVar(&d.Case, "case", 0, "which case, from 1 in the order of the practical")
	fl.Float64Var(&points, "points", 0, "points instead of those marked")
	fl.StringVar(&d.Reason, "reason", "", "why, in a few words")
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
	cmd := &cobra.Command{
		Use:   "forget CANDIDATE FOLDERS...",
		Short: "Delete what is kept of a candidate",
		Long: `Find the results of a candidate in FOLDERS, and the class reports that have the
candidate in them, and list them. With --force they are deleted; make the report
anew from what is left. With --decisions, --practical and --keys, the decisions
about the candidate are taken out of their file as well, which is signed anew and
says that somebody was forgotten, but not who.

Only files are deleted that are in the folders you name. Copies elsewhere, on the
machines, in backups and on paper, are yours to find. A result that is damaged may
not tell whose it is; such files are listed.`,
		Example: "  conoid practical forget A7 results report report-2\n  conoid practical forget A7 results report report-2 --force",
		Args:    arguments(2, -1, "argument.forget"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := practical.CheckCandidate(args[0]); err != nil {
				return err
			}
			f.candidate = practical.Candidate(args[0])
			return f.forget(cmd, args[1:])
		},
	}
	f.flags(cmd)
	cmd.Flags().StringVar(&f.decisions, "decisions", "", "file of decisions, to be signed anew without the candidate")
	cmd.Flags().BoolVar(&f.force, "force", false, "delete")
	return cmd
}

func (f *forgetting) forget(cmd *cobra.Command, folders []string) error {
	w := cmd.OutOrStdout()
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
			return fmt.Errorf("%s cannot be searched: %w", folder, cause(err))
		}
	}
	for _, path := range unknown {
		fmt.Fprintf(w, "%s is damaged and does not tell whose it is.\n", path)
	}
	if f.decisions != "" {
		if err := f.redact(cmd); err != nil {
			return err
		}
	}
	for _, path := range found {
		if !f.force {
			fmt.Fprintf(w, "%s would be deleted.\n", path)
			continue
		}
		if err := os.Remove(path); err != nil {
			return fmt.Errorf("%s cannot be deleted: %w", path, cause(err))
		}
		fmt.Fprintf(w, "%s is deleted.\n", path)
	}
	if !f.force && len(found) > 0 {
		fmt.Fprintln(w, "Nothing is deleted yet: write --force.")
	}
	if len(found) == 0 {
		fmt.Fprintf(w, "There is nothing of candidate %s in these folders.\n", f.candidate)
	}
	return nil
}

// about tells whether a file is about the candidate, or a result that does not
// tell.
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
	past, err := p.ReadDecisions(f.decisions, data)
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
		fmt.Fprintf(cmd.OutOrStdout(), "%s in %s about the candidate.\n", counted(mine, "decision"), f.decisions)
		return nil
	}
	data, err = p.Forget(k, f.decisions, data, f.candidate, time.Now())
	if err != nil {
		return err
	}
	if err := writeNew(f.decisions, data, 0o600, true); err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s taken out of %s.\n", counted(mine, "decision"), f.decisions)
	return nil
}

// hasWord tells whether a word stands in a text by itself.
func hasWord(text, word string) bool {
	return regexp.MustCompile(`\b` + regexp.QuoteMeta(word) + `\b`).MatchString(text)
}
