package main

import (
	"strings"

	"conoid/assets"
	"conoid/cmd/internal/tongue"
	"conoid/render/voice"
	"conoid/sim/fact"
)

const languageFlag = "--language"

// voiceFor is the voice of the language that the arguments ask for, or else of
// the first that the system names. It is found before there are commands, since
// their help is in it. With an error it is the system's.
func voiceFor(args []string, system []string) (voice.Voice, error) {
	v := voice.In(tongue.First(system))
	asked := languageAsked(args)
	if asked == "" {
		return v, nil
	}
	code, ok := tongue.Of(asked)
	if !ok {
		return v, usageError{fact.Refuse("usage.language", "language", asked, "languages", assets.Languages())}
	}
	return voice.In(code), nil
}

// languageAsked is the value of the flag for the language, "" for none. What
// follows -- are no flags.
func languageAsked(args []string) (asked string) {
	for i, a := range args {
		switch value, with := strings.CutPrefix(a, languageFlag+"="); {
		case a == "--":
			return asked
		case with:
			asked = value
		case a == languageFlag && i+1 < len(args):
			asked = args[i+1]
		}
	}
	return asked
}
