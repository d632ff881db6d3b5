package patient

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
)

// Moment names one asking of one question about one view. The noise of an
// answer depends on it alone, so that two examiners who do the same hear the
// same, whatever else they did before.
type Moment struct {
	Key       [16]byte // what the noise is drawn from; the same for a whole sitting
	View      string   // what is looked at through which lenses, in canonical words
	Question  string
	Asked     int     // how often this question was asked about this view before
	Step      int     // steps taken so far, for fatigue
	Since     float64 // seconds since a lens was last changed, for getting used to it
	Explained bool    // the task was explained to the patient
	Leading   string  // answer suggested by the question, or ""
}

// source is the generator of the noise of the n-th thought about a moment's
// question.
func (m Moment) source(n int, purpose string) *rand.Rand {
	h := sha256.Sum256(fmt.Appendf(nil, "%x|%s|%s|%d|%s", m.Key, m.View, m.Question, n, purpose))
	return rand.New(rand.NewPCG(binary.LittleEndian.Uint64(h[:]), binary.LittleEndian.Uint64(h[8:])))
}

// thought is how many times the question has been thought about afresh: a
// person who is asked the same again mostly repeats the last answer, and
// thinks again with the chance change.
func (m Moment) thought(change float64) int {
	n := 0
	for i := 1; i <= m.Asked; i++ {
		if m.source(i, "again").Float64() < change {
			n = i
		}
	}
	return n
}
