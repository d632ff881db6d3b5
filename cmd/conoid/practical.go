package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"runtime"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// practicalHelp is a command of practicals with its help, but not yet what it
// does.
func practicalHelp(v voice.Voice, name string) *cobra.Command {
	id := "help.practical." + name
	return &cobra.Command{
		Use:     v.Text(id + ".use"),
		Short:   v.Text(id + ".short"),
		Long:    v.Text(id+".long", "trust", v.Text("help.practical.trust"), "caution", wrap(v.Text("caution"), width), "variable", passphraseVariable),
		Example: v.Text(id + ".example"),
	}
}

func practicalCommand(v voice.Voice) *cobra.Command {
	cmd := practicalHelp(v, "all")
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		if len(args) > 0 {
			return noCommand(cmd.Name()+" "+args[0], nil)
		}
		return nil
	}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
	cmd.AddCommand(practicalKeysCommand(v), practicalNewCommand(v), practicalShowCommand(v), practicalSimulateCommand(v),
		practicalCollectCommand(v), rateCommand(v), practicalDecideCommand(v), practicalForgetCommand(v))
	return cmd
}

// missingFlag says that a flag is missing.
func missingFlag(id string) error { return usageError{fact.Refuse("practical.missing." + id)} }

// assessor is what an assessor's commands need.
type assessor struct {
	voice           voice.Voice
	practical, keys string
}

func (a *assessor) flags(v voice.Voice, cmd *cobra.Command) {
	a.voice = v
	cmd.Flags().StringVar(&a.practical, "practical", "", v.Text("help.practical.flag.practical"))
	cmd.Flags().StringVar(&a.keys, "keys", "", v.Text("help.practical.flag.keys"))
}

// load opens the practical with the assessor's keys.
func (a *assessor) load(errs io.Writer) (*practical.Plan, *practical.Keys, error) {
	if a.practical == "" {
		return nil, nil, missingFlag("practical")
	}
	k, err := readAssessorKeys(a.voice, a.keys, errs)
	if err != nil {
		return nil, nil, err
	}
	data, err := readFile(a.practical, "argument.practical")
	if err != nil {
		return nil, nil, err
	}
	s, err := practical.Read(a.practical, data)
	if err != nil {
		return nil, nil, err
	}
	p, err := s.OpenWith(k.Key())
	return p, k, err
}

func readAssessorKeys(v voice.Voice, path string, errs io.Writer) (*practical.Keys, error) {
	if path == "" {
		return nil, missingFlag("keys")
	}
	data, err := readFile(path, "argument.keys")
	if err != nil {
		return nil, err
	}
	if info, err := os.Stat(path); err == nil && info.Mode().Perm()&0o077 != 0 && runtime.GOOS != "windows" {
		fmt.Fprintln(errs, "conoid:", v.Text("practical.told.keys-open", "file", path))
	}
	k, err := practical.ReadKeys(path, data)
	if err == nil && k.Old() {
		fmt.Fprintln(errs, "conoid:", v.Text("practical.told.keys-old", "file", path))
	}
	return k, err
}

func practicalKeysCommand(v voice.Voice) *cobra.Command {
	var out string
	var force bool
	cmd := practicalHelp(v, "keys")
	cmd.Args = arguments(0, 0, "")
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		if out == "" {
			return missingFlag("keys-out")
		}
		k, err := practical.NewKeys()
		if err != nil {
			return err
		}
		if err := writeNew(out, k.File(), 0o600, force); err != nil {
			return err
		}
		fmt.Fprintln(cmd.OutOrStdout(), v.Text("practical.told.signs", "code", k.Fingerprint()))
		return nil
	}
	cmd.Flags().StringVar(&out, "out", "", v.Text("help.practical.flag.keys-out"))
	cmd.Flags().BoolVar(&force, "force", false, v.Text("help.practical.flag.keys-force"))
	return cmd
}

