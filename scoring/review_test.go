package scoring

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// slip is a case of our own: −1.00 / −2.00 x 30, a steady person.
func slip(t *testing.T, extra string) *cases.Case {
	manner := "manner = \"keen\""
	if strings.HasPrefix(extra, "[patient.manner]") {
		manner = ""
	}
	c, err := cases.Read("slip.toml", []byte(`conoid = 2
title = "The slip"
[patient]
age = 60
`+manner+`
[right]
error = "-1.00 / -2.00 x 30"
objective = "-1.00 / -1.75 x 25"
`+extra))
	require.NoError(t, err)
	return c
}

var easyPar = Par{Seeds: 1, Steps: 40, Seconds: 200}

func reviewed(t *testing.T, c *cases.Case, actions ...sitting.Action) *Report {
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	do(t, s, actions...)
	before := s.Events()
	r, err := Review(c, s, easyPar)
	require.NoError(t, err)
	require.Equal(t, before, s.Events(), "a review changes nothing")
	return r
}

func end(rx string) sitting.Action {
	stated, err := optics.ParseRx(rx)
	if err != nil {
		panic(err)
	}
	return sitting.Action{Do: sitting.End, Rx: &stated}
}

// Nothing is lost up to one and a half times par, everything from three times
// on, and half of it half way.
func TestKeptAgainstPar(t *testing.T) {
	s := cases.ParScheme{Points: 10, Free: 1.5, Most: 3}
	for n, want := range map[float64]float64{1: 1, 40: 1, 60: 1, 75: 0.75, 90: 0.5, 120: 0, 500: 0} {
		assert.InDelta(t, want, kept(s, n, 40), 1e-12, "%v", n)
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0, 300).Draw(t, "a"), rapid.Float64Range(0, 300).Draw(t, "b")
		if a > b {
			a, b = b, a
		}
		require.GreaterOrEqual(t, kept(s, a, 40), kept(s, b, 40), "more is never better")
	})
}

func TestSchemeOfTheCaseCounts(t *testing.T) {
	sphereAlone := "[marking]\naxis = 0\ncylinder = 0\nsphere = 100\nheeding = 0\nsteps = 0\ntime = 0\n"
	r := reviewed(t, slip(t, sphereAlone), end("-1.00/-2.00x30"))
	assert.Equal(t, fact.Points(15), r.Total, "the sphere is right, and nothing that was heard says so")
	assert.NotEmpty(t, r.Findings)

	r = reviewed(t, slip(t, ""), end("-1.00/-2.00x30"))
	assert.Equal(t, fact.Points(0.15*65), r.Total, "nothing was asked: a copied end point")

	s := sitting.Start(slip(t, sphereAlone).Setup(), sitting.Seeded(1))
	do(t, s, end("-1.00/-2.00x30"))
	r, err := ReviewBy(cases.DefaultScheme(), fact.New("scheme.practical"), s, easyPar)
	require.NoError(t, err)
	assert.Equal(t, fact.Points(0.15*65), r.Total, "a practical's scheme stands above the case's")
	assert.Equal(t, "scheme.practical", r.Scheme.ID)
}

// The way the focal lines went, by the interval of Sturm: with the truth worn
// nothing is left; with its cylinder out and half a dioptre of fog the back line
// stands about 0.50 D in front, and the front one the cylinder further.
func TestPath(t *testing.T) {
	r := reviewed(t, slip(t, ""),
		sitting.Action{Do: sitting.Cover, Eye: sitting.Left},
		sitting.Action{Do: sitting.Take, Cell: sitting.In(optics.Front1)},
		sitting.Action{Do: sitting.Exchange, Cell: sitting.In(optics.Back), Lens: optics.SphereOf(-0.5)},
		sitting.Action{Do: sitting.Show, Chart: chart.Fan},
		sitting.Action{Do: sitting.Ask, Question: patient.WhichLines},
		sitting.Action{Do: sitting.Hold, Lens: optics.SphereOf(0.5)},
		sitting.Action{Do: sitting.Lower},
		sitting.Action{Do: sitting.Exchange, Cell: sitting.In(optics.Back), Lens: optics.SphereOf(-1)},
		sitting.Action{Do: sitting.Put, Cell: sitting.In(optics.Front1), Lens: optics.CylinderOf(-2, 30)},
		end("-1.00/-2.00x30"),
	)
	require.Len(t, r.Path, 10)
	fan := r.Path[4]
	assert.Equal(t, 5, fan.Event)
	assert.Equal(t, chart.Fan, fan.Chart)
	assert.Equal(t, "-0.50 DS", fan.Worn.ASCII())
	// A power F that moves d nearer to the eye becomes F/(1 − dF) (effectivity,
	// handbook formula); the light arrives at −1/(6 − 0.012) D.
	at := func(lens float64) float64 { f := lens - 1/(6-0.012); return f / (1 - 0.012*f) }
	assert.InDelta(t, at(-0.50)-at(-1.00), float64(fan.Back.Power), 1e-6)
	assert.InDelta(t, at(-0.50)-at(-3.00), float64(fan.Front.Power), 1e-6)
	assert.InDelta(t, 120, float64(fan.Back.Angle), 1e-6, "the back line runs across the axis of the minus cylinder")
	assert.InDelta(t, 30, float64(fan.Front.Angle), 1e-6)
	assert.InDelta(t, 0.50, float64(fan.Fog), 0.02)
	require.NotNil(t, fan.Answer)
	middle, ok := label(fan.Answer)
	require.True(t, ok)
	assert.InDelta(t, 30, middle, 5, "the clearest line is labelled with the axis")

	held := r.Path[5]
	assert.InDelta(t, float64(fan.Back.Power)+0.50, float64(held.Back.Power), 0.03)
	assert.InDelta(t, float64(fan.Fog), float64(held.Fog), 1e-6, "what is held up is no fog")

	last := r.Path[8]
	assert.Less(t, last.Residual.Power().Norm(), 0.06)
	assert.InDelta(t, 0, float64(last.Fog), 0.03, "a cylinder at its axis leaves the back line where the sphere puts it")
}

