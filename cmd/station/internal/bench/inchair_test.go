package bench

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/internal/asked"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/inchair"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/patient"
)

// seated sits the hands in the place of somebody of the library.
func seated(h *hands, id string) *asked.Examination {
	h.t.Helper()
	h.press("in chair")
	h.press("take " + id)
	return on[*inchair.Screen](h).Examination()
}

// answered has the hands answer a question, the n-th: the line that was asked for, the left, and
// rows that become more.
func (h *hands) answered(q patient.Question, n int) {
	h.t.Helper()
	switch q {
	case patient.WhichLines:
		h.press("ray 0")
		h.press("say lines")
	case patient.WhichLimb:
		h.press([]string{"say left", "say right", "say alike"}[n%3])
	case patient.WhichBlock:
		h.press([]string{"say parallel", "say alike", "say perpendicular"}[n%3])
	case patient.WhichColour:
		h.press("say red")
	case patient.ReadLetters:
		h.press(fmt.Sprintf("row %d", 6+n%5))
		h.press("more 2")
		h.press("say read")
	default:
		h.press([]string{"say worse", "say better"}[n%2])
	}
}

// answerAll answers to the end, and sees each kind of question first.
func (h *hands) answerAll(x *asked.Examination, see func(q patient.Question)) {
	h.t.Helper()
	met := map[patient.Question]bool{}
	for n := 0; x.Asks() != nil; n++ {
		require.LessOrEqual(h.t, n, asked.Most)
		q := x.Asks().Action.Question
		if !met[q] {
			met[q] = true
			see(q)
		}
		h.answered(q, n)
	}
	for _, q := range []patient.Question{patient.WhichLines, patient.WhichLimb, patient.WhichBlock, patient.ReadLetters, patient.WithLens} {
		assert.True(h.t, met[q], "%s was never asked", q)
	}
}

// A whole examination in somebody's place, at every size, in every language, with small text
// and large: nothing is cut or lies over another, everything can be hit with a finger,
// the caution stands there, German is German, no patient is told a power in the
// frame, and nothing of it is kept. It takes some seconds: each question is looked at in
// two dozen ways.
func TestInTheChair(t *testing.T) {
	long(t)
	m := newMemory()
	m.files[settings.File] = []byte(`{"textSize":100,"curtain":1,"language":"en","card":340,"viewing":60}`)
	before := maps.Clone(m.files)
	h := newHands(t, 1366, 625, Options{Store: m})
	known := german()
	itself(known)
	h.press("in chair")
	h.everySize("choice", func() {})
	h.press("take chapel-organist")
	x := on[*inchair.Screen](h).Examination()
	h.answerAll(x, func(q patient.Question) {
		h.everySize(string(q), func() {
			v := h.a.desk.Voice()
			cautioned(t, h, string(q))
			assert.NotContains(t, h.labels(), v.Value(x.Frame().Prescription()), "a patient does not see what stands in the frame")
			assert.NotContains(t, h.labels(), v.Value(x.Truth().Error))
			if v.Language == "de" {
				h.spokenGerman(known, string(q))
			}
		})
	})
	require.NotNil(t, x.Result())
	require.NotEmpty(t, x.Differing())
	h.everySize("end", func() {
		v := h.a.desk.Voice()
		cautioned(t, h, "end")
		assert.Contains(t, h.labels(), v.Value(x.Truth().Error.MinusCyl()))
		assert.Contains(t, h.labels(), v.Value(x.Result().Rx))
		if v.Language == "de" {
			h.spokenGerman(known, "end")
		}
	})
	h.press("differs 2")
	assert.True(t, h.find("differs 2").Selected)
	h.w, h.h = 390, 844 // where the picture is above the list
	last := fmt.Sprintf("differs %d", len(x.Differing()))
	h.press(last)
	picture, _ := h.a.Status().Find(h.say("inchair.seen"))
	assert.InDelta(t, 80, picture.Y, 40, "what was chosen is in sight")
	h.press("home")
	assert.True(t, at[*home.Screen](h))
	assert.Equal(t, slices.Collect(maps.Keys(before)), slices.Collect(maps.Keys(m.files)), "nothing is kept")
	assert.Empty(t, h.a.desk.History.All())
}

// spokenGerman checks that everything on the screen is German.
func (h *hands) spokenGerman(known map[string]bool, where string) {
	h.t.Helper()
	for _, th := range h.a.desk.UI.Things() {
		spokenGerman(h.t, known, where, th.Label)
	}
}

