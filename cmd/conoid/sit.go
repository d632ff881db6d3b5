package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
)

// sitFlags are the choices for a sitting.
type sitFlags struct {
	seed    uint64
	hasSeed bool
	log     string
	noLog   bool
	guide   bool
	plain   bool
	json    bool
	who     string
	place   int
	keys    keyring
}

func sitCommand(v voice.Voice) *cobra.Command {
	var f sitFlags
	cmd := &cobra.Command{
		Use:     "sit " + v.Text("help.argument.case-or-none"),
		Short:   v.Text("help.sit.short"),
		Long:    v.Text("help.sit.long"),
		Example: v.Text("help.sit.example"),
		Args:    arguments(0, 1, "argument.case"),
		RunE: func(cmd *cobra.Command, args []string) error {
			f.hasSeed = cmd.Flags().Changed("seed")
			if f.log != "" && f.noLog {
				return usageError{fact.Refuse("sit.two-logs")}
			}
			name := ""
			if len(args) == 1 {
				name = args[0]
			}
			if err := f.keys.ready(name); err != nil { // before the terminal is the sitting's
				return err
			}
			return sit(v, name, f, newRoom(cmd, f.plain, f.json))
		},
	}
	f.keys.flag(v, cmd)
	fl := cmd.Flags()
	fl.Uint64Var(&f.seed, "seed", 0, v.Text("help.sit.flag.seed"))
	fl.StringVar(&f.who, "who", "", v.Text("help.sit.flag.who"))
	fl.IntVar(&f.place, "place", 1, v.Text("help.sit.flag.place"))
	fl.StringVar(&f.log, "log", "", v.Text("help.sit.flag.log"))
	fl.BoolVar(&f.noLog, "no-log", false, v.Text("help.sit.flag.no-log"))
	fl.BoolVar(&f.guide, "guide", false, v.Text("help.sit.flag.guide"))
	fl.BoolVar(&f.plain, "plain", false, v.Text("help.sit.flag.plain"))
	fl.BoolVar(&f.json, "json", false, v.Text("help.sit.flag.json"))
	return cmd
}

// sit holds a sitting from its beginning, or from where its log ends, to the
// mark or to where it is broken off.
func sit(v voice.Voice, name string, f sitFlags, r *room) error {
	defer r.close()
	d, err := seat(v, name, f, r)
	if err != nil {
		return err
	}
	defer d.log.close()
	err = d.serve(r)
	r.close()
	if err != nil {
		return err
	}
	if err := d.finish(r, f.json); err != nil {
		return err
	}
	if d.refused > 0 && !r.interactive() {
		return errRefused
	}
	return nil
}

// seat brings a patient and the log of the sitting.
func seat(v voice.Voice, name string, f sitFlags, r *room) (*desk, error) {
	if f.log != "" && exists(f.log) {
		return reseat(v, name, f, r)
	}
	help := f.help(name)
	if name == "" {
		name = "1"
	}
	var t *task
	var c *cases.Case
	var err error
	if isTask(name) {
		if c, t, err = f.taskOf(name); err == nil && t.fixed {
			help = t.help
		}
	} else {
		c, err = loadCase(name, f.keys.sitting)
	}
	if err != nil {
		return nil, err
	}
	if !f.hasSeed {
		f.seed = rand.Uint64() // so many that nobody tries them all
	}
	log, kept, err := newLog(c, f)
	if err != nil {
		return nil, err
	}
	l, err := chair.Begin(c, t.header(c, f.seed), kept, nil)
	if err == nil {
		err = t.prepare(l)
	}
	if err != nil {
		log.discard()
		return nil, err
	}
	d := newDesk(v, r, c, l, log)
	d.name, d.key, d.seed, d.visit.Notes.Help = name, f.keys.file, &f.seed, help
	if t != nil {
		d.visit.Notes.Terms, d.cas = t.terms, t.terms.Marked(c)
		d.task, d.seed = t, nil // the same luck is not offered again
	}
	d.welcome()
	d.advise()
	return d, nil
}

