package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

func casesCommand(v voice.Voice) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "cases",
		Short:   v.Text("help.cases.short"),
		Long:    v.Text("help.cases.long"),
		Example: v.Text("help.cases.example"),
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if asJSON {
				return writeJSON(cmd.OutOrStdout(), listed(v))
			}
			for _, c := range listed(v) {
				who := v.Text("library.who", "level", fact.Count(c.Level), "name", c.Name, "age", fact.Number(c.Age), "eye", c.Tested)
				fmt.Fprintf(cmd.OutOrStdout(), "%2d  %-17s %s\n", c.Number, c.ID, who)
				fmt.Fprintf(cmd.OutOrStdout(), "    %s\n", v.Text("library.says", "title", c.Title, "symptoms", c.Symptoms))
				for _, said := range c.labelled(v) {
					fmt.Fprintf(cmd.OutOrStdout(), "    %s\n", said)
				}
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, v.Text("help.cases.flag.json"))
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
	Author   string       `json:"author,omitempty"`
	Tags     []string     `json:"tags,omitempty"`
}

// labelled are the tags and the author of a case, where it says them.
func (e entry) labelled(v voice.Voice) (out []string) {
	if len(e.Tags) > 0 {
		out = append(out, v.Text("library.tags", "tags", strings.Join(e.Tags, ", ")))
	}
	if e.Author != "" {
		out = append(out, v.Text("library.author", "author", e.Author))
	}
	return out
}

func listed(v voice.Voice) []entry {
	var out []entry
	for i, c := range cases.Library() {
		t := c.Texts(v.Language)
		out = append(out, entry{i + 1, c.ID, c.Level, t.Title, c.Name, c.Age, c.Tested, t.Symptoms, c.Author, c.Tagged()})
	}
	return out
}

func caseCommand(v voice.Voice) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "case",
		Short: v.Text("help.case.short"),
		Long:  v.Text("help.case.long"),
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usageError{fact.Refuse("usage.no-command-of", "name", "case "+args[0], "commands", names(cmd))}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newCaseCommand(v), editCommand(v), checkCaseCommand(v), schemaCommand(v), showCommand(v), sealCommand(v), openCommand(v), keysCommand(v))
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
		Use:     "new " + v.Text("help.case-new.use"),
		Short:   v.Text("help.case-new.short"),
		Long:    v.Text("help.case-new.long"),
		Example: v.Text("help.case-new.example"),
		Args:    arguments(0, 1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				_, err := cmd.OutOrStdout().Write(cases.Template(v.Say))
				return err
			}
			if err := writeNew(args[0], cases.Template(v.Say), 0o644, force); err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout(), v.Text("case.new.done", "file", args[0], "command", "conoid case check "+quoted(args[0])))
			return nil
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, v.Text("help.flag.force"))
	return cmd
}

func schemaCommand(v voice.Voice) *cobra.Command { return schemaOf(v, "case", cases.JSONSchema) }

// schemaOf is the command that prints the JSON Schema of a kind of file.
func schemaOf(v voice.Voice, kind string, schema func(cases.Words) []byte) *cobra.Command {
	return &cobra.Command{
		Use:     "schema",
		Short:   v.Text("help." + kind + "-schema.short"),
		Long:    v.Text("help." + kind + "-schema.long"),
		Example: v.Text("help." + kind + "-schema.example"),
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := cmd.OutOrStdout().Write(schema(v.Say))
			return err
		},
	}
}
