package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	other "conoid/scoring/exchange"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// collection are the choices for a class report.
type collection struct {
	assessor
	decisions  string
	marking    string
	ratings    string
	borderline float64
	home       string
	out        string
}

func practicalCollectCommand(v voice.Voice) *cobra.Command {
	var c collection
	cmd := &cobra.Command{
		Use:   "collect FILES... --practical FILE --keys FILE --out FOLDER",
		Short: "Verify and mark results, and report on the class",
		Long: `Verify the signature and the chain of every result, do every step of it again on
its case, mark it, and write a report on the class into a new folder, which only
you can read: class.html to read and print, class.csv for spreadsheets, class.json
with everything. A folder among FILES stands for all results in it.

A file that is damaged, altered or of another practical, and a second result of the
same candidate, is reported by its name and not marked; so is a candidate without a
result. A late result is marked and reported. One bad file never stops the rest; the
exit code is then 1.

Compare the code of each candidate with the one on paper: a record that was changed
after it was signed for has another one.

Ratings are a CSV file whose first line is candidate,rating and in which an examiner
who watched says how good the work was as a whole, on the institution's scale, more
being better. With them and --borderline, the rating that just passes, the pass mark
is set by borderline regression. Without them there is none: it is not defined.

With --decisions, marks are overridden and cases withdrawn as decided (see conoid
practical decide). With --marking the class is marked again by another scheme. Each
report is a new folder and keeps the marks by the practical's own scheme beside the
others; no earlier report is touched.

With --home there are files for other systems as well: statements.json (xAPI 1.0.3),
a folder fhir (FHIR R4, labelled as test data), sittings.csv and gradebook.csv. What
was simulated is left out of these. Nothing is sent anywhere.`,
		Example: `  conoid practical collect results --practical friday.conoid-practical --keys assessor.key --out report
  conoid practical collect results --practical friday.conoid-practical --keys assessor.key \
      --decisions decisions.jsonl --ratings ratings.csv --borderline 2 --out report-2`,
		Args: arguments(1, -1, "argument.results"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if c.out == "" {
				return usageError{errors.New("the folder for the report is missing: name a new one with --out")}
			}
			if cmd.Flags().Changed("borderline") != (c.ratings != "") {
				return usageError{errors.New("--ratings and --borderline belong together")}
			}
			return c.collect(cmd, v, args)
		},
	}
	c.flags(cmd)
	fl := cmd.Flags()
	fl.StringVar(&c.decisions, "decisions", "", "file of decisions on marks")
	fl.StringVar(&c.marking, "marking", "", "file with another marking scheme, to mark again by")
	fl.StringVar(&c.ratings, "ratings", "", "CSV file of examiners' ratings")
	fl.Float64Var(&c.borderline, "borderline", 0, "the rating that just passes")
	fl.StringVar(&c.home, "home", "", "the institution's address, such as https://exams.example.org: writes files for other systems too")
	fl.StringVar(&c.out, "out", "", "new folder for the report")
	return cmd
}

