package cases

import (
	"strings"

	"conoid/sim/fact"
)

// quoted is words between quotation marks, as they stand in a file.
func quoted(options []string) []string {
	out := make([]string, len(options))
	for i, o := range options {
		out[i] = `"` + o + `"`
	}
	return out
}

// nearest is the option that a word was probably meant for; it is empty when
// none is near. Words of one or two letters are all too near to one another.
func nearest(word string, options []string) string {
	if meant := otherName(word, options); meant != "" {
		return meant
	}
	best, least := "", 3
	for _, o := range options {
		if n := edits(strings.ToLower(word), o); n < least && len(o) > 2 {
			best, least = o, n
		}
	}
	return best
}

// didYouMean suggests the nearest option; it is empty when none is near.
func didYouMean(word string, options []string) any {
	if best := nearest(word, options); best != "" {
		return fact.New("case.did-you-mean", "word", best)
	}
	return ""
}

// edits is the least number of letters to put in, take out or exchange that
// makes one word of the other.
func edits(a, b string) int {
	if len(a) > 40 {
		return len(a)
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			exchange := diagonal
			if a[i] != b[j] {
				exchange++
			}
			diagonal = row[j+1]
			row[j+1] = min(exchange, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
