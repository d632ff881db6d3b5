package patient

// Manner is how a person answers: every trait is 0 in one who has none of it.
// Differences are in the natural logarithm of clarity, so that 0.1 is about a
// tenth. What the traits are in people is the project's choice.
type Manner struct {
	Noise      float64 // standard deviation of one judgement, 0 to 1
	Difference float64 // smallest difference called one, 0 to 1
	// Dominance is the lean, as a difference, toward the right eye's image of lines
	// and bars when both eyes see; below zero toward the left eye's. -1 to 1.
	Dominance float64

	Lapse    float64 // chance that an answer is given at random, drawn anew each time a question is put, 0 to 0.5
	Change   float64 // chance that the same question about the same view is thought about afresh, 0 to 1
	Fatigue  float64 // growth of the noise, as a share of it for every 100 steps, 0 to 2
	Settling float64 // seconds to get used to a new lens, 0 to 30; the noise is doubled at first
	// Weariness is the growth of the chance of a lapse for every 100 steps beyond
	// the first 40, 0 to 1.
	Weariness float64

	// Suggestible is the pull of a leading question, 0 to 1: as a shift of the
	// difference toward what it names, or, where it names no difference, as a
	// widening of the one that passes for none.
	Suggestible float64
	Hesitation  float64 // share of close calls answered "not sure" rather than "alike", 0 to 1
	// Wavering is the chance that a comparison is judged afresh right after the
	// answer, which is taken back if it was another, 0 to 0.5.
	Wavering float64
	// AsksAgain is the chance that a close comparison of two looks is asked to be
	// shown again, 0 to 0.5; of a plain one it is a quarter.
	AsksAgain float64
	Slowness  float64 // what an answer takes beyond the usual time, as a share of it, 0 to 2
	// Attention is the share by which lapses, hesitation and asking again are fewer
	// once the task was explained, 0 to 1.
	Attention float64
}

// Manners are ready-made, by names of the project's own; the map is the caller's.
// Noiseless is for tests and marks: no person is.
func Manners() map[string]Manner {
	return map[string]Manner{
		"noiseless": {},
		"keen": {
			Noise: 0.03, Difference: 0.10, Dominance: 0.05,
			Change: 0.1, Settling: 1,
			Hesitation: 0.05, Wavering: 0.01, AsksAgain: 0.02, Attention: 0.5,
		},
		"everyday": {
			Noise: 0.06, Difference: 0.21, Dominance: 0.1,
			Lapse: 0.01, Change: 0.2, Fatigue: 0.2, Settling: 2, Weariness: 0.02,
			Suggestible: 0.05, Hesitation: 0.2, Wavering: 0.02, AsksAgain: 0.05, Slowness: 0.2, Attention: 0.5,
		},
		"scattered": {
			Noise: 0.14, Difference: 0.28, Dominance: -0.1,
			Lapse: 0.06, Change: 0.5, Fatigue: 0.5, Settling: 4, Weariness: 0.06,
			Suggestible: 0.1, Hesitation: 0.3, Wavering: 0.06, AsksAgain: 0.1, Slowness: 0.4, Attention: 0.5,
		},
		"obliging": {
			Noise: 0.07, Difference: 0.21, Dominance: 0.1,
			Lapse: 0.02, Change: 0.3, Fatigue: 0.2, Settling: 2, Weariness: 0.02,
			Suggestible: 0.35, Hesitation: 0.1, Wavering: 0.04, AsksAgain: 0.03, Slowness: 0.1, Attention: 0.5,
		},
	}
}
