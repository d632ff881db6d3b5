package sitting

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// logged is the routine examination and its log, made once for all tests.
var logged = sync.OnceValues(func() (*Sitting, []byte) {
	s := Start(routineSetup(), Seeded(1))
	for _, a := range routine {
		if _, err := s.Do(a); err != nil {
			panic(err)
		}
	}
	return s, written(s.Events())
})

var header = Header{Conoid: Version, Case: "0123abcd", Title: "A harbour pilot"}.Seeded(1)

func written(events []Event) []byte {
	var b bytes.Buffer
	l, err := NewLog(&b, header)
	if err != nil {
		panic(err)
	}
	for _, e := range events {
		if err := l.Append(e); err != nil {
			panic(err)
		}
	}
	return b.Bytes()
}

func read(data []byte) (*Record, error) { return ReadLog(bytes.NewReader(data)) }

// broken asserts that a log is refused, and at which line.
func broken(t *testing.T, data []byte, line int) {
	t.Helper()
	rec, err := read(data)
	var fault *LogError
	require.ErrorAs(t, err, &fault)
	assert.Nil(t, rec)
	assert.Equal(t, line, fault.Line)
	assert.Error(t, fault.Why)
}

func TestLogReadsBack(t *testing.T) {
	t.Parallel()
	s, data := logged()
	rec, err := read(data)
	require.NoError(t, err)
	assert.Equal(t, header, rec.Header)
	assert.Equal(t, asJSON(t, s.Events()), asJSON(t, rec.Events))
	assert.False(t, rec.Torn)
	assert.Equal(t, int64(len(data)), rec.Size)
	assert.Len(t, bytes.Split(data, []byte("\n")), len(s.Events())+2, "one line each")

	var b bytes.Buffer
	l, err := NewLog(&b, header)
	require.NoError(t, err)
	for _, e := range rec.Events {
		require.NoError(t, l.Append(e))
	}
	assert.Equal(t, rec.Head, l.Head())
	assert.Equal(t, data, b.Bytes(), "written again it is the same")
}

// A log that was cut off anywhere lacks its last line, and no more than that.
// It can be gone on with, and then is whole.
func TestLogCutAnywhere(t *testing.T) {
	t.Parallel()
	s, data := logged()
	first := bytes.IndexByte(data, '\n') + 1
	for cut := range len(data) {
		if cut < first {
			broken(t, data[:cut], 1)
			continue
		}
		rec, err := read(data[:cut])
		require.NoError(t, err, "cut at %d", cut)
		lines := bytes.Count(data[:cut], []byte("\n"))
		require.Len(t, rec.Events, lines-1, "cut at %d", cut)
		require.Equal(t, data[cut-1] != '\n', rec.Torn, "cut at %d", cut)
		require.Equal(t, int64(bytes.LastIndexByte(data[:cut], '\n')+1), rec.Size)

		if cut%7 == 0 {
			again := bytes.NewBuffer(slices.Clone(data[:rec.Size]))
			l := ContinueLog(again, rec)
			for _, e := range s.Events()[len(rec.Events):] {
				require.NoError(t, l.Append(e))
			}
			require.Equal(t, data, again.Bytes(), "cut at %d", cut)
		}
	}
}

// No bit can be changed unseen. Only a last line that lost its end passes for
// one that was cut off, and is left out.
func TestLogWithAnyBitChanged(t *testing.T) {
	t.Parallel()
	s, _ := logged()
	data := written(s.Events()[:8])
	last := len(data) - 1
	for i := range data {
		for bit := range 8 {
			changed := slices.Clone(data)
			changed[i] ^= 1 << bit
			rec, err := read(changed)
			if i == last {
				require.NoError(t, err)
				require.True(t, rec.Torn)
				require.Len(t, rec.Events, 7)
				continue
			}
			var fault *LogError
			require.ErrorAs(t, err, &fault, "bit %d of byte %d", bit, i)
		}
	}
}

