package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// The pages that show writes.
const (
	methodSheet   = "method.html"
	mistakesSheet = "mistakes.html"
)

func showCommand(v voice.Voice) *cobra.Command {
	var out string
	var seed uint64
	var force bool
	var k keyring
	cmd := &cobra.Command{
		Use:     "show " + v.Text("help.case-show.use"),
		Short:   v.Text("help.case-show.short"),
		Long:    v.Text("help.case-show.long"),
		Example: v.Text("help.case-show.example"),
		Args:    arguments(1, 1, "argument.case"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				return usageError{fact.Refuse("sheet.where")}
			}
			c, err := loadCase(args[0], k.whole)
			if err != nil {
				return err
			}
			if err := showCase(v, c, seed, out, force); err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout(), v.Text("sheet.done", "one", methodSheet, "other", mistakesSheet, "folder", out))
			return nil
		},
	}
	k.flag(v, cmd)
	fl := cmd.Flags()
	fl.StringVar(&out, "out", "", v.Text("help.case-show.flag.out"))
	fl.Uint64Var(&seed, "seed", 1, v.Text("help.case-show.flag.seed"))
	fl.BoolVar(&force, "force", false, v.Text("help.case-show.flag.force"))
	return cmd
}

func showCase(v voice.Voice, c *cases.Case, seed uint64, dir string, force bool) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return fact.Refuse("sheet.no-folder", "file", dir)
	}
	for _, name := range []string{methodSheet, mistakesSheet} {
		path := filepath.Join(dir, name)
		if _, err := os.Lstat(path); err == nil && !force {
			return fact.Refuse("sheet.there-already", "file", path)
		}
	}
	s := sitting.Start(c.Setup(), sitting.Seeded(seed))
	right, found, err := stagesOf(s, seed)
	if err != nil {
		return err
	}
	e := c.Of(c.Tested)
	wrong, err := astray(s, wrongWays(c, e.Error), seed)
	if err != nil {
		return err
	}
	p := newPrinter(v, c, s.Truth(c.Tested).Best)
	title := func(id string) string {
		return v.Text("sheet.title", "title", c.Texts(v.Language).Title, "what", fact.New(id))
	}
	intro := v.Text("sheet.intro", "name", nameOf(c), "age", fact.Number(c.Age), "eye", c.Tested, "error", e.Error, "objective", e.Objective)
	for _, l := range s.Truth(c.Tested).Limits() {
		intro += " " + v.Say(l)
	}
	expert := v.Text("sheet.found", "rx", found.Rx, "acuity", fact.Row(found.LogMAR))
	book, err := p.page(title("sheet.by-the-book"), intro+" "+expert, right)
	if err != nil {
		return err
	}
	astray, err := p.page(title("sheet.mistakes"), intro+" "+v.Text("sheet.mistakes.about"), wrong)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fact.Because(cause(err), "file.unmade", "folder", dir)
	}
	if err := writeNew(filepath.Join(dir, methodSheet), book, 0o644, true); err != nil {
		return err
	}
	return writeNew(filepath.Join(dir, mistakesSheet), astray, 0o644, true)
}
