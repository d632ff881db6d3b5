package practical

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"

	"conoid/sim/fact"
)

const (
	maxRatings = 1 << 20 // bytes
	mostRating = 1000
)

// ReadRatings reads what examiners thought of each candidate's work as a whole:
// a CSV file (RFC 4180) whose first line is candidate,rating; more is better.
// The error is a fact "practical.at".
func ReadRatings(name string, data []byte) (map[string]float64, error) {
	if len(data) > maxRatings {
		return nil, tooLarge(name, data, maxRatings)
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	r.FieldsPerRecord = 2
	out := map[string]float64{}
	for first := true; ; first = false {
		row, err := r.Read()
		if errors.Is(err, io.EOF) && !first {
			return out, nil
		}
		var wrong *csv.ParseError
		switch {
		case errors.As(err, &wrong):
			return nil, malformed(name, wrong.Line, fact.New("practical.ratings-line"))
		case err != nil || first && (strings.TrimSpace(row[0]) != "candidate" || strings.TrimSpace(row[1]) != "rating"):
			return nil, malformed(name, 1, fact.New("practical.ratings-head"))
		case first:
			continue
		}
		line, _ := r.FieldPos(0)
		c := Candidate(strings.TrimSpace(row[0]))
		if err := CheckCandidate(c); err != nil {
			return nil, malformed(name, line, fact.New("practical.no-number", "text", c))
		}
		v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(row[1]), "\u2212", "-", 1), 64)
		if err != nil || math.IsNaN(v) || math.Abs(v) > mostRating {
			return nil, malformed(name, line, fact.New("practical.no-rating", "text", row[1], "least", fact.Number(-mostRating), "most", fact.Number(mostRating)))
		}
		if _, twice := out[c]; twice {
			return nil, malformed(name, line, fact.New("practical.rated-twice", "candidate", c))
		}
		out[c] = v
	}
}
