package store

import (
	"io/fs"
	"strings"
	"syscall/js"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// made is a storage as the HTML standard describes it, with room for so many
// code units. It stands in for the browser's own.
func made(room int) *Storage {
	area := js.Global().Get("Function").New("room", `
		const kept = new Map();
		return {
			get length() { return kept.size; },
			key: i => [...kept.keys()][i],
			getItem: k => kept.has(k) ? kept.get(k) : null,
			removeItem: k => { kept.delete(k); },
			setItem: (k, v) => {
				if (k.length + v.length > room) {
					const e = new Error("too much");
					e.name = "QuotaExceededError";
					throw e;
				}
				kept.set(k, v);
			},
		};`).Invoke(room)
	area.Call("setItem", "other", "not ours")
	return &Storage{area: func() js.Value { return area }}
}

func TestStorage(t *testing.T) {
	s := made(1000)
	_, err := s.Read("sittings/a.jsonl")
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.NoError(t, s.Append("sittings/b.jsonl", []byte("−0.50\n")))
	require.NoError(t, s.Append("sittings/b.jsonl", []byte("two\n")))
	require.NoError(t, s.Replace("settings.json", []byte("{}")))
	data, err := s.Read("sittings/b.jsonl")
	require.NoError(t, err)
	assert.Equal(t, "−0.50\ntwo\n", string(data))

	names, err := s.List("")
	require.NoError(t, err)
	assert.Equal(t, []string{"settings.json", "sittings/b.jsonl"}, names)
	names, err = s.List("sittings/")
	require.NoError(t, err)
	assert.Equal(t, []string{"sittings/b.jsonl"}, names)

	require.NoError(t, s.Truncate("sittings/b.jsonl", 8))
	data, _ = s.Read("sittings/b.jsonl")
	assert.Equal(t, "−0.50\n", string(data))
	require.Error(t, s.Truncate("sittings/b.jsonl", 9))
	require.Error(t, s.Truncate("sittings/b.jsonl", 1), "within a character")

	require.NoError(t, s.Remove("settings.json"))
	require.NoError(t, s.Remove("settings.json"), "nothing to remove")
	require.Error(t, s.Replace("../settings.json", nil))
	require.ErrorContains(t, s.Replace("a", []byte{0xff}), "store.no-text")
}

func TestStorageIsFull(t *testing.T) {
	s := made(100)
	require.NoError(t, s.Append("a.jsonl", []byte("kept\n")))
	require.ErrorIs(t, s.Append("a.jsonl", []byte(strings.Repeat("x", 100))), ErrFull)
	data, err := s.Read("a.jsonl")
	require.NoError(t, err)
	assert.Equal(t, "kept\n", string(data))
}

func TestNoStorage(t *testing.T) {
	for name, area := range map[string]func() js.Value{
		"none": func() js.Value { return js.Null() },
		"refused": func() js.Value {
			return js.Global().Get("Function").New(`const e = new Error("no"); e.name = "SecurityError"; throw e`).Invoke()
		},
	} {
		s := &Storage{area: area}
		_, err := s.List("")
		assert.ErrorIs(t, err, errNotAllowed, name)
		_, err = s.Read("a")
		assert.ErrorIs(t, err, errNotAllowed, name)
		assert.ErrorIs(t, s.Append("a", nil), errNotAllowed, name)
		assert.ErrorIs(t, s.Remove("a"), errNotAllowed, name)
		assert.False(t, s.Works(), name)
	}
}

// What is full keeps what it has; what has no room at all keeps nothing.
func TestStorageWorks(t *testing.T) {
	s := made(100)
	assert.True(t, s.Works())
	names, err := s.List("")
	require.NoError(t, err)
	assert.Empty(t, names)
	assert.False(t, made(13).Works())
	full := made(13)
	require.NoError(t, full.Replace("a", nil))
	assert.True(t, full.Works())
}

// A browser that forbids storage throws as soon as it is asked for.
func TestForbiddenStorage(t *testing.T) {
	window := js.Global().Get("Function").New(`
		return {get localStorage() { const e = new Error("no"); e.name = "SecurityError"; throw e; }};`).Invoke()
	s := of(window, js.Undefined())
	_, err := s.List("")
	assert.ErrorIs(t, err, errNotAllowed)
	assert.False(t, s.Works())
}

// The journal is told what is stored, once it is, and asked whether it has written it.
func TestJournal(t *testing.T) {
	s := made(60)
	assert.True(t, s.Settled(), "there is none")
	s.journal = js.Global().Get("Function").New(`
		const told = [];
		return {told, note: (...n) => told.push(n), settled: () => told.length !== 1};`).Invoke()
	require.NoError(t, s.Append("a.jsonl", []byte("one\n")))
	assert.False(t, s.Settled())
	require.NoError(t, s.Append("a.jsonl", []byte("two\n")))
	assert.True(t, s.Settled())
	require.ErrorIs(t, s.Replace("a.jsonl", []byte(strings.Repeat("x", 60))), ErrFull)
	require.NoError(t, s.Remove("a.jsonl"))
	told := js.Global().Get("JSON").Call("stringify", s.journal.Get("told")).String()
	assert.JSONEq(t, `[["conoid/a.jsonl", "one\n"], ["conoid/a.jsonl", "one\ntwo\n"], ["conoid/a.jsonl", null]]`, told)
}
