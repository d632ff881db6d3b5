package main

import (
	"context"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"unicode/utf8"

	"conoid/cases"
	"conoid/cases/study/population"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring/study"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// examined is what the expert makes of a case; and where that is off on average, of the
// case without this or that.
type examined struct {
	*study.Expected
	tried []population.Why
	by    fact.Fact // the scheme by which it was marked
}

// examine has the expert sit a case again and again until ctx ends, as an assignment has
// it, or whole for nil; progress is told how far it is.
func examine(ctx context.Context, c *cases.Case, s *sitting.Sitting, as *cases.Assignment, progress func(id string, pairs ...any)) (*examined, error) {
	found, err := study.Expect(ctx, c, s, as, func(done, all int) {
		progress("check.progress", "done", fact.Count(done), "all", fact.Count(all))
	})
	if err != nil {
		return nil, err
	}
	x := &examined{Expected: found, by: c.MarkedBy()}
	if len(x.Biases(c.Of(c.Tested).Error)) > 0 {
		x.tried, err = population.Tried(ctx, c, as, study.FirstSittings, func(cause population.Cause) { progress("check.progress-without", "cause", cause) })
	}
	return x, err
}

// progressLine is a line that is written over and over.
type progressLine struct {
	voice voice.Voice
	w     io.Writer
	path  string
	wide  int // of what stands there
}

func (p *progressLine) show(id string, pairs ...any) {
	now := p.voice.Text(id, append(pairs, "file", p.path)...)
	fmt.Fprintf(p.w, "\r%-*s", p.wide, now)
	p.wide = max(p.wide, utf8.RuneCountInString(now))
}

func (p *progressLine) wipe() { fmt.Fprintf(p.w, "\r%*s\r", p.wide, "") }

// mostLost is how many findings an account names.
const mostLost = 3

// tell tells what the expert finds, earns and loses.
func (x *examined) tell(v voice.Voice, c *cases.Case, line func(string, fact.Fact)) {
	line("check.expert", fact.New("check.expert.is", "rx", x.Mean.Round(0.01), "n", fact.Count(x.Sittings)))
	line("check.off", fact.New("check.off.is", "sphere", hundredths(x.Sphere.Mean), "cyl", hundredths(x.Cylinder.Mean),
		"se", fact.Amount(x.Sphere.Error), "ce", fact.Amount(x.Cylinder.Error), "limit", fact.Amount(x.LimitM), "left", fact.Amount(x.LimitCyl)))
	line("check.par", fact.New("check.par.is", "steps", x.Par.WholeSteps(), "time", x.Par.Seconds, "n", fact.Count(x.Par.Seeds)))
	line("check.points", fact.New("check.points.is", "mean", tenths(x.Points.Mean), "error", tenths(x.Points.Error),
		"good", fact.Count(x.Good), "n", fact.Count(x.Sittings), "from", fact.Points(study.GoodFrom), "scheme", x.by))
	if len(x.Lost) == 0 {
		line("check.lost", fact.New("check.lost.none"))
	}
	for _, l := range x.Lost[:min(len(x.Lost), mostLost)] {
		line("check.lost", fact.New("check.lost.one", "points", tenths(l.Points), "finding", report.Of(v, l.Finding).Title,
			"n", fact.Count(l.Sittings), "all", fact.Count(x.Sittings)))
	}
}

func hundredths(d float64) fact.Power { return fact.Power(math.Round(100*d)/100 + 0) }

func tenths(points float64) fact.Points { return fact.Points(math.Round(10*points) / 10) }

// How far off the expert may be on average before a case is called a trap, in
// dioptres: of spherical equivalent, and of cylinder. It is the project's choice,
// a quarter and a half above the step of the trial lenses.
const (
	trapM   = 0.375
	trapCyl = 0.50
)

// warnings are what the expert's sittings say against a case.
func (x *examined) warnings(truth optics.Rx) (out []fact.Fact) {
	for _, b := range x.Biases(truth) {
		f := fact.New("check.bias."+string(b.Claim), "why", x.why(b))
		if b.Claim == cases.AxisClaim {
			f = f.With("turn", fact.Number(math.Abs(math.Round(b.Off))), "band", fact.Number(math.Round(cases.AxisBand(truth.MinusCyl().Cyl))))
		} else {
			f = f.With("off", hundredths(b.Off), "error", fact.Amount(b.Error))
		}
		out = append(out, f)
	}
	if x.ReversedOften() {
		out = append(out, fact.New("check.bias.reversed", "n", fact.Count(x.Reversed), "all", fact.Count(x.Sittings)))
	}
	return append(out, x.traps()...)
}

// why is the reason for a bias, as far as one was found.
func (x *examined) why(b population.Bias) fact.Fact {
	if w := b.Explained(x.tried); w != nil {
		left := fact.New("check.bias.dioptres", "off", hundredths(b.Left(w.Without)))
		if b.Claim == cases.AxisClaim {
			left = fact.New("check.bias.degrees", "turn", fact.Number(math.Abs(math.Round(b.Left(w.Without)))))
		}
		return fact.New("check.bias.why", "cause", w.Cause, "left", left)
	}
	var causes []population.Cause
	for _, w := range x.tried {
		causes = append(causes, w.Cause)
	}
	return fact.New("check.bias.none", "tried", causes)
}

// traps are what is so far off that nobody could be blamed for it, and what the expert
// doubted.
func (x *examined) traps() (out []fact.Fact) {
	var doubts []fact.Fact
	for _, d := range slices.Sorted(maps.Keys(x.Doubts)) {
		if n := x.Doubts[d]; 2*n > x.Sittings {
			doubts = append(doubts, fact.New("check.trap.doubt", "n", fact.Count(n), "all", fact.Count(x.Sittings), "doubt", d))
		}
	}
	if math.Abs(x.Off.M) > trapM || 2*x.Off.Astigmatism() > trapCyl {
		blame := fact.New("check.trap.unseen")
		if len(doubts) > 0 {
			blame = fact.New("check.trap.doubted")
		}
		out = append(out, fact.New("check.trap", "blame", blame))
	}
	return append(out, doubts...)
}
