package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

func checkAssignmentCommand(v voice.Voice) *cobra.Command {
	var ch checker
	cmd := &cobra.Command{
		Use:     "check " + v.Text("help.assignment-pack.use"),
		Short:   v.Text("help.assignment-check.short"),
		Long:    v.Text("help.assignment-check.long"),
		Example: v.Text("help.assignment-check.example"),
		Args:    arguments(1, 1, "argument.assignment"),
		RunE: func(cmd *cobra.Command, args []string) error {
			ch.voice, ch.out, ch.progress = v, cmd.OutOrStdout(), screenOf(cmd.ErrOrStderr())
			h, err := readHandout(args[0])
			if err != nil {
				return err
			}
			return ch.assignment(args[0], h, time.Now())
		},
	}
	ch.keys.flag(v, cmd)
	cmd.Flags().BoolVar(&ch.quick, "quick", false, v.Text("help.case-check.flag.quick"))
	return cmd
}

// assignment checks the cases of an assignment by its scheme, and tells what its tutor may
// not have meant.
func (ch *checker) assignment(path string, h *cases.Handout, now time.Time) error {
	unmeant := h.Unmeant(now)
	all, err := casesOf(h, &ch.keys)
	if err != nil {
		return err
	}
	unmeant = append(unmeant, h.CheckTold(all, ch.voice.Language)...)
	sealed := 0
	for i, c := range all {
		if h.Enclosed[i].Sealed() {
			sealed++
		}
		found, err := ch.within(h, h.Enclosed[i].Name, c)
		if err != nil {
			return err
		}
		unmeant = append(unmeant, found...)
		fmt.Fprintln(ch.out)
	}
	if sealed > 0 {
		unmeant = append(unmeant, fact.New("assignment.unmeant.sealed", "n", fact.Count(sealed)))
	}
	fmt.Fprint(ch.out, accountOfSet(ch.voice, path, h.Assignment, all))
	if h.Begin != "" {
		begins := fact.New("check.begins.is", "stage", fact.New("bench.drill."+string(h.Begin)))
		fmt.Fprint(ch.out, entryOf(ch.voice.Text("check.begins"), ch.voice.Say(begins)))
	}
	if len(unmeant) == 0 {
		fmt.Fprintln(ch.out, indent(wrap(ch.voice.Text("assignment.unmeant.none"), width-margin), margin))
	}
	for _, f := range unmeant {
		fmt.Fprintln(ch.out, indent(wrap(ch.voice.Text("check.mind", "what", f), width-margin), margin))
	}
	return nil
}

// within tells what a case amounts to as an assignment has it: by its scheme if it has one,
// from the stage at which the work begins, and with the charts and questions that it allows.
// It gives what its tutor may not have meant: that so nobody comes to an end, or that the
// time is short.
func (ch *checker) within(h *cases.Handout, name string, c *cases.Case) (unmeant []fact.Fact, err error) {
	by := c.MarkedBy()
	if h.Marking != nil {
		own := *c
		own.Marking, c, by = h.Marking, &own, fact.New("scheme.assignment")
	}
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	title := c.Texts(ch.voice.Language).Title
	var r *examined
	if !ch.quick {
		r, err = ch.examine(name, c, s, h.Assignment)
		why, barred := cases.Barred(err)
		switch {
		case barred:
			unmeant = append(unmeant, fact.New("assignment.unmeant.stuck", "title", title, "why", why))
		case err != nil:
			return nil, fact.Because(err, "file.at", "file", name)
		default:
			r.by = by
			unmeant = h.Hurried(title, r.Par.Seconds)
		}
	}
	return unmeant, second(fmt.Fprint(ch.out, account(ch.voice, name, c, s, r)))
}
