package cases

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDefaultSchemeComesTo100(t *testing.T) {
	s := DefaultScheme()
	assert.InDelta(t, 100, s.Total(), 1e-9)
	assert.Equal(t, s, mustRead(t, plain).Scheme(), "a case that says nothing")
}

// The numbers of the default, so that none is changed by accident.
func TestDefaultScheme(t *testing.T) {
	assert.Equal(t, Scheme{
		Claims: ClaimScheme{
			Axis: 20, Cylinder: 20, Sphere: 25, // 65 for the end point
			Full: 0.25, Fair: 0.50, Wide: 0.75, // quarters, the step of the trial lenses
			FairKeeps: 60, WideKeeps: 25, AxisKeeps: 50,
			WeakKeeps: 50, UnheardKeeps: 15, OneUnheard: 60, TwoUnheard: 40,
		},
		Conduct: ConductScheme{
			Heeding: 25,
			Cover:   5, CylinderOut: 5, Verify: 5, Check: 5, SphereAlone: 5, Acuity: 5, Lenses: 5, Questions: 5,
		},
		Steps: ParScheme{Points: 5, Free: 2, Most: 4},
		Time:  ParScheme{Points: 5, Free: 2, Most: 4},
	}, DefaultScheme())
}

// What a fault takes off, and what a claim keeps, are no parts of the whole.
func TestTotalCountsTheParts(t *testing.T) {
	var s Scheme
	walk(reflect.ValueOf(&s).Elem(), "Scheme", func(_ string, v reflect.Value) { v.SetFloat(1) })
	assert.EqualValues(t, 6, s.Total(), "axis, cylinder, sphere, heeding, steps and time")
}

func TestMarkingIsRead(t *testing.T) {
	c := mustRead(t, with("", "[marking]\nsphere = 15\nsteps = 15\nunheard-keeps = 10\n[marking.conduct]\ncover = 3\nquestions = 4\n"))
	require.NotNil(t, c.Marking)
	want := DefaultScheme()
	want.Claims.Sphere, want.Steps.Points, want.Claims.UnheardKeeps, want.Conduct.Cover, want.Conduct.Questions = 15, 15, 10, 3, 4
	assert.Equal(t, want, *c.Marking)

	again, err := Read("quay.toml", Write(c))
	require.NoError(t, err)
	assert.Equal(t, c.Marking, again.Marking)
}

func TestMistakesOfAScheme(t *testing.T) {
	const sum = "case.marking.sum (axis 20, cylinder 20, heeding 25, sphere 25, steps 5, "
	for text, want := range map[string]string{
		"[marking]\ntime = 10\n":                       "1:2: " + sum + "sum 105, time 10, whole 100)",
		"[marking]\nfair = 0.25\n":                     "1:2: case.marking.bands (fair 0.25, full 0.25, wide 0.75)",
		"[marking]\nwide = 0.5\n":                      "1:2: case.marking.bands (fair 0.5, full 0.25, wide 0.5)",
		"[marking]\nfair-keeps = 24\n":                 "1:2: case.marking.falls (first fair-keeps, less 25, more 24, second wide-keeps)",
		"[marking]\nunheard-keeps = 51\n":              "1:2: case.marking.falls (first weak-keeps, less 51, more 50, second unheard-keeps)",
		"[marking]\none-unheard = 39\n":                "1:2: case.marking.falls (first one-unheard, less 40, more 39, second two-unheard)",
		"[marking]\nmost-steps = 1\n":                  "1:2: case.marking.par (free 2, most 1, part steps)",
		"[marking]\nfree-time = 4\n":                   "1:2: case.marking.par (free 4, most 4, part time)",
		"[marking]\nsphere = \"25\"\n":                 `2:10: case.as (line sphere = 25, what case.type (is case.is.text (text "25"), key marking.sphere, write case.write.number (range case.range-of (least 0, most 100, unit points))))`,
		"[marking]\nsphere = 120\n":                    "2:10: case.out-of-range (allowed case.range-of (least 0, most 100, unit points), key marking.sphere, value 120)",
		"# a set\n[marking]\nheeding = 26\n":           "2:2: case.marking.sum (axis 20, cylinder 20, heeding 26, sphere 25, steps 5, sum 101, time 5, whole 100)",
		"[marking.conduct]\ncovers = 3\n":              "2:1: case.no-key (allowed [cover cylinder-out verify check sphere-alone acuity lenses questions], key covers, meant case.did-you-mean (word cover), where case.in-section (section marking.conduct))",
		"[marking.condukt]\ncover = 3\n":               "1:2: case.fixed (line [marking.conduct], what case.other-section (section marking.condukt))",
		"[marking.conduct]\ncover = 3\nverify = 101\n": "3:10: case.out-of-range (allowed case.range-of (least 0, most 100, unit points), key marking.conduct.verify, value 101)",
		"marking = 3\n":                                "1:1: case.value-for-section (section marking)",
	} {
		_, err := ReadScheme("set.toml", []byte(text))
		assert.Equal(t, want, told(t, err), text)
		var bad *Malformed
		_, err = Read("quay.toml", []byte(text+plain))
		assert.ErrorAs(t, err, &bad, text)
	}
}

