package bench

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/words"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// memory is a store for tests.
type memory struct {
	files   map[string][]byte
	full    bool   // nothing more can be kept
	refuses string // names that have this in them cannot be kept
	why     error
	late    bool // what was written is not on the disk yet
}

func newMemory() *memory { return &memory{files: map[string][]byte{}, why: errFull} }

func (m *memory) List(prefix string) (out []string, err error) {
	for n := range m.files {
		if strings.HasPrefix(n, prefix) {
			out = append(out, n)
		}
	}
	slices.Sort(out)
	return out, nil
}

func (m *memory) Read(name string) ([]byte, error) {
	data, ok := m.files[name]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return slices.Clone(data), nil
}

var errFull = fmt.Errorf("the disk is full")

func (m *memory) Append(name string, data []byte) error {
	if m.full {
		return m.why
	}
	m.files[name] = append(m.files[name], data...)
	return nil
}

func (m *memory) Truncate(name string, size int64) error {
	m.files[name] = m.files[name][:size]
	return nil
}

func (m *memory) Replace(name string, data []byte) error {
	if m.full || m.refuses != "" && strings.Contains(name, m.refuses) {
		return m.why
	}
	m.files[name] = slices.Clone(data)
	return nil
}

func (m *memory) Settled() bool { return !m.late }

func (m *memory) Remove(name string) error { delete(m.files, name); return nil }

// hands sit before the bench in a test.
type hands struct {
	t     *testing.T
	a     *App
	store *memory
	w, h  float64
	at    time.Duration
	scene *paper.Scene
	head  *practical.Sealed // the practical that is sat
	keys  *practical.Keys   // of its assessor
}

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

func newHands(t *testing.T, w, h float64, o Options) *hands {
	m, ok := o.Store.(*memory)
	if !ok {
		m = newMemory()
		o.Store = m
	}
	o.Now = func() time.Time { return noon }
	if o.Seed == nil {
		o.Seed = func() uint64 { return 4 }
	}
	hd := &hands{t: t, a: New(o), store: m, w: w, h: h}
	hd.settle()
	return hd
}

// frame feeds one frame.
func (h *hands) frame(in ui.Input) {
	h.at += 16 * time.Millisecond
	in.Time = h.at
	s, _ := h.a.Frame(in, h.w, h.h)
	h.scene = s
}

// settle lets frames go by until nothing changes.
func (h *hands) settle() {
	h.frame(ui.Input{Pointer: h.a.shown.pointer})
	for idle := 0; h.a.again || h.a.desk.Work.Left(); {
		if !h.a.desk.Work.Left() { // work takes as long as it takes
			idle++
		}
		require.Less(h.t, idle, 60, "the screen never comes to rest")
		h.frame(ui.Input{Pointer: h.a.shown.pointer})
	}
}

// find is a thing by its label, scrolled into view if need be, or looked for where it
// may be out of view.
func (h *hands) find(label string) ui.Thing {
	h.t.Helper()
	if t, ok := h.look(label); ok {
		return t
	}
	if t, ok := h.seek(label); ok {
		return t
	}
	var labels []string
	for _, t := range h.a.desk.UI.Things() {
		labels = append(labels, t.Label)
	}
	require.Failf(h.t, "not on the screen", "%q; there are %q; %s", label, labels, h.notice())
	return ui.Thing{}
}

// look is a thing that is on the screen, scrolled into view if need be.
func (h *hands) look(label string) (t ui.Thing, ok bool) {
	for range 3 {
		for _, t := range h.a.desk.UI.Things() {
			if t.Label != label && t.ID != label || t.Behind || t.Role == ui.RoleText {
				continue
			}
			if c := t.Rect.Centre(); t.Clip.Contains(c) {
				return t, true
			}
			h.a.desk.UI.Focus(t.ID) // which scrolls it into view
			h.a.again = true
			h.settle()
			break
		}
	}
	return ui.Thing{}, false
}

