package sitting

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The lens of the clinical error in the back cell leaves the balance; the lens of the optical error leaves nothing.
func TestWhatTheTrueLensLeaves(t *testing.T) {
	t.Parallel()
	setup := person("noiseless", 0, "-1.25/-2.00x30", "+5.00/-1.50x165", "plano")
	setup.Eyes[0].Eye.Aberrations = eye.Typical(1)
	setup.Tested = Left
	s := Start(setup, Seeded(1))
	assert.NotEqual(t, s.Truth(Right).Best, s.Truth(Left).Best, "each eye has its own")
	assert.Equal(t, Left, do(t, s, Action{Do: Put, Lens: piece("+3.00")}).Action.Eye, "the tested eye is meant when none is named")
	for _, side := range []Side{Right, Left} {
		truth := s.Truth(side)
		assert.Equal(t, setup.Eyes[side.Index()].Error, truth.Error)
		left := s.eye(side).Residual(optics.Required(truth.Error, setup.Room.Vertex, TruthDistance), 0)
		assert.InDelta(t, 0, left.Sub(truth.Balance).Norm(), 1e-9)
		assert.Equal(t, side == Right, truth.Balance.Astigmatism() > 0, "aberrations ask for it")
		left = s.eye(side).Residual(optics.Required(truth.Optical, setup.Room.Vertex, TruthDistance), 0)
		assert.InDelta(t, 0, left.Norm(), 1e-6)

		// The same in a frame with the cylinder in front of the sphere: the few
		// millimetres between them are worth little.
		f := frameOf(truth.Error, setup.Room.Vertex)
		left = s.eye(side).Residual(f.AtCornea(TruthDistance), 0)
		left = left.Sub(truth.Balance)
		assert.InDelta(t, 0, left.M, 0.06)
		assert.InDelta(t, 0, left.Astigmatism(), 0.06)
	}
}

func TestAcuityWithTheTruth(t *testing.T) {
	t.Parallel()
	s := Start(person("noiseless", 0, "-1.25/-2.00x30", "-1.00", "plano"), Seeded(1))
	truth := s.Truth(Right)
	with := func(add string) float64 {
		return s.AcuityWith(Right, truth.Error.Power().Add(rx(add).Power()).Rx())
	}
	assert.InDelta(t, truth.Best+patient.Tolerance, with("plano"), 0.01, "the most plus that is within the tolerance")
	assert.InDelta(t, truth.Best, s.AcuityWith(Right, truth.Optical), 0.02)
	for _, wrong := range []string{"+0.50", "+1.00", "-1.00", "plano/-1.00x30", "plano/-1.00x120"} {
		assert.Greater(t, with(wrong), with("plano")+0.03, wrong)
	}
	// An eye that accommodates makes good for what is lacking in plus.
	young := Start(person("noiseless", 8, "-1.25/-2.00x30", "-1.00", "plano"), Seeded(1))
	assert.InDelta(t, truth.Best, young.AcuityWith(Right, rx("-2.25/-2.00x30")), 0.03)
	assert.InDelta(t, with("+1.00"), young.AcuityWith(Right, rx("-0.25/-2.00x30")), 1e-6, "but not for what is too much")
}

// What the nervous system lets an eye have is what it has at best, each eye by
// itself, and the truth tells what limits it.
func TestANerveLimitsAnEye(t *testing.T) {
	t.Parallel()
	setup := person("noiseless", 0, "-1.25/-2.00x30", "-1.00", "plano")
	setup.Eyes[0].Neural = acuity("6/12")
	setup.Eyes[1].Eye = setup.Eyes[1].Eye.Hazy(0.5)
	s := Start(setup, Seeded(1))
	usual := Start(person("noiseless", 0, "-1.25/-2.00x30", "-1.00", "plano"), Seeded(1))
	nerve, haze, none := s.Truth(Right), s.Truth(Left), usual.Truth(Left)
	assert.InDelta(t, acuity("6/12").LogMAR, nerve.Best, 0.03)
	assert.InDelta(t, nerve.Best, s.AcuityWith(Right, nerve.Error), patient.Tolerance+0.01)
	assert.Greater(t, nerve.Grain, 2.0)
	assert.Equal(t, 1.0, haze.Grain)
	assert.Greater(t, haze.Best, none.Best+0.05)
	assert.Less(t, haze.Best, none.Best+0.20, "0.13 in trials of half the light")
	require.Len(t, nerve.Limits(), 1)
	assert.Equal(t, "limit.neural", nerve.Limits()[0].ID)
	require.Len(t, haze.Limits(), 1)
	assert.Equal(t, "limit.haze (percent 50)", haze.Limits()[0].String())
	assert.Empty(t, none.Limits())
	assert.Equal(t, nerve, s.Again(Seeded(2)).Truth(Right), "it is the eye's, not the sitting's")
}

