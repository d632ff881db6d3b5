package optics_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"conoid/sim/optics"
)

// A spectacle cylinder focuses light in a line along its axis: common knowledge
// of the trade (no source). So +2.00 x 30 makes a front line at 30, in the
// dioptres of its power, and a back line, at infinity, across it.
func TestFocalLinesOfACylinder(t *testing.T) {
	front, back := optics.Rx{Cyl: 2, Axis: 30}.Power().FocalLines()
	assert.InDelta(t, 2, front.Power, 1e-9)
	assert.InDelta(t, 30, front.Angle, 1e-9)
	assert.InDelta(t, 0, back.Power, 1e-9)
	assert.InDelta(t, 120, back.Angle, 1e-9)
}

// An eye of −1.00 / −2.00 x 30 that is fogged sees the line from one to seven
// o'clock the clearest, 60 degrees in its own view; the line parallel to the
// back focal line is the clearest (both: common practice). Mirrored, it would
// be the one from five to eleven.
func TestTheBackLineLiesAlongTheClearestLine(t *testing.T) {
	residual := optics.Sphere(-0.50).Sub(optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}.Power())
	front, back := residual.FocalLines()
	assert.InDelta(t, 60, optics.PatientAngle(back.Angle), 1e-9)
	assert.InDelta(t, 0.5, back.Power, 1e-9)
	assert.InDelta(t, 2.5, front.Power, 1e-9)
}

func TestFocalLinesAreThePrincipalPowers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(-8, 8)
		p := optics.Power{M: d.Draw(t, "M"), J0: d.Draw(t, "J0"), J45: d.Draw(t, "J45")}
		front, back := p.FocalLines()
		assert.InDelta(t, p.At(front.Angle+90), front.Power, 1e-9)
		assert.InDelta(t, p.At(back.Angle+90), back.Power, 1e-9)
		assert.InDelta(t, p.M, (front.Power+back.Power)/2, 1e-9)
	})
}
