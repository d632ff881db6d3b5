package scoring

import (
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// Mark is what a sitting comes to: how near its end point is, and what it took.
type Mark struct {
	Difference

	Optical optics.Rx `json:"optical"` // what focuses paraxial light in this eye
	Balance Residual  `json:"balance"` // by how much the truth differs from it, for depth of focus and aberrations

	Acuity       fact.LogMAR  `json:"acuity"`                 // through the end point, as this eye has it
	BestAcuity   fact.LogMAR  `json:"bestAcuity"`             // the best that this eye can have
	Limits       []fact.Fact  `json:"limits,omitempty"`       // why no lens gives it a usual one, if that is so
	StatedAcuity *fact.LogMAR `json:"statedAcuity,omitempty"` // as the student wrote it down, if so

	Steps   Steps        `json:"steps"`
	Seconds fact.Seconds `json:"seconds"` // of the patient's time, simulated
}

// Steps counts what was done.
type Steps struct {
	Lens     int `json:"lens"`     // lens changes
	Chart    int `json:"chart"`    // chart changes
	Question int `json:"question"` // questions asked
	Total    int `json:"total"`
}
