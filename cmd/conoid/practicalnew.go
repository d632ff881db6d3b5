package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/report/classes"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// newPractical are the choices for a practical.
type newPractical struct {
	voice      voice.Voice
	plan       practical.Plan
	sealed     keyring // opens sealed cases
	keys       string
	extra      []string
	candidates string
	closes     string
	marking    string
	hideClock  bool
	out        string
	force      bool
}

func practicalNewCommand(v voice.Voice) *cobra.Command {
	var n newPractical
	cmd := practicalHelp(v, "new")
	cmd.Args = arguments(0, 1, "")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if (len(args) == 0) != n.plan.Rehearsal {
			return missingFlag("set-or-rehearsal")
		}
		if n.out == "" {
			return missingFlag("practical-out")
		}
		n.voice = v
		return n.make(cmd, args)
	}
	n.sealed.flag(v, cmd)
	fl := cmd.Flags()
	fl.StringVar(&n.keys, "keys", "", v.Text("help.practical.flag.keys"))
	fl.StringVar(&n.out, "out", "", v.Text("help.practical.flag.practical-out", "ending", practical.Ending))
	fl.StringVar(&n.plan.Title, "title", "", v.Text("help.practical.flag.title"))
	fl.BoolVar(&n.plan.Rehearsal, "rehearsal", false, v.Text("help.practical.flag.rehearsal"))
	fl.DurationVar(&n.plan.PerCase, "time-per-case", 0, v.Text("help.practical.flag.time-per-case"))
	fl.DurationVar(&n.plan.Total, "time", 0, v.Text("help.practical.flag.time"))
	fl.BoolVar(&n.plan.CountPauses, "count-pauses", false, v.Text("help.practical.flag.count-pauses"))
	fl.BoolVar(&n.plan.TakeOpen, "take-open", false, v.Text("help.practical.flag.take-open"))
	fl.StringArrayVar(&n.extra, "extra", nil, v.Text("help.practical.flag.extra"))
	fl.BoolVar(&n.plan.Shuffle, "shuffle", false, v.Text("help.practical.flag.shuffle"))
	fl.StringVar(&n.candidates, "candidates", "", v.Text("help.practical.flag.candidates"))
	fl.StringVar(&n.closes, "closes", "", v.Text("help.practical.flag.closes"))
	fl.StringVar(&n.marking, "marking", "", v.Text("help.practical.flag.marking"))
	fl.BoolVar(&n.hideClock, "hide-clock", false, v.Text("help.practical.flag.hide-clock"))
	fl.BoolVar(&n.plan.Show.Titles, "show-titles", false, v.Text("help.practical.flag.show-titles"))
	fl.BoolVar(&n.plan.Show.Mark, "show-marks", false, v.Text("help.practical.flag.show-marks"))
	fl.BoolVar(&n.force, "force", false, v.Text("help.practical.flag.force"))
	return cmd
}

