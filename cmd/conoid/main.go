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

	"conoid/scoring"
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// The exit codes, which scripts may rely on.
const (
	exitFine    = 0
	exitFailed  = 1 // a file, a case or a value is wrong, or something could not be done
	exitUsage   = 2 // the command line itself cannot be understood
	exitRefused = 3 // all was done, but some lines of a script were refused
)

// usageError is a command line that cannot be understood.
type usageError struct{ error }

// errRefused ends a scripted sitting in which lines were refused, each of
// which was reported when it happened.
var errRefused = errors.New("some lines were refused")

func run(args []string, in io.Reader, out, errs io.Writer) int {
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	cmd, err := root.ExecuteC()
	var usage usageError
	switch {
	case err == nil:
		return exitFine
	case errors.Is(err, errRefused):
		fmt.Fprintf(errs, "conoid: %v\n", err)
		return exitRefused
	case errors.As(err, &usage):
		fmt.Fprintf(errs, "conoid: %v\nWrite %s --help for help.\n", err, cmd.CommandPath())
		return exitUsage
	}
	fmt.Fprintf(errs, "conoid: %v\n", err)
	return exitFailed
}

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "conoid",
		Short: "A simulated patient for learning the fan and block method",
		Long: `Conoid is a simulated patient on whom to learn the astigmatic dial (fan and
block) method of subjective refraction: a model eye with a hidden error looks at
charts through the lenses you place, and answers from what it sees.

` + wrap(scoring.Caution, 80) + `

Begin at the bench, in your browser, or at the terminal, led step by step to the
mark:

  conoid practise
  conoid sit`,
		Example: `  conoid cases
  conoid sit ferry-clerk
  conoid view --error "-1.00/-2.00x30" --lens "-0.50" --out seen.png`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return usageError{fmt.Errorf("there is no command %q%s", args[0], suggested(cmd.SuggestionsFor(args[0])))}
		},
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SuggestionsMinimumDistance = 2
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(&cobra.Command{Hidden: true, Use: "no-help"})
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usageError{err} })
	root.AddCommand(sitCommand(), practiseCommand(), casesCommand(), caseCommand(), drawCommand(), markCommand(), debriefCommand(), replayCommand(), viewCommand(),
		acuityCommand(), expertCommand(), populationCommand(), figuresCommand(), practicalCommand())
	root.SetHelpTemplate(root.HelpTemplate() + exitHelp)
	return root
}

const exitHelp = `
Exit codes: 0 done; 1 something is wrong with a file, a case or a value, or could
not be done; 2 the command line cannot be understood; 3 a script had lines that
were refused.
`

func suggested(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf("; did you mean %s?", names[0])
}

// arguments checks their number.
func arguments(least, most int, what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return usageError{fmt.Errorf("%s is missing", what)}
		case most >= 0 && len(args) > most:
			return usageError{fmt.Errorf("%q is one argument too many", args[most])}
		}
		return nil
	}
}
