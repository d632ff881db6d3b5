package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/handed"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// task is a place in an assignment that is sat at a terminal.
type task struct {
	terms *chair.Terms
	who   string
	begin cases.Stage
	help  chair.Help
	fixed bool
}

// isTask reports whether a file is an assignment, or what was made of one for a class.
func isTask(name string) bool {
	if !looksLikeFile(name) && !strings.HasSuffix(name, cases.HandoutEnding) {
		return false
	}
	data, err := readFile(name, "argument.case")
	return err == nil && (cases.IsAssignment(data) || cases.IsHandout(data))
}

// taskOf is a place of an assignment, and the case that is sat there.
func (f *sitFlags) taskOf(name string) (*cases.Case, *task, error) {
	who := handed.Who(f.who)
	if err := handed.CheckWho(who); err != nil {
		return nil, nil, fact.Because(err, "sit.who")
	}
	h, err := readHandout(name)
	if err != nil {
		return nil, nil, err
	}
	if f.place < 1 || f.place > len(h.Enclosed) {
		return nil, nil, fact.Refuse("sit.place", "n", fact.Count(f.place), "most", fact.Count(len(h.Enclosed)))
	}
	if h.At(time.Now()) == cases.Before {
		return nil, nil, fact.Refuse("sit.before", "at", h.Opens.Told())
	}
	attempt := 1 + f.attempts(h.ID, who)
	if h.Attempts > 0 && attempt > h.Attempts {
		return nil, nil, fact.Refuse("sit.no-more", "n", fact.Count(h.Attempts))
	}
	e := h.Enclosed[f.place-1]
	c, err := readCase(e.Name, []byte(e.Text), f.keys.sitting)
	if err != nil {
		return nil, nil, err
	}
	t := &task{who: who, begin: h.Begin, terms: chair.TermsOf(h, f.place, attempt)}
	t.help, t.fixed = chair.HelpOf(h.Help)
	return c, t, nil
}

// taskIn is the place of an assignment that a log is of, to go on with it.
func (f *sitFlags) taskIn(name string, h sitting.Header) (*cases.Case, *task, error) {
	out, err := readHandout(name)
	if err != nil {
		return nil, nil, err
	}
	if h.Task == nil || h.Task.Assignment != out.ID || h.Task.Place < 1 || h.Task.Place > len(out.Enclosed) {
		return nil, nil, fact.Refuse("sit.other-task", "path", f.log, "title", out.Title)
	}
	e := out.Enclosed[h.Task.Place-1]
	c, err := readCase(e.Name, []byte(e.Text), f.keys.sitting)
	if err != nil {
		return nil, nil, err
	}
	t := &task{who: h.Who, terms: chair.TermsOf(out, h.Task.Place, h.Task.Attempt)}
	t.help, t.fixed = chair.HelpOf(out.Help)
	return c, t, nil
}

// attempts is how often a place was sat already, by the logs in the folder that the next one
// goes into.
func (f *sitFlags) attempts(id, who string) (n int) {
	dir := filepath.Dir(f.log)
	if f.log == "" {
		own, err := ownLog("x", 0, time.Time{})
		if err != nil {
			return 0
		}
		dir = filepath.Dir(own)
	}
	names, err := os.ReadDir(dir)
	if err != nil {
		return 0
	}
	for _, e := range names {
		if !strings.HasSuffix(e.Name(), ".jsonl") {
			continue
		}
		rec, err := readLog(filepath.Join(dir, e.Name()))
		if err != nil || rec.Header.Who != who {
			continue
		}
		if t := rec.Header.Task; t != nil && t.Assignment == id && t.Place == f.place {
			n++
		}
	}
	return n
}

// header is the header of a log, with the task if there is one.
func (t *task) header(c *cases.Case, seed uint64) sitting.Header {
	h := sitting.Header{Case: c.Hash(), Title: c.Title}
	if t != nil {
		h.Who, h.Task, h.Begin = t.who, &t.terms.Task, string(t.begin)
	}
	return h.Seeded(seed)
}

// prepare does what comes before the student's own work.
func (t *task) prepare(l *chair.Local) error {
	if t == nil {
		return nil
	}
	_, err := l.Give(t.begin)
	return err
}

// withheld tells that an end point is stated, where the assignment keeps the truth back: the
// points at most.
func (d *desk) withheld(v voice.Voice, shows cases.Shown) error {
	d.blank()
	d.say(v.Text("bench.lesson.stated") + ". " + v.Text("bench.lesson.withheld"))
	if shows != cases.ShowsMarks {
		return nil
	}
	s, err := d.insight.Again(d.visit.Events())
	if err != nil {
		return err
	}
	r, err := review(d.cas, d.cas.MarkedBy(), s)
	if err != nil {
		return err
	}
	d.say(v.Text("report.marks", "points", r.Total, "most", r.Most))
	for _, name := range scoring.PartNames() {
		if i := slices.IndexFunc(r.Parts, func(p scoring.Part) bool { return p.Name == name }); i >= 0 {
			fmt.Fprintf(d.out, "  %s: %s\n", v.Value(name), v.Text("report.part", "points", r.Parts[i].Points, "most", r.Parts[i].Most))
		}
	}
	return nil
}
