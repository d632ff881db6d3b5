package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// rateCommand lets an examiner judge a candidate's work without knowing whose
// it is and what marks it has.
func rateCommand(v voice.Voice) *cobra.Command {
	var a assessor
	var ratings string
	var rating float64
	cmd := practicalHelp(v, "rate")
	cmd.Args = arguments(1, 1, "argument.result")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		switch {
		case a.practical == "":
			return missingFlag("practical")
		case a.keys == "":
			return missingFlag("keys")
		case ratings == "":
			return missingFlag("ratings")
		}
		plan, keys, err := a.load(cmd.ErrOrStderr())
		if err != nil {
			return err
		}
		data, err := readFile(args[0], "argument.result")
		if err != nil {
			return err
		}
		rec, err := plan.ReadResult(args[0], data, keys.Key())
		if err != nil {
			return err
		}
		return rate(v, cmd, plan, rec, ratings, rating, cmd.Flags().Changed("rating"))
	}
	a.flags(v, cmd)
	cmd.Flags().StringVar(&ratings, "ratings", "", v.Text("help.practical.flag.ratings-to"))
	cmd.Flags().Float64Var(&rating, "rating", 0, v.Text("help.practical.flag.rating"))
	return cmd
}

// rate shows the work and takes down the rating.
func rate(v voice.Voice, cmd *cobra.Command, plan *practical.Plan, rec *practical.Record, file string, rating float64, given bool) error {
	rated, err := ratingsOf(file)
	if err != nil {
		return err
	}
	if _, there := rated[rec.Candidate()]; there {
		return fact.Refuse("practical.rated-already", "file", file)
	}
	room := newRoom(cmd, true, false)
	out := cmd.OutOrStdout()
	for n, sat := range rec.Cases() {
		fmt.Fprintln(out, v.Text("practical.rate.case", "n", fact.Count(n+1), "of", fact.Count(len(rec.Cases()))))
		if err := showWork(v, room, out, plan, sat); err != nil {
			return err
		}
	}
	for !given {
		fmt.Fprintln(out, v.Text("practical.rate.ask"))
		line, err := room.next()
		if err != nil {
			return fact.Refuse("practical.not-rated")
		}
		rating, err = strconv.ParseFloat(strings.Replace(strings.TrimSpace(line), ",", ".", 1), 64)
		given = err == nil
	}
	if err := addRating(file, rec.Candidate(), rating); err != nil {
		return fact.Because(cause(err), "practical.rating-unwritten", "file", file)
	}
	return second(fmt.Fprintln(out, v.Text("practical.rate.written", "file", file)))
}

// showWork shows one case step by step.
func showWork(v voice.Voice, room *room, out io.Writer, plan *practical.Plan, sat practical.Sat) error {
	log, err := sitting.ReadLog(strings.NewReader(sat.Log))
	if err != nil {
		return err
	}
	p, err := playerOf(v, plan.Patient(sat.Case), log)
	if err != nil {
		return err
	}
	p.out = out
	step := room.interactive()
	for n := 1; n <= len(log.Events); n++ {
		if err := p.to(n); err != nil {
			return err
		}
		p.tell()
		if !step {
			continue
		}
		line, err := room.next()
		if errors.Is(err, io.EOF) || err == nil && slices.Contains([]string{"end", v.Text("practical.rate.end")}, strings.TrimSpace(line)) {
			step = false
		} else if err != nil {
			return err
		}
	}
	if sat.Ended == practical.TimedUp {
		fmt.Fprintln(out, "     "+v.Text("practical.rate.time-up"))
	}
	return nil
}

// ratingsOf reads a file of ratings; one that is not there has none.
func ratingsOf(file string) (map[string]float64, error) {
	if !exists(file) {
		return nil, nil
	}
	data, err := readFile(file, "argument.ratings")
	if err != nil {
		return nil, err
	}
	return practical.ReadRatings(file, data)
}

// addRating adds a line to the file of ratings.
func addRating(file, candidate string, rating float64) error {
	line := fmt.Sprintf("%s,%g\r\n", candidate, rating)
	if !exists(file) {
		line = "candidate,rating\r\n" + line
	}
	f, err := os.OpenFile(file, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer f.Close()
	if _, err := f.WriteString(line); err != nil {
		return err
	}
	return f.Sync()
}