func (n *newPractical) make(cmd *cobra.Command, args []string) error {
	k, err := readAssessorKeys(n.voice, n.keys, cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	n.plan.Show.Clock = !n.hideClock
	if err := errors.Join(n.readCases(args), n.readRest()); err != nil {
		return err
	}
	n.plan.Made = time.Now().Truncate(time.Second)
	p, err := practical.New(n.plan, k)
	if err != nil {
		return err
	}
	data, err := n.seal(cmd, p, k)
	if err != nil {
		return err
	}
	slips, err := n.write(p, data)
	if err != nil {
		return err
	}
	n.warn(cmd.ErrOrStderr(), p)
	fmt.Fprintf(cmd.OutOrStdout(), "%s\n%s%s", n.voice.Text("practical.told.made", "title", p.Title, "file", n.out), planHead(n.voice, p.ID, p.SignedBy()), describePlan(n.voice, p))
	fmt.Fprintln(cmd.OutOrStdout(), n.voice.Text("practical.told.slips", "file", slips))
	return nil
}

// write writes the practical, and beside it the slips of its candidates: both, or
// neither.
func (n *newPractical) write(p *practical.Plan, data []byte) (slips string, err error) {
	slips = strings.TrimSuffix(n.out, practical.Ending) + classes.SlipsEnding
	var page bytes.Buffer
	if err := classes.Slips(&page, n.voice, p); err != nil {
		return "", err
	}
	if _, err := os.Stat(slips); err == nil && !n.force {
		return "", fact.Refuse("file.there-already", "path", slips)
	}
	if err := writeNew(n.out, data, 0o644, n.force); err != nil {
		return "", err
	}
	if err := writeNew(slips, page.Bytes(), 0o600, n.force); err != nil {
		return "", errors.Join(err, os.Remove(n.out))
	}
	return slips, nil
}

// warn says which of the cases give their answer away, on the record card or in a
// text. A rehearsal assesses nobody.
func (n *newPractical) warn(errs io.Writer, p *practical.Plan) {
	if p.Rehearsal {
		return
	}
	for i, c := range p.Cases {
		for _, w := range append(cases.CheckCopied(p.Patient(i), true), cases.CheckTold(p.Patient(i))...) {
			fmt.Fprintln(errs, "conoid:", n.voice.Text("practical.told.mind", "id", c.ID, "what", w))
		}
	}
}

func (n *newPractical) seal(cmd *cobra.Command, p *practical.Plan, k *practical.Keys) ([]byte, error) {
	passphrase, err := newPassphrase(n.sealed.voice, cmd, p.Title)
	if err != nil {
		return nil, err
	}
	return p.Seal(k, passphrase)
}

// rehearsedTime is the time of a rehearsal to which no flag gives one: with none, more of it
// could not be tried. The project's choice.
const rehearsedTime = 20 * time.Minute

// readCases takes in the cases of a set, or the one of a rehearsal.
func (n *newPractical) readCases(args []string) error {
	if n.plan.Rehearsal {
		c := cases.Library()[0]
		n.title(n.voice.Text("practical.told.rehearsal-title"))
		if n.plan.PerCase == 0 && n.plan.Total == 0 {
			n.plan.PerCase = rehearsedTime
		}
		n.add(c)
		return nil
	}
	path := args[0]
	data, err := readFile(path, "argument.assignment")
	if err != nil {
		return err
	}
	if !cases.IsAssignment(data) {
		return fact.Refuse("practical.no-set", "file", path)
	}
	set, err := cases.ReadAssignment(path, data)
	if err != nil {
		return err
	}
	if n.plan.Title == "" && tellsSeed(set) {
		return fact.Refuse("practical.seed-told", "title", set.Title)
	}
	n.title(set.Title)
	bad := []error{n.terms(set)}
	for _, l := range set.Cases {
		if l.InLibrary() {
			c, err := cases.Find(l.File)
			if err != nil {
				return err
			}
			n.add(c)
			continue
		}
		file := filepath.Join(filepath.Dir(path), filepath.FromSlash(l.File))
		data, err := readFile(file, "argument.case")
		if err != nil {
			bad = append(bad, fact.Because(err, "practical.in-set", "file", path, "line", fact.Count(l.Line), "column", fact.Count(l.Column)))
			continue
		}
		c, err := readCase(file, data, n.sealed.whole)
		if err != nil {
			bad = append(bad, err)
			continue
		}
		n.add(c)
	}
	return errors.Join(bad...)
}

// terms takes what an assignment says of a practical, unless a flag says it. What a practical
// does not have is refused: all sit it whole, alone and with all charts.
func (n *newPractical) terms(a *cases.Assignment) error {
	if n.plan.PerCase == 0 {
		n.plan.PerCase = a.Limit
	}
	if n.plan.Closes.IsZero() && !a.Closes.IsZero() {
		c := a.Closes
		n.plan.Closes = time.Date(c.Year(), c.Month(), c.Day(), c.Hour(), c.Minute(), 0, 0, time.Local)
	}
	if n.marking == "" && a.Marking != nil {
		n.plan.Marking = cases.WriteScheme(*a.Marking)
	}
	var lacks []string
	for _, k := range []struct {
		name string
		is   bool
	}{
		{"begin", a.Begin != ""}, {"help", a.Help != "" && a.Help != cases.Alone}, {"charts", a.Charts != nil}, {"questions", a.Questions != nil},
		{"attempts", a.Attempts > 1},
	} {
		if k.is {
			lacks = append(lacks, k.name)
		}
	}
	if lacks != nil {
		return fact.Refuse("practical.not-in-one", "keys", lacks)
	}
	return nil
}

func (n *newPractical) title(usual string) {
	if n.plan.Title == "" {
		n.plan.Title = usual
	}
}

func (n *newPractical) add(c *cases.Case) {
	n.plan.Cases = append(n.plan.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c.ForSitters()))})
}

// readRest takes in what the flags name.
func (n *newPractical) readRest() error {
	var bad []error
	n.plan.Extra = map[string]float64{}
	for _, e := range n.extra {
		number, share, _ := strings.Cut(e, "=")
		v, err := strconv.ParseFloat(share, 64)
		if err != nil || practical.CheckCandidate(number) != nil {
			bad = append(bad, fact.Refuse("practical.flag-extra", "value", e))
			continue
		}
		n.plan.Extra[practical.Candidate(number)] = v
	}
	if n.closes != "" {
		at, err := time.Parse(time.RFC3339, n.closes)
		if err != nil {
			bad = append(bad, fact.Refuse("practical.flag-closes", "value", n.closes))
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
				bad = append(bad, fact.Because(err, "practical.in-list", "file", n.candidates, "line", fact.Count(i+1)))
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
