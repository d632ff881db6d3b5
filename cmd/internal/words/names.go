package words

import (
	"strings"
	"sync"

	"conoid/assets"
)

// names are the further names of commands, and words those of what may follow a
// command, in every language at once.
var (
	names = sync.OnceValue(func() map[string]string { return further("command.names.") })
	words = sync.OnceValue(func() map[string]string { return further("command.words.") })
)

// further is what the words of a group, such as "insert", stand for: "put".
func further(group string) map[string]string {
	out := map[string]string{}
	for _, language := range assets.Languages() {
		for _, key := range assets.Keys(language) {
			if own, is := strings.CutPrefix(key, group); is {
				for _, word := range assets.Words(language, key) {
					out[word] = own
				}
			}
		}
	}
	return out
}

// Name is the command that a word means in any language, or what else the
// program can be told to do, such as help. A word that means nothing stays as it
// is, in lower case.
func Name(word string) string {
	word = strings.ToLower(word)
	if name, ok := names()[word]; ok {
		return name
	}
	return word
}

// plain puts the words that follow a command into those that are read; all
// others stay as they are.
func plain(w []string) []string {
	var out []string
	for _, word := range w {
		if own, ok := words()[strings.ToLower(word)]; ok {
			word = own
		}
		out = append(out, word)
	}
	return out
}