func practicalShowCommand(v voice.Voice) *cobra.Command {
	var keys string
	cmd := practicalHelp(v, "show")
	cmd.Args = arguments(1, 1, "argument.practical")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		data, err := readFile(args[0], "argument.practical")
		if err != nil {
			return err
		}
		s, err := practical.Read(args[0], data)
		if err != nil {
			return err
		}
		w := cmd.OutOrStdout()
		fmt.Fprintf(w, "%s\n%s", s.Title, planHead(v, s.ID, s.SignedBy))
		if s.Rehearsal {
			fmt.Fprintln(w, "  "+v.Text("practical.plan.rehearsal"))
		}
		if !s.Passphrase {
			fmt.Fprintln(w, "  "+v.Text("practical.plan.no-passphrase"))
		}
		if keys == "" {
			return nil
		}
		k, err := readAssessorKeys(v, keys, cmd.ErrOrStderr())
		if err != nil {
			return err
		}
		p, err := s.OpenWith(k.Key())
		if err != nil {
			return err
		}
		return second(fmt.Fprint(w, describePlan(v, p)))
	}
	cmd.Flags().StringVar(&keys, "keys", "", v.Text("help.practical.flag.keys-show"))
	return cmd
}

// planLines are names with what belongs to them, in two columns.
type planLines struct{ names, texts []string }

func (l *planLines) add(name, text string) {
	l.names, l.texts = append(l.names, name), append(l.texts, text)
}

func (l *planLines) String() string {
	widest := 12
	for _, n := range l.names {
		widest = max(widest, utf8.RuneCountInString(n))
	}
	var b strings.Builder
	for i, n := range l.names {
		fmt.Fprintf(&b, "  %s%s %s\n", n, strings.Repeat(" ", widest-utf8.RuneCountInString(n)), l.texts[i])
	}
	return b.String()
}

// planHead is which practical it is, and who signed it.
func planHead(v voice.Voice, id, signedBy string) string {
	var l planLines
	l.add(v.Text("practical.plan.practical"), id)
	l.add(v.Text("practical.plan.signed"), signedBy)
	return l.String()
}

// describePlan is everything of a plan, for its assessor.
func describePlan(v voice.Voice, p *practical.Plan) string {
	var l planLines
	say := func(id string, pairs ...any) string { return v.Text("practical.plan."+id, pairs...) }
	limit := func(d time.Duration) string {
		if d == 0 {
			return say("no-limit")
		}
		return v.Value(fact.Seconds(d.Seconds()))
	}
	either := func(is bool, yes, no string) string {
		if is {
			return say(yes)
		}
		return say(no)
	}
	l.add(say("time"), say("times", "each", limit(p.PerCase), "all", limit(p.Total)))
	l.add("", either(p.CountPauses, "pauses-count", "pauses-apart"))
	l.add("", either(p.TakeOpen, "open-taken", "open-left"))
	for _, c := range sortedKeys(p.Extra) {
		l.add("", say("extra", "candidate", c, "percent", fact.Number(math.Round(100*p.Extra[c]))))
	}
	l.add(say("order"), either(p.Shuffle, "shuffled", "listed"))
	who := say("anybody")
	if n := len(p.Candidates); n > 0 {
		who = say("these", "n", fact.Count(n), "candidates", strings.Join(p.Candidates, ", "))
	}
	l.add(say("candidates"), who)
	if !p.Closes.IsZero() {
		l.add(say("closes"), p.Closes.Format(time.RFC3339))
	}
	l.add(say("marking"), either(p.Marking != "", "one-scheme", "own-schemes"))
	var shown []string
	for _, s := range []struct {
		is bool
		id string
	}{{p.Show.Clock, "shown-clock"}, {p.Show.Titles, "shown-titles"}, {p.Show.Mark, "shown-marks"}, {true, "shown-patient"}} {
		if s.is {
			shown = append(shown, say(s.id))
		}
	}
	l.add(say("shown"), strings.Join(shown, ", "))
	for i, c := range p.Cases {
		k := p.Patient(i)
		l.add(say("case", "n", fact.Count(i+1)), say("case.about", "title", c.Title, "id", c.ID, "level", fact.Count(k.Level), "eye", k.Tested, "error", k.Of(k.Tested).Error))
	}
	return l.String()
}
