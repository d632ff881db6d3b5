package method_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/method"
	"conoid/sim/patient"
)

func TestWhatFollowsFromAnAnswer(t *testing.T) {
	for _, c := range []struct {
		rule func(patient.Kind) (method.Way, bool)
		kind patient.Kind
		way  method.Way
		ok   bool
	}{
		{method.Turn, patient.Left, method.More, true},
		{method.Turn, patient.Right, method.Less, true},
		{method.Turn, patient.Alike, method.Stay, true},
		{method.Turn, patient.Unsure, method.Stay, true},
		{method.Turn, patient.Blurred, method.Stay, false},
		{method.Strengthen, patient.Parallel, method.More, true},
		{method.Strengthen, patient.Perpendicular, method.Less, true},
		{method.Strengthen, patient.Alike, method.Stay, true},
		{method.Strengthen, patient.Again, method.Stay, false},
		{method.Colour, patient.RedClearer, method.Less, true},
		{method.Colour, patient.GreenClearer, method.More, true},
		{method.Colour, patient.Alike, method.Stay, true},
		{method.Colour, patient.Read, method.Stay, false},
	} {
		way, ok := c.rule(c.kind)
		assert.Equal(t, c.way, way, c.kind)
		assert.Equal(t, c.ok, ok, c.kind)
	}
}

func TestMorePlusIsKeptUnlessItIsWorseAndLessOnlyWhenClearer(t *testing.T) {
	for _, c := range []struct {
		kind       patient.Kind
		plus       float64
		accept, ok bool
	}{
		{patient.Better, 0.25, true, true}, {patient.Better, -0.25, true, true},
		{patient.Worse, 0.25, false, true}, {patient.Worse, -0.25, false, true},
		{patient.Same, 0.25, true, true}, {patient.Same, -0.25, false, true},
		{patient.Smaller, -0.25, false, true}, {patient.Unsure, 0.25, true, true},
		{patient.Blurred, 0.25, false, false}, {patient.Again, -0.25, false, false},
	} {
		accept, ok := method.Accept(c.kind, c.plus)
		assert.Equal(t, c.accept, accept, "%s %+.2f", c.kind, c.plus)
		assert.Equal(t, c.ok, ok, "%s %+.2f", c.kind, c.plus)
	}
}

func TestTowardALineNear45Degrees(t *testing.T) {
	for _, c := range []struct {
		axis, label float64
		want        method.Way
	}{
		{30, 75, method.More}, {30, 165, method.Less}, {180, 45, method.More}, {180, 135, method.Less},
		{30, 55, method.More}, {30, 54, method.Stay}, {30, 95, method.More}, {30, 96, method.Stay},
		{30, 5, method.Less}, {30, 6, method.Stay}, {30, 30, method.Stay}, {30, 120, method.Stay},
	} {
		assert.Equal(t, c.want, method.TowardLine(c.axis, c.label), "%+v", c)
	}
}
