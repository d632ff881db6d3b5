package practical

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
)

const maxRatings = 1 << 20

// ReadRatings reads what examiners thought of each candidate's work as a whole:
// a CSV file (RFC 4180) whose first line is candidate,rating; more is better.
// The error is a *cases.Malformed.
func ReadRatings(name string, data []byte) (map[string]float64, error) {
	if len(data) > maxRatings {
		return nil, malformed(name, 1, "the file has %d bytes; allowed are %d", len(data), maxRatings)
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
			return nil, malformed(name, wrong.Line, "%v; a line is a candidate's number, a comma, and a rating", wrong.Err)
		case err != nil || first && (strings.TrimSpace(row[0]) != "candidate" || strings.TrimSpace(row[1]) != "rating"):
			return nil, malformed(name, 1, "the first line must be candidate,rating")
		case first:
			continue
		}
		line, _ := r.FieldPos(0)
		c := Candidate(strings.TrimSpace(row[0]))
		if err := CheckCandidate(c); err != nil {
			return nil, malformed(name, line, "%v", err)
		}
		v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(row[1]), "\u2212", "-", 1), 64)
		if err != nil || math.IsNaN(v) || math.Abs(v) > 1000 {
			return nil, malformed(name, line, "%q is no rating: a number from -1000 to 1000", row[1])
		}
		if _, twice := out[c]; twice {
			return nil, malformed(name, line, "candidate %s is rated twice", c)
		}
		out[c] = v
	}
}
