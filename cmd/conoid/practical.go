package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/scoring/practical"
)

func practicalCommand(v voice.Voice) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "practical",
		Short: "Hold a timed practical, and mark the class (for assessors)",
		Long: `Hold a timed practical: many candidates sit the same cases under the same
conditions, each at a machine, and their results are marked together.

The assessor's way:

  conoid practical keys --out assessor.key
  conoid practical new --rehearsal --keys assessor.key --out rehearsal.conoid-practical
  conoid practical new friday/set.toml --title Friday --keys assessor.key --out friday.conoid-practical
  conoid practical collect results --practical friday.conoid-practical --keys assessor.key --out report

Candidates are numbers, of 1 to 12 letters or digits, and never names. Every
candidate meets the same eyes. How a patient wavers follows from the practical and
the candidate's number, so that nobody can sit again for better luck, and every
answer can be worked out again afterwards.

` + trustHelp + `

` + wrap(v.Text("caution"), 80),
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usageError{fmt.Errorf("there is no command \"practical %s\": there are %s", args[0], names(cmd))}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(practicalKeysCommand(v), practicalNewCommand(v), practicalShowCommand(v), practicalSimulateCommand(v),
		practicalCollectCommand(v), rateCommand(v), practicalDecideCommand(v), practicalForgetCommand(v))
	return cmd
}

// trustHelp says what the seals and signatures are good for, and what not.
const trustHelp = `What protects what. The assessor signs the practical: a machine shows who signed,
to be compared with the code that the assessor gives out. The practical is sealed:
on its way nobody reads the cases. A result is signed with a key that is inside the
seal, and sealed for the assessor: nobody on its way reads or changes it.

What does not. Whoever can open the practical, with the passphrase and some skill,
could read the cases and sign a result of their own making. Two things show that:
every answer is worked out again from the case, and a code of the whole record,
shown at the end, is on paper with the candidate's signature. Watch the machines
while the practical runs, and keep the passphrase until it begins.`

// assessor is what an assessor's commands need.
type assessor struct {
	practical, keys string
}

func (a *assessor) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&a.practical, "practical", "", "file of the practical")
	cmd.Flags().StringVar(&a.keys, "keys", "", "file of the assessor's keys")
}

// load opens the practical with the assessor's keys.
func (a *assessor) load(errs io.Writer) (*practical.Plan, *practical.Keys, error) {
	if a.practical == "" {
		return nil, nil, usageError{errors.New("the practical is missing: name its file with --practical")}
	}
	k, err := readAssessorKeys(a.keys, errs)
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

func readAssessorKeys(path string, errs io.Writer) (*practical.Keys, error) {
	if path == "" {
		return nil, usageError{errors.New("the assessor's keys are missing: name their file with --keys; conoid practical keys makes it")}
	}
	data, err := readFile(path, "argument.keys")
	if err != nil {
		return nil, err
	}
	if info, err := os.Stat(path); err == nil && info.Mode().Perm()&0o077 != 0 && runtime.GOOS != "windows" {
		fmt.Fprintf(errs, "conoid: others can read %s: take the rights away from them, and think of making new keys\n", path)
	}
	return practical.ReadKeys(path, data)
}

func practicalKeysCommand(v voice.Voice) *cobra.Command {
	var out string
	var force bool
	cmd := &cobra.Command{
		Use:   "keys --out FILE",
		Short: "Make an assessor's keys",
		Long: `Make the keys of an assessor: one signs practicals, the other opens their results.
They go to FILE, which only you can read, and are never shown. What is shown is the
code of the signing key: give it to those who set up the machines, who compare it
with the one that a machine shows for the practical.

Keep a copy of the file in a safe place: without it, results cannot be opened.`,
		Example: "  conoid practical keys --out assessor.key",
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if out == "" {
				return usageError{errors.New("the file for the keys is missing: name it with --out")}
			}
			k, err := practical.NewKeys()
			if err != nil {
				return err
			}
			if err := writeNew(out, k.File(), 0o600, force); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "Signs as %s\n", k.Fingerprint())
			return nil
		},
	}
	cmd.Flags().StringVar(&out, "out", "", "file for the keys")
	cmd.Flags().BoolVar(&force, "force", false, "write over a file that is there already: results for the keys in it can then no longer be opened")
	return cmd
}

func practicalShowCommand(v voice.Voice) *cobra.Command {
	var keys string
	cmd := &cobra.Command{
		Use:   "show FILE",
		Short: "Show what is in a practical",
		Long: `Show what can be read of a practical, and who signed it. With the assessor's
keys, everything is shown, the truth of the cases too.`,
		Example: "  conoid practical show friday.conoid-practical\n  conoid practical show friday.conoid-practical --keys assessor.key",
		Args:    arguments(1, 1, "argument.practical"),
		RunE: func(cmd *cobra.Command, args []string) error {
			data, err := readFile(args[0], "argument.practical")
			if err != nil {
				return err
			}
			s, err := practical.Read(args[0], data)
			if err != nil {
				return err
			}
			w := cmd.OutOrStdout()
			fmt.Fprintf(w, "%s\n  Practical    %s\n  Signed by    %s\n", s.Title, s.ID, s.SignedBy)
			if s.Rehearsal {
				fmt.Fprintln(w, "  A rehearsal, which counts for nobody.")
			}
			if keys == "" {
				return nil
			}
			k, err := readAssessorKeys(keys, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			p, err := s.OpenWith(k.Key())
			if err != nil {
				return err
			}
			return second(fmt.Fprint(w, describePlan(p)))
		},
	}
	cmd.Flags().StringVar(&keys, "keys", "", "file of the assessor's keys, to see everything")
	return cmd
}

// describePlan tells everything of a plan to its assessor.
func describePlan(p *practical.Plan) string {
	var b strings.Builder
	line := func(name, format string, a ...any) { fmt.Fprintf(&b, "  %-12s %s\n", name, fmt.Sprintf(format, a...)) }
	limit := func(d time.Duration) string {
		if d == 0 {
			return "no limit"
		}
		return d.String()
	}
	line("Time", "each case: %s; in all: %s", limit(p.PerCase), limit(p.Total))
	for _, c := range sortedKeys(p.Extra) {
		line("", "candidate %s: %.0f %% more", c, 100*p.Extra[c])
	}
	order := "as listed"
	if p.Shuffle {
		order = "another one for each candidate"
	}
	line("Order", "%s", order)
	who := "whoever comes"
	if n := len(p.Candidates); n > 0 {
		who = fmt.Sprintf("%s: %s", counted(n, "candidate"), strings.Join(p.Candidates, ", "))
	}
	line("Candidates", "%s", who)
	if !p.Closes.IsZero() {
		line("Closes", "%s", p.Closes.Format(time.RFC3339))
	}
	scheme := "that of each case"
	if p.Marking != "" {
		scheme = "one for all cases"
	}
	line("Marking", "%s", scheme)
	var shown []string
	for _, s := range []struct {
		is   bool
		name string
	}{{p.Show.Clock, "the time left"}, {p.Show.Titles, "titles and stories"}, {p.Show.Mark, "the marks at the end"}} {
		if s.is {
			shown = append(shown, s.name)
		}
	}
	line("Shown", "%s", strings.Join(append(shown, "the patient"), ", "))
	for i, c := range p.Cases {
		k := p.Patient(i)
		line(fmt.Sprintf("Case %d", i+1), "%s (%s), level %d, %s eye, error %v", c.Title, c.ID, k.Level, k.Tested, k.Of(k.Tested).Error)
	}
	return b.String()
}
