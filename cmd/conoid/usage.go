package main

import (
	"errors"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"conoid/sim/fact"
)

// usageError is a command line that cannot be understood.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// noCommand says that there is no command of a name, and what was perhaps
// meant.
func noCommand(name string, like []string) error {
	if len(like) == 0 {
		return usageError{fact.Refuse("usage.no-command", "name", name)}
	}
	return usageError{fact.Refuse("usage.no-command-but", "name", name, "like", like[0])}
}

// arguments checks their number. What is the ID of the words for what is
// missing.
func arguments(least, most int, what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return usageError{fact.Refuse("usage.missing", "what", fact.New(what))}
		case most >= 0 && len(args) > most:
			return usageError{fact.Refuse("usage.too-many", "argument", args[most])}
		}
		return nil
	}
}

// flagError is an error of the flags as a fact.
func flagError(_ *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var bare *pflag.ValueRequiredError
	var wrong *pflag.InvalidValueError
	var odd *pflag.InvalidSyntaxError
	switch {
	case errors.As(err, &unknown):
		if unknown.GetSpecifiedShortnames() != "" {
			return usageError{fact.Refuse("usage.no-flag", "flag", "-"+unknown.GetSpecifiedName())}
		}
		return usageError{fact.Refuse("usage.no-flag", "flag", "--"+unknown.GetSpecifiedName())}
	case errors.As(err, &bare):
		return usageError{fact.Refuse("usage.no-value", "flag", "--"+bare.GetFlag().Name)}
	case errors.As(err, &wrong):
		f := wrong.GetFlag()
		return usageError{fact.Refuse("usage.value", "flag", "--"+f.Name, "value", wrong.GetValue(), "kind", fact.New("usage.kind."+f.Value.Type()))}
	case errors.As(err, &odd):
		return usageError{fact.Refuse("usage.no-flag", "flag", odd.GetSpecifiedFlag())}
	}
	return usageError{err}
}

// within checks that a number that a flag was given is within bounds. Its unit
// is the ID of a word, "" for none.
func within(flag string, value, low, high float64, unit string) error {
	if value >= low && value <= high {
		return nil
	}
	pairs := []any{"flag", "--" + flag, "value", fact.Number(value), "low", fact.Number(low), "high", fact.Number(high)}
	if unit == "" {
		return fact.Refuse("usage.range", pairs...)
	}
	return fact.Refuse("usage.range-of", append(pairs, "unit", fact.New(unit))...)
}

// inFlag says which flag an error is about.
func inFlag(flag string, err error) error {
	return fact.Because(err, "usage.in-flag", "flag", "--"+flag)
}
