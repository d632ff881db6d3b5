package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/sitting"
)

func casesCommand(v voice.Voice) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "cases",
		Short: "List the built-in cases",
		Long: `List the built-in cases, from easy to hard. What is wrong with the eyes is not
shown. Sit down with one by its number or its name:

  conoid sit 3`,
		Example: "  conoid cases\n  conoid cases --json",
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), listed())
			}
			for _, c := range listed() {
				fmt.Fprintf(cmd.OutOrStdout(), "%2d  %-17s level %d  %s, %.0f, %s eye\n", c.Number, c.ID, c.Level, c.Name, c.Age, c.Tested)
				fmt.Fprintf(cmd.OutOrStdout(), "    %s. “%s”\n", c.Title, c.Symptoms)
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "write the list as JSON")
	return cmd
}

// entry is a case as it may be shown to a student.
type entry struct {
	Number   int          `json:"number"`
	ID       string       `json:"id"`
	Level    int          `json:"level"`
	Title    string       `json:"title"`
	Name     string       `json:"name"`
	Age      float64      `json:"age"`
	Tested   sitting.Side `json:"tested"`
	Symptoms string       `json:"symptoms"`
}

func listed() []entry {
	var out []entry
	for i, c := range cases.Library() {
		out = append(out, entry{i + 1, c.ID, c.Level, c.Title, c.Name, c.Age, c.Tested, c.Symptoms})
	}
	return out
}

func caseCommand(v voice.Voice) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "case",
		Short: "Write, check and seal case files (for tutors)",
		Long: `Write, check and seal case files. A case is one imaginary person in a plain text
file; its hidden error can be read there, so keep it from those who are to find
it, or seal it.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usageError{fmt.Errorf("there is no command \"case %s\": there are %s", args[0], names(cmd))}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newCaseCommand(v), checkCaseCommand(v), schemaCommand(v), showCommand(v), sealCommand(v), keysCommand(v))
	return cmd
}

// names lists the commands of a group, for messages.
func names(cmd *cobra.Command) string {
	var out []string
	for _, c := range cmd.Commands() {
		out = append(out, cmd.Name()+" "+c.Name())
	}
	return strings.Join(out, ", ")
}

func newCaseCommand(v voice.Voice) *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use:     "new [FILE]",
		Short:   "Write a new case with every key explained",
		Long:    "Write a new case with every key explained, to be changed as you like: into FILE,\nor to the screen.",
		Example: "  conoid case new my-case.toml\n  conoid case check my-case.toml",
		Args:    arguments(0, 1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				_, err := cmd.OutOrStdout().Write(cases.Template())
				return err
			}
			if err := writeNew(args[0], cases.Template(), 0o644, force); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s is written. Change it, then look at it with: conoid case check %s\n", args[0], quoted(args[0]))
			return nil
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "write over a file that is there already")
	return cmd
}

func schemaCommand(v voice.Voice) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of case files",
		Long: `Print a JSON Schema (draft 2020-12) of case files, for editors that check and
complete as one writes. It finds less than case check does: not what is wrong
within a prescription or an acuity, for example.`,
		Example: "  conoid case schema > case.schema.json",
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := cmd.OutOrStdout().Write(cases.JSONSchema())
			return err
		},
	}
}
