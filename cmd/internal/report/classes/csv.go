package classes

import (
	"encoding/csv"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"conoid/render/voice"
	"conoid/scoring/cohort"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// CSV writes a line for each candidate as CSV (RFC 4180), safe to open in a
// spreadsheet: see cell. The words are those of the voice; numbers and
// refractions are as machines read them in any language.
func CSV(w io.Writer, v voice.Voice, c *class.Class) error {
	rows := [][]string{classHead(v, c)}
	for i := range c.Sheets {
		rows = append(rows, classRow(v, c, i))
	}
	for _, t := range c.Troubles {
		if t.Kind != class.Late && t.Kind != class.Doubtful {
			row := make([]string, len(rows[0]))
			row[0], row[len(row)-2], row[len(row)-1] = t.Candidate, v.Value(t.Kind)+": "+v.Say(OfCase(v, c, t.What)), t.File
			rows = append(rows, row)
		}
	}
	for _, x := range c.Codes {
		if marked := slices.ContainsFunc(c.Sheets, func(s *practical.Sheet) bool { return s.File == x.File }); !marked || x.File == "" {
			row := make([]string, len(rows[0]))
			row[0], row[2], row[len(row)-14], row[len(row)-13], row[len(row)-1] = x.Candidate, x.Code, x.Paper, v.Value(x.Says), x.File
			rows = append(rows, row)
		}
	}
	return writeRows(w, rows)
}

// writeRows writes rows whose cells no spreadsheet takes for a formula.
func writeRows(w io.Writer, rows [][]string) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
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

func classHead(v voice.Voice, c *class.Class) (head []string) {
	say := func(id string, pairs ...any) { head = append(head, v.Text("practical.csv."+id, pairs...)) }
	for _, id := range []string{"candidate", "simulated", "code", "started", "minutes", "points", "most", "pass-mark", "reaches", "as-marked"} {
		say(id)
	}
	for i, k := range c.Cases {
		for _, id := range []string{"case-points", "case-end-point", "case-truth"} {
			say(id, "n", fact.Count(i+1), "title", k.Title)
		}
	}
	for _, id := range []string{"heard", "off-card", "slope", "slope-from", "slope-to", "no-slope", "on-paper", "codes", "extra-time", "ended", "paused", "interrupted", "unexplained", "doubts", "granted", "rulings", "overrides", "interruptions", "late", "file"} {
		if id == "rulings" && c.Served {
			id = "rulings.served"
		}
		say(id)
	}
	return head
}

// classRow is the row of candidate i.
func classRow(v voice.Voice, c *class.Class, i int) []string {
	s := c.Sheets[i]
	yesNo := func(is bool) string {
		if is {
			return v.Text("practical.csv.yes")
		}
		return v.Text("practical.csv.no")
	}
	mark, reaches := v.Text("practical.class.not-defined"), ""
	if passes, ok := c.Passes(s); ok {
		mark, reaches = number(c.PassMark.V), yesNo(passes)
	}
	row := []string{s.Candidate, yesNo(s.Simulated), s.Code, s.Started.Format(time.RFC3339), number(s.Elapsed.Minutes()), number(s.Points), number(s.Most), mark, reaches, number(s.AsMarked)}
	var reasons, late, doubts []string
	for i, k := range s.Cases {
		points := number(k.Points)
		if k.Withdrawn {
			points = v.Text("practical.csv.withdrawn")
		}
		if k.Reason != "" {
			reasons = append(reasons, v.Text("practical.csv.reason", "n", caseName(v, c, i), "reason", k.Reason))
		}
		row = append(row, points, k.EndPoint, k.Truth)
	}
	row = append(append(row, slopeCells(v, c.Listening[i])...), codeCells(v, c, s)...)
	row = append(row, number(100*s.Extra))
	for _, why := range s.Late {
		late = append(late, v.Say(OfCase(v, c, why)))
	}
	for _, why := range s.Doubts {
		doubts = append(doubts, v.Say(OfCase(v, c, why)))
	}
	t := s.Times
	row = append(row, t.Ended.Format(time.RFC3339), number(t.Paused.Minutes()), number(t.Interrupted.Minutes()), number(t.Gap.Minutes()), strings.Join(doubts, "; "))
	row = append(row, number(s.Granted().Minutes()), strings.Join(rulings(v, c, s), " "))
	return append(row, strings.Join(reasons, "; "), strconv.Itoa(len(stops(s.Interruptions))), strings.Join(late, "; "), s.File)
}

// codeCells are the code on paper, and how it compares.
func codeCells(v voice.Voice, c *class.Class, s *practical.Sheet) []string {
	x, compared := c.CodeOf(s.File, s.Candidate)
	if !compared {
		return []string{"", ""}
	}
	return []string{x.Paper, v.Value(x.Says)}
}

// slopeCells are those of the slope of what was stated on what was heard.
func slopeCells(v voice.Voice, l class.Listening) []string {
	cells := []string{strconv.Itoa(l.Groups)}
	for _, x := range []cohort.Value{l.Spread, l.Slope, l.Lower, l.Upper} {
		text := ""
		if x.OK {
			text = number(x.V)
		}
		cells = append(cells, text)
	}
	why := ""
	if !l.Slope.OK {
		why = v.Say(l.Slope.Why)
	}
	return append(cells, why)
}

// number is a number to the hundredth, as machines read it.
func number(f float64) string { return strconv.FormatFloat(math.Round(f*100)/100+0, 'f', -1, 64) }

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