// seek opens what may hide a thing on a screen that has no room for all: the panels,
// the questions beside the next step, the sheet with all charts, the menu.
func (h *hands) seek(label string) (t ui.Thing, ok bool) {
	if h.front() || !at[*chairside.Screen](h) {
		return ui.Thing{}, false
	}
	for _, way := range [][2]string{
		{"tab ask"}, {"tab lenses"}, {"tab said"}, {"tab conoid"}, {"something else"},
		{"charts", "all charts close"}, {"menu", "menu close"},
	} {
		if _, there := h.look(way[0]); !there {
			continue
		}
		h.press(way[0])
		if t, ok := h.look(label); ok {
			return t, true
		}
		if way[1] != "" {
			h.press(way[1])
		}
	}
	return ui.Thing{}, false
}

// press presses a thing with the mouse.
func (h *hands) press(label string) {
	h.t.Helper()
	t := h.find(label)
	require.False(h.t, t.Disabled, "%s is out of use", label)
	p := t.Rect.Centre()
	h.frame(ui.Input{Pointer: p, Over: true, Down: true, Pressed: true})
	h.frame(ui.Input{Pointer: p, Over: true, Released: true})
	h.settle()
}

// key presses keys.
func (h *hands) key(keys ...ui.Key) {
	for _, k := range keys {
		h.frame(ui.Input{Pointer: h.a.shown.pointer, Keys: []ui.Press{{Key: k}}})
	}
	h.settle()
}

// write types a text.
func (h *hands) write(text string) {
	for _, r := range text {
		h.frame(ui.Input{Pointer: h.a.shown.pointer, Text: string(r)})
	}
	h.settle()
}

// fill writes a text into a field, in the place of what is there.
func (h *hands) fill(id, text string) {
	h.press(id)
	h.key(ui.End)
	for range h.find(id).Value {
		h.key(ui.Backspace)
	}
	h.write(text)
}

// drag drags from one place to another.
func (h *hands) drag(from, to paper.Point) {
	h.frame(ui.Input{Pointer: from, Over: true, Down: true, Pressed: true})
	for i := 1; i <= 8; i++ {
		k := float64(i) / 8
		h.frame(ui.Input{Pointer: paper.Point{X: from.X + k*(to.X-from.X), Y: from.Y + k*(to.Y-from.Y)}, Over: true, Down: true})
	}
	h.frame(ui.Input{Pointer: to, Over: true, Released: true})
	h.settle()
}

// command does what an examiner's words say, as the terminal would.
func (h *hands) command(text string) {
	h.t.Helper()
	c := h.visit()
	act, err := words.Parse(text, words.Scene{State: c.State(), Tested: c.Brief().Tested, Questions: c.Questions()})
	require.NoError(h.t, err, text)
	h.do(act)
}

// do carries out an action.
func (h *hands) do(act sitting.Action) {
	h.t.Helper()
	h.visit().Do(act, noon)
	_, err := h.visit().Hear()
	require.NoError(h.t, err, "%v", act)
	h.a.again = true
	h.settle()
}

// long leaves out what takes many sittings: with the race detector each is ten
// times as slow, and all that happens here happens in one goroutine at a time.
func long(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("it takes long")
	}
}

// say is a text in the user's language.
func (h *hands) say(id string) string { return h.a.desk.Voice().Value(fact.Fact{ID: id}) }

// notice is what was refused.
func (h *hands) notice() string { return h.a.desk.Notice.Text(h.a.desk.Voice()) }

// at reports whether a kind of screen is shown.
func at[S desk.Screen](h *hands) bool {
	_, is := h.a.screen.(S)
	return is
}

// on is the screen that is shown.
func on[S desk.Screen](h *hands) S {
	h.t.Helper()
	s, is := h.a.screen.(S)
	require.True(h.t, is, "%T is shown: %s", h.a.screen, h.notice())
	return s
}

// visit is the sitting under way.
func (h *hands) visit() *chair.Visit {
	h.t.Helper()
	return on[*chairside.Screen](h).Visit()
}

// frameNow is the frame of the tested eye.
func (h *hands) frameNow() optics.Frame {
	c := h.visit()
	return c.State().Frames[c.Brief().Tested.Index()]
}

// front reports whether something lies in front of the screen.
func (h *hands) front() bool {
	s, is := h.a.screen.(*chairside.Screen)
	return h.a.overlay != nil || is && s.Sheet() != nil
}
