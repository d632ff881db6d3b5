package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/report/classes"
	"conoid/render/voice"
	other "conoid/scoring/exchange"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
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
	sent       string
	codes      string
	out        string
}

func practicalCollectCommand(v voice.Voice) *cobra.Command {
	var c collection
	cmd := practicalHelp(v, "collect")
	cmd.Args = arguments(1, -1, "argument.results")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if c.out == "" {
			return missingFlag("report-out")
		}
		if cmd.Flags().Changed("borderline") != (c.ratings != "") {
			return missingFlag("ratings-or-borderline")
		}
		if c.sent != "" && c.home == "" {
			return missingFlag("home")
		}
		return c.collect(cmd, v, args)
	}
	c.flags(v, cmd)
	fl := cmd.Flags()
	fl.StringVar(&c.decisions, "decisions", "", v.Text("help.practical.flag.decisions-of"))
	fl.StringVar(&c.marking, "marking", "", v.Text("help.practical.flag.marking-again"))
	fl.StringVar(&c.ratings, "ratings", "", v.Text("help.practical.flag.ratings-of"))
	fl.Float64Var(&c.borderline, "borderline", 0, v.Text("help.practical.flag.borderline"))
	fl.StringVar(&c.codes, "codes", "", v.Text("help.practical.flag.codes"))
	fl.StringVar(&c.home, "home", "", v.Text("help.practical.flag.home"))
	fl.StringVar(&c.sent, "sent", "", v.Text("help.practical.flag.sent"))
	fl.StringVar(&c.out, "out", "", v.Text("help.practical.flag.report-out"))
	return cmd
}

