package main

import (
	"bufio"
	"bytes"
	"io/fs"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/chair"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// late is a chair whose answers take a while, and of which one is lost.
type late struct {
	*chair.Local
	loses int // counted from 1; 0 loses none
	sent  int
}

func (l *late) Do(a sitting.Action, aside sitting.Aside) *chair.Pending {
	l.sent++
	p, lost := chair.Sent(a), l.sent == l.loses
	go func() {
		time.Sleep(time.Millisecond)
		if lost {
			p.Decide(chair.Told{}, fact.Because(fs.ErrPermission, "chair.not-kept"))
			return
		}
		p.Decide(l.Local.Do(a, aside).Wait())
	}()
	return p
}

// typed has a desk with a late chair take lines, and gives back what it says.
func typed(t *testing.T, script bool, loses int, lines ...string) (said string, err error) {
	c := libraryCase(t, "ferry-clerk")
	l, err := chair.Begin(c, sitting.Header{Case: c.Hash(), Title: c.Title}.Seeded(7), nil, nil)
	require.NoError(t, err)
	var out bytes.Buffer
	r := &room{out: &out, plain: true, echo: script, lines: bufio.NewReader(strings.NewReader(strings.Join(lines, "\n")))}
	d := newDesk(voice.English, r, c, l, nil)
	d.visit = chair.Attend(&late{Local: l, loses: loses}, chair.Notes{})
	err = d.serve(r)
	return out.String(), err
}

func TestTheTerminalWaitsForALateAnswer(t *testing.T) {
	said, err := typed(t, true, 0, "cover left", "show fan", "ask", "history")
	require.NoError(t, err)
	assert.Regexp(t, `(?s)> ask\n  You: “Which of the lines.*Tobren: “.+”.*> history\n       cover left\n    1  show fan\n    2  ask which  “`, said)
}

// Who types is told that nothing has happened, and can go on; a script ends.
func TestTheTerminalTellsWhatCouldNotBeKept(t *testing.T) {
	lines := []string{"cover left", "show fan", "steps", "show fan", "steps"}
	said, err := typed(t, false, 2, lines...)
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(said, "On the wall: the fan"))
	assert.Regexp(t, `(?s)This could not be kept in the log, so it has not\s+happened.*this is not allowed here\..*chart or arrow changes 0.*the fan.*chart or arrow changes 1`, said)

	said, err = typed(t, true, 2, lines...)
	require.ErrorIs(t, err, fs.ErrPermission)
	assert.NotContains(t, said, "the fan")
	assert.NotContains(t, said, "> steps")
}

// A log in a file is cut back to what is sure, and goes on from there.
func TestLogFile(t *testing.T) {
	path := t.TempDir() + "/log.jsonl"
	l, err := createLog(path)
	require.NoError(t, err)
	require.NoError(t, l.Append([]byte("one\n")))
	require.NoError(t, l.Append([]byte("tw")))
	require.NoError(t, l.Truncate(4))
	require.NoError(t, l.Append([]byte("two\n")))
	l.close()
	assert.Error(t, l.Append([]byte("three\n")))
	data, err := readFile(path, "argument.log")
	require.NoError(t, err)
	assert.Equal(t, "one\ntwo\n", string(data))
	_, err = createLog(path)
	require.ErrorIs(t, err, fs.ErrExist, "another's log is left alone")

	l, err = continueLog(path, &sitting.Record{Size: 4})
	require.NoError(t, err)
	require.NoError(t, l.Truncate(4))
	require.NoError(t, l.Append([]byte("2\n")))
	assert.Equal(t, path, l.name())
	l.discard()
	_, err = readFile(path, "argument.log")
	require.ErrorIs(t, err, fs.ErrNotExist)

	var none *logFile
	none.discard()
	none.close()
	assert.Empty(t, none.name())
}
