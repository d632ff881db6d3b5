package cases

import (
	"bytes"
	"unicode"
	"unicode/utf8"

	"conoid/sim/fact"
)

// kinds of files that people take for plain text, by how they begin.
var kinds = []struct{ begins, kind string }{
	{"PK\x03\x04", "zip"},
	{"\xd0\xcf\x11\xe0", "document"},
	{"{\\rtf", "rtf"},
	{"%PDF", "pdf"},
	{"\xff\xfe", "utf-16"},
	{"\xfe\xff", "utf-16"},
	{"<", "page"},
	{"{", "json"},
}

// notText says which other kind of file the data are of; it is false for text.
func notText(data []byte) (fact.Fact, bool) {
	begin := bytes.TrimLeft(data, " \t\r\n")
	for _, k := range kinds {
		if bytes.HasPrefix(begin, []byte(k.begins)) {
			return ofKind(k.kind), true
		}
	}
	switch {
	case everyOther(data):
		return ofKind("utf-16"), true
	case bytes.IndexByte(data, 0) >= 0:
		return ofKind("binary"), true
	}
	return fact.Fact{}, false
}

func ofKind(kind string) fact.Fact {
	return fact.New("case.kind", "kind", fact.New("case.kind."+kind), "how", fact.New("case.kind-how"))
}

// everyOther reports whether the data are UTF-16 without a mark: most of the
// letters of our languages then have a zero on the same side.
func everyOther(data []byte) bool {
	var zeros [2]int
	for i, b := range data {
		if b == 0 {
			zeros[i%2]++
		}
	}
	most, least := max(zeros[0], zeros[1]), min(zeros[0], zeros[1])
	return len(data) >= 8 && 4*most > len(data) && 10*least < most
}

// plainText is the text of a file, character for character, with what only
// looks different made alike: no mark at the beginning, one kind of line end,
// and outside of quotation marks plain blanks and a plain minus. What is not UTF-8 is a fault, told once.
func plainText(data []byte) (text []byte, faults []fault) {
	text = bytes.TrimPrefix(bytes.Clone(data), []byte("\ufeff"))
	if !utf8.Valid(text) {
		text, faults = readable(text)
	}
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	return plainOutside(text), faults
}

// readable puts a sign in the place of each byte that is not UTF-8. The fault
// names the first, as the usual old encoding has it (ISO 8859-1).
func readable(data []byte) (text []byte, faults []fault) {
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		if r == utf8.RuneError && n == 1 && faults == nil {
			character := fact.New("case.that-character", "character", string(rune(data[0])))
			if data[0] < 0xa0 { // that encoding has no letters there
				character = fact.New("case.some-character")
			}
			faults = []fault{{len(text), fact.New("case.encoding", "character", character)}}
		}
		text, data = utf8.AppendRune(text, r), data[n:]
	}
	return text, faults
}

// plainOutside makes blanks and minus signs plain, outside of quotation marks
// and comments.
func plainOutside(text []byte) []byte {
	var out []byte
	for at := 0; at < len(text); {
		end, what := token(text, at)
		piece := text[at:end]
		if what == bare {
			r, _ := utf8.DecodeRune(piece)
			piece = []byte(string(plainRune(r)))
		}
		out = append(out, piece...)
		at = end
	}
	return out
}

func plainRune(r rune) rune {
	switch {
	case r == '−' || r == '–' || r == '—':
		return '-'
	case unicode.Is(unicode.Zs, r) || unicode.Is(unicode.Cf, r):
		return ' '
	}
	return r
}

// what a token of a file is.
type tokenKind int

const (
	bare   tokenKind = iota // one character
	remark                  // a comment, to the end of its line
	quote                   // a text with its quotation marks
	open                    // a text without an end
)

// token is what stands at a byte of a text, and where it ends.
func token(text []byte, at int) (end int, what tokenKind) {
	rest := text[at:]
	switch rest[0] {
	case '#':
		return at + toLineEnd(rest), remark
	case '"', '\'':
		mark := rest[:1]
		if three := bytes.Repeat(mark, 3); bytes.HasPrefix(rest, three) {
			return quoteEnd(text, at, three)
		}
		return quoteEnd(text, at, mark)
	}
	_, n := utf8.DecodeRune(rest)
	return at + n, bare
}

// toLineEnd is how many bytes there are before the end of the line.
func toLineEnd(text []byte) int {
	if i := bytes.IndexByte(text, '\n'); i >= 0 {
		return i
	}
	return len(text)
}

// quoteEnd is where a text ends that begins with a mark. One with a single mark
// ends within its line.
func quoteEnd(text []byte, at int, mark []byte) (end int, what tokenKind) {
	for i := at + len(mark); i < len(text); i++ {
		switch {
		case text[i] == '\n' && len(mark) == 1:
			return i, open
		case text[i] == '\\' && mark[0] == '"' && i+1 < len(text) && text[i+1] != '\n':
			i++
		case bytes.HasPrefix(text[i:], mark):
			return afterMark(text, i, mark), quote
		}
	}
	return len(text), open
}

// afterMark is the byte after a mark that ends a text. One of three may have up
// to two more of its signs before it, which belong to the text.
func afterMark(text []byte, at int, mark []byte) int {
	end := at + len(mark)
	for range len(mark) - 1 {
		if end < len(text) && text[end] == mark[0] {
			end++
		}
	}
	return end
}
