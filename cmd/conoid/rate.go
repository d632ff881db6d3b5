package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"conoid/cmd/internal/chair"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// rating is an examiner who judges candidates' work without knowing whose it is
// and what marks it has.
type rating struct {
	assessor
	file, rater string
	value       float64
	given       bool   // the value is
	correct     string // the work whose rating the rater corrects; empty for none
	cmd         *cobra.Command
	plan        *practical.Plan
	owner       *practical.Keys
}

func rateCommand(v voice.Voice) *cobra.Command {
	var r rating
	cmd := practicalHelp(v, "rate")
	cmd.Args = arguments(1, -1, "argument.results")
	cmd.RunE = func(cmd *cobra.Command, args []string) (err error) {
		switch {
		case r.practical == "":
			return missingFlag("practical")
		case r.keys == "":
			return missingFlag("keys")
		case r.file == "":
			return missingFlag("ratings")
		case r.rater == "":
			return missingFlag("rater")
		}
		if err := practical.CheckRater(r.rater); err != nil {
			return err
		}
		r.cmd, r.given, r.rater = cmd, cmd.Flags().Changed("rating"), practical.Candidate(r.rater)
		if r.plan, r.owner, err = r.load(cmd.ErrOrStderr()); err != nil {
			return err
		}
		return r.rate(args)
	}
	r.flags(v, cmd)
	fl := cmd.Flags()
	fl.StringVar(&r.file, "ratings", "", v.Text("help.practical.flag.ratings-to"))
	fl.StringVar(&r.rater, "rater", "", v.Text("help.practical.flag.rater"))
	fl.StringVar(&r.correct, "correct", "", v.Text("help.practical.flag.correct"))
	fl.Float64Var(&r.value, "rating", 0, v.Text("help.practical.flag.rating"))
	return cmd
}

// rate shows the next work and takes down the rating.
func (r *rating) rate(args []string) error {
	data, past, err := r.past()
	if err != nil {
		return err
	}
	v, out := r.voice, r.cmd.OutOrStdout()
	works, n := r.open(args)
	if r.correct != "" {
		return r.again(works, data, past)
	}
	left := r.left(works, past)
	if len(left) == 0 {
		return fact.Refuse("practical.nothing-to-rate", "rater", r.rater, "n", fact.Count(n))
	}
	one := practical.Rating{Work: r.work(left[0]), Rater: r.rater}
	fmt.Fprintln(out, v.Text("practical.rate.work", "work", one.Work, "left", fact.Count(len(left)), "n", fact.Count(n), "rater", r.rater))
	if err := r.judge(left[0], one, data, past); err != nil {
		return err
	}
	if more := len(left) - 1; more > 0 {
		fmt.Fprintln(out, v.Text("practical.rate.more", "n", fact.Count(more), "rater", r.rater))
	}
	return nil
}

// again shows a work that the rater has rated, and takes down the rating that is to stand.
func (r *rating) again(works []*practical.Record, data []byte, past []practical.Rating) error {
	i := slices.IndexFunc(works, func(rec *practical.Record) bool { return strings.EqualFold(r.work(rec), r.correct) })
	if i < 0 {
		return fact.Refuse("practical.no-work", "work", r.correct)
	}
	one := practical.Rating{Work: r.work(works[i]), Rater: r.rater, Corrects: true}
	before, is := practical.Given(past, one.Work, r.rater)
	if !is {
		return fact.Refuse("practical.not-rated-by", "rater", r.rater, "work", one.Work)
	}
	fmt.Fprintln(r.cmd.OutOrStdout(), r.voice.Text("practical.rate.again", "work", one.Work, "rater", r.rater, "rating", fact.Number(before.Rating)))
	return r.judge(works[i], one, data, past)
}

// judge shows a work and takes down its rating in the file, which has data and so the past
// ratings. A slip that is corrected says nothing of what is usual.
func (r *rating) judge(rec *practical.Record, one practical.Rating, data []byte, past []practical.Rating) (err error) {
	v, out := r.voice, r.cmd.OutOrStdout()
	room := newRoom(r.cmd, true, false)
	if room.interactive() {
		fmt.Fprintln(out, v.Text("practical.rate.how"))
	}
	for n, sat := range rec.Cases() {
		fmt.Fprintln(out, v.Text("practical.rate.case", "n", fact.Count(n+1), "of", fact.Count(len(rec.Cases()))))
		if err := r.show(room, sat); err != nil {
			return err
		}
	}
	if rest := len(r.plan.Cases) - len(rec.Cases()); rest > 0 {
		fmt.Fprintln(out, v.Text("practical.rate.not-begun", "n", fact.Count(rest)))
	}
	others := slices.DeleteFunc(practical.Standing(past), func(o practical.Rating) bool { return o.Work == one.Work && o.Rater == one.Rater })
	if one.Rating = r.value; !r.given {
		if one.Rating, err = r.ask(room, others); err != nil {
			return err
		}
	}
	one.At = time.Now()
	line, err := practical.RatingsOf(r.plan, r.file, data).Rate(r.owner, one)
	if err != nil {
		return err
	}
	// A whole new file: a rating is there, or it is not.
	if err := writeNew(r.file, append(data, line...), 0o600, true); err != nil {
		return err
	}
	fmt.Fprintln(out, v.Text("practical.rate.written", "file", r.file, "work", one.Work))
	return nil
}

