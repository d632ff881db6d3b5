package main

import (
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

// newPractical are the choices for a practical.
type newPractical struct {
	plan       practical.Plan
	sealed     keyring // opens sealed cases
	keys       string
	extra      []string
	candidates string
	closes     string
	marking    string
	recipients []string
	hideClock  bool
	out        string
	force      bool
}

func practicalNewCommand(v voice.Voice) *cobra.Command {
	var n newPractical
	cmd := &cobra.Command{
		Use:   "new SET --keys FILE --out FILE",
		Short: "Make a practical from a set of cases",
		Long: `Make a practical from a set of cases (see conoid draw --count), sealed with a
passphrase that is asked for, or with --for for machines that hold keys (see conoid
case keys). The passphrase is told when the practical begins. Scripts give it in
` + passphraseVariable + `.

A rehearsal needs no set: it takes the easiest case of the library. Sit it at every
machine before the day, collect the results, and see that all came back.

A marking scheme for all cases, given with --marking, is a file with the section
[marking] of a case file (see conoid case new). Without one each case is marked by
its own.

` + trustHelp,
		Example: `  conoid practical new friday/set.toml --title Friday --keys assessor.key --time-per-case 20m --time 60m \
      --shuffle --extra A7=0.25 --candidates numbers.txt --out friday.conoid-practical
  conoid practical new --rehearsal --keys assessor.key --out rehearsal.conoid-practical`,
		Args: arguments(0, 1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			if (len(args) == 0) != n.plan.Rehearsal {
				return usageError{errors.New("name the file of a set, or write --rehearsal without one")}
			}
			if n.out == "" {
				return usageError{errors.New("the file for the practical is missing: name it with --out")}
			}
			return n.make(cmd, args)
		},
	}
	n.sealed.flag(v, cmd)
	fl := cmd.Flags()
	fl.StringVar(&n.keys, "keys", "", "file of the assessor's keys")
	fl.StringVar(&n.out, "out", "", "file for the practical; the usual ending is "+practical.Ending)
	fl.StringVar(&n.plan.Title, "title", "", "what candidates see (left out: the title of the set); never the seed of a drawn set")
	fl.BoolVar(&n.plan.Rehearsal, "rehearsal", false, "a rehearsal, which counts for nobody")
	fl.DurationVar(&n.plan.PerCase, "time-per-case", 0, "time for each case, such as 20m (left out: no limit)")
	fl.DurationVar(&n.plan.Total, "time", 0, "time in all, such as 60m (left out: no limit)")
	fl.StringArrayVar(&n.extra, "extra", nil, "more time for a candidate, as NUMBER=SHARE, such as A7=0.25; may be given again")
	fl.BoolVar(&n.plan.Shuffle, "shuffle", false, "another order of the cases for each candidate")
	fl.StringVar(&n.candidates, "candidates", "", "file with the candidates' numbers, one a line: only they can sit, and who is missing is reported")
	fl.StringVar(&n.closes, "closes", "", "results begun later are late, such as 2031-04-04T12:00:00+01:00")
	fl.StringVar(&n.marking, "marking", "", "file with a marking scheme for all cases")
	fl.BoolVar(&n.hideClock, "hide-clock", false, "do not show the time that is left")
	fl.BoolVar(&n.plan.Show.Titles, "show-titles", false, "show the titles and stories of the cases, which are otherwise numbered")
	fl.BoolVar(&n.plan.Show.Mark, "show-marks", false, "show the marks at the end (others may still be sitting)")
	fl.StringArrayVar(&n.recipients, "for", nil, "a recipient whose key opens it; may be given again; there is no passphrase then")
	fl.BoolVar(&n.force, "force", false, "write over a file that is there already")
	return cmd
}

func (n *newPractical) make(cmd *cobra.Command, args []string) error {
	k, err := readAssessorKeys(n.keys, cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	n.plan.Show.Clock = !n.hideClock
	if err := errors.Join(n.readCases(args), n.readRest()); err != nil {
		return err
	}
	p, err := practical.New(n.plan, k)
	if err != nil {
		return err
	}
	data, err := n.seal(cmd, p, k)
	if err != nil {
		return err
	}
	if err := writeNew(n.out, data, 0o644, n.force); err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s is in %s.\n  %-12s %s\n  %-12s %s\n%s", p.Title, n.out, "Practical", p.ID, "Signed by", p.SignedBy(), describePlan(p))
	return nil
}

func (n *newPractical) seal(cmd *cobra.Command, p *practical.Plan, k *practical.Keys) ([]byte, error) {
	if len(n.recipients) > 0 {
		return p.SealFor(k, n.recipients...)
	}
	passphrase, err := newPassphrase(n.sealed.voice, cmd)
	if err != nil {
		return nil, err
	}
	return p.Seal(k, passphrase)
}

// readCases takes in the cases of a set, or the one of a rehearsal.
func (n *newPractical) readCases(args []string) error {
	if n.plan.Rehearsal {
		c := cases.Library()[0]
		n.title("Rehearsal")
		n.add(c)
		return nil
	}
	path := args[0]
	data, err := readFile(path, "argument.set")
	if err != nil {
		return err
	}
	if !cases.IsSet(data) {
		return fmt.Errorf("%s is no set of cases: conoid draw --count makes one, and a set of one case will do", path)
	}
	set, err := cases.ReadSet(path, data)
	if err != nil {
		return err
	}
	if n.plan.Title == "" && tellsSeed(set) {
		return fmt.Errorf("the title of the set, %q, tells the seed, and with it anybody can draw the same cases: give another with --title", set.Title)
	}
	n.title(set.Title)
	var bad []error
	for _, l := range set.Cases {
		file := filepath.Join(filepath.Dir(path), filepath.FromSlash(l.File))
		data, err := readFile(file, "argument.case")
		if err != nil {
			bad = append(bad, fmt.Errorf("%s:%d:%d: %w", path, l.Line, l.Column, err))
			continue
		}
		c, err := readCase(file, data, &n.sealed)
		if err != nil {
			bad = append(bad, err)
			continue
		}
		n.add(c)
	}
	return errors.Join(bad...)
}

func (n *newPractical) title(usual string) {
	if n.plan.Title == "" {
		n.plan.Title = usual
	}
}

func (n *newPractical) add(c *cases.Case) {
	n.plan.Cases = append(n.plan.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
}

// readRest takes in what the flags name.
func (n *newPractical) readRest() error {
	var bad []error
	n.plan.Extra = map[string]float64{}
	for _, e := range n.extra {
		number, share, _ := strings.Cut(e, "=")
		v, err := strconv.ParseFloat(share, 64)
		if err != nil || practical.CheckCandidate(number) != nil {
			bad = append(bad, fmt.Errorf("--extra %s: write a candidate's number and a share, such as A7=0.25", e))
			continue
		}
		n.plan.Extra[practical.Candidate(number)] = v
	}
	if n.closes != "" {
		at, err := time.Parse(time.RFC3339, n.closes)
		if err != nil {
			bad = append(bad, fmt.Errorf("--closes %s: write a day, a time and its zone, such as 2031-04-04T12:00:00+01:00", n.closes))
		}
		n.plan.Closes = at
	}
	if n.candidates != "" {
		data, err := readFile(n.candidates, "argument.candidates")
		bad = append(bad, err)
		for i, line := range strings.Split(string(data), "\n") {
			if line = strings.TrimSpace(line); line == "" {
				continue
			}
			if err := practical.CheckCandidate(line); err != nil {
				bad = append(bad, fmt.Errorf("%s:%d:1: %w", n.candidates, i+1, err))
				break // perhaps a list of names, which need not be repeated
			}
			n.plan.Candidates = append(n.plan.Candidates, practical.Candidate(line))
		}
	}
	if n.marking != "" {
		data, err := readFile(n.marking, "argument.scheme")
		bad, n.plan.Marking = append(bad, err), string(data)
	}
	return errors.Join(bad...)
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
