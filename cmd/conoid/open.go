package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// openCommand gives an author the case file back that was sealed.
func openCommand(v voice.Voice) *cobra.Command {
	var out string
	var force bool
	var k keyring
	cmd := &cobra.Command{
		Use:     "open " + v.Text("help.case-open.use"),
		Short:   v.Text("help.case-open.short"),
		Long:    v.Text("help.case-open.long"),
		Example: v.Text("help.case-open.example"),
		Args:    arguments(1, 1, "argument.case-file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			path := args[0]
			if out == "" {
				out = strings.TrimSuffix(path, cases.SealedEnding) + ".toml"
			}
			data, err := readFile(path, "argument.case")
			switch {
			case err != nil:
				return err
			case !cases.IsSealed(data):
				return fact.Refuse("seal.not-sealed", "file", path)
			}
			text, err := k.whole(path, data)
			if err != nil {
				return err
			}
			if err := writeNew(out, text, 0o600, force); err != nil {
				return err
			}
			return second(fmt.Fprintln(cmd.OutOrStdout(), v.Text("seal.opened", "file", path, "out", out)))
		},
	}
	k.flag(v, cmd)
	cmd.Flags().StringVar(&out, "out", "", v.Text("help.case-open.flag.out"))
	cmd.Flags().BoolVar(&force, "force", false, v.Text("help.flag.force"))
	return cmd
}