// newLog is the file that the log is to be in, and the same as a chair takes it;
// none if none is wanted.
func newLog(c *cases.Case, f sitFlags) (log *logFile, kept chair.Log, err error) {
	if f.noLog {
		return nil, nil, nil
	}
	path := f.log
	if path == "" {
		if path, err = ownLog(c.ID, f.seed, time.Now()); err != nil {
			return nil, nil, err
		}
	}
	log, err = createLog(path)
	return log, log, err
}

// reseat goes on with a sitting that was broken off.
func reseat(v voice.Voice, name string, f sitFlags, r *room) (*desk, error) {
	rec, err := readLog(f.log)
	if err != nil {
		return nil, err
	}
	if f.hasSeed {
		if err := f.sameSeed(rec.Header.Seed); err != nil {
			return nil, err
		}
	}
	help := f.help(name)
	var t *task
	var c *cases.Case
	if isTask(name) {
		if c, t, err = f.taskIn(name, rec.Header); err == nil && t.fixed {
			help = t.help
		}
	} else {
		c, err = caseOf(rec.Header, name, f.keys.sitting)
	}
	if err != nil {
		return nil, err
	}
	log, err := continueLog(f.log, rec)
	if err != nil {
		return nil, err
	}
	l, err := chair.Resume(c, rec, log, nil)
	if err != nil {
		log.close()
		return nil, fact.Because(err, "log.in", "path", f.log)
	}
	if chair.Over(l) {
		log.close()
		return nil, fact.Refuse("sit.over", "path", f.log, "quoted", quoted(f.log))
	}
	d := newDesk(v, r, c, l, log)
	d.name, d.key, d.seed, d.visit.Notes.Help = name, f.keys.file, rec.Header.Seed, help
	if name == "" {
		d.name = c.ID
	}
	if t != nil {
		d.visit.Notes.Terms, d.cas, d.task, d.seed = t.terms, t.terms.Marked(c), t, nil
	}
	d.welcome()
	d.resumed(rec)
	d.advise()
	return d, nil
}

// sameSeed checks that a log has the seed that was named.
func (f sitFlags) sameSeed(logged *uint64) error {
	if logged == nil {
		return fact.Refuse("sit.no-seed", "path", f.log)
	}
	if f.seed != *logged {
		return fact.Refuse("sit.other-seed", "path", f.log, "seed", fmt.Sprint(*logged), "wanted", fmt.Sprint(f.seed))
	}
	return nil
}

// finish shows the mark, or how to go on later.
func (d *desk) finish(r *room, asJSON bool) error {
	if !d.visit.Over() {
		d.later()
		return nil
	}
	if shows := d.visit.Notes.Terms.Shown(); shows != cases.ShowsAll {
		return d.withheld(d.voice, shows)
	}
	s, err := d.insight.Again(d.visit.Events())
	if err != nil {
		return err
	}
	if asJSON {
		m, err := scoring.Of(s)
		if err != nil {
			return err
		}
		return writeJSON(r.results, struct {
			*scoring.Mark
			Caution string `json:"caution"`
		}{m, d.voice.Text("caution")})
	}
	reviewed, err := review(d.cas, d.cas.MarkedBy(), s)
	if err != nil {
		return err
	}
	d.blank()
	if err := report.Write(d.out, d.voice, reviewed, false); err != nil {
		return err
	}
	d.after()
	return nil
}

func writeJSON(w io.Writer, v any) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(data, '\n'))
	return err
}

// command is how to start the same sitting again.
func (d *desk) command() string {
	if d.seed == nil {
		return d.again()
	}
	return d.again() + " --seed " + strconv.FormatUint(*d.seed, 10)
}

// again is how to sit down with the same case.
func (d *desk) again() string {
	how := "conoid sit " + quoted(d.name)
	if d.task != nil {
		how += fmt.Sprintf(" --who %s --place %d", d.task.who, d.task.terms.Place)
	}
	if d.key != "" {
		how += " --key " + quoted(d.key)
	}
	return how
}

func quoted(name string) string {
	for _, r := range name {
		if r == ' ' || r == '"' || r == '\'' {
			return strconv.Quote(name)
		}
	}
	return name
}

// help is what the student wishes for: to be guided, as who names no case is, or
// nothing. An assignment may fix it otherwise.
func (f *sitFlags) help(name string) chair.Help {
	if f.guide || name == "" {
		return chair.Led
	}
	return chair.Alone
}