// everySize looks at the screen at every size, in every language, with small text and large.
func (h *hands) everySize(name string, see func()) {
	h.t.Helper()
	w, high, was := h.w, h.h, h.a.desk.Settings.Now()
	for _, size := range screenSizes {
		for i, text := range []int{100, 200} {
			for k, language := range assets.Languages() {
				s := was
				s.TextSize, s.Language = text, language
				s.Card *= float64((i + k) % 2) // measured in every other
				h.a.desk.Settings.Try(s)
				h.w, h.h = size.w, size.h
				h.a.again = true
				h.settle()
				where := fmt.Sprintf("%s at %vx%v, %d, %s", name, size.w, size.h, text, language)
				checkLayout(h.t, h, where)
				checkTargets(h.t, h, where)
				see()
			}
		}
	}
	h.w, h.h = w, high
	h.a.desk.Settings.Try(was)
	h.a.again = true
	h.settle()
}

// checkTargets checks that all that is pressed can be hit with a finger.
func checkTargets(t *testing.T, h *hands, name string) {
	t.Helper()
	for _, th := range h.a.desk.UI.Things() {
		if th.Role == ui.RoleButton && !th.Behind && !strings.HasSuffix(th.ID, " close") {
			assert.True(t, th.Rect.W > 43.9 && th.Rect.H > 43.9, "%s: %q is %v", name, th.Label, th.Rect)
		}
	}
}

// cautioned checks that the caution stands whole in the window.
func cautioned(t *testing.T, h *hands, name string) {
	t.Helper()
	for _, th := range h.a.desk.UI.Things() {
		if th.Label == h.say("inchair.caution") {
			seen := th.Rect.Intersect(th.Clip)
			assert.InDeltaSlice(t, []float64{th.Rect.W, th.Rect.H}, []float64{seen.W, seen.H}, 0.5, "%s at %vx%v", name, h.w, h.h)
			return
		}
	}
	assert.Fail(t, "no caution", name)
}

// The arrow keys answer where two things beside one another are compared.
func TestKeysInTheChair(t *testing.T) {
	h := newHands(t, 1366, 625, Options{})
	x := seated(h, "ferry-clerk")
	for x.Asks().Action.Question != patient.WhichLimb {
		n := len(x.Replies())
		h.key(ui.Left)
		require.Len(t, x.Replies(), n, "nothing lies at the left")
		h.answered(x.Asks().Action.Question, n)
	}
	for _, k := range []struct {
		key  ui.Key
		kind patient.Kind
	}{{ui.Left, patient.Left}, {ui.Right, patient.Right}, {ui.Down, patient.Alike}} {
		require.Equal(t, patient.WhichLimb, x.Asks().Action.Question)
		h.key(k.key)
		r := x.Replies()
		assert.Equal(t, k.kind, r[len(r)-1].Mine.Kind)
	}

	h.press("stop")
	assert.Nil(t, x.Asks())
	assert.Contains(t, h.labels(), voice.English.Text("inchair.end.stopped", "n", len(x.Replies())))
}

// Lines are pressed and taken back, and what is compared is looked at both ways.
func TestLooksInTheChair(t *testing.T) {
	h := newHands(t, 1366, 625, Options{})
	x := seated(h, "ferry-clerk")
	h.press("ray 40")
	h.press("ray 50")
	h.press("ray 40")
	h.press("say lines")
	require.Equal(t, []float64{50}, x.Replies()[0].Mine.Lines)
	require.Equal(t, patient.WithLens, x.Asks().Action.Question)
	picture := func() (pixels []byte) { // of the card alone
		p := paper.NewPainter()
		p.Paint(h.scene, 1)
		r, image := h.find(h.say("inchair.seen")).Rect.Inset(4), p.Image()
		for y := int(r.Y); y < int(r.Bottom()); y++ {
			pixels = append(pixels, image.Pix[image.PixOffset(int(r.X), y):image.PixOffset(int(r.Right()), y)]...)
		}
		return pixels
	}
	card := h.find(h.say("inchair.seen")).Rect
	with := picture()
	h.press("view 1")
	assert.Equal(t, card, h.find(h.say("inchair.seen")).Rect)
	without := picture()
	h.press("view 2")
	assert.NotEqual(t, with, without)
	assert.Equal(t, with, picture())
}

// Pictures of what was looked at and found good.
func TestPicturesInTheChair(t *testing.T) {
	long(t)
	h := newHands(t, 1366, 625, Options{})
	x := seated(h, "chapel-organist")
	pictures := map[patient.Question]bool{patient.WhichLines: true, patient.WhichBlock: true, patient.ReadLetters: true}
	h.answerAll(x, func(q patient.Question) {
		if pictures[q] {
			compare(t, h, filepath.Join("testdata", "screens", "in the chair "+string(q)+".png"))
		}
	})
	compare(t, h, filepath.Join("testdata", "screens", "in the chair end.png"))
	phone := newHands(t, 390, 844, Options{})
	seated(phone, "chapel-organist")
	compare(t, phone, filepath.Join("testdata", "screens", "in the chair phone.png"))
}