func TestABrokenOffSittingIsReviewed(t *testing.T) {
	c := slip(t, "")
	r := reviewed(t, c)
	assert.Nil(t, r.Mark)
	assert.Zero(t, r.Total)
	assert.Empty(t, r.Findings, "what was not come to is no mistake")
	assert.Empty(t, r.Path)
}

func TestReportAsJSON(t *testing.T) {
	r := reviewed(t, slip(t, ""),
		sitting.Action{Do: sitting.Show, Chart: chart.Fan},
		sitting.Action{Do: sitting.Ask, Question: patient.WhichLines},
		end("-1.00/-1.75x25"))
	text, err := json.Marshal(r)
	require.NoError(t, err)
	var back Report
	require.NoError(t, json.Unmarshal(text, &back))
	again, err := json.Marshal(back)
	require.NoError(t, err)
	assert.JSONEq(t, string(text), string(again))
	assert.Contains(t, string(text), `"id":"other-eye-open"`)
	assert.NotContains(t, string(text), "loses")
}

// The expert works by the book and listens, whatever the patient.
func TestTheExpertIsNotMarkedDown(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long")
	}
	for _, id := range []string{"ferry-clerk", "net-mender", "chapel-organist", "rope-apprentice"} {
		c, err := cases.Find(id)
		require.NoError(t, err)
		par, err := ParOf(c, 3)
		require.NoError(t, err)
		s := sitting.Start(c.Setup(), sitting.Seeded(1))
		_, err = expert.Examine(s, expert.BriefOf(s.Setup()))
		require.NoError(t, err)
		r, err := Review(c, s, par)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, r.Total, fact.Points(90), "%s: %+v", id, r.Findings)
		for _, claim := range r.Claims {
			assert.Equal(t, evidence.Supported, claim.Support, "%s, %s", id, claim.Name)
		}
	}
}

func TestPar(t *testing.T) {
	c := slip(t, "")
	p, err := ParOf(c, 2)
	require.NoError(t, err)
	again, err := ParOf(c, 2)
	require.NoError(t, err)
	assert.Equal(t, p, again)
	assert.Equal(t, 2, p.Seeds)
	assert.Greater(t, p.Steps, 20.0)
	assert.Greater(t, p.Seconds, fact.Seconds(60))
	assert.LessOrEqual(t, p.Typical, p.Worst)
	assert.LessOrEqual(t, p.Worst, fact.Amount(1))
	_, err = ParOf(c, 0)
	assert.ErrorContains(t, err, "par.no-seed")
}

// A person without noise has no luck; one who lapses at every second question
// has.
func TestLuck(t *testing.T) {
	work := []sitting.Action{
		{Do: sitting.Cover, Eye: sitting.Left},
		{Do: sitting.Take, Cell: sitting.In(optics.Front1)},
		{Do: sitting.Exchange, Cell: sitting.In(optics.Back), Lens: optics.SphereOf(-0.5)},
		{Do: sitting.Show, Chart: chart.Fan},
		{Do: sitting.Ask, Question: patient.WhichLines},
		{Do: sitting.Show, Chart: chart.Arrow},
	}
	for axis := 10; axis <= 180; axis += 10 {
		work = append(work, sitting.Action{Do: sitting.Point, Axis: axis}, sitting.Action{Do: sitting.Ask, Question: patient.WhichLimb})
	}
	steady := slip(t, "[patient.manner]\nlike = \"everyday\"\nnoise = 0\nlapse = 0\nhesitation = 0\n")
	assert.Empty(t, reviewed(t, steady, work...).Luck)

	wild := slip(t, "[patient.manner]\nlike = \"everyday\"\nlapse = 0.5\n")
	luck := reviewed(t, wild, work...).Luck
	assert.Greater(t, len(luck), 3)
	for _, l := range luck {
		assert.NotEqual(t, l.Said, l.Noiseless)
	}
}

