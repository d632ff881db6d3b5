package cases

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/eye"
	"conoid/sim/sitting"
)

func mustRead(t *testing.T, file string) *Case {
	t.Helper()
	c, err := Read("quay.toml", []byte(file))
	require.NoError(t, err)
	return c
}

func TestSetup(t *testing.T) {
	c := mustRead(t, with("", "[room]\nvertex = 14\nplus-cylinders = true"))
	s := c.Setup()
	assert.Equal(t, c.Eyes[0].Error, s.Eyes[0].Error)
	assert.Equal(t, c.Eyes[1].Objective, s.Eyes[1].Objective)
	assert.Equal(t, 0.014, s.Room.Vertex)
	assert.True(t, s.Room.Set.PlusCylinders)
	// Hofstetter (1950): 18.5 - 0.30 x 34.
	assert.InDelta(t, 8.3, s.Eyes[0].Amplitude, 1e-12)
	// Watson and Yellott (2012), Eqs 20 and 21, worked by hand for 120 cd/m2,
	// 900 square degrees, one eye, 34 years.
	assert.InDelta(t, 4.26, s.Eyes[0].Eye.Pupil, 0.01)
	assert.Equal(t, eye.Veil(34), s.Eyes[0].Eye.Veil)
	assert.Equal(t, 34.0, s.Eyes[0].Eye.Age)
}

func TestReducedAcuity(t *testing.T) {
	c := mustRead(t, with("", "neural = \"0.5\"\nhaze = 0.5"))
	s := c.Setup()
	assert.InDelta(t, math.Log10(2), s.Eyes[0].Neural.LogMAR, 1e-12)
	assert.Equal(t, s.Eyes[0].Neural, s.Eyes[1].Neural, "an eye that is left out is like the other one")
	assert.InDelta(t, 1-(1-eye.Veil(34))/2, s.Eyes[0].Eye.Veil, 1e-12)
	old := mustRead(t, strings.Replace(with("", "haze = 0.8"), "age = 34", "age = 100", 1)).Setup()
	assert.Less(t, old.Eyes[0].Eye.Veil, 1.0, "something is seen at any age")
	assert.False(t, mustRead(t, plain).Setup().Eyes[0].Neural.Given())
}

// Young hyperopes keep something up, unless the case says how much.
func TestLatentAccommodation(t *testing.T) {
	hyperope := "+1.50 / -1.00 x 30\"\nobjective = \"+1.50 / -1.00 x 30"
	myope := "-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35"
	of := func(age, error, more string) float64 {
		file := strings.NewReplacer("age = 34", "age = "+age+more, myope, error).Replace(plain)
		return mustRead(t, file).Setup().Focusing.Latent
	}
	assert.Equal(t, 0.5, of("29", hyperope, ""))
	assert.Zero(t, of("30", hyperope, ""))
	assert.Zero(t, of("29", myope, ""))
	assert.Equal(t, 0.5, of("29", strings.ReplaceAll(hyperope, "+1.50", "+1.00"), ""), "an equivalent of half a dioptre")
	assert.Zero(t, of("29", strings.ReplaceAll(hyperope, "+1.50", "+0.99"), ""))
	assert.Zero(t, of("29", hyperope, "\naccommodation.latent = 0"))
	assert.Equal(t, 1.5, of("60", myope, "\naccommodation.latent = 1.5"))

	c := mustRead(t, with("age = 34", "age = 20\naccommodation.latent = 1\naccommodation.spasm = 2"))
	released, kept := c.Tonus()
	assert.InDelta(t, 0.6+0.6, released, 1e-9)
	assert.InDelta(t, 3-1.2, kept, 1e-9)
}

// In the examiner's view the patient's right eye stands on the left, and its
// nasal side is its right: the side of positive x.
func TestThePeakOfTheStilesCrawfordEffectLiesTowardsTheNose(t *testing.T) {
	s := mustRead(t, plain).Setup()
	assert.Positive(t, s.Eyes[0].Eye.X0)
	assert.Negative(t, s.Eyes[1].Eye.X0)
	assert.Positive(t, s.Eyes[1].Eye.Y0)
	assert.Equal(t, eye.TypicalRho, s.Eyes[0].Eye.Rho)

	s = mustRead(t, with("", "aberrations = \"none\"")).Setup()
	assert.Zero(t, s.Eyes[0].Eye.Rho)
	assert.True(t, s.Eyes[0].Eye.Aberrations.None())
}