func TestLogWithLinesMoved(t *testing.T) {
	t.Parallel()
	_, data := logged()
	lines := bytes.SplitAfter(data, []byte("\n"))
	lines = lines[:len(lines)-1]
	join := func(l ...[]byte) []byte { return bytes.Join(l, nil) }
	swapped := slices.Clone(lines)
	swapped[3], swapped[4] = swapped[4], swapped[3]
	broken(t, join(swapped...), 4)
	broken(t, join(slices.Delete(slices.Clone(lines), 3, 4)...), 4)                     // one left out
	broken(t, join(slices.Insert(slices.Clone(lines), 3, lines[2])...), 4)              // one twice
	broken(t, join(lines[1:]...), 1)                                                    // no header
	broken(t, join(slices.Insert(slices.Clone(lines), 2, []byte("hello\n"))...), 3)     // one put in
	broken(t, join(slices.Insert(slices.Clone(lines), 2, []byte("\n"))...), 3)          // an empty one
	broken(t, nil, 1)                                                                   // nothing at all
	broken(t, join(append(slices.Clone(lines), lines[0])...), len(lines)+1)             // a header at the end
	broken(t, bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n")), 1)                  // other ends of lines
	broken(t, append(slices.Clone(data), []byte("{,\"chain\":\"}\n")...), len(lines)+1) // less than a chain
}

// A line of another log stands in no chain but its own.
func TestLogWithLinesOfAnother(t *testing.T) {
	t.Parallel()
	lines := func(title string, actions ...Action) [][]byte {
		var b bytes.Buffer
		l, err := NewLog(&b, Header{Title: title, Keys: Seeded(1)})
		require.NoError(t, err)
		for i, a := range actions {
			require.NoError(t, l.Append(Event{N: i + 1, Action: a}))
		}
		return bytes.SplitAfter(b.Bytes(), []byte("\n"))
	}
	one := lines("one", Action{Do: Cover, Eye: Left}, Action{Do: Explain}, Action{Do: Lower})
	other := lines("one", Action{Do: Cover, Eye: Right}, Action{Do: Explain}, Action{Do: Lower})
	foreign := lines("two", Action{Do: Cover, Eye: Left}, Action{Do: Explain}, Action{Do: Lower})
	broken(t, bytes.Join([][]byte{one[0], other[1], one[2], one[3]}, nil), 3)
	broken(t, bytes.Join([][]byte{one[0], one[1], one[2], other[3]}, nil), 4)
	broken(t, bytes.Join([][]byte{foreign[0], one[1], one[2], one[3]}, nil), 2)
}

// fickle writes until it is told to fail.
type fickle struct {
	bytes.Buffer
	fail error
}

func (f *fickle) Write(p []byte) (int, error) {
	if f.fail != nil {
		return 0, f.fail
	}
	return f.Buffer.Write(p)
}

func TestLogThatCannotBeWritten(t *testing.T) {
	t.Parallel()
	full := errors.New("the disk is full")
	_, err := NewLog(&fickle{fail: full}, header)
	require.ErrorIs(t, err, full)

	w := &fickle{}
	l, err := NewLog(w, header)
	require.NoError(t, err)
	head := l.Head()
	w.fail = full
	require.ErrorIs(t, l.Append(Event{N: 1, Action: Action{Do: Explain}}), full)
	assert.Equal(t, head, l.Head(), "what was not written is no part of the chain")
	w.fail = nil
	require.NoError(t, l.Append(Event{N: 1, Action: Action{Do: Explain}}))
	rec, err := read(w.Bytes())
	require.NoError(t, err)
	assert.Len(t, rec.Events, 1)
}

func FuzzReadLog(f *testing.F) {
	data := string(written([]Event{{N: 1, At: 2, Action: Action{Do: Cover, Eye: Left}}, {N: 2, At: 5, Action: Action{Do: Show, Chart: chart.Fan}}}))
	f.Add(data)
	f.Add(data[:len(data)-9])
	f.Add(strings.Replace(data, "fan", "sun", 1))
	f.Add("{,\"chain\":\"}\n")
	f.Add("{\"conoid\":2,\"chain\":\"\"}\n\n")
	f.Fuzz(func(t *testing.T, s string) {
		rec, err := read([]byte(s))
		if err != nil {
			var fault *LogError
			require.ErrorAs(t, err, &fault)
			assert.Positive(t, fault.Line)
			return
		}
		assert.LessOrEqual(t, rec.Size, int64(len(s)))
		assert.Equal(t, rec.Size < int64(len(s)), rec.Torn)
		again, err := read([]byte(s)[:rec.Size])
		require.NoError(t, err)
		assert.False(t, again.Torn)
		assert.Equal(t, rec.Head, again.Head)
		assert.Equal(t, rec.Events, again.Events)
	})
}

// An action in a log reads as people write it, and reads back as it was.
func TestActionsInALog(t *testing.T) {
	t.Parallel()
	for text, a := range map[string]Action{
		`{"do":"put","eye":"right","cell":"front 1","lens":"-1.00x35"}`: {Do: Put, Eye: Right, Cell: In(optics.Front1), Lens: optics.CylinderOf(-1, 35)},
		`{"do":"put","cell":"back","lens":"occluder"}`:                  {Do: Put, Cell: In(optics.Back), Lens: piece("occluder")},
		`{"do":"exchange","lens":"-1.00 cyl"}`:                          {Do: Exchange, Lens: optics.Lens{Kind: optics.CylinderLens, Power: -1}},
		`{"do":"take"}`:                                                 {Do: Take},
		`{"do":"show","chart":"fan"}`:                                   {Do: Show, Chart: chart.Fan},
		`{"do":"note","field":"fan axis","text":"30"}`:                  {Do: Note, Field: AxisField, Text: "30"},
		`{"do":"state","rx":"-1.00 / -2.00 x 30","acuity":"6/6-2"}`:     {Do: End, Rx: stated("-1.00/-2.00x30"), Acuity: acuity("6/6-2")},
		`{"do":"state","rx":"plano"}`:                                   {Do: End, Rx: &optics.Rx{}},
	} {
		assert.Equal(t, text, asJSON(t, a))
		var back Action
		require.NoError(t, strict([]byte(text), &back))
		assert.Equal(t, a, back)
	}
	for _, text := range []string{`{"cell":"top"}`, `{"cell":""}`, `{"lens":"strong"}`, `{"rx":"-1.00/-2.00"}`, `{"acuity":"good"}`, `{"lens":1}`} {
		assert.Error(t, strict([]byte(text), &Action{}), text)
	}
}
