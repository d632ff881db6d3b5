package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/fact"
)

// three claims with their support, all of them exact.
func three(axis, cylinder, sphere evidence.Support) []Claim {
	return []Claim{
		{Name: cases.AxisClaim, Needed: true, Accuracy: 1, Support: axis},
		{Name: cases.CylinderClaim, Needed: true, Accuracy: 1, Support: cylinder},
		{Name: cases.SphereClaim, Needed: true, Accuracy: 1, Support: sphere},
	}
}

func pointsOf(parts []Part) (out []float64) {
	for _, p := range parts {
		out = append(out, float64(p.Points))
	}
	return out
}

func mostOf(parts []Part) (out []float64) {
	for _, p := range parts {
		out = append(out, float64(p.Most))
	}
	return out
}

// Of 20, 20 and 25 points half is kept where answers speak from one side, and 15 % where none
// speaks for it; that is taken of what the accuracy leaves: 60 % of 20 at 15 % is 1.8.
func TestClaimParts(t *testing.T) {
	s := cases.DefaultScheme().Claims
	for _, c := range []struct {
		axis, cylinder, sphere evidence.Support
		listened               bool
		want                   []float64
	}{
		{supported, supported, supported, true, []float64{20, 20, 25}},
		{supported, supported, supported, false, []float64{10, 10, 12.5}},
		{weak, none, contradicted, true, []float64{10, 3, 3.75}},
		{weak, none, contradicted, false, []float64{10, 3, 3.75}},
	} {
		assert.Equal(t, c.want, pointsOf(claimParts(three(c.axis, c.cylinder, c.sphere), s, true, c.listened)), "%+v", c)
	}
	all := three(supported, none, weak)
	all[0].Accuracy, all[1].Accuracy, all[2].Accuracy = 0.5, 0.60, 0.25
	assert.Equal(t, []float64{10, 1.8, 3.13}, pointsOf(claimParts(all, s, true, true)), "25 x 25 % x 50 % is 3.125")
	all = three(none, supported, supported)
	all[0].Needed = false
	assert.Equal(t, []float64{0, 30, 35}, pointsOf(claimParts(all, s, false, true)), "an axis that is not needed is worth nothing, and its points go to the others")
	assert.Equal(t, []float64{0, 0, 0}, pointsOf(claimParts(nil, s, true, true)))
	for _, axis := range []bool{true, false} {
		assert.Equal(t, mostOf(claimParts(all, s, axis, true)), mostOf(claimParts(nil, s, axis, true)), "who states nothing could have had the same, axis to find: %t", axis)
	}
}

func TestCapOf(t *testing.T) {
	s := cases.DefaultScheme().Claims
	for _, c := range []struct {
		claims []Claim
		want   fact.Points
	}{
		{three(supported, supported, supported), 100},
		{three(weak, weak, weak), 100},
		{three(none, supported, weak), 60},
		{three(supported, contradicted, supported), 60},
		{three(none, contradicted, supported), 40},
		{three(none, none, none), 40},
	} {
		assert.Equal(t, c.want, capOf(c.claims, s))
	}
	spare := three(none, supported, supported)
	spare[0].Needed = false
	assert.EqualValues(t, 100, capOf(spare, s))
}

// requireWhole has what was earned come to the points, and with what was lost to the most.
func requireWhole(t *testing.T, parts []Part) {
	for _, p := range parts {
		earned, lost := fact.Points(0), fact.Points(0)
		for _, r := range p.Reasons {
			if r.Points > 0 {
				earned += r.Points
			} else {
				lost -= r.Points
			}
		}
		require.InDelta(t, float64(p.Points), float64(earned), 1e-9, "%s", p.Name)
		require.InDelta(t, float64(p.Most-p.Points), float64(lost), 1e-9, "%s", p.Name)
	}
}

