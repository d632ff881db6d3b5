package cases

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDefaultSchemeComesTo100(t *testing.T) {
	s := DefaultScheme()
	assert.InDelta(t, 100, s.EndPoint.Points+s.Procedure.Total()+s.Steps.Points+s.Time.Points, 1e-9)
	assert.Equal(t, s, mustRead(t, plain).Scheme(), "a case that says nothing")
}

// An item that is added to the procedure and forgotten in its total fails here.
func TestProcedureTotalCountsEveryItem(t *testing.T) {
	var p ProcedureScheme
	v := reflect.ValueOf(&p).Elem()
	for i := range v.NumField() {
		v.Field(i).SetFloat(1)
	}
	assert.EqualValues(t, v.NumField(), p.Total())
}

func TestMarkingIsRead(t *testing.T) {
	c := mustRead(t, with("", "[marking]\nend-point = 45\nsteps = 15\n[marking.procedure]\nfog = 5\nverify = 4\n"))
	require.NotNil(t, c.Marking)
	want := DefaultScheme()
	want.EndPoint.Points, want.Steps.Points, want.Procedure.Fog, want.Procedure.Verify = 45, 15, 5, 4
	assert.Equal(t, want, *c.Marking)

	again, err := Read("quay.toml", Write(c))
	require.NoError(t, err)
	assert.Equal(t, c.Marking, again.Marking)
}

func TestMistakesOfAScheme(t *testing.T) {
	for text, want := range map[string]string{
		"[marking]\ntime = 10\n":                  "1:2: case.marking.sum (end 50, procedure 35, steps 10, sum 105, time 10, whole 100)",
		"[marking]\nfair = 0.25\n":                "1:2: case.marking.bands (close 0.25, fair 0.25, wide 1)",
		"[marking]\nfair-loses = 60\n":            "1:2: case.marking.loses (fair 60, wide 40)",
		"[marking]\nmost-steps = 1\n":             "1:2: case.marking.par (free 1.5, most 1, part steps)",
		"[marking]\nend-point = \"50\"\n":         `2:13: case.type (is case.is.text (text "50"), key marking.end-point, write case.write.number (range case.range-of (least 0, most 100, unit points)))`,
		"[marking]\nend-point = 120\n":            "2:13: case.out-of-range (allowed case.range-of (least 0, most 100, unit points), key marking.end-point, value 120)",
		"# a set\n[marking.procedure]\nfog = 7\n": "2:2: case.marking.sum (end 50, procedure 36, steps 10, sum 101, time 5, whole 100)",
		"[marking.procedure]\nfogg = 3\n":         "2:1: case.no-key (allowed [cover cylinder-out fog verify axis bracket sphere-alone check sphere acuity lenses questions], key fogg, meant case.did-you-mean (word fog), where case.in-section (section marking.procedure))",
		"[marking.proccedure]\nfog = 3\n":         "1:2: case.no-section (allowed [marking marking.procedure], meant case.did-you-mean (word marking.procedure), section marking.proccedure)",
		"marking = 3\n":                           "1:1: case.value-for-section (section marking)",
	} {
		_, err := ReadScheme("set.toml", []byte(text))
		assert.Equal(t, want, told(t, err), text)
		var bad *Malformed
		_, err = Read("quay.toml", []byte(text+plain))
		assert.ErrorAs(t, err, &bad, text)
	}
}

func TestReadScheme(t *testing.T) {
	s, err := ReadScheme("set.toml", []byte("room = \"2\"\n[places]\nx = 1\n[marking]\nend-point = 55\ntime = 0\n"))
	require.NoError(t, err, "other sections are for whom they belong to")
	assert.Equal(t, 55.0, s.EndPoint.Points)
	assert.Equal(t, 10.0, s.Steps.Points, "the default's")

	s, err = ReadScheme("set.toml", []byte("[places]\n"))
	require.NoError(t, err)
	assert.Nil(t, s)

	_, err = ReadScheme("set.toml", make([]byte, maxSize+1))
	assert.Equal(t, "1:1: case.size (most 65536, size 65537)", told(t, err))
}

// Answers do not hang on the marks, so that old logs of a case without a scheme
// keep their hash; a scheme that is given is part of what a log was begun with.
func TestSchemeInHash(t *testing.T) {
	c := mustRead(t, plain)
	base := c.Hash()
	assert.Equal(t, hashOf(c.Setup(), nil), base)
	fields := 0
	s := DefaultScheme()
	c.Marking = &s
	usual := c.Hash()
	assert.NotEqual(t, base, usual)
	walk(reflect.ValueOf(&s).Elem(), "Scheme", func(path string, v reflect.Value) {
		old := v.Float()
		v.SetFloat(old + 0.01)
		assert.NotEqual(t, usual, c.Hash(), path)
		v.SetFloat(old)
		fields++
	})
	assert.Equal(t, 9+12+6, fields)
}

func TestCheckMarking(t *testing.T) {
	c := mustRead(t, with("", "[marking]\nend-point = 0\nsteps = 60\nfree-steps = 0.5\ntoo-far-factor = 0.5\n"))
	assert.Equal(t, []string{"case.mind.no-end-point", "case.mind.below-par (free 0.5, part steps)", "case.mind.too-far (factor 0.5)"}, listed(checkMarking(c)))
	c = mustRead(t, with("", "[marking]\nfree-steps = 1\ntoo-far-factor = 1\n"))
	assert.Empty(t, checkMarking(c))
	assert.Empty(t, checkMarking(mustRead(t, plain)))
}

func FuzzReadScheme(f *testing.F) {
	f.Add([]byte("[marking]\nend-point = 55\ntime = 0\n"))
	f.Add([]byte("[marking.procedure]\nfog = 7\nverify = 2\n[other]\nx = 1\n"))
	f.Add([]byte("marking = {end-point = 50, procedure = {fog = 6}}\n"))
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
			require.InDelta(t, 100, s.EndPoint.Points+s.Procedure.Total()+s.Steps.Points+s.Time.Points, 1e-6)
		}
	})
}
