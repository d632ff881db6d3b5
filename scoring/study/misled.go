package study

import (
	"bytes"
	"fmt"
	"io"

	"conoid/scoring"
	"conoid/scoring/candidate"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// goodFrom is the total from which work is good: what good candidates should get.
const goodFrom = 90

// Misled is a sitting of good work with less than goodFrom, for which the patient's
// chance is to blame: without it the same hands get as much or more.
type Misled struct {
	Sat
	Calm float64 // total with the same patient without noise, lapses and hesitation
	Log  []byte  // JSON Lines
}

// MisledOf finds the sittings in which the patient misled good work, with their logs.
func MisledOf(sats []Sat) (out []Misled, err error) {
	for _, s := range Of(sats, candidate.Good) {
		if s.Total >= goodFrom {
			continue
		}
		setup := s.Case.Setup()
		first := sitting.Start(setup, sitting.Seeded(1))
		par, err := scoring.ParWith(s.Case, first, scoring.ParSeeds)
		if err != nil {
			return nil, err
		}
		m := setup.Manner
		setup.Manner = patient.Manner{Difference: m.Difference, Dominance: m.Dominance, Slowness: m.Slowness}
		calm, err := candidate.RunWith(sitting.Start(setup, sitting.Seeded(1)), s.Case, s.Candidate, s.Seed)
		if err != nil {
			return nil, err
		}
		marked, err := mark(s.Case, calm, par)
		if err != nil {
			return nil, err
		}
		if marked.Total < goodFrom {
			continue
		}
		log, err := logOf(first, s)
		if err != nil {
			return nil, err
		}
		out = append(out, Misled{s, marked.Total, log})
	}
	return out, nil
}

// logOf is the log of a sitting, sat once more; first is any sitting of its case.
func logOf(first *sitting.Sitting, s Sat) ([]byte, error) {
	done, err := candidate.RunWith(first, s.Case, s.Candidate, s.Seed)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	l, err := sitting.NewLog(&b, sitting.Header{Case: s.Case.Hash(), Title: s.Case.Title}.Seeded(s.Seed))
	for _, e := range done.Events() {
		if err == nil {
			err = l.Append(e)
		}
	}
	return b.Bytes(), err
}

// WriteMisled writes them as a Markdown table, with their share of all good sittings.
func WriteMisled(w io.Writer, all []Misled, sats []Sat) error {
	good := Of(sats, candidate.Good)
	below := 0
	for _, s := range good {
		if s.Total < goodFrom {
			below++
		}
	}
	fmt.Fprintf(w, "\nOf %d good sittings %d have less than %d. In %d of them, %s, the patient misled good work: without chance the same hands get %d or more.\n\n",
		len(good), below, goodFrom, len(all), percent(float64(len(all))/float64(max(1, len(good)))), goodFrom)
	fmt.Fprintln(w, "| case | needs | candidate | seed | total | without chance |\n| --- | --- | --- | --- | --- | --- |")
	for _, m := range all {
		if _, err := fmt.Fprintf(w, "| %s | %v | %s | %d | %.1f | %.1f |\n", m.Case.Title, m.Eye, m.Candidate.Name, m.Seed, m.Total, m.Calm); err != nil {
			return err
		}
	}
	return nil
}

// Name is the name of a file for a log.
func (m Misled) Name() string {
	return fmt.Sprintf("%s, %s, %d.jsonl", m.Case.ID, m.Candidate.Name, m.Seed)
}
