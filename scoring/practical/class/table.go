package class

import (
	"bytes"
	"encoding/csv"
	"errors"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// maxTable is the largest table that is read, in bytes.
const maxTable = 1 << 20

// row is a line of a table with one candidate in each.
type row struct {
	line      int
	candidate string
	values    []string // of the columns that were asked for; "" where there is none
}

// column is a column of a table, by the names that it can have, however they are spelled; see plainName.
type column struct {
	names  []string
	needed bool
}

// candidates are the names of the column of numbers. Like all names of columns common
// practice (no source), in English and German; and the words that stand on a slip.
var candidates = column{[]string{
	"candidate", "number", "candidate number", "candidate’s number",
	"Prüfling", "Pruefling", "Nummer", "Prüflingsnummer", "Nummer des Prüflings", "Kandidat", "Kandidatennummer",
}, true}

// table reads rows of comma-separated values (RFC 4180), with commas, semicolons or tabs
// between, whose first line names the columns. Other columns are not read. The
// error is a fact "practical.at".
func table(name string, data []byte, columns ...column) ([]row, error) {
	lines, bad := linesOf(data)
	if bad == nil && len(lines) == 0 {
		bad = &mistake{1, fact.New("practical.table.empty")}
	}
	var places []int
	if bad == nil {
		places, bad = placesOf(lines[0].cells, append([]column{candidates}, columns...))
	}
	var out []row
	for i := 1; bad == nil && i < len(lines); i++ {
		var one row
		if one, bad = lines[i].row(places); bad == nil {
			out = append(out, one)
		}
	}
	if bad != nil {
		return nil, fact.Refuse("practical.at", "file", name, "line", fact.Count(bad.line), "what", bad.what)
	}
	return out, nil
}

// mistake is what is wrong with a line.
type mistake struct {
	line int
	what fact.Fact
}

// line is a line of a table that is not empty.
type line struct {
	n     int
	cells []string
}

// linesOf are the lines of a table.
func linesOf(data []byte) (out []line, bad *mistake) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	switch {
	case len(data) > maxTable:
		return nil, &mistake{1, fact.New("practical.file-large", "bytes", fact.Count(len(data)), "most", fact.Count(maxTable))}
	case !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0:
		return nil, &mistake{1, fact.New("practical.table.encoding")}
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.FieldsPerRecord, r.TrimLeadingSpace = divider(data), -1, true
	for {
		cells, err := r.Read()
		var wrong *csv.ParseError
		switch {
		case errors.As(err, &wrong):
			return nil, &mistake{wrong.Line, fact.New("practical.table.line")}
		case err != nil:
			return out, nil // the end
		case strings.TrimSpace(strings.Join(cells, "")) != "":
			n, _ := r.FieldPos(0)
			out = append(out, line{n, cells})
		}
	}
}

// row takes the columns out of a line, the candidate's number first.
func (l line) row(places []int) (row, *mistake) {
	var values []string
	for _, p := range places {
		v := ""
		if p >= 0 && p < len(l.cells) {
			v = strings.TrimSpace(l.cells[p])
		}
		values = append(values, v)
	}
	if practical.CheckCandidate(values[0]) != nil {
		return row{}, &mistake{l.n, fact.New("practical.no-number", "text", values[0])}
	}
	return row{l.n, practical.Candidate(values[0]), values[1:]}, nil
}

// placesOf finds where each column is in the first line; -1 for nowhere.
func placesOf(head []string, columns []column) (places []int, bad *mistake) {
	for _, c := range columns {
		place := -1
		for i, name := range head {
			if !slices.ContainsFunc(c.names, func(good string) bool { return plainName(good) == plainName(name) }) {
				continue
			}
			if place >= 0 {
				return nil, &mistake{1, fact.New("practical.table.twice", "column", c.names[0])}
			}
			place = i
		}
		if place < 0 && c.needed {
			return nil, &mistake{1, fact.New("practical.table.column", "column", c.names[0], "names", strings.Join(c.names, "; "))}
		}
		places = append(places, place)
	}
	return places, nil
}

// plainName is the name of a column in small letters alone.
func plainName(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// divider is the sign that stands most often in the first line.
func divider(data []byte) rune {
	first, _, _ := bytes.Cut(data, []byte("\n"))
	best := ','
	for _, sign := range ";\t" {
		if bytes.Count(first, []byte(string(sign))) > bytes.Count(first, []byte(string(best))) {
			best = sign
		}
	}
	return best
}

// HasRow reports whether a table has a row that is a candidate's: with the number in
// its first column, or in the name of the file in its last.
func HasRow(data []byte, candidate string) bool {
	rows, err := rowsOf(data)
	if err != nil {
		return bytes.Contains(data, []byte(candidate))
	}
	return slices.ContainsFunc(rows, func(r []string) bool {
		file, result := strings.CutSuffix(path.Base(filepath.ToSlash(r[len(r)-1])), practical.ResultEnding)
		return practical.Candidate(r[0]) == candidate || result && practical.Candidate(file) == candidate
	})
}

// WithoutRow is a table of candidates without the rows of one; false when it is no such
// table, or there are none.
func WithoutRow(data []byte, candidate string) ([]byte, bool) {
	rows, err := rowsOf(data)
	if err != nil || len(rows) == 0 {
		return nil, false
	}
	places, bad := placesOf(rows[0], []column{candidates})
	if bad != nil {
		return nil, false
	}
	at, n := places[0], len(rows)
	rows = slices.DeleteFunc(rows, func(r []string) bool {
		return at < len(r) && practical.Candidate(strings.TrimSpace(r[at])) == candidate
	})
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Comma, w.UseCRLF = divider(data), true
	err = w.WriteAll(rows)
	return out.Bytes(), err == nil && len(rows) < n
}

// rowsOf are all cells of a table.
func rowsOf(data []byte) ([][]string, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.FieldsPerRecord = divider(data), -1
	return r.ReadAll()
}