func TestLines(t *testing.T) {
	before := func(power fact.Amount) fact.Fact { return fact.New("place.before", "power", power) }
	assert.Equal(t, fact.New("lines.both", "front", before(2.5), "back", before(0.5)), lines(rx(t, "+2.50/-2.00x30").Power()))
	assert.Equal(t, fact.New("lines.focus", "at", fact.New("place.behind", "power", fact.Amount(0.25))), lines(rx(t, "-0.25").Power()))
	assert.Equal(t, fact.New("place.on"), place(0.001))
	assert.Equal(t, fact.New("place.on"), place(-0.001))
}

// Whatever is done, in whatever order, it can be reviewed: earned points add up
// to the points, with the lost ones to the most, and all evidence is in the log.
func TestAnySittingCanBeReviewed(t *testing.T) {
	c := slip(t, "")
	first := sitting.Start(c.Setup(), sitting.Seeded(1))
	lenses := []optics.Lens{
		optics.SphereOf(0.5), optics.SphereOf(-0.5), optics.SphereOf(-1), optics.SphereOf(1.5),
		optics.CylinderOf(-1, 30), optics.CylinderOf(-2, 120), optics.CylinderOf(-0.25, 25), optics.Pinhole(), optics.Occluder(),
	}
	questions := []patient.Question{patient.WhichLines, patient.WhichLimb, patient.WhichBlock, patient.WhichColour, patient.ReadLetters, patient.WithLens, patient.OneOrTwo}
	charts := []chart.Name{chart.Fan, chart.Clock, chart.Arrow, chart.Blocks, chart.Letters, chart.Letter, chart.Duochrome}
	cells := []sitting.Place{0, sitting.In(optics.Back), sitting.In(optics.Front1), sitting.In(optics.Front2)}
	verbs := []sitting.Verb{sitting.Put, sitting.Take, sitting.Exchange, sitting.Turn, sitting.Hold, sitting.Lower, sitting.Cover, sitting.Uncover,
		sitting.Show, sitting.Show, sitting.Point, sitting.Ask, sitting.Ask, sitting.Ask, sitting.Explain}
	rapid.Check(t, func(rt *rapid.T) {
		s := first.Again(sitting.Seeded(rapid.Uint64Range(1, 5).Draw(rt, "seed")))
		for range rapid.IntRange(0, 30).Draw(rt, "actions") {
			_, _ = s.Do(sitting.Action{ // what is refused changes nothing
				Do:   rapid.SampledFrom(verbs).Draw(rt, "do"),
				Eye:  rapid.SampledFrom([]sitting.Side{"", "", sitting.Left}).Draw(rt, "eye"),
				Cell: rapid.SampledFrom(cells).Draw(rt, "cell"), Lens: rapid.SampledFrom(lenses).Draw(rt, "lens"),
				OldFirst: rapid.Bool().Draw(rt, "old first"), Axis: rapid.IntRange(1, 180).Draw(rt, "axis"),
				Chart: rapid.SampledFrom(charts).Draw(rt, "chart"), Question: rapid.SampledFrom(questions).Draw(rt, "question"),
			})
		}
		if rapid.Bool().Draw(rt, "ended") {
			do(t, s, end(rapid.SampledFrom([]string{"-1.00/-2.00x30", "plano", "+1.00/+2.00x5"}).Draw(rt, "end point")))
		}
		r, err := Review(c, s, easyPar)
		require.NoError(rt, err)
		require.Len(rt, r.Path, len(s.Events()))
		require.Equal(rt, fact.Points(100), r.Most)
		for _, p := range r.Parts {
			requireSums(rt, r, p)
		}
		for _, f := range r.Findings {
			require.NotEmpty(rt, f.Events, f.ID)
		}
		_, err = json.Marshal(r)
		require.NoError(rt, err, "JSON has no words for what is not a number")
	})
}

// A majority of three is no useless repeat; a fourth time with nothing changed is, and
// a note on the card changes nothing.
func TestRepeats(t *testing.T) {
	ask := sitting.Action{Do: sitting.Ask, Question: patient.WhichLines}
	note := sitting.Action{Do: sitting.Note, Field: "fan axis", Text: "30"}
	turn := sitting.Action{Do: sitting.Turn, Cell: sitting.In(optics.Front1), Axis: 30}
	for want, work := range map[int][]sitting.Action{
		0: {ask, ask, ask, turn, ask, ask},
		1: {ask, ask, note, ask, ask, turn, ask},
		2: {ask, ask, ask, ask, ask},
	} {
		s := sitting.Start(slip(t, "").Setup(), sitting.Seeded(1))
		do(t, s, sitting.Action{Do: sitting.Cover, Eye: sitting.Left}, sitting.Action{Do: sitting.Show, Chart: chart.Fan})
		do(t, s, work...)
		tr, err := traceOf(s)
		require.NoError(t, err)
		assert.Len(t, recording{tr}.repeats(), want)
	}
}
