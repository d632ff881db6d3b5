package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/editor"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/sitting"
)

// What needs no expert comes first; who goes away ends the work before there is a picture.
// Most of its time goes to the acuities of the account.
func TestAmountsEndWithTheirContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	var kinds []string
	err := amounts(ctx, voice.English, libraryCase(t, "ferry-clerk"), func(ev editor.Event) {
		kinds = append(kinds, ev.Kind)
		assert.NotEmpty(t, ev.Lines)
		cancel()
	})
	require.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, []string{editor.Account}, kinds)
}

// The fan is looked at with the objective result in, in fog and at the end point, whatever
// hung there in the expert's run.
func TestFanMoments(t *testing.T) {
	run := sitting.Start(libraryCase(t, "ferry-clerk").Setup(), sitting.Seeded(1))
	found, err := expert.Examine(run, expert.BriefOf(run.Setup()))
	require.NoError(t, err)
	stages, err := along(run, fanMoments(run), 1)
	require.NoError(t, err)
	require.Len(t, stages, 3)
	for _, st := range stages {
		assert.Equal(t, chart.Fan, st.view)
	}
	room := run.Setup().Room
	objective := libraryCase(t, "ferry-clerk").Of(run.Setup().Tested).Objective
	assert.Equal(t, objective, stages[0].frame.Told(room.Distance), "at the start")
	assert.Zero(t, stages[1].frame.Told(room.Distance).Cyl, "in fog")
	assert.Equal(t, found.Rx, stages[2].frame.Told(room.Distance), "at the end")
}

// An editor from its address to Ctrl-C; a file that is not there is not made by that.
func TestEditServes(t *testing.T) {
	ctx, interrupt := context.WithCancel(t.Context())
	out, printed := io.Pipe()
	path := filepath.Join(t.TempDir(), "mine.toml")
	p := practice{voice: voice.In("de"), out: printed, errs: io.Discard}
	ended := make(chan error, 1)
	go func() {
		ended <- p.edit(ctx, path, true)
		printed.Close()
	}()
	lines := bufio.NewScanner(out)
	require.True(t, lines.Scan())
	address := strings.TrimPrefix(lines.Text(), "Der Editor ist unter ")
	assert.Regexp(t, `^http://127\.0\.0\.1:\d+/[A-Z2-7]{26}/$`, address)
	lines.Scan()
	r, err := http.Get(address)
	require.NoError(t, err)
	assert.Contains(t, body(t, r), "Fall bearbeiten: <span id=\"name\">mine.toml</span>")
	r.Body.Close()
	interrupt()
	for lines.Scan() {
	}
	require.NoError(t, <-ended)
	assert.NoFileExists(t, path)
}

func TestEditRefuses(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("set.toml", []byte("conoid-assignment = 1\n"), 0o644))
	for args, says := range map[string]string{
		"case edit set.toml --no-open":                 "name one of its cases",
		"case edit --no-open":                          "",
		"practise --edit set.toml --no-open":           "name one of its cases",
		"practise --edit a.toml b.toml --no-open":      "--edit names the file itself",
		"practise --edit a.toml --site out --no-open":  "--edit names the file itself",
		"case edit . --no-open":                        "cannot be opened",
		"case edit nowhere/../nowhere/a.txt --port 1x": "--port",
	} {
		code, said := tried("", strings.Fields(args)...)
		assert.NotZero(t, code, args)
		assert.Contains(t, said, says, args)
	}
}
