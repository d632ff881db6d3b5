package main

import (
	"os"
	"slices"
	"strings"

	"golang.org/x/text/language"

	"conoid/assets"
	"conoid/render/voice"
	"conoid/sim/fact"
)

const languageFlag = "--language"

// voiceFor is the voice of the language that the arguments ask for, or else of
// the first that the system names. It is found before there are commands, since
// their help is in it. With an error it is the system's.
func voiceFor(args []string, system []string) (voice.Voice, error) {
	v := voice.English
	if len(system) > 0 {
		if code, ok := spoken(system[0]); ok {
			v = voice.In(code)
		}
	}
	asked := languageAsked(args)
	if asked == "" {
		return v, nil
	}
	code, ok := spoken(asked)
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

// spoken is the language of ours that a name of a language stands for, such as
// de_AT.UTF-8 or de-CH for de; false if we have no words for it.
func spoken(name string) (code string, ok bool) {
	name, _, _ = strings.Cut(name, ".")
	name, _, _ = strings.Cut(name, "@")
	if name == "C" || name == "POSIX" { // no language at all
		return assets.English, true
	}
	tag, err := language.Parse(name)
	if err != nil {
		return "", false
	}
	base, _ := tag.Base()
	return base.String(), slices.Contains(assets.Languages(), base.String())
}

// environment is the language that the variables of POSIX name, the strongest
// alone.
func environment() []string {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if value := os.Getenv(name); value != "" {
			return []string{value}
		}
	}
	return nil
}

// systemLanguages are the languages that the user has chosen on this machine,
// the best first. Who sets the environment means it.
func systemLanguages() []string { return slices.Concat(environment(), userLanguages()) }
