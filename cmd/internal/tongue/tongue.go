// Package tongue finds the language that a user speaks: what the system names,
// and which language of ours that is.
package tongue

import (
	"os"
	"slices"
	"strings"

	"conoid/assets"
)

// Of is the language of ours that a name of a language stands for, such as
// de_AT.UTF-8 or de-CH for de; false if we have no words for it. The language
// itself stands first: before "-" in BCP 47, before "_", "." or "@" in POSIX.
func Of(name string) (code string, ok bool) {
	if i := strings.IndexAny(name, "-_.@"); i >= 0 {
		name = name[:i]
	}
	if name == "C" || name == "POSIX" { // no language at all
		return assets.English, true
	}
	code = strings.ToLower(name)
	return code, slices.Contains(assets.Languages(), code)
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

// System are the languages that the user has chosen on this machine,
// the best first. Who sets the environment means it.
func System() []string { return slices.Concat(environment(), userLanguages()) }

// First is the language of ours that comes first among names of languages;
// English when the first is none that we have words for.
func First(names []string) string {
	if len(names) > 0 {
		if code, ok := Of(names[0]); ok {
			return code
		}
	}
	return assets.English
}

// Accepted is the first language that we have of those that a browser names in
// Accept-Language (RFC 9110, 12.5.4); false when there is none.
func Accepted(header string) (code string, ok bool) {
	for name := range strings.SplitSeq(header, ",") {
		name, _, _ = strings.Cut(strings.TrimSpace(name), ";")
		if code, ok := Of(name); ok {
			return code, true
		}
	}
	return "", false
}
