package classes

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/scoring/homework"
	"conoid/sim/fact"
)

//go:embed homework.html
var homeworkHTML string

//go:embed student.html
var studentHTML string

// lessons is how many mistakes are to be taught first.
const lessons = 3

// homeworkFuncs are what the pages of a class's work ask a voice for.
func homeworkFuncs(v voice.Voice) template.FuncMap {
	return template.FuncMap{
		"language":  func() string { return v.Language },
		"t":         func(id string, pairs ...any) string { return v.Text("homework."+id, pairs...) },
		"say":       v.Say,
		"sentence":  func(f fact.Fact) string { return v.Sentence(v.Say(f)) },
		"caution":   func() string { return v.Text("caution") },
		"finding":   func(id string) string { return v.Text("finding." + id) },
		"better":    func(m homework.Mistake) string { return better(v, m) },
		"tutor":     func(m homework.Mistake) []string { return tutor(v, m) },
		"rx":        func(text string) string { return refraction(v, text) },
		"points":    func(p float64) string { return v.Value(fact.Points(math.Round(p*10) / 10)) },
		"part":      func(p scoring.PartName) string { return v.Capital(v.Value(p)) },
		"minutes":   func(d time.Duration) string { return v.Value(d.Round(time.Second)) },
		"moment":    func(t time.Time) string { return v.Value(fact.Moment{Time: t}) },
		"begun":     func(t time.Time) string { return begun(v, t) },
		"count":     func(n int) fact.Count { return fact.Count(n) },
		"add":       func(a, b int) int { return a + b },
		"percent":   func(share float64) int { return int(math.Round(100 * share)) },
		"hundred":   func(share, most float64) float64 { return share * most },
		"attempts":  func(s homework.Student, place int) *attempts { return attemptsOf(v, s, place) },
		"gained":    func(n fact.Number) string { return gained(v, float64(n)) },
		"partnames": scoring.PartNames,
		"partof":    func(r *homework.Row, name scoring.PartName) string { return partOf(v, r, name) },
		"first": func(ms []homework.Mistake) []homework.Mistake {
			return ms[:min(lessons, len(ms))]
		},
		"sittings": func(m homework.Mistake) string { return sittings(v, m, "homework.sitting", ", ") },
		"own":      func(m homework.Mistake) string { return sittings(v, m, "homework.own-sitting", "; ") },
		"odd":      odd,
		"again":    again,
		"marked": func(c *homework.Class) int {
			return len(slices.DeleteFunc(slices.Clone(c.Rows), func(r *homework.Row) bool { return !r.Done }))
		},
	}
}

// begun is when a sitting was begun, short enough for a table.
func begun(v voice.Voice, t time.Time) string {
	return t.Format(v.Text("style.short"))
}

// better is what would have been better than a mistake, as it is said of the first sitting
// with it.
func better(v voice.Voice, m homework.Mistake) string {
	for _, r := range m.Rows {
		for _, f := range r.Review().Findings {
			if f.ID == m.ID {
				return report.Of(v, f).Better
			}
		}
	}
	return ""
}

// tutor is what the tutor says of a mistake, and of which cases.
func tutor(v voice.Voice, m homework.Mistake) (out []string) {
	for _, s := range m.Said(v.Language) {
		var places []string
		for _, p := range s.Places {
			places = append(places, strconv.Itoa(p))
		}
		out = append(out, v.Text("homework.tutor", "places", places, "text", s.Text))
	}
	return out
}

// shownBefore is the remark that the error had been shown. Where an assignment shows it, nearly every further
// attempt has that remark, so that a page says it once.
const shownBefore = "homework.shown"

func isShownBefore(f fact.Fact) bool { return f.ID == shownBefore }

// odd is what a page says of one sitting.
func odd(r *homework.Row) []fact.Fact {
	return slices.DeleteFunc(slices.Clone(r.Remarks), isShownBefore)
}

// again reports whether somebody sat a patient again whose error had been shown.
func again(rows []*homework.Row) bool {
	return slices.ContainsFunc(rows, func(r *homework.Row) bool { return slices.ContainsFunc(r.Remarks, isShownBefore) })
}

// sittings are those in which a mistake was made, each in the words of an ID.
func sittings(v voice.Voice, m homework.Mistake, id, between string) string {
	var out []string
	for _, r := range m.Rows {
		out = append(out, v.Text(id, "who", whoOf(v, r), "place", fact.Count(r.Place), "attempt", fact.Count(r.Attempt)))
	}
	return strings.Join(out, between)
}

// whoOf is whose sitting it is.
func whoOf(v voice.Voice, r *homework.Row) string {
	if r.Who == "" {
		return v.Text("homework.nobody")
	}
	return r.Who
}

// DebriefOf is the file of the debrief of a sitting, from the folder of the class's page; ""
// for a sitting that has none.
func DebriefOf(r *homework.Row) string {
	if !r.Done || r.Who == "" {
		return ""
	}
	return "debriefs/" + nameOf(r) + ".html"
}

// LogOf is the file of the log of a sitting, likewise.
func LogOf(r *homework.Row) string {
	if r.Who == "" {
		return ""
	}
	return "logs/" + nameOf(r) + ".jsonl"
}

// nameOf is what the files of a sitting are called.
func nameOf(r *homework.Row) string { return fmt.Sprintf("%s-%d-%d", r.Who, r.Place, r.Attempt) }

// StudentOf is the file of a student's page, likewise.
func StudentOf(who string) string {
	if who == "" {
		return ""
	}
	return "students/" + who + ".html"
}

