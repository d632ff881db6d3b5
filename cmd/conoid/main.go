// Command conoid is a simulated patient for learning the astigmatic dial (fan
// and block) method of subjective refraction. It needs no window: it seats a
// patient at the terminal, keeps the cases, marks what was done, and makes
// pictures of what an eye sees.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"conoid/cmd/internal/tongue"
	"conoid/render/voice"
	"conoid/sim/fact"
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// The exit codes, which scripts may rely on.
const (
	exitFine    = 0
	exitFailed  = 1 // a file, a case or a value is wrong, or something could not be done
	exitUsage   = 2 // the command line itself cannot be understood
	exitRefused = 3 // all was done, but some lines of a script were refused
)

// errRefused ends a scripted sitting in which lines were refused, each of
// which was reported when it happened.
var errRefused error = fact.Refuse("sit.lines-refused")

func run(args []string, in io.Reader, out, errs io.Writer) int {
	v, err := voiceFor(args, tongue.System())
	root := rootCommand(v)
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	cmd := root
	if err == nil {
		cmd, err = root.ExecuteC()
	}
	if err == nil {
		return exitFine
	}
	fmt.Fprintf(errs, "conoid: %s\n", v.Error(err))
	var usage usageError
	switch {
	case errors.Is(err, errRefused):
		return exitRefused
	case errors.As(err, &usage):
		fmt.Fprintln(errs, v.Text("usage.see-help", "command", cmd.CommandPath()))
		return exitUsage
	}
	return exitFailed
}

func rootCommand(v voice.Voice) *cobra.Command {
	root := &cobra.Command{
		Use:     "conoid",
		Short:   v.Text("help.root.short"),
		Long:    v.Text("help.root.long", "caution", wrap(v.Text("caution"), width)),
		Example: v.Text("help.root.example"),
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return noCommand(args[0], cmd.SuggestionsFor(args[0]))
		},
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SuggestionsMinimumDistance = 2
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(&cobra.Command{Hidden: true, Use: "no-help"})
	root.SetFlagErrorFunc(flagError)
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { fmt.Fprint(cmd.OutOrStdout(), help(v, cmd)) })
	all := root.PersistentFlags()
	all.BoolP("help", "h", false, v.Text("help.flag.help"))
	all.String(languageFlag[2:], "", v.Text("help.flag.language"))
	root.AddCommand(sitCommand(v), practiseCommand(v), hostCommand(v), casesCommand(v), caseCommand(v), assignmentCommand(v), classCommand(v), drawCommand(v), markCommand(v), debriefCommand(v),
		replayCommand(v), viewCommand(v), acuityCommand(v), expertCommand(v), populationCommand(v), figuresCommand(v), practicalCommand(v))
	return root
}
