package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

func markCommand(v voice.Voice) *cobra.Command {
	var caseFile, marking string
	var asJSON, full bool
	var k keyring
	cmd := &cobra.Command{
		Use:     "mark " + v.Text("help.argument.log"),
		Short:   v.Text("help.mark.short"),
		Long:    v.Text("help.mark.long"),
		Example: v.Text("help.mark.example"),
		Args:    arguments(1, 1, "argument.log"),
		RunE: func(cmd *cobra.Command, args []string) error {
			r, rec, err := reviewed(args[0], caseFile, marking, &k)
			if err != nil {
				return err
			}
			if rec.Torn {
				fmt.Fprintf(cmd.ErrOrStderr(), "conoid: %s\n", v.Text("log.torn", "path", args[0]))
			}
			if err := writeReport(cmd.OutOrStdout(), v, r, rec.Header.Try, asJSON, full); err != nil {
				return err
			}
			if r.Mark == nil {
				return fact.Because(scoring.NoEndPoint{}, "log.in", "path", args[0])
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&caseFile, "case", "", v.Text("help.flag.case"))
	cmd.Flags().StringVar(&marking, "marking", "", v.Text("help.mark.flag.marking"))
	k.flag(v, cmd)
	cmd.Flags().BoolVar(&full, "full", false, v.Text("help.mark.flag.full"))
	cmd.Flags().BoolVar(&asJSON, "json", false, v.Text("help.mark.flag.json"))
	return cmd
}

// writeReport writes what a sitting came to; try is what it was a new try of, nil for a
// sitting of its own.
func writeReport(w io.Writer, v voice.Voice, r *scoring.Report, try *sitting.Try, asJSON, full bool) error {
	if !asJSON {
		if try != nil {
			fmt.Fprintf(w, "%s\n\n", v.Text("report.tried", "n", fact.Count(try.Step), "of", try.Of))
		}
		return report.Write(w, v, r, full)
	}
	return writeJSON(w, struct {
		*scoring.Report
		Try     *sitting.Try `json:"try,omitempty"` // what it was a new try of
		Caution string       `json:"caution"`
	}{r, try, v.Text("caution")})
}

// logged is a sitting that was read from its log.
type logged struct {
	c   *cases.Case
	s   *sitting.Sitting
	rec *sitting.Record
}

// ended reports whether an end point was stated, after which the error is told to
// those who may sit a sealed case, unless their assignment keeps it back.
func ended(rec *sitting.Record) bool {
	if t := rec.Header.Task; t != nil && t.Withheld {
		return false
	}
	return slices.ContainsFunc(rec.Events, func(e sitting.Event) bool { return e.Action.Do == sitting.End })
}

// readSitting reads a log and does its sitting again, for a report that tells the
// error.
func readSitting(path, caseFile string, k *keyring) (*logged, error) {
	rec, err := readLog(path)
	if err != nil {
		return nil, err
	}
	c, err := caseOf(rec.Header, caseFile, k.sitting)
	if err != nil {
		return nil, err
	}
	if k.sitter && !ended(rec) {
		if t := rec.Header.Task; t != nil && t.Withheld {
			return nil, fact.Refuse("seal.withheld", "path", path)
		}
		return nil, fact.Refuse("seal.unended", "path", path)
	}
	s, err := sitting.Replay(c.Setup(), rec)
	if err != nil {
		return nil, fact.Because(err, "log.in", "path", path)
	}
	return &logged{c, s, rec}, nil
}

// reviewed reads a log and reviews its sitting, by the scheme in a file if one is
// named.
func reviewed(path, caseFile, marking string, k *keyring) (r *scoring.Report, rec *sitting.Record, err error) {
	l, err := readSitting(path, caseFile, k)
	if err != nil {
		return nil, nil, err
	}
	c, by, err := markedBy(l.c, marking)
	if err != nil {
		return nil, nil, err
	}
	r, err = review(c, by, l.s)
	if err != nil {
		return nil, nil, fact.Because(err, "log.in", "path", path)
	}
	return r, l.rec, nil
}

// markedBy is a case with the scheme of a file, "" for its own, and the words for
// that scheme. It is the same patient.
func markedBy(c *cases.Case, file string) (*cases.Case, fact.Fact, error) {
	if file == "" {
		return c, c.MarkedBy(), nil
	}
	data, err := readFile(file, "argument.scheme")
	if err != nil {
		return nil, fact.Fact{}, err
	}
	scheme, err := cases.ReadScheme(file, data)
	if err == nil && scheme == nil {
		err = fact.Refuse("scheme.none", "file", file)
	}
	if err != nil {
		return nil, fact.Fact{}, err
	}
	other := *c
	other.Marking = scheme
	return &other, fact.New("scheme.file", "file", filepath.Base(file)), nil
}

// review is the report of a sitting by the scheme of its case, of which by are the
// words, against the expert's par on it.
func review(c *cases.Case, by fact.Fact, s *sitting.Sitting) (*scoring.Report, error) {
	par, err := scoring.ParOf(c, scoring.ParSeeds)
	if err != nil {
		return nil, err
	}
	r, err := scoring.ReviewBy(c.Scheme(), by, s, par)
	if err != nil {
		return nil, err
	}
	r.Remark(c)
	return r, nil
}
