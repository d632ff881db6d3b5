package patient

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Watson (2013), J Vision 13(6):18: the mean radial MTF of healthy eyes in
// best focus, worked out from the published formula with its published
// constants, at pupils of 2 to 6 mm.
func TestMeanOpticalTransferIsWatsons(t *testing.T) {
	frequencies := []float64{1, 2, 5, 10, 20, 30, 40, 60}
	for d, want := range map[float64][]float64{
		2: {.98592, .96431, .86468, .65739, .35299, .19728, .11122, .01510},
		3: {.98561, .95702, .81585, .56262, .28172, .16411, .10456, .04644},
		4: {.97910, .93050, .71292, .42697, .19674, .11484, .07542, .03825},
		5: {.96239, .87359, .56623, .29527, .12855, .07505, .04998, .02670},
		6: {.93349, .79046, .43082, .20549, .08719, .05104, .03430, .01885},
	} {
		for i, f := range frequencies {
			assert.InDelta(t, want[i], MeanOpticalTransfer(f, d), 5e-5, "%v mm, %v c/deg", d, f)
		}
		assert.Equal(t, 1.0, MeanOpticalTransfer(0, d))
	}
	// The cut-off of diffraction, D/lambda at 555 nm: 62.89 c/deg at 2 mm.
	assert.Positive(t, MeanOpticalTransfer(62.8, 2))
	assert.Zero(t, MeanOpticalTransfer(62.9, 2))
}

// Watson and Ahumada (2005), J Vision 5(9):6: the contrast sensitivity of
// their standard model (HPmH), worked out from the published constants.
func TestSensitivityIsWatsonAndAhumadas(t *testing.T) {
	for f, want := range map[float64]float64{
		0.5: 69.673, 1: 106.556, 2: 182.041, 4: 214.204, 8: 135.143, 12: 75.720,
		16: 43.115, 20: 25.175, 30: 7.1656, 40: 2.2324, 60: 0.2581,
	} {
		assert.InEpsilon(t, want, Sensitivity(f), 1e-3, "%v c/deg", f)
	}
	assert.InEpsilon(t, 217.29, Sensitivity(3.449), 1e-4, "the peak")
	assert.Less(t, Sensitivity(3.3), Sensitivity(3.449))
	assert.Less(t, Sensitivity(3.6), Sensitivity(3.449))
}

func TestNeuralIsSensitivityBehindTheOptics(t *testing.T) {
	for f := 0.5; f <= neuralLimit; f += 0.5 {
		assert.Greater(t, Neural(f), Sensitivity(f), "the optics only lose contrast, at %v c/deg", f)
		assert.InEpsilon(t, Sensitivity(f), Neural(f)*MeanOpticalTransfer(f, neuralPupil), 1e-12)
	}
	assert.Zero(t, Neural(0), "an even field has no contrast")
	assert.Zero(t, Neural(-1))
	assert.Zero(t, Neural(neuralLimit+1e-9))
}
