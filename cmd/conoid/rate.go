package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/sitting"
)

// rateCommand lets an examiner judge a candidate's work without knowing whose
// it is and what marks it has.
func rateCommand(v voice.Voice) *cobra.Command {
	var planFile, keyFile, ratings string
	var rating float64
	cmd := &cobra.Command{
		Use:   "rate RESULT",
		Short: "Step through a candidate's work without number or marks, and rate it",
		Long: `Step through the cases of a result, without the candidate's number, without the
truth and without any marks, and give one rating of the work as a whole. The
rating is added to a CSV file with the columns candidate and rating, which
conoid practical collect takes for its pass mark.

Rate on your institution's scale, more being better, such as 1 clear fail,
2 borderline, 3 clear pass, 4 very good, 5 excellent. Each candidate is rated
once; a rating that is there already is not written over.

At the terminal every step is shown when you press Enter; end moves to the end of
the case. With --rating, and nothing typed, all steps are shown at once.`,
		Example: "  conoid practical rate 7.conoid-result --practical friday.conoid-practical --keys assessor.keys --ratings ratings.csv",
		Args:    arguments(1, 1, "argument.result"),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case planFile == "" || keyFile == "":
				return usageError{errors.New("name the practical with --practical and your keys with --keys")}
			case ratings == "":
				return usageError{errors.New("name the file of the ratings with --ratings")}
			}
			plan, rec, err := openResult(args[0], planFile, keyFile)
			if err != nil {
				return err
			}
			return rate(v, cmd, plan, rec, ratings, rating, cmd.Flags().Changed("rating"))
		},
	}
	fl := cmd.Flags()
	fl.StringVar(&planFile, "practical", "", "file of the practical")
	fl.StringVar(&keyFile, "keys", "", "file of the assessor's keys")
	fl.StringVar(&ratings, "ratings", "", "CSV file that the rating is added to; begun if it is not there")
	fl.Float64Var(&rating, "rating", 0, "the rating, for those who have seen the work elsewhere, and for scripts")
	return cmd
}

// openResult opens a result with the assessor's keys.
func openResult(result, planFile, keyFile string) (*practical.Plan, *practical.Record, error) {
	data, err := readFile(keyFile, "argument.keys")
	if err != nil {
		return nil, nil, err
	}
	keys, err := practical.ReadKeys(keyFile, data)
	if err != nil {
		return nil, nil, err
	}
	if data, err = readFile(planFile, "argument.practical"); err != nil {
		return nil, nil, err
	}
	sealed, err := practical.Read(planFile, data)
	if err != nil {
		return nil, nil, err
	}
	plan, err := sealed.OpenWith(keys.Key())
	if err != nil {
		return nil, nil, err
	}
	if data, err = readFile(result, "argument.result"); err != nil {
		return nil, nil, err
	}
	rec, err := plan.ReadResult(result, data, keys.Key())
	return plan, rec, err
}

// rate shows the work and takes down the rating.
func rate(v voice.Voice, cmd *cobra.Command, plan *practical.Plan, rec *practical.Record, file string, rating float64, given bool) error {
	rated, err := ratingsOf(file)
	if err != nil {
		return err
	}
	if _, there := rated[rec.Candidate()]; there {
		return fmt.Errorf("this work is rated already in %s: take its line out to rate it again", file)
	}
	room := newRoom(cmd, true, false)
	out := cmd.OutOrStdout()
	for n, sat := range rec.Cases() {
		fmt.Fprintf(out, "Case %d of %d\n", n+1, len(rec.Cases()))
		if err := showWork(v, room, out, plan, sat); err != nil {
			return err
		}
	}
	for !given {
		fmt.Fprintln(out, "Your rating of the work as a whole (a number, more is better):")
		line, err := room.next()
		if err != nil {
			return errors.New("no rating was given, and none is written down")
		}
		rating, err = strconv.ParseFloat(strings.TrimSpace(line), 64)
		given = err == nil
	}
	return addRating(file, rec.Candidate(), rating, out)
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
	p.out, p.blind = out, true
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
		if errors.Is(err, io.EOF) || err == nil && strings.TrimSpace(line) == "end" {
			step = false
		} else if err != nil {
			return err
		}
	}
	if sat.Ended == practical.TimedUp {
		fmt.Fprintln(out, "     The time was up.")
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
func addRating(file, candidate string, rating float64, out io.Writer) error {
	line := fmt.Sprintf("%s,%g\r\n", candidate, rating)
	if !exists(file) {
		line = "candidate,rating\r\n" + line
	}
	f, err := os.OpenFile(file, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return fmt.Errorf("the rating cannot be written: %s: %w", file, cause(err))
	}
	defer f.Close()
	_, err = f.WriteString(line)
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		return fmt.Errorf("the rating cannot be written: %s: %w", file, cause(err))
	}
	fmt.Fprintf(out, "The rating is in %s.\n", file)
	return nil
}
