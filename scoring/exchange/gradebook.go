package exchange

import (
	"encoding/csv"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"conoid/sim/fact"
)

// WriteSittings writes one line for each sitting, with its end point: CSV as of
// RFC 4180, UTF-8 without a mark of byte order. A sitting that was broken off has
// no end point, and its fields are empty. Nothing is written if one of them is
// wrong.
//
// Numbers are written with an ASCII minus and a decimal point. Text that a
// spreadsheet would take for a formula begins with an apostrophe.
func WriteSittings(w io.Writer, sittings []Sitting) error {
	rows := [][]string{{
		"candidate", "case", "title", "eye", "sphere (D)", "cylinder (D)", "axis (degrees)", "acuity (logMAR)",
		"points", "most", "passed", "steps", "seconds", "started", "ended", "registration",
	}}
	for i := range sittings {
		s := &sittings[i]
		if err := s.Check(); err != nil {
			return fact.Because(err, "exchange.in-sitting", "n", fact.Count(i+1))
		}
		var sphere, cylinder, axis, acuity, passed string
		if s.Stated {
			sphere, cylinder = string(hundredths(s.EndPoint.Sphere)), string(hundredths(s.EndPoint.Cyl))
			if s.EndPoint.Cyl != 0 {
				axis = string(plain(s.EndPoint.Axis))
			}
			if s.HasAcuity {
				acuity = string(hundredths(s.Acuity))
			}
		}
		if s.Passed != nil {
			passed = map[bool]string{true: "yes", false: "no"}[*s.Passed]
		}
		rows = append(rows, []string{
			s.Candidate, s.Case.ID, s.Case.Title, string(s.Eye), sphere, cylinder, axis, acuity,
			string(plain(s.Points)), string(plain(s.Most)), passed,
			strconv.Itoa(s.Steps), strconv.FormatFloat(s.Duration.Seconds(), 'f', 2, 64), instant(s.Started), instant(s.ended()), s.Registration,
		})
	}
	return writeCSV(w, rows)
}

// WriteGradebook writes one line for each candidate and one column for each
// case, both in the order of their first sitting: CSV as WriteSittings has it.
// The head of a column names the case and its most points; what was not taken
// is empty, which is not 0 (both common practice). A candidate who sat a case
// twice is refused: which of the two counts is not decided here.
func WriteGradebook(w io.Writer, sittings []Sitting) error {
	var candidates []string
	var first []*Sitting // of each case
	points := map[string]map[string]float64{}
	for i := range sittings {
		s := &sittings[i]
		if err := s.Check(); err != nil {
			return fact.Because(err, "exchange.in-sitting", "n", fact.Count(i+1))
		}
		if points[s.Candidate] == nil {
			points[s.Candidate] = map[string]float64{}
			candidates = append(candidates, s.Candidate)
		}
		if _, twice := points[s.Candidate][s.Case.ID]; twice {
			return fact.Refuse("exchange.twice", "candidate", s.Candidate, "case", s.Case.ID)
		}
		points[s.Candidate][s.Case.ID] = s.Points
		at := slices.IndexFunc(first, func(f *Sitting) bool { return f.Case.ID == s.Case.ID })
		if at < 0 {
			first = append(first, s)
		} else if f := first[at]; f.Case != s.Case || f.Most != s.Most {
			return fact.Refuse("exchange.other-case", "case", s.Case.ID, "n", fact.Count(i+1))
		}
	}

	top := []string{"candidate"}
	for _, f := range first {
		top = append(top, fmt.Sprintf("%s (%s) [%s]", f.Case.Title, f.Case.ID, plain(f.Most)))
	}
	rows := [][]string{top}
	for _, candidate := range candidates {
		row := []string{candidate}
		for _, f := range first {
			cell := ""
			if p, ok := points[candidate][f.Case.ID]; ok {
				cell = string(plain(p))
			}
			row = append(row, cell)
		}
		rows = append(rows, row)
	}
	return writeCSV(w, rows)
}

func writeCSV(w io.Writer, rows [][]string) error {
	for _, row := range rows {
		for i, field := range row {
			row[i] = safeField(field)
		}
	}
	c := csv.NewWriter(w)
	c.UseCRLF = true
	return c.WriteAll(rows)
}

var numberForm = regexp.MustCompile(`^[+-]?[0-9]+(\.[0-9]+)?$`)

// safeField puts an apostrophe before text that a spreadsheet would run as a
// formula (CWE-1236; OWASP ASVS 1.2.10), and before text that already begins as
// if it had one: a reader who takes one apostrophe off gets exactly what was
// there. A number stays a number, whatever its sign.
func safeField(s string) string {
	rest := strings.TrimLeft(s, "'")
	if rest == "" || numberForm.MatchString(s) || !strings.ContainsRune("=+-@\t\r\x00", rune(rest[0])) {
		return s
	}
	return "'" + s
}
