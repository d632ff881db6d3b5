package cases

import (
	"bytes"
	"regexp"
)

// statement is what is read at once: a line, or more of them where a text or a
// list goes on. Whatever is wrong with one leaves the others alone.
type statement struct {
	start, end int  // bytes of the file, without the end of the line
	wrapped    bool // a text between single marks goes on in other lines
}

// begins are lines with which something else begins, whatever is still open.
var begins = regexp.MustCompile(`^\s*(?:\[[A-Za-z]|[A-Za-z][A-Za-z0-9_-]*\s*=)`)

// statementFrom is the statement that begins at a byte, which begins a line.
func statementFrom(text []byte, start int) statement {
	st := statement{start: start}
	header := bytes.HasPrefix(bytes.TrimLeft(text[start:], " \t"), []byte("["))
	depth := 0
	for at := start; at < len(text); {
		end, what := token(text, at)
		switch c := text[at]; {
		case what == open && !header:
			return st.openText(text, at, end)
		case what == bare && c == '\n' && (header || depth <= 0 || begins.Match(lineAt(text, at+1))):
			st.end = at
			return st
		case what == bare && (c == '[' || c == '{'):
			depth++
		case what == bare && (c == ']' || c == '}'):
			depth--
		}
		at = end
	}
	st.end = len(text)
	return st
}

// openText ends a statement in which a text has no end. Of a text that goes on
// in other lines the last one ends as the text does.
func (st statement) openText(text []byte, at, end int) statement {
	mark := text[at]
	three := bytes.HasPrefix(text[at:], bytes.Repeat([]byte{mark}, 3))
	st.end = at + toLineEnd(text[at:])
	for next := st.end + 1; next < len(text) && !begins.Match(lineAt(text, next)); {
		line := lineAt(text, next)
		next += len(line) + 1
		if three {
			st.end = next - 1
			continue
		}
		if closes(line, mark) {
			st.end, st.wrapped = next-1, true
			break
		}
		if len(bytes.TrimSpace(line)) == 0 {
			break
		}
	}
	st.end = min(st.end, len(text))
	return st
}

// closes reports whether a line ends with a mark.
func closes(line []byte, mark byte) bool {
	line = bytes.TrimSpace(line)
	return len(line) > 0 && line[len(line)-1] == mark
}

// lineAt is the line from a byte on.
func lineAt(text []byte, at int) []byte {
	rest := text[min(at, len(text)):]
	return rest[:toLineEnd(rest)]
}
