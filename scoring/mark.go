package scoring

// Caution stands at the end of every mark.
const Caution = "A simulation for training: it measures nobody. Refraction of people is for licensed practice under local rules."

// Mark is what a sitting comes to: how near its end point is, and what it took.
type Mark struct {
	Difference

	Acuity       float64  `json:"acuity"`                 // logMAR through the end point, as this eye has it
	BestAcuity   float64  `json:"bestAcuity"`             // logMAR, the best that this eye can have
	StatedAcuity *float64 `json:"statedAcuity,omitempty"` // logMAR as the student wrote it down, if so

	Steps   Steps   `json:"steps"`
	Seconds float64 `json:"seconds"` // of the patient's time, simulated

	Caution string `json:"caution"`
}

// Steps counts what was done.
type Steps struct {
	Lens     int `json:"lens"`     // lens changes
	Chart    int `json:"chart"`    // chart changes
	Question int `json:"question"` // questions asked
	Total    int `json:"total"`
}
