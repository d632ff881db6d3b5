package practical

import (
	"encoding/csv"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// WriteCSV writes a line for each candidate as CSV (RFC 4180), safe to open in a
// spreadsheet: see cell.
func (c *Class) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	head := []string{"candidate", "simulated", "code", "started", "minutes", "points", "most", "pass mark", "reaches it", "as marked"}
	for i, k := range c.Cases {
		name := fmt.Sprintf("%d %s", i+1, k.Title)
		head = append(head, name+": points", name+": end point", name+": truth")
	}
	rows := [][]string{append(head, "overrides", "interruptions", "late", "file")}
	for _, s := range c.Sheets {
		rows = append(rows, c.row(s))
	}
	for _, t := range c.Troubles {
		if t.Kind != Late {
			row := make([]string, len(rows[0]))
			row[0], row[len(row)-2], row[len(row)-1] = t.Candidate, string(t.Kind)+": "+t.What, t.File
			rows = append(rows, row)
		}
	}
	for _, row := range rows {
		for i := range row {
			row[i] = cell(row[i])
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func (c *Class) row(s *Sheet) []string {
	mark, reaches := "not defined", ""
	if passes, ok := c.Passes(s); ok {
		mark, reaches = number(hundredth(c.PassMark.V)), yesNo(passes)
	}
	row := []string{s.Candidate, yesNo(s.Simulated), s.Code, s.Started.Format(time.RFC3339), number(hundredth(s.Elapsed.Minutes())), number(s.Points), number(s.Most), mark, reaches, number(s.AsMarked)}
	var reasons []string
	for i, k := range s.Cases {
		points := number(k.Points)
		if k.Withdrawn {
			points = "withdrawn"
		}
		if k.Reason != "" {
			reasons = append(reasons, fmt.Sprintf("case %d: %s", i+1, k.Reason))
		}
		row = append(row, points, k.EndPoint, k.Truth)
	}
	return append(row, strings.Join(reasons, "; "), strconv.Itoa(len(s.Interruptions)), strings.Join(s.Late, "; "), s.File)
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// lensLike is a sphere, or a sphere, a cylinder and an axis. The letters in it
// keep a spreadsheet from working it out.
var lensLike = regexp.MustCompile(`^[-+]\d+\.\d+( DS| / [-+]\d+\.\d+ x \d+(\.\d+)?)$`)

// cell makes a cell that no spreadsheet takes for a formula. One that begins as
// a formula does gets an apostrophe before it, which spreadsheets do not show,
// unless it is a number or a prescription: their minus signs stay as they are.
func cell(s string) string {
	if s == "" || !strings.ContainsRune("=+-@\t\r\n|%", rune(s[0])) {
		return s
	}
	if _, err := strconv.ParseFloat(s, 64); err == nil || lensLike.MatchString(s) {
		return s
	}
	return "'" + s
}

// Table is the marks as columns of text, for people.
func (c *Class) Table() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-12s %8s %8s\n", "Candidate", "Points", "of")
	for _, s := range c.Sheets {
		fmt.Fprintf(&b, "%-12s %8.2f %8.0f", s.Candidate, s.Points, s.Most)
		if passes, ok := c.Passes(s); ok && passes {
			b.WriteString("  reaches the pass mark")
		}
		if slices.ContainsFunc(s.Cases, func(k CaseMark) bool { return k.Reason != "" }) {
			b.WriteString("  overridden")
		}
		b.WriteString("\n")
	}
	return b.String()
}