// Homework writes a class's work as one page that prints well. It leads to the pages of
// students beside it, and to debriefs if there are any.
func Homework(w io.Writer, v voice.Voice, c *homework.Class, debriefs bool) error {
	page, err := template.New("homework").Funcs(homeworkFuncs(v)).Funcs(leading(debriefs, "")).Parse(homeworkHTML)
	if err != nil {
		return err
	}
	return page.Execute(w, c)
}

// leading are the functions that say where the pages of a sitting and of a student are, from
// a page whose way up is given.
func leading(debriefs bool, up string) template.FuncMap {
	return template.FuncMap{
		"studentof":   StudentOf,
		"hasdebriefs": func() bool { return debriefs },
		"debriefof": func(r *homework.Row) string {
			if to := DebriefOf(r); debriefs && to != "" {
				return up + to
			}
			return ""
		},
	}
}

// StudentPage writes one student's work as a page to print and to comment on.
func StudentPage(w io.Writer, v voice.Voice, c *homework.Class, s homework.Student, debriefs bool) error {
	page, err := template.New("student").Funcs(homeworkFuncs(v)).Funcs(leading(debriefs, "../")).Parse(studentHTML)
	if err != nil {
		return err
	}
	return page.Execute(w, map[string]any{"Class": c, "Student": s, "Mistakes": homework.MistakesIn(s.Rows)})
}

// attempts is the drawing of a student's attempts at a case.
type attempts struct {
	Width float64
	Bars  []bar
	Label string // their points
}

// attemptsOf is that drawing; nil without an attempt that came to an end.
func attemptsOf(v voice.Voice, s homework.Student, place int) *attempts {
	out := &attempts{}
	var points []string
	for _, r := range s.Rows {
		if r.Place != place+1 || !r.Done {
			continue
		}
		high := max(1, r.Points*0.25)
		out.Bars = append(out.Bars, bar{X: out.Width, Y: 25 - high, Height: high})
		out.Width += 11
		points = append(points, v.Value(fact.Points(math.Round(r.Points))))
	}
	if points == nil {
		return nil
	}
	out.Label = strings.Join(points, ", ")
	return out
}

// gained is by how many points attempts became better, with its sign.
func gained(v voice.Voice, points float64) string {
	sign := "+"
	if points < 0 {
		sign = "\u2212"
	}
	return sign + v.Value(fact.Points(math.Round(math.Abs(points)*10)/10))
}

// partOf is what a sitting reached in a part of the marks.
func partOf(v voice.Voice, r *homework.Row, name scoring.PartName) string {
	for _, p := range r.Parts {
		if p.Name == name {
			return v.Value(fact.Points(math.Round(float64(p.Points)*10) / 10))
		}
	}
	return ""
}

// HomeworkTable is a class's work in columns of text.
func HomeworkTable(v voice.Voice, c *homework.Class) string {
	head := []string{v.Text("homework.student")}
	for i := range c.Cases {
		head = append(head, v.Text("homework.case", "n", fact.Count(i+1)))
	}
	rows := [][]string{append(head, v.Text("homework.mean"))}
	for _, s := range c.Students {
		row := []string{s.Who}
		if s.Who == "" {
			row[0] = v.Text("homework.nobody")
		}
		for _, b := range s.Best {
			if b < 0 {
				row = append(row, "")
				continue
			}
			row = append(row, v.Value(fact.Points(b)))
		}
		rows = append(rows, append(row, v.Value(fact.Points(math.Round(s.Mean*10)/10))))
	}
	return report.Columns(rows)
}

// HomeworkCSV writes a line for each sitting as CSV (RFC 4180), safe to open in a
// spreadsheet: see cell.
func HomeworkCSV(w io.Writer, v voice.Voice, c *homework.Class) error {
	head := []string{}
	for _, id := range []string{"student", "place", "title", "attempt", "begun", "minutes", "given", "hints", "looks", "done", "stated", "truth", "steps", "points"} {
		head = append(head, v.Text("homework.csv."+id))
	}
	for _, p := range scoring.PartNames() {
		head = append(head, v.Value(p))
	}
	head = append(head, v.Text("homework.csv.mistakes"), v.Text("homework.csv.remarks"), v.Text("homework.csv.file"))
	rows := [][]string{head}
	for _, r := range c.Rows {
		rows = append(rows, homeworkRow(v, c, r))
	}
	for _, t := range c.Troubles {
		row := make([]string, len(head))
		row[0], row[len(row)-2], row[len(row)-1] = t.Who, v.Say(t.What), t.File
		rows = append(rows, row)
	}
	return writeRows(w, rows)
}

func homeworkRow(v voice.Voice, c *homework.Class, r *homework.Row) []string {
	begun := ""
	if !r.Begun.IsZero() {
		begun = r.Begun.Format(time.RFC3339)
	}
	whole := func(n int) string { return strconv.Itoa(n) }
	yes := v.Text("practical.csv.no")
	if r.Done {
		yes = v.Text("practical.csv.yes")
	}
	k := c.Cases[r.Place-1]
	row := []string{
		r.Who, whole(r.Place), k.Title, whole(r.Attempt), begun, number(r.Took.Minutes()), whole(r.Given), whole(r.Hints), whole(r.Looks),
		yes, r.Stated, k.Truth, whole(r.Steps), number(r.Points),
	}
	for _, name := range scoring.PartNames() {
		i := slices.IndexFunc(r.Parts, func(p scoring.Part) bool { return p.Name == name })
		if i < 0 {
			row = append(row, "")
			continue
		}
		row = append(row, number(float64(r.Parts[i].Points)))
	}
	var remarks []string
	for _, f := range r.Remarks {
		remarks = append(remarks, v.Say(f))
	}
	return append(row, strings.Join(r.Findings, " "), strings.Join(remarks, "; "), r.File)
}