// What stands just on the allowed side of each mistake is a scheme.
func TestSchemesThatAreNoMistake(t *testing.T) {
	for _, text := range []string{
		"fair = 0.26", "wide = 0.51", "full = 0.49", "fair-keeps = 25", "unheard-keeps = 50", "weak-keeps = 15",
		"one-unheard = 40", "two-unheard = 60", "most-steps = 2.1", "free-time = 3.9", "time = 0\nsteps = 10", "sphere = 0\nheeding = 50",
	} {
		_, err := ReadScheme("set.toml", []byte("[marking]\n"+text+"\n"))
		assert.NoError(t, err, text)
	}
}

func TestReadScheme(t *testing.T) {
	s, err := ReadScheme("set.toml", []byte("room = \"2\"\n[places]\nx = 1\n[marking]\nsphere = 30\ntime = 0\n"))
	require.NoError(t, err, "other sections are for whom they belong to")
	assert.Equal(t, 30.0, s.Claims.Sphere)
	assert.Equal(t, 5.0, s.Steps.Points, "the default's")

	s, err = ReadScheme("set.toml", []byte("[places]\n"))
	require.NoError(t, err)
	assert.Nil(t, s)

	_, err = ReadScheme("set.toml", make([]byte, maxSize+1))
	assert.Equal(t, "1:1: case.size (most 65536, size 65537)", told(t, err))
}

// Answers do not hang on the marks: no number of a scheme makes another patient, so
// that a sitting can be marked again by another scheme.
func TestNoSchemeInHash(t *testing.T) {
	c := mustRead(t, plain)
	base := c.Hash()
	s := DefaultScheme()
	c.Marking = &s
	fields := 0
	walk(reflect.ValueOf(&s).Elem(), "Scheme", func(path string, v reflect.Value) {
		old := v.Float()
		v.SetFloat(old + 0.01)
		assert.Equal(t, base, c.Hash(), path)
		v.SetFloat(old)
		fields++
	})
	assert.Equal(t, 13+9+6, fields)
}

func TestCheckMarking(t *testing.T) {
	unheard := func(keeps string) string { return "case.mind.unheard (keeps " + keeps + ")" }
	const noEndPoint, noHeeding, belowPar = "case.mind.no-end-point", "case.mind.no-heeding", "case.mind.below-par "
	for _, c := range []struct {
		marking string
		want    []string
	}{
		{"", nil},
		{"axis = 0\ncylinder = 0\nsphere = 0\nheeding = 90", []string{noEndPoint}},
		{"axis = 0\ncylinder = 0\nsphere = 1\nheeding = 89", nil},
		{"axis = 0\ncylinder = 1\nsphere = 0\nheeding = 89", nil},
		{"axis = 1\ncylinder = 0\nsphere = 0\nheeding = 89", nil},
		{"heeding = 0\nsphere = 50", []string{noHeeding}},
		{"heeding = 1\nsphere = 49", nil},
		{"weak-keeps = 60\nunheard-keeps = 49.9", nil},
		{"weak-keeps = 60\nunheard-keeps = 50", []string{unheard("50")}},
		{"weak-keeps = 60\nunheard-keeps = 50.1", []string{unheard("50.1")}},
		{"free-steps = 0.9\nfree-time = 1", []string{belowPar + "(free 0.9, part steps)"}},
		{"free-steps = 1\nfree-time = 0.9", []string{belowPar + "(free 0.9, part time)"}},
		{"steps = 0\ntime = 10\nfree-steps = 0.9", nil},
		{"axis = 0\ncylinder = 0\nsphere = 0\nheeding = 0\nsteps = 95\nunheard-keeps = 50", []string{noEndPoint, noHeeding, unheard("50")}},
	} {
		got := listed(checkMarking(mustRead(t, with("", "[marking]\n"+c.marking+"\n"))))
		assert.ElementsMatch(t, c.want, got, c.marking)
	}
	assert.Empty(t, checkMarking(mustRead(t, plain)))
}

func FuzzReadScheme(f *testing.F) {
	f.Add([]byte("[marking]\nsphere = 30\ntime = 0\n"))
	f.Add([]byte("[marking.conduct]\ncover = 7\nverify = 2\n[other]\nx = 1\n"))
	f.Add([]byte("marking = {sphere = 25, conduct = {cover = 6}}\n"))
	f.Add(Template(plainWords))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ReadScheme("set.toml", data)
		if err != nil {
			var bad *Malformed
			require.ErrorAs(t, err, &bad)
			require.NotEmpty(t, bad.Mistakes)
			require.Nil(t, s)
			return
		}
		if s != nil {
			require.InDelta(t, 100, s.Total(), 1e-6)
		}
	})
}
