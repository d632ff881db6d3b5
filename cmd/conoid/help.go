package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"conoid/render/voice"
)

// help is the help of a command in the words of a voice.
func help(v voice.Voice, cmd *cobra.Command) string {
	var b strings.Builder
	part := func(title, text string) {
		if text != "" {
			fmt.Fprintf(&b, "\n%s\n%s\n", v.Text(title), strings.TrimRight(text, "\n"))
		}
	}
	about := cmd.Long
	if about == "" {
		about = cmd.Short
	}
	fmt.Fprintln(&b, strings.TrimSpace(about))
	part("help.usage", usageLines(v, cmd))
	part("help.examples", cmd.Example)
	part("help.commands", commandLines(cmd))
	part("help.flags", flagLines(v, cmd.LocalNonPersistentFlags()))
	part("help.flags-of-all", flagLines(v, cmd.Root().PersistentFlags()))
	if cmd.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "\n%s\n", wrap(v.Text("help.more", "command", cmd.CommandPath()), width))
	}
	fmt.Fprintf(&b, "\n%s\n", wrap(v.Text("help.exit-codes"), width))
	return b.String()
}

// usageLines are the forms of a command line.
func usageLines(v voice.Voice, cmd *cobra.Command) string {
	line := "  " + cmd.CommandPath()
	if cmd.HasAvailableSubCommands() {
		return line + " " + v.Text("help.a-command")
	}
	if _, arguments, ok := strings.Cut(cmd.Use, " "); ok {
		line += " " + arguments
	}
	if cmd.LocalNonPersistentFlags().HasAvailableFlags() {
		line += " " + v.Text("help.some-flags")
	}
	return line
}

// commandLines lists the commands of a group.
func commandLines(cmd *cobra.Command) string {
	var names, about []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names, about = append(names, "  "+c.Name()), append(about, c.Short)
		}
	}
	return columns(names, about)
}

// flagLines lists flags with what they take. A word in backquotes in the text
// of a flag names its value.
func flagLines(v voice.Voice, flags *pflag.FlagSet) string {
	var names, about []string
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		name := "      --" + f.Name
		if f.Shorthand != "" {
			name = "  -" + f.Shorthand + ", --" + f.Name
		}
		value, text := pflag.UnquoteUsage(f)
		if f.Value.Type() != "bool" {
			if !strings.Contains(f.Usage, "`") {
				value = v.Text("help.value." + f.Value.Type())
			}
			name += " " + value
			if !blank(f.DefValue) {
				text += " " + v.Text("help.default", "value", f.DefValue)
			}
		}
		names, about = append(names, name), append(about, text)
	})
	return columns(names, about)
}

// blank reports whether the value of a flag that is left out goes without
// saying.
func blank(value string) bool { return value == "" || value == "0" || value == "0s" || value == "[]" }

// columns puts texts beside their names, wrapped.
func columns(names, texts []string) string {
	widest := 0
	for _, n := range names {
		widest = max(widest, utf8.RuneCountInString(n))
	}
	const gap, narrowest = 3, 30
	var b strings.Builder
	for i, name := range names {
		room := max(width-widest-gap, narrowest)
		for j, line := range strings.Split(wrap(texts[i], room), "\n") {
			if j > 0 {
				name = ""
			}
			pad := widest + gap - utf8.RuneCountInString(name)
			fmt.Fprintf(&b, "%s%s%s\n", name, strings.Repeat(" ", pad), line)
		}
	}
	return b.String()
}
