package main

import (
	"context"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/editor"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

func editCommand(v voice.Voice) *cobra.Command {
	var port uint16
	var noOpen bool
	cmd := &cobra.Command{
		Use:     "edit " + v.Text("help.case-edit.use"),
		Short:   v.Text("help.case-edit.short"),
		Long:    v.Text("help.case-edit.long"),
		Example: v.Text("help.case-edit.example"),
		Args:    arguments(1, 1, "argument.case-file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			p := practice{voice: v, port: port, open: openBrowser, out: cmd.OutOrStdout(), errs: cmd.ErrOrStderr()}
			if noOpen {
				p.open = nil
			}
			return p.edit(ctx, args[0], languageGiven(cmd))
		},
	}
	cmd.Flags().Uint16Var(&port, "port", 0, v.Text("help.practise.flag.port"))
	cmd.Flags().BoolVar(&noOpen, "no-open", false, v.Text("help.practise.flag.no-open"))
	return cmd
}

// languageGiven reports whether a command line asks for a language.
func languageGiven(cmd *cobra.Command) bool { return cmd.Flags().Changed(languageFlag[2:]) }

// edit serves the editor of a case file until the context ends. Asked says that the
// language was.
func (p *practice) edit(ctx context.Context, path string, asked bool) error {
	l, err := listen(p.port)
	if err != nil {
		return err
	}
	defer l.Close()
	e, err := editor.New(p.voice, asked, path, l.Addr().String(), amounts)
	if err != nil {
		return fact.Because(err, "file.at", "file", path)
	}
	return p.until(ctx, l, e, e.Address(), "edit.at", "edit.closed")
}

// amounts tells what a case amounts to: at once what needs no expert, then what the
// patient sees of the fan, and last what the expert makes of it.
func amounts(ctx context.Context, v voice.Voice, c *cases.Case, tell func(editor.Event)) error {
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	tellAccount(v, c, s, nil, tell)
	if err := fans(ctx, v, c, s, tell); err != nil {
		return err
	}
	x, err := examine(ctx, c, s, nil, func(id string, pairs ...any) {
		tell(editor.Event{Kind: editor.Progress, Text: v.Text(id, append(pairs, "file", c.Texts(v.Language).Title)...)})
	})
	if err != nil {
		return err
	}
	tellAccount(v, c, s, x, tell)
	return nil
}

func tellAccount(v voice.Voice, c *cases.Case, s *sitting.Sitting, x *examined, tell func(editor.Event)) {
	lines, facts := accounted(v, c, s, x)
	var warnings []string
	for _, w := range facts {
		warnings = append(warnings, v.Say(w))
	}
	tell(editor.Event{Kind: editor.Account, Lines: lines, Warnings: warnings})
}

// fans tells what the tested eye sees of the fan at the start, in fog and at the end of
// the expert's run.
func fans(ctx context.Context, v voice.Voice, c *cases.Case, s *sitting.Sitting, tell func(editor.Event)) error {
	run := s.Again(sitting.Seeded(1))
	if _, err := expert.Examine(run, expert.BriefOf(run.Setup())); err != nil {
		return err
	}
	stages, err := along(run, fanMoments(run), 1)
	if err != nil {
		return err
	}
	p := newPrinter(v, c, s.Truth(c.Tested).Best)
	for i, st := range stages {
		if err := ctx.Err(); err != nil {
			return err
		}
		source, err := inline(p.picture(st))
		if err != nil {
			return err
		}
		says := v.Sentence(strings.Join(v.Lenses(st.frame), ", ")) + " " + p.lie(st)
		tell(editor.Event{Kind: editor.Pictured, Picture: &editor.Picture{Place: i, Title: v.Say(st.title), Says: says, Source: string(source)}})
	}
	return nil
}

// fanMoments are the start, the fog and the end of a run, at which the fan is looked at
// whatever hung there.
func fanMoments(run *sitting.Sitting) (out []moment) {
	for _, m := range moments(run.Events(), run.Setup().Tested) {
		switch m.title.ID {
		case "sheet.start", "sheet.fog", "sheet.end":
			m.view = chart.Fan
			out = append(out, m)
		}
	}
	return out
}