func (c *collection) collect(cmd *cobra.Command, v voice.Voice, args []string) error {
	if c.home != "" {
		if err := other.CheckHome(c.home); err != nil {
			return err
		}
	}
	sent, err := c.readSent()
	if err != nil {
		return err
	}
	p, k, err := c.load(cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	todo := class.Collecting{Key: k.Key(), Made: time.Now()}
	if err := c.read(p, &todo); err != nil {
		return err
	}
	todo.Files = resultFiles(args)
	todo.Progress = countOf(v, cmd.ErrOrStderr(), len(todo.Files))
	done, err := class.Collect(p, todo)
	if err != nil {
		return err
	}
	done.Caution = v.Text("caution")
	files := map[string][]byte{}
	if c.home != "" {
		if err := c.addExchange(v, files, p, done, sent); err != nil {
			return err
		}
	}
	report, err := classes.Files(v, done) // after what could not be written for other systems
	if err != nil {
		return err
	}
	maps.Copy(files, report)
	if err := writeFolderFor(0o600, c.out, files); err != nil {
		return err
	}
	return tellClass(cmd.OutOrStdout(), v, done, c.out)
}

// read takes in what the flags name.
func (c *collection) read(p *practical.Plan, todo *class.Collecting) error {
	if c.decisions != "" {
		data, err := readFile(c.decisions, "argument.decisions")
		if err != nil {
			return err
		}
		if todo.Decisions, err = practical.LedgerOf(p, c.decisions, data).Decisions(); err != nil {
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
		if todo.By, err = practical.Remarked(p, string(data)); err != nil {
			return err
		}
		todo.Scheme = filepath.Base(c.marking)
	}
	if c.codes != "" {
		data, err := readFile(c.codes, "argument.codes")
		if err != nil {
			return err
		}
		if todo.Slips, err = class.ReadSlips(c.codes, data); err != nil {
			return err
		}
	}
	if c.ratings == "" {
		return nil
	}
	data, err := readFile(c.ratings, "argument.ratings")
	if err != nil {
		return err
	}
	todo.Borderline = &c.borderline
	todo.Ratings, err = class.ReadRatings(p, c.ratings, data)
	return err
}

// addExchange adds the files for other systems.
func (c *collection) addExchange(v voice.Voice, files map[string][]byte, p *practical.Plan, done *class.Class, sent []other.Statement) error {
	sittings, notBegun := done.Sittings(p)
	words := other.Words{Language: v.Language, Say: v.Say}
	var all []other.Statement
	for i := range sittings {
		told, err := other.Statements(&sittings[i], c.home, words)
		if err != nil {
			return err
		}
		all = append(all, told...)
	}
	all, err := other.Correct(all, sent, done.Made, c.home, words)
	if err != nil {
		return err
	}
	if files["statements.json"], err = other.EncodeStatements(all); err != nil {
		return err
	}
	if files["fhir.json"], err = other.Bundle(sittings, c.home, words); err != nil {
		return err
	}
	var lines, book bytes.Buffer
	err = errors.Join(other.WriteSittings(&lines, sittings), other.WriteGradebook(&book, slices.Concat(sittings, notBegun)))
	files["sittings.csv"], files["gradebook.csv"] = lines.Bytes(), book.Bytes()
	return err
}

// readSent reads what other systems were sent before.
func (c *collection) readSent() ([]other.Statement, error) {
	if c.sent == "" {
		return nil, nil
	}
	data, err := readFile(c.sent, "argument.sent")
	if err != nil {
		return nil, err
	}
	return other.ReadStatements(c.sent, data)
}

// tellClass says shortly how a class did. The error says that something was
// not marked, or is missing.
func tellClass(w io.Writer, v voice.Voice, c *class.Class, out string) error {
	say := func(id string, pairs ...any) { fmt.Fprintln(w, v.Text("practical.told."+id, pairs...)) }
	say("marked", "title", c.Title, "n", fact.Count(len(c.Sheets)), "scheme", classes.Scheme(v, c))
	if c.Rehearsal {
		say("rehearsal")
	}
	if c.Simulated > 0 {
		say("simulated", "n", fact.Count(c.Simulated))
	}
	fmt.Fprint(w, "\n"+classes.Table(v, c)+"\n")
	bad, none := 0, 0
	for _, t := range c.Troubles {
		who := strings.Join(slices.DeleteFunc([]string{t.File, t.Candidate}, func(s string) bool { return s == "" }), ", ")
		fmt.Fprintf(w, "%s: %s: %s\n", v.Capital(v.Value(t.Kind)), who, v.Say(classes.OfCase(v, c, t.What)))
		if t.Kind.Unmarked() {
			bad++
		}
		if t.Kind == class.Missing {
			none++
		}
	}
	differ := tellCodes(w, v, c)
	if c.PassMark.OK {
		say("pass-mark", "points", fact.Points(c.PassMark.V), "most", fact.Points(c.Figures.Most))
		say("reach", "n", fact.Count(c.Reach), "miss", fact.Count(c.Miss))
	} else {
		say("no-pass-mark", "why", c.PassMark.Why)
	}
	say("report", "folder", out)
	fmt.Fprintf(w, "\n%s\n\n%s\n", wrap(v.Text("practical.class.retention"), width), wrap(c.Caution, width))
	var unmarked, missing error
	if bad > 0 {
		unmarked = fact.Refuse("practical.told.not-marked", "n", fact.Count(bad))
	}
	if none > 0 {
		missing = fact.Refuse("practical.told.no-result", "n", fact.Count(none))
	}
	return errors.Join(unmarked, missing, differ)
}

// tellCodes says how the codes compare, where they were compared. The error says that
// some do not agree.
func tellCodes(w io.Writer, v voice.Voice, c *class.Class) error {
	if c.Codes == nil {
		return nil
	}
	fmt.Fprintln(w, classes.Codes(v, c, "practical.told.codes"))
	for _, x := range c.Codes {
		who := x.Candidate
		if x.Says == class.Another { // it has two results, of which the other one agrees
			who += ", " + x.File
		}
		if x.Says != class.Agrees {
			says := v.Value(x.Says)
			if x.Whose != "" {
				says += "; " + v.Text("practical.class.codes.whose", "candidate", x.Whose)
			}
			fmt.Fprintf(w, "  %s: %s\n", who, says)
		}
	}
	if n := class.CountCodes(c.Codes).Open(); n > 0 {
		return fact.Refuse("practical.told.codes-differ", "n", fact.Count(n))
	}
	return nil
}

// countOf counts on one line of a terminal.
func countOf(v voice.Voice, w io.Writer, of int) func(done int) {
	screen := screenOf(w)
	return func(done int) {
		end := ""
		if done == of {
			end = "\n"
		}
		fmt.Fprint(screen, "\r"+v.Text("practical.told.done", "n", fact.Count(done), "of", fact.Count(of))+end)
	}
}
