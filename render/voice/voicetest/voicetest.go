// Package voicetest helps the tests of what is said in other languages than
// English.
package voicetest

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"conoid/assets"
)

// English is what in a text of another language is English: pieces of the
// English words that the language itself has nowhere, and the commonest words
// of English.
func English(text, language string) (found []string) {
	for _, piece := range pieces(assets.English) {
		if !within(text, piece) || slices.ContainsFunc(pieces(language), func(own string) bool { return strings.Contains(own, piece) }) {
			continue
		}
		found = append(found, piece)
	}
	return append(found, common.FindAllString(text, -1)...)
}

// common are words that stand in nearly every English sentence, and in none of
// another language that there are words for.
var common = regexp.MustCompile(`(?i)\b(the|is|are|were|has|have|of|and|with|from|that|this|which|not|to|it|by|at|for|your)\b`)

// within reports whether a piece stands in a text as whole words.
func within(text, piece string) bool {
	letter := func(r rune) bool { return regexp.MustCompile(`\pL`).MatchString(string(r)) }
	for {
		before, after, found := strings.Cut(text, piece)
		if !found {
			return false
		}
		last, first := []rune(before), []rune(after)
		if (len(last) == 0 || !letter(last[len(last)-1])) && (len(first) == 0 || !letter(first[0])) {
			return true
		}
		text = after
	}
}

var (
	hole  = regexp.MustCompile(`\{[^}]*\}`)
	mutex sync.Mutex
	known = map[string][]string{}
)

// pieces are the words of a language between what is filled in, at least two
// together.
func pieces(language string) []string {
	mutex.Lock()
	defer mutex.Unlock()
	if known[language] != nil {
		return known[language]
	}
	for _, key := range assets.Keys(language) {
		for _, way := range assets.Words(language, key) {
			for _, piece := range hole.Split(way, -1) {
				piece = strings.Trim(piece, " .,;:?!()“”„\n")
				if strings.Contains(piece, " ") && len(piece) >= 8 {
					known[language] = append(known[language], piece)
				}
			}
		}
	}
	return known[language]
}
