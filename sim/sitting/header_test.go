package sitting

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/patient"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLogOfAnotherVersion(t *testing.T) {
	t.Parallel()
	var b bytes.Buffer
	l := &Log{w: &b}
	h := header
	h.Conoid = Version + 1
	require.NoError(t, l.write(h))
	_, err := read(b.Bytes())
	require.ErrorContains(t, err, "log.version (reads 4, version 5)")
	for _, other := range []map[string]any{
		{"conoid": 1, "case": "0123abcd", "title": "A harbour pilot", "seed": 1}, // as it was at first
		{"conoid": 7, "colour": "blue"},
	} {
		b.Reset()
		l = &Log{w: &b}
		require.NoError(t, l.write(other))
		_, err = read(b.Bytes())
		require.ErrorContains(t, err, fmt.Sprintf("log.version (reads 4, version %d)", other["conoid"]))
	}
	b.Reset()
	l = &Log{w: &b}
	require.NoError(t, l.write(map[string]any{"conoid": Version, "colour": "blue"}))
	_, err = read(b.Bytes())
	require.ErrorContains(t, err, "colour", "fields that nobody knows")
	b.Reset()
	l, err = NewLog(&b, header)
	require.NoError(t, err)
	require.NoError(t, l.Append(Event{N: 2, Action: Action{Do: Explain}}))
	broken(t, b.Bytes(), 2) // the first event is number 1
}

// The log of a new try says of what.
func TestTheLogOfATrySaysOfWhat(t *testing.T) {
	t.Parallel()
	begun := func(h Header) ([]byte, error) {
		var b bytes.Buffer
		_, err := NewLog(&b, h)
		return b.Bytes(), err
	}
	own, err := begun(header)
	require.NoError(t, err)
	assert.NotContains(t, string(own), "try")
	h := header
	h.Try = &Try{Of: "pilot-2", Step: 1}
	data, err := begun(h)
	require.NoError(t, err)
	rec, err := read(data)
	require.NoError(t, err)
	assert.Equal(t, h.Try, rec.Header.Try)
	for _, wrong := range []Try{{Of: "pilot-2"}, {Step: 1}} {
		h.Try = &wrong
		data, err = begun(h)
		require.ErrorContains(t, err, "log.try")
		assert.Empty(t, data)
	}
}

// A step is what is counted: what is none of its own stands beside the one before, and
// a turn that goes on is still the same.
func TestStepsAfterEachEvent(t *testing.T) {
	t.Parallel()
	s := Start(nobody("-1.00/-1.00x90"), header.Keys)
	do(t, s,
		Action{Do: Explain}, Action{Do: Show, Chart: chart.Arrow}, Action{Do: Point, Axis: 40}, Action{Do: Point, Axis: 50},
		Action{Do: Ask, Question: patient.WhichLimb}, Action{Do: Explain}, Action{Do: Point, Axis: 60})
	assert.Equal(t, []int{0, 1, 2, 2, 3, 3, 4}, StepsAfter(s.Events()))
	assert.Equal(t, 4, s.Steps().Total())
	assert.Empty(t, StepsAfter(nil))
}

// The keys of a seed are SHA-256 (FIPS 180-4) of a purpose and the seed; these
// are from another program.
func TestKeysOfASeed(t *testing.T) {
	t.Parallel()
	k := Seeded(1)
	assert.Equal(t, "fc48e7c3724dab6156f0ce9fa51457f4", k.Letters.String())
	assert.Equal(t, "a124f9f0399fb2959156b8897d7eaec9", k.Noise.String())
	assert.NotEqual(t, k, Seeded(2))
	assert.JSONEq(t, `{"letters":"fc48e7c3724dab6156f0ce9fa51457f4","noise":"a124f9f0399fb2959156b8897d7eaec9"}`, asJSON(t, k))
	var back Key
	require.NoError(t, back.UnmarshalText([]byte(k.Noise.String())))
	assert.Equal(t, k.Noise, back)
	for _, wrong := range []string{"", "12", k.Noise.String()[1:], k.Noise.String() + "0", strings.Repeat("g", 32)} {
		require.ErrorContains(t, back.UnmarshalText([]byte(wrong)), "log.key", wrong)
	}
}

// Letters and noise are drawn apart: each key changes its own.
func TestEachKeyHasItsOwnChance(t *testing.T) {
	t.Parallel()
	answers := func(k Keys) (rows []patient.RowRead, said patient.Answer) {
		s := Start(nobody("-1.00"), k)
		do(t, s, Action{Do: Show, Chart: chart.Letters})
		rows = s.State().Rows
		return rows, *do(t, s, Action{Do: Show, Chart: chart.Fan}, Action{Do: Ask, Question: patient.WhichLines}).Answer
	}
	one, two := Seeded(1), Seeded(2)
	rows, said := answers(one)
	otherRows, sameSaid := answers(Keys{two.Letters, one.Noise})
	sameRows, otherSaid := answers(Keys{one.Letters, two.Noise})
	assert.Equal(t, rows, sameRows)
	assert.NotEqual(t, rows, otherRows)
	assert.Equal(t, said, sameSaid)
	assert.NotEqual(t, said, otherSaid)
}

func TestHeaderOfALog(t *testing.T) {
	t.Parallel()
	seed := uint64(3)
	for what, h := range map[string]Header{
		"no keys":        {Title: "x"},
		"no noise":       {Title: "x", Keys: Keys{Letters: Seeded(1).Letters}},
		"no letters":     {Title: "x", Keys: Keys{Noise: Seeded(1).Noise}},
		"a seed alone":   {Title: "x", Seed: &seed},
		"another's keys": {Title: "x", Seed: &seed, Keys: Seeded(4)},
	} {
		var b bytes.Buffer
		_, err := NewLog(&b, h)
		require.ErrorContains(t, err, "keys", what)
		assert.Zero(t, b.Len(), what)
		h.Conoid = Version
		l := &Log{w: &b}
		require.NoError(t, l.write(h))
		broken(t, b.Bytes(), 1)
	}
	for _, h := range []Header{
		{Case: "0123", Title: "x", Keys: Seeded(3), Who: "A7"},
		Header{Title: "x"}.Seeded(3),
	} {
		var b bytes.Buffer
		_, err := NewLog(&b, h)
		require.NoError(t, err)
		rec, err := read(b.Bytes())
		require.NoError(t, err)
		h.Conoid = Version
		assert.Equal(t, h, rec.Header)
	}
}
