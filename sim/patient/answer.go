// Package patient is the person in the chair: an observer who answers from
// the retinal image of what hangs on the wall, with human noise. It is never
// told the refractive error; all it has is the light on its two retinas.
//
// [Through] is the [Sight] of an eye behind a lens, and [Sight.Look] works out what
// can be judged of it. A [Manner], such as those of [Manners], answers at a
// [Moment] about a [Gaze], which is one look or several: [Manner.Lines],
// [Manner.Limbs], [Manner.Blocks] and [Manner.Colours] about marks,
// [Manner.ReadDown] about letters, [Manner.Compare] about two views. A [Focuser]
// finds how much accommodation is wanted, and [Focusing] is how a person's goes
// there and to and fro. Package sitting
// does all of it in the order of an examination.
package patient

import "conoid/sim/chart"

// Kind says what an answer amounts to.
type Kind string

// The kinds of answers.
const (
	Lines         Kind = "lines"         // these lines are the clearest
	Alike         Kind = "alike"         // no difference is seen
	Blurred       Kind = "blurred"       // nothing can be made out
	Unsure        Kind = "unsure"        // "I can't tell"
	Changing      Kind = "changing"      // "they keep changing"
	Left          Kind = "left"          // the limb to the left of the arrow is clearer
	Right         Kind = "right"         // the limb to the right of the arrow is clearer
	Parallel      Kind = "parallel"      // the bars that run with the arrow are clearer
	Perpendicular Kind = "perpendicular" // the bars that run across the arrow are clearer
	RedClearer    Kind = "red"
	GreenClearer  Kind = "green"
	Read          Kind = "read"    // letters were read out
	Better        Kind = "better"  // clearer with the lens held up, or clearer now than before
	Worse         Kind = "worse"   // less clear with the lens held up, or now
	Smaller       Kind = "smaller" // only smaller and blacker
	Same          Kind = "same"    // no difference with the lens held up, or now
	Again         Kind = "again"   // no answer: "could you show me that again?" Who asks again gets one
)

// Answer is what the patient says. Only the fields of its kind are set.
type Answer struct {
	Kind Kind `json:"kind"`
	// First is what was said first, and taken back at once: "No, wait".
	First Kind `json:"first,omitempty"`
	// Lines are the directions of the lines called clearest, in degrees in
	// the patient's view (0 to 170), from one side of the group to the other.
	Lines []float64 `json:"lines,omitempty"`
	// Rows are the rows of letters read, largest first.
	Rows []RowRead `json:"rows,omitempty"`
	// LogMAR is the acuity scored letter by letter over the rows read.
	LogMAR float64 `json:"logmar,omitempty"`
	// Variant chooses one of the many ways to say it.
	Variant uint32 `json:"variant"`
}

// RowRead is one row of letters as it was shown and as it was read. A letter
// that could not even be guessed at is said as '.'.
type RowRead struct {
	LogMAR float64 `json:"size"`
	Shown  string  `json:"shown"`
	Said   string  `json:"said"`
}

// Right is how many letters of the row were read as they were shown.
func (r RowRead) Right() (n int) {
	for i := range min(len(r.Shown), len(r.Said)) {
		if r.Shown[i] == r.Said[i] {
			n++
		}
	}
	return n
}

// Question is something that the examiner can ask.
type Question string

// Name is the name of a question in the words.
func (q Question) Name() string {
	if q == WhichLines {
		return "question.lines"
	}
	return "question." + string(q)
}

// The questions. Each goes with charts on which it makes sense.
const (
	WhichLines  Question = "which"   // a dial: which lines are clearest?
	WhichLimb   Question = "limbs"   // an arrow: is one limb clearer?
	WhichBlock  Question = "blocks"  // blocks: is one set of bars clearer?
	ReadLetters Question = "read"    // letters: please read
	WhichColour Question = "colours" // red and green: clearer on which?
	WithLens    Question = "lens"    // any chart, a lens held up: clearer with it or without?
	OneOrTwo    Question = "change"  // any chart: clearer now, or before the last lens change?
)

// Questions are all that can be asked.
func Questions() []Question {
	return []Question{WhichLines, WhichLimb, WhichBlock, ReadLetters, WhichColour, WithLens, OneOrTwo}
}

// QuestionOn is the question that a kind of chart is for; "" for none.
func QuestionOn(k chart.Kind) Question {
	switch k {
	case chart.DialChart:
		return WhichLines
	case chart.ArrowChart:
		return WhichLimb
	case chart.BlockChart:
		return WhichBlock
	case chart.LetterChart:
		return ReadLetters
	case chart.ColourChart:
		return WhichColour
	}
	return ""
}