func TestAnEyeThatIsLeftOutIsTheMirrorImage(t *testing.T) {
	for _, a := range []string{`"typical"`, "12", "{ diameter = 6, 8 = 0.2, 12 = 0.1 }"} {
		s := mustRead(t, with("", "aberrations = "+a+"\npupil = 5\namplitude = 3")).Setup()
		right, left := s.Eyes[0], s.Eyes[1]
		assert.InDeltaSlice(t, right.Eye.Aberrations.Mirrored().At(5), left.Eye.Aberrations.At(5), 1e-12, a)
		assert.NotEqual(t, right.Eye.Aberrations, left.Eye.Aberrations, a)
		assert.Equal(t, 5.0, left.Eye.Pupil)
		assert.Equal(t, 3.0, left.Amplitude)
		assert.Equal(t, right.Error.Axis, 180-left.Error.Axis)
	}
	a := mustRead(t, with("", "aberrations = 12")).Setup()
	b := mustRead(t, with("", "aberrations = 13")).Setup()
	assert.NotEqual(t, a.Eyes[0].Eye.Aberrations, b.Eyes[0].Eye.Aberrations, "another seed, another eye")
}

func TestHashCountsWhatBearsOnTheAnswers(t *testing.T) {
	base := mustRead(t, plain).Hash()
	assert.Regexp(t, "^[0-9a-f]{64}$", base)
	for _, same := range []string{
		"# a remark\n" + plain, with(`"T"`, `"Another title"`), strings.ReplaceAll(plain, "\n", "\n\n"),
		with("age = 34", "name = \"Ulla\"\nsymptoms = \"None.\"\nmanner = \"everyday\"\nage = 34.0"),
		with("-1.00 / -2.00 x 30", "-3.00 / +2.00 x 120"), with("", "aberrations = \"typical\""), with("", "unaided = \"6/60\""),
		with("[patient]", "language = \"de\"\nauthor = \"A\"\ntags = \"a, b\"\naims = \"c\"\nnotes = \"d\"\n[patient]\nspectacles-years = 4"),
		with("", "[feedback]\nfog-lost = \"e\"\n[feedback.de]\nfog-lost = \"f\""), with("", "objective-by = \"old-record\"\nobjective-spread = 1"), with("", "[room]\nlight = 120"),
		with("", "[marking]\nsphere = 35\nsteps = 0\ntime = 0\n"),
	} {
		assert.Equal(t, base, mustRead(t, same).Hash(), same)
	}
	for _, different := range []string{
		with("34", "35"), with("x 30", "x 31"), with("x 35", "x 40"), with("", "pupil = 4"), with("", "amplitude = 4"), with("", "neural = \"6/9\""), with("", "best-sphere-lens = -2"), with("", "haze = 0.1"),
		with("", "spectacles = \"plano\""), with("", "[room]\nlight = 60"),
		with("", "aberrations = 2"), with("", "[room]\nlabels = \"none\""), with("", "[left]\nerror = \"plano\""),
		with("age = 34", "age = 34\nmanner = \"keen\""), with("", "[patient.accommodation]\nregard = 0.4"), with("", "[patient.accommodation]\nlatent = 0.4"),
	} {
		assert.NotEqual(t, base, mustRead(t, different).Hash(), different)
	}
}

// A field that is added to the setup and forgotten in the hash fails here.
func TestHashCountsEveryFieldOfTheSetup(t *testing.T) {
	s := mustRead(t, with("", "aberrations = { diameter = 6, 12 = 0.1 }")).Setup()
	s.Eyes[1].Eye.Aberrations = eye.Aberrations{Deviates: []float64{0.5}}
	fields := 0
	walk(reflect.ValueOf(&s).Elem(), "Setup", func(path string, v reflect.Value) {
		before := hashOf(s)
		old := reflect.ValueOf(v.Interface())
		switch v.Kind() {
		case reflect.Float64:
			v.SetFloat(v.Float() + 0.01)
		case reflect.Bool:
			v.SetBool(!v.Bool())
		case reflect.String:
			v.SetString(v.String() + "x")
		case reflect.Uint8:
			v.SetUint(v.Uint() + 1)
		default:
			t.Fatalf("%s is a %s", path, v.Kind())
		}
		assert.NotEqual(t, before, hashOf(s), path)
		v.Set(old)
		fields++
	})
	assert.Greater(t, fields, 50)
}

func walk(v reflect.Value, path string, leaf func(string, reflect.Value)) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			walk(v.Field(i), path+"."+v.Type().Field(i).Name, leaf)
		}
	case reflect.Array, reflect.Slice:
		for i := range v.Len() {
			walk(v.Index(i), path, leaf)
		}
	default:
		leaf(path, v)
	}
}

func TestOf(t *testing.T) {
	c := mustRead(t, plain)
	assert.Same(t, &c.Eyes[0], c.Of(sitting.Right))
	assert.Same(t, &c.Eyes[1], c.Of(sitting.Left))
}

// What is typical is so in each person's own way, and always in the same.
func TestTypicalEyesAreTheirPersonsOwn(t *testing.T) {
	of := func(s string) eye.Aberrations {
		return mustRead(t, with("-1.00 / -2.00 x 30", s)).Setup().Eyes[0].Eye.Aberrations
	}
	one := of("-1.00 / -2.00 x 30")
	assert.NotEqual(t, one, of("-1.25 / -2.00 x 30"))
	assert.Equal(t, one, of("-1.00 / -2.00 x 30"))
}
