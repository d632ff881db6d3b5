package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/debrief"
	"conoid/cmd/internal/handed"
	"conoid/cmd/internal/report/classes"
	"conoid/render/voice"
	"conoid/scoring/homework"
	"conoid/sim/fact"
)

// classWork are the choices for what a class's work comes to.
type classWork struct {
	voice      voice.Voice
	assignment string
	named      []string // cases
	marking    string
	out        string
	debriefs   bool
	keys       keyring

	withheld bool // the assignment keeps the truth from students
}

func classCommand(v voice.Voice) *cobra.Command {
	w := classWork{voice: v}
	cmd := &cobra.Command{
		Use:     "class " + v.Text("help.class.use"),
		Short:   v.Text("help.class.short"),
		Long:    v.Text("help.class.long"),
		Example: v.Text("help.class.example"),
		Args:    arguments(1, -1, "argument.work"),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case (w.assignment == "") == (len(w.named) == 0):
				return usageError{fact.Refuse("class.assignment-or-case")}
			case w.out == "":
				return usageError{fact.Refuse("class.out")}
			}
			return w.run(cmd, args)
		},
	}
	w.keys.flag(v, cmd)
	fl := cmd.Flags()
	fl.StringVar(&w.assignment, "assignment", "", v.Text("help.class.flag.assignment"))
	fl.StringArrayVar(&w.named, "case", nil, v.Text("help.class.flag.case"))
	fl.StringVar(&w.marking, "marking", "", v.Text("help.class.flag.marking"))
	fl.StringVar(&w.out, "out", "", v.Text("help.class.flag.out"))
	fl.BoolVar(&w.debriefs, "debriefs", false, v.Text("help.class.flag.debriefs"))
	return cmd
}

func (w *classWork) run(cmd *cobra.Command, args []string) error {
	if err := freeFolder(w.out); err != nil {
		return err
	}
	from, err := w.collecting()
	if err != nil {
		return err
	}
	if from.Logs = workIn(args); len(from.Logs) == 0 {
		return fact.Refuse("class.no-work", "places", args)
	}
	from.Language = w.voice.Language
	from.Made, from.Progress = time.Now(), countOf(w.voice, cmd.ErrOrStderr(), len(from.Logs))
	c, err := homework.Collect(from)
	if err != nil {
		return err
	}
	c.Caution = w.voice.Text("caution")
	files, err := w.files(c)
	if err != nil {
		return err
	}
	if err := writeFolderFor(0o600, w.out, files); err != nil {
		return err
	}
	out := cmd.OutOrStdout()
	fmt.Fprintln(out, w.voice.Text("class.done", "title", c.Title, "sittings", fact.Count(len(c.Rows)), "students", fact.Count(len(c.Students)), "file", filepath.Join(w.out, "class.html")))
	fmt.Fprint(out, "\n"+classes.HomeworkTable(w.voice, c))
	if n := len(c.Troubles); n > 0 {
		return fact.Refuse("class.troubles", "n", fact.Count(n))
	}
	return nil
}

// collecting is what the flags name: the assignment or cases, and how they are marked.
func (w *classWork) collecting() (from homework.Collecting, err error) {
	if w.assignment != "" {
		err = w.ofAssignment(&from)
	} else {
		for _, name := range w.named {
			c, bad := loadCase(name, w.keys.whole)
			from.Cases, err = append(from.Cases, c), errors.Join(err, bad)
		}
	}
	if err != nil || w.marking == "" {
		return from, err
	}
	data, err := readFile(w.marking, "argument.scheme")
	if err != nil {
		return from, err
	}
	if from.Scheme, err = cases.ReadScheme(w.marking, data); err != nil {
		return from, err
	}
	if from.Scheme == nil {
		return from, fact.Refuse("practical.no-marking")
	}
	from.Name = filepath.Base(w.marking)
	return from, nil
}

func (w *classWork) ofAssignment(from *homework.Collecting) error {
	h, err := readHandout(w.assignment)
	if err != nil {
		return err
	}
	from.Assignment, from.ID = h.Assignment, h.ID
	w.withheld = h.Shows == cases.ShowsMarks || h.Shows == cases.ShowsNothing
	from.Cases, err = casesOf(h, &w.keys)
	return err
}

// workIn are the logs in files and folders, whatever the files are called. What is neither
// a log nor handed-in work is told, unless it is clearly something else.
func workIn(args []string) (out []homework.Log) {
	for _, a := range args {
		err := filepath.WalkDir(a, func(path string, e fs.DirEntry, err error) error {
			switch {
			case err != nil:
				out = append(out, homework.Log{File: path, Err: cause(err)})
			case e.IsDir() || strings.HasPrefix(e.Name(), ".") && path != a:
			case !e.Type().IsRegular() && !isLink(path):
				out = append(out, homework.Log{File: path, Err: fact.Refuse("system.no-file")})
			default:
				out = append(out, logsIn(path)...)
			}
			return nil
		})
		if err != nil {
			out = append(out, homework.Log{File: a, Err: cause(err)})
		}
	}
	return out
}

// isLink reports whether a path leads to a regular file elsewhere.
func isLink(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// logsIn are the logs of a file.
func logsIn(path string) []homework.Log {
	data, err := readFile(path, "argument.log")
	if err != nil {
		return []homework.Log{{File: path, Err: err}}
	}
	data = homework.Plain(data)
	if !handed.Is(data) {
		return []homework.Log{{File: path, Data: data}}
	}
	work, err := handed.Read(path, data)
	if err != nil {
		return []homework.Log{{File: path, Err: err}}
	}
	var out []homework.Log
	for _, log := range work.Logs {
		out = append(out, homework.Log{File: path, Who: work.Who, Simulated: work.Simulated, Data: []byte(log)})
	}
	return out
}

// files are what is written: the page of the class, tables for programs, a page for each
// student, the log of each sitting, and if wanted its debrief.
func (w *classWork) files(c *homework.Class) (map[string][]byte, error) {
	var page, table, all bytes.Buffer
	err := errors.Join(classes.Homework(&page, w.voice, c, w.debriefs), classes.HomeworkCSV(&table, w.voice, c), writeJSON(&all, c))
	files := map[string][]byte{"class.html": page.Bytes(), "class.csv": table.Bytes(), "class.json": all.Bytes()}
	for _, s := range c.Students {
		if s.Who == "" {
			continue
		}
		var own bytes.Buffer
		err = errors.Join(err, classes.StudentPage(&own, w.voice, c, s, w.debriefs))
		files[classes.StudentOf(s.Who)] = own.Bytes()
	}
	for _, r := range c.Rows {
		if name := classes.LogOf(r); name != "" {
			files[name] = r.Log()
		}
	}
	if err != nil || !w.debriefs {
		return files, err
	}
	for _, r := range c.Rows {
		name := classes.DebriefOf(r)
		if name == "" {
			continue
		}
		if files[name], err = w.debrief(r); err != nil {
			return nil, err
		}
	}
	return files, nil
}

// debrief is the page of a sitting.
func (w *classWork) debrief(r *homework.Row) ([]byte, error) {
	d, err := debrief.Of(r.Case(), r.Sitting(), r.Seed(), r.Review().Par)
	if err != nil {
		return nil, err
	}
	d.Who, d.When, d.Withheld = r.Who, r.Begun, w.withheld
	return d.HTML(w.voice)
}