// What is beyond the most points goes off the part that is worth most, then off the
// next: 3 + 20 + 25 + 25 + 5 + 5 = 83 to 60 takes 23 off the 25 of the sphere. To 40 it takes 25
// off the sphere and 18 off the conduct.
func TestCapped(t *testing.T) {
	for _, c := range []struct {
		most fact.Points
		want []float64
	}{
		{100, []float64{3, 20, 25, 25, 5, 5}},
		{83, []float64{3, 20, 25, 25, 5, 5}},
		{82.99, []float64{3, 20, 24.99, 25, 5, 5}},
		{60, []float64{3, 20, 2, 25, 5, 5}},
		{40, []float64{3, 20, 0, 7, 5, 5}},
	} {
		s := cases.DefaultScheme()
		claims := three(none, supported, supported)
		parts := claimParts(claims, s.Claims, true, true)
		for i := range claims {
			parts[i] = claims[i].reasons(parts[i], s.Claims, true, "")
		}
		for _, p := range []Part{{Name: ConductPart, Most: 25}, {Name: StepsPart, Most: 5}, {Name: TimePart, Most: 5}} {
			parts = append(parts, p.keeps(1, fact.New("reason.steps")))
		}
		requireWhole(t, parts)
		parts = capped(parts, claims, c.most)
		assert.Equal(t, c.want, pointsOf(parts), "%v", c.most)
		requireWhole(t, parts)
	}
}

// The finding that explains the claim is charged with it; without one the reason says so.
func TestCappedIsCharged(t *testing.T) {
	for _, cause := range []string{"arrow-missing", ""} {
		claims := three(supported, none, supported)
		claims[1].cause = cause
		parts := []Part{Part{Name: SpherePart, Most: 70}.keeps(1, fact.New("reason.claim"))}
		got := capped(parts, claims, 60)[0].Reasons[1]
		assert.Equal(t, cause, got.Finding)
		assert.EqualValues(t, -10, got.Points)
		if cause == "" {
			assert.Equal(t, fact.New("reason.capped", "claim", cases.CylinderClaim, "most", fact.Points(60)), got.Why)
		}
	}
}

// Few steps are praised when each claim is borne out and keeps half for its accuracy:
// the lesser of what the second band keeps of an axis and of a power.
func TestTooEarly(t *testing.T) {
	s := cases.DefaultScheme().Claims
	for _, c := range []struct {
		support  evidence.Support
		accuracy float64
		needed   bool
		want     bool
	}{
		{supported, 1, true, false}, {supported, 0.5, true, false}, {supported, 0.49, true, true},
		{weak, 1, true, true}, {none, 1, true, true}, {none, 0, false, false},
	} {
		all := three(supported, c.support, supported)
		all[1].Accuracy, all[1].Needed = c.accuracy, c.needed
		assert.Equal(t, c.want, tooEarly(all, s).ID != "", "%+v", c)
	}
	assert.Equal(t, "reason.no-end-point", tooEarly(nil, s).ID)
	s.FairKeeps = 40
	all := three(supported, supported, supported)
	all[1].Accuracy = 0.4
	assert.Empty(t, tooEarly(all, s).ID)
}

// Up to twice par nothing is lost, from four times on everything: three times par is half.
func TestPartsAgainstPar(t *testing.T) {
	s := cases.DefaultScheme()
	for n, want := range map[int]fact.Points{40: 5, 80: 5, 81: 4.94, 120: 2.5, 159: 0.06, 160: 0} {
		assert.Equal(t, want, stepsPart(s.Steps, n, Par{Steps: 40}, fact.Fact{}).Points, "%v", n)
		assert.Equal(t, want, timePart(s.Time, fact.Seconds(n), Par{Seconds: 40}, fact.Fact{}).Points, "%v", n)
	}
	early := fact.New("reason.too-early", "claim", cases.AxisClaim)
	assert.Equal(t, Part{Name: StepsPart, Most: 5, Reasons: []Reason{{Why: early, Points: -5}}}, stepsPart(s.Steps, 1, Par{Steps: 40}, early))
}
