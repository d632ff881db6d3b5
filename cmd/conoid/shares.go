package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"conoid/cases"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// What the shares of drawn people are taken from: single ones, with the seeds from 1 on,
// and sets.
const (
	singlesShown = 1000
	setsShown    = 4
	inEachSet    = 24
)

// share is what is counted of people: a row of the table.
type share struct {
	words string
	is    func(*cases.Case) bool
}

// shares are all rows: the levels, the difficulties, and in how many claims the record
// card is off.
func shares(v voice.Voice) (out []share) {
	for level := 1; level <= cases.Levels; level++ {
		out = append(out, share{v.Text("check.level", "level", fact.Count(level)), func(c *cases.Case) bool { return c.Level == level }})
	}
	for _, d := range cases.AllDifficulties() {
		out = append(out, share{v.Value(d), func(c *cases.Case) bool { return c.Has(d) }})
	}
	for n := range len(cases.Claims()) + 1 {
		out = append(out, share{v.Text("draw.shares.card", "n", fact.Count(n)), func(c *cases.Case) bool { return len(c.CardMisses()) == n }})
	}
	return out
}

// of is how many per cent of people a row is about.
func (s share) of(people []*cases.Case) fact.Number {
	n := 0.0
	for _, c := range people {
		if s.is(c) {
			n++
		}
	}
	return fact.Number(math.Round(1000*n/float64(len(people))) / 10)
}

// drawnSingles are people as they come, and drawnSets those of sets of all levels.
func drawnSingles() (out []*cases.Case) {
	for seed := range uint64(singlesShown) {
		out = append(out, cases.Draw(seed+1, 0))
	}
	return out
}

func drawnSets() (out []*cases.Case) {
	for seed := range uint64(setsShown) {
		_, drawn := cases.DrawSet(seed+1, 0, inEachSet)
		out = append(out, drawn...)
	}
	return out
}

// writeShares writes the table of what draws really give.
func writeShares(w io.Writer, v voice.Voice) error {
	singles, sets := drawnSingles(), drawnSets()
	rows := [][]string{{"", v.Text("draw.shares.singles"), v.Text("draw.shares.sets")}}
	per := func(n fact.Number) string { return v.Text("draw.shares.percent", "n", n) }
	for _, s := range shares(v) {
		rows = append(rows, []string{v.Capital(s.words), per(s.of(singles)), per(s.of(sets))})
	}
	about := v.Text("draw.shares.about", "n", fact.Count(singlesShown), "sets", fact.Count(setsShown), "each", fact.Count(inEachSet))
	_, err := fmt.Fprintf(w, "%s\n\n%s", wrap(about, width), strings.TrimRight(report.Columns(rows), "\n")+"\n")
	return err
}
