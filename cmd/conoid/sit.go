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
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/sitting"
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
			return sit(name, f, newRoom(cmd, f.plain, f.json))
		},
	}
	f.keys.flag(cmd)
	fl := cmd.Flags()
	fl.Uint64Var(&f.seed, "seed", 0, v.Text("help.sit.flag.seed"))
	fl.StringVar(&f.log, "log", "", v.Text("help.sit.flag.log"))
	fl.BoolVar(&f.noLog, "no-log", false, v.Text("help.sit.flag.no-log"))
	fl.BoolVar(&f.guide, "guide", false, v.Text("help.sit.flag.guide"))
	fl.BoolVar(&f.plain, "plain", false, v.Text("help.sit.flag.plain"))
	fl.BoolVar(&f.json, "json", false, v.Text("help.sit.flag.json"))
	return cmd
}

// sit holds a sitting from its beginning, or from where its log ends, to the
// mark or to where it is broken off.
func sit(name string, f sitFlags, r *room) error {
	defer r.close()
	d, err := seat(name, f, r)
	if err != nil {
		return err
	}
	defer d.journal.close()
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
func seat(name string, f sitFlags, r *room) (*desk, error) {
	if f.log != "" && exists(f.log) {
		return reseat(name, f, r)
	}
	guided := f.guide || name == ""
	if name == "" {
		name = "1"
	}
	c, err := loadCase(name, &f.keys)
	if err != nil {
		return nil, err
	}
	if !f.hasSeed {
		f.seed = rand.Uint64N(1_000_000) // short enough to be written down
	}
	d := newDesk(r, c, name, f.keys.file, sitting.Start(c.Setup(), sitting.Seeded(f.seed)), &f.seed, guided, f.log)
	if !f.noLog {
		if d.logPath == "" {
			if d.logPath, err = ownLog(c, f.seed, time.Now()); err != nil {
				return nil, err
			}
		}
		d.journal, err = createJournal(d.logPath, sitting.Header{Case: c.Hash(), Title: c.Title}.Seeded(f.seed))
		if err != nil {
			return nil, err
		}
	}
	d.welcome()
	d.advise()
	return d, nil
}

// reseat goes on with a sitting that was broken off.
func reseat(name string, f sitFlags, r *room) (*desk, error) {
	rec, err := readJournal(f.log)
	if err != nil {
		return nil, err
	}
	if has := rec.Header.Seed; f.hasSeed && has == nil {
		return nil, fmt.Errorf("the log %s has no seed: leave --seed out", f.log)
	} else if f.hasSeed && f.seed != *has {
		return nil, fmt.Errorf("the log %s has the seed %d, not %d: leave --seed out", f.log, *has, f.seed)
	}
	c, err := caseOf(rec.Header, name, &f.keys)
	if err != nil {
		return nil, err
	}
	s, err := sitting.Replay(c.Setup(), rec)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.log, err)
	}
	if _, over := s.EndPoint(); over {
		return nil, fmt.Errorf("the sitting in %s is over: see its mark with conoid mark %s", f.log, f.log)
	}
	guided := f.guide || name == ""
	if name == "" {
		name = c.ID
	}
	d := newDesk(r, c, name, f.keys.file, s, rec.Header.Seed, guided, f.log)
	if d.journal, err = continueJournal(f.log, rec); err != nil {
		return nil, err
	}
	d.welcome()
	d.resumed(rec)
	d.advise()
	return d, nil
}

// finish shows the mark, or how to go on later.
func (d *desk) finish(r *room, asJSON bool) error {
	if _, over := d.s.EndPoint(); !over {
		d.later()
		return nil
	}
	m, err := scoring.Of(d.s)
	if err != nil {
		return err
	}
	if asJSON {
		return writeJSON(r.results, struct {
			*scoring.Mark
			Caution string `json:"caution"`
		}{m, voice.English.Text("caution")})
	}
	reviewed, err := review(d.cas, d.s)
	if err != nil {
		return err
	}
	d.blank()
	if err := report.Write(d.out, voice.English, reviewed, false); err != nil {
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

func newDesk(r *room, c *cases.Case, name, key string, s *sitting.Sitting, seed *uint64, guided bool, log string) *desk {
	return &desk{out: r, cas: c, name: name, key: key, s: s, seed: seed, guided: guided, plain: r.plain, logPath: log, said: map[string]bool{}}
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