// Nothing that the examiner can look up tells the truth.
func TestTheTruthStaysHidden(t *testing.T) {
	t.Parallel()
	s := Start(person("everyday", 4, "-1.37/-2.13x23", "-0.87/-0.63x171", "-0.75/-1.75x35"), Seeded(2))
	do(t, s, routine[:len(routine)-1]...)
	open := fmt.Sprintf("[%s,%s,%s,%s]", asJSON(t, s.State()), asJSON(t, s.Events()), asJSON(t, s.Questions()), asJSON(t, s.Steps()))
	var all any
	require.NoError(t, json.Unmarshal([]byte(open), &all))
	seen := numbers(all)
	require.Contains(t, seen, 1.75, "the objective result may be seen")
	require.Contains(t, seen, 35.0)
	truth := s.Truth(Right)
	for _, secret := range []float64{1.37, 2.13, 23, 113, 0.87, 0.63, 171, 81, truth.Balance.M, truth.Balance.J0, truth.Balance.J45, truth.Best, truth.Optical.Sphere, truth.Optical.Cyl} {
		for _, n := range seen {
			assert.Greater(t, math.Abs(n-math.Abs(secret)), 1e-4, "%v can be seen", secret)
		}
	}
	for _, word := range []string{"error", "truth", "offset", "best\"", "needs", "optical", "residual", "focus", "1.37", "2.13", "x23"} {
		assert.NotContains(t, strings.ToLower(open), word)
	}
	for _, v := range []any{State{}, Event{}, Steps{}, EndPoint{}} {
		for _, secret := range []any{Truth{}, Setup{}, EyeSetup{}, eye.Eye{}, Sitting{}, patient.Manner{}} {
			assert.False(t, holds(reflect.TypeOf(v), reflect.TypeOf(secret)), "%T holds a %T", v, secret)
		}
	}
	assert.True(t, holds(reflect.TypeOf(Setup{}), reflect.TypeOf(eye.Eye{})), "the search itself works")
}

// inText finds the numbers in a text, such as those of a lens.
var inText = regexp.MustCompile(`\d+(\.\d+)?`)

// numbers are the sizes of all numbers in a JSON value and its texts, but for the
// choice of words, which may be any number.
func numbers(v any) (out []float64) {
	switch v := v.(type) {
	case float64:
		out = append(out, math.Abs(v))
	case string:
		for _, s := range inText.FindAllString(v, -1) {
			n, _ := strconv.ParseFloat(s, 64)
			out = append(out, n)
		}
	case []any:
		for _, e := range v {
			out = append(out, numbers(e)...)
		}
	case map[string]any:
		for k, e := range v {
			if k != "variant" {
				out = append(out, numbers(e)...)
			}
		}
	}
	return out
}

// holds reports whether values of a type hold others, however deep.
func holds(t, other reflect.Type) bool {
	return reaches(t, func(t reflect.Type) bool { return t == other })
}

// reaches reports whether a type, or one that its values hold, is such a one.
func reaches(t reflect.Type, is func(reflect.Type) bool) bool {
	if is(t) {
		return true
	}
	switch t.Kind() {
	case reflect.Map:
		return reaches(t.Key(), is) || reaches(t.Elem(), is)
	case reflect.Pointer, reflect.Slice, reflect.Array:
		return reaches(t.Elem(), is)
	case reflect.Struct:
		for i := range t.NumField() {
			if reaches(t.Field(i).Type, is) {
				return true
			}
		}
	}
	return false
}
