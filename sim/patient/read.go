package patient

import (
	"math"
	"strings"

	"conoid/sim/chart"
)

// hopeless is the share of letters of a row below which a person no longer
// tries: a few guesses that feel like guesses.
const hopeless = 0.25

// ReadRow answers with the letters that are read of one row; '.' stands for a
// letter that is not even guessed at.
func (m Manner) ReadRow(at Moment, eyes []*Reading, row RowRead) Answer {
	j := m.judge(at)
	row.Said = j.read(better(eyes, row.LogMAR), row)
	return j.said([]RowRead{row})
}

// ReadDown answers with the rows that are read from the smallest easy one down
// to where no more can be told. Rows are in order, largest first.
func (m Manner) ReadDown(at Moment, eyes []*Reading, rows []RowRead) Answer {
	j := m.judge(at)
	start := max(0, len(rows)-1)
	for ; start > 0; start-- {
		if r := better(eyes, rows[start].LogMAR); r != nil && r.Known(rows[start].LogMAR) > 0.95 {
			break
		}
	}
	var read []RowRead
	for _, row := range rows[start:] {
		r := better(eyes, row.LogMAR)
		if r == nil || r.Known(row.LogMAR) < hopeless {
			break
		}
		row.Said = j.read(r, row)
		read = append(read, row)
	}
	return j.said(read)
}

// better is the eye that reads a row better; nil when no eye is open.
func better(eyes []*Reading, logMAR float64) *Reading {
	var best *Reading
	for _, r := range eyes {
		if best == nil || r.Known(logMAR) > best.Known(logMAR) {
			best = r
		}
	}
	return best
}

// read says the letters of one row.
func (j *judge) read(r *Reading, row RowRead) string {
	if r == nil || r.Known(row.LogMAR) < hopeless {
		return strings.Repeat(".", len(row.Shown))
	}
	reader := r.at(row.LogMAR)
	var said strings.Builder
	for _, shown := range row.Shown {
		var z [letters]float64
		for k := range z {
			z[k] = j.rand.NormFloat64()
		}
		noises := reader.noises(&z)
		at := reader.say(strings.IndexRune(chart.LetterSet, shown), &noises)
		if j.lapses() {
			at = j.stray(letters)
		}
		said.WriteByte(chart.LetterSet[at])
	}
	return said.String()
}

// said puts rows into an answer and scores them letter by letter: a letter
// counts a fifth of a row, and the rows above the first are taken as read.
func (j *judge) said(rows []RowRead) Answer {
	right := 0.0
	var kept []RowRead
	for _, row := range rows {
		for i := range row.Shown {
			if row.Shown[i] == row.Said[i] {
				right += rowStep / float64(len(row.Shown))
			}
		}
		kept = append(kept, row)
	}
	if len(kept) == 0 || strings.Trim(kept[0].Said, ".") == "" {
		return Answer{Kind: Blurred, Variant: j.variant()}
	}
	logMAR := kept[0].LogMAR + rowStep - right
	return Answer{Kind: Read, Rows: kept, LogMAR: math.Round(logMAR*1e4) / 1e4, Variant: j.variant()}
}
