package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"conoid/cmd/internal/chair"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The numbers of a replay are those of the steps that count: what is no step of its own
// has none, and a number that is typed is that of a step.
func TestAReplayCountsStepsAsTheMarksDo(t *testing.T) {
	t.Parallel()
	p, out := replayed(t)
	for _, at := range []struct {
		event  int
		begins string
	}{
		{1, "     The left eye is covered"}, {2, "  1  "}, {3, "  2  "}, {4, "     "}, {5, "  3  "},
	} {
		require.NoError(t, p.to(at.event))
		out.Reset()
		p.tell()
		assert.Regexp(t, "^"+at.begins+`\S`, out.String()+"x", "event %d", at.event)
	}
	for step, event := range []int{0, 2, 3, 5, 5} {
		assert.Equal(t, event, p.eventOf(step), "step %d", step)
	}
}

// Where letters were read those that hung there stand beside them, as at the bench.
func TestAReplayShowsTheLetters(t *testing.T) {
	t.Parallel()
	p, out := replayed(t, sitting.Action{Do: sitting.Show, Chart: chart.Letters}, sitting.Action{Do: sitting.Ask, Question: patient.ReadLetters})
	require.NoError(t, p.to(5))
	p.tell()
	assert.NotContains(t, out.String(), " of 5")
	require.NoError(t, p.to(7))
	p.tell()
	assert.Regexp(t, `(?m)^     6/[\d.]+ +[A-Z]{5}   read [A-Z.]{5}   \d of 5$`, out.String())
}

// A log that goes another way says of which log it is a new try, and from where; so does
// what is written of it.
func TestABranchSaysWhereItComesFrom(t *testing.T) {
	t.Parallel()
	p, _ := replayed(t)
	require.NoError(t, p.to(4))
	path := filepath.Join(t.TempDir(), "branch.jsonl")
	require.NoError(t, p.branch(path))
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	rec, err := sitting.ReadLog(f)
	require.NoError(t, err)
	assert.Equal(t, &sitting.Try{Of: "first.jsonl", Step: 3}, rec.Header.Try)
	assert.Len(t, rec.Events, 4)

	said := func(try *sitting.Try, asJSON bool) string {
		var b bytes.Buffer
		require.NoError(t, writeReport(&b, voice.English, &scoring.Report{}, try, asJSON, false))
		return b.String()
	}
	assert.Contains(t, said(rec.Header.Try, false), "Tried again from step 3 of the sitting “first.jsonl”")
	assert.Contains(t, said(rec.Header.Try, true), `"of": "first.jsonl"`)
	assert.NotContains(t, said(nil, false), "Tried again")
	assert.NotContains(t, said(nil, true), `"try"`)
}

// replayed is a replay of a short sitting, and what it tells.
func replayed(t *testing.T, more ...sitting.Action) (*player, *bytes.Buffer) {
	t.Helper()
	c := libraryCase(t, "ferry-clerk")
	head := sitting.Header{Case: c.Hash(), Title: c.Title}.Seeded(7)
	l, err := chair.Begin(c, head, nil, nil)
	require.NoError(t, err)
	for _, a := range append([]sitting.Action{
		{Do: sitting.Cover, Eye: sitting.Left}, {Do: sitting.Show, Chart: chart.Fan}, {Do: sitting.Ask, Question: patient.WhichLines},
		{Do: sitting.Explain}, {Do: sitting.Ask, Question: patient.WhichLines},
	}, more...) {
		_, err := l.Do(a, sitting.Aside{}).Wait()
		require.NoError(t, err)
	}
	p, err := playerOf(voice.English, c, &sitting.Record{Header: head, Events: l.Events()})
	require.NoError(t, err)
	var out bytes.Buffer
	p.out, p.log = &out, "first.jsonl"
	return p, &out
}