// past is the file of the ratings, and what is in it.
func (r *rating) past() (data []byte, past []practical.Rating, err error) {
	if !exists(r.file) {
		return nil, nil, nil
	}
	if data, err = readFile(r.file, "argument.ratings"); err != nil {
		return nil, nil, err
	}
	if len(data) > 0 && data[0] != '{' {
		return nil, nil, fact.Refuse("practical.ratings-other", "file", r.file)
	}
	past, err = practical.RatingsOf(r.plan, r.file, data).Ratings()
	return data, past, err
}

// work is the name under which the rater meets a candidate's work.
func (r *rating) work(rec *practical.Record) string { return r.plan.Entry(rec.Candidate()).Work() }

// open opens the results, each candidate's once, in the order of the names of their
// works, which is nobody's. The names of files are not told: they are candidates' numbers.
func (r *rating) open(args []string) (works []*practical.Record, n int) {
	bad := 0
	for _, f := range resultFiles(args) {
		if f.Passed {
			continue
		}
		rec, err := practical.ReadResult(r.plan, f.Name, f.Data, r.owner.Key())
		switch {
		case f.Err != nil || err != nil:
			bad++
		case !slices.ContainsFunc(works, func(o *practical.Record) bool { return o.Candidate() == rec.Candidate() }):
			works = append(works, rec)
		}
	}
	if bad > 0 {
		fmt.Fprintln(r.cmd.ErrOrStderr(), "conoid:", r.voice.Text("practical.rate.unread", "n", fact.Count(bad)))
	}
	slices.SortFunc(works, func(a, b *practical.Record) int { return cmp.Compare(r.work(a), r.work(b)) })
	return works, len(works)
}

// left are the works that the rater can still rate.
func (r *rating) left(works []*practical.Record, past []practical.Rating) []*practical.Record {
	return slices.DeleteFunc(works, func(rec *practical.Record) bool {
		n := 0
		for _, p := range past {
			if p.Work == r.work(rec) && !p.Corrects {
				n++
				if p.Rater == r.rater {
					return true
				}
			}
		}
		return n >= practical.MostRaters
	})
}

// ask asks for a rating until there is one, and once more for one that may be a slip.
func (r *rating) ask(room *room, past []practical.Rating) (float64, error) {
	doubted := math.NaN()
	fmt.Fprintln(r.cmd.OutOrStdout(), r.voice.Text("practical.rate.ask"))
	for {
		line, err := room.next()
		if err != nil {
			return 0, fact.Refuse("practical.not-rated")
		}
		v, err := strconv.ParseFloat(strings.NewReplacer(",", ".", "\u2212", "-").Replace(strings.TrimSpace(line)), 64)
		switch {
		case err != nil || !practical.RatingIs(v):
			fmt.Fprintln(r.cmd.OutOrStdout(), r.voice.Sentence(r.voice.Error(practical.NoRating(strings.TrimSpace(line)))))
		case v != doubted && practical.RatingUnusual(past, v):
			doubted = v
			fmt.Fprintln(r.cmd.OutOrStdout(), r.voice.Text("practical.rate.unusual", "text", strings.TrimSpace(line)))
		default:
			return v, nil
		}
	}
}

// show shows one case: what the candidate was told at the beginning, and then step by
// step what was done.
func (r *rating) show(room *room, sat practical.Sat) error {
	log, err := sitting.ReadLog(strings.NewReader(sat.Log))
	if err != nil {
		return err
	}
	p, err := playerOf(r.voice, r.plan.Patient(sat.Case), log)
	if err == nil {
		err = r.opening(room, p)
	}
	if err != nil {
		return err
	}
	p.out = r.cmd.OutOrStdout()
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
		if errors.Is(err, io.EOF) || err == nil && slices.Contains([]string{"end", r.voice.Text("practical.rate.end")}, strings.TrimSpace(line)) {
			step = false
		} else if err != nil {
			return err
		}
	}
	switch sat.Ended {
	case practical.TimedUp:
		fmt.Fprintln(p.out, "     "+r.voice.Text("practical.rate.time-up"))
	case practical.ByAssessor:
		fmt.Fprintln(p.out, "     "+r.voice.Text("practical.rate.closed"))
	}
	return nil
}

// opening is what the candidate was told of the patient: the record card, and the story
// where the practical shows it.
func (r *rating) opening(room *room, p *player) error {
	l, err := chair.Resume(p.c, &sitting.Record{Header: p.rec.Header}, nil, nil)
	if err != nil {
		return err
	}
	at := looks{teller{room, p.voice}, true, chair.Attend(l, chair.Notes{})}
	if story := at.texts().Story; story != "" && r.plan.Show.Titles {
		at.say(story)
	}
	at.table(at.card())
	at.blank()
	return nil
}