func (c *collection) collect(cmd *cobra.Command, v voice.Voice, args []string) error {
	p, k, err := c.load(cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	todo := practical.Collecting{Key: k.Key(), Borderline: c.borderline, Made: time.Now()}
	if err := c.read(p, &todo); err != nil {
		return err
	}
	todo.Files = resultFiles(args)
	todo.Progress = countOf(cmd.ErrOrStderr(), len(todo.Files))
	class, err := p.Collect(todo)
	if err != nil {
		return err
	}
	class.Caution = v.Text("caution")
	fmt.Fprintln(cmd.ErrOrStderr())
	files, err := reportFiles(v, class)
	if err == nil && c.home != "" {
		err = addExchange(v, files, p, class, c.home)
	}
	if err != nil {
		return err
	}
	if err := writeFolderFor(0o600, c.out, files); err != nil {
		return err
	}
	return tellClass(cmd.OutOrStdout(), v, class, c.out)
}

// read takes in what the flags name.
func (c *collection) read(p *practical.Plan, todo *practical.Collecting) error {
	if c.decisions != "" {
		data, err := readFile(c.decisions, "argument.decisions")
		if err != nil {
			return err
		}
		if todo.Decisions, err = p.ReadDecisions(c.decisions, data); err != nil {
			return err
		}
	}
	if c.marking != "" {
		data, err := readFile(c.marking, "argument.scheme")
		if err != nil {
			return err
		}
		if _, err := cases.ReadScheme(c.marking, data); err != nil {
			return err
		}
		if todo.By, err = p.Remarked(string(data)); err != nil {
			return err
		}
		todo.Scheme = filepath.Base(c.marking)
	}
	if c.ratings == "" {
		return nil
	}
	data, err := readFile(c.ratings, "argument.ratings")
	if err != nil {
		return err
	}
	todo.Ratings, err = practical.ReadRatings(c.ratings, data)
	return err
}

// resultFiles reads files, and the results in folders. What cannot be read is
// among them, with the reason.
func resultFiles(args []string) (out []practical.File) {
	for _, a := range args {
		paths := []string{a}
		if info, err := os.Stat(a); err == nil && info.IsDir() {
			entries, err := os.ReadDir(a)
			if err != nil {
				out = append(out, practical.File{Name: a, Err: cause(err)})
			}
			paths = nil
			for _, e := range entries {
				if strings.HasSuffix(e.Name(), practical.ResultEnding) {
					paths = append(paths, filepath.Join(a, e.Name()))
				}
			}
		}
		for _, path := range paths {
			data, err := readFile(path, "argument.result")
			out = append(out, practical.File{Name: path, Data: data, Err: err})
		}
	}
	return out
}

func reportFiles(v voice.Voice, c *practical.Class) (map[string][]byte, error) {
	var page, table, all bytes.Buffer
	err := errors.Join(report.Class(&page, v, c), report.ClassCSV(&table, v, c), writeJSON(&all, c))
	return map[string][]byte{"class.html": page.Bytes(), "class.csv": table.Bytes(), "class.json": all.Bytes()}, err
}

// addExchange adds the files for other systems.
func addExchange(v voice.Voice, files map[string][]byte, p *practical.Plan, c *practical.Class, home string) error {
	sittings, err := c.Sittings(p)
	if err != nil {
		return err
	}
	words := other.Words{Language: v.Language, Say: v.Say}
	var all []other.Statement
	for i := range sittings {
		s := &sittings[i]
		told, err := other.Statements(s, home, words)
		if err != nil {
			return err
		}
		all = append(all, told...)
		if !s.Stated {
			continue
		}
		name := "fhir/" + s.Candidate + "-" + s.Case.ID
		if files[name+"-observation.json"], err = other.Observation(s, home, words); err != nil {
			return err
		}
		if files[name+"-prescription.json"], err = other.VisionPrescription(s, home, words); err != nil {
			return err
		}
	}
	if files["statements.json"], err = other.EncodeStatements(all); err != nil {
		return err
	}
	var lines, book bytes.Buffer
	err = errors.Join(other.WriteSittings(&lines, sittings), other.WriteGradebook(&book, sittings))
	files["sittings.csv"], files["gradebook.csv"] = lines.Bytes(), book.Bytes()
	return err
}

// tellClass says shortly how a class did. The error says that something was
// not marked.
func tellClass(w io.Writer, v voice.Voice, c *practical.Class, out string) error {
	say := func(id string, pairs ...any) { fmt.Fprintln(w, v.Text("practical.told."+id, pairs...)) }
	say("marked", "title", c.Title, "n", fact.Count(len(c.Sheets)), "scheme", report.Scheme(v, c))
	if c.Rehearsal {
		say("rehearsal")
	}
	if c.Simulated > 0 {
		say("simulated", "n", fact.Count(c.Simulated))
	}
	fmt.Fprint(w, "\n"+report.ClassTable(v, c)+"\n")
	bad := 0
	for _, t := range c.Troubles {
		who := strings.Join(slices.DeleteFunc([]string{t.File, t.Candidate}, func(s string) bool { return s == "" }), ", ")
		fmt.Fprintf(w, "%s: %s: %s\n", v.Capital(v.Value(t.Kind)), who, v.Say(t.What))
		if t.Kind != practical.Late {
			bad++
		}
	}
	if c.PassMark.OK {
		say("pass-mark", "points", fact.Points(c.PassMark.V), "most", fact.Points(c.Figures.Most))
	} else {
		say("no-pass-mark", "why", c.PassMark.Why)
	}
	say("report", "folder", out)
	fmt.Fprintf(w, "\n%s\n\n%s\n", wrap(v.Text("practical.class.retention"), width), wrap(c.Caution, width))
	if bad > 0 {
		return fact.Refuse("practical.told.not-marked", "n", fact.Count(bad))
	}
	return nil
}

// countOf counts on one line.
func countOf(w io.Writer, of int) func(done int) {
	return func(done int) { fmt.Fprintf(w, "\r%d of %d", done, of) }
}
