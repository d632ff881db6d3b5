//go:build e2e

package e2e

import (
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// begun waits for the bench with a patient.
func (b *browser) begun() {
	b.t.Helper()
	b.until("a patient is at the bench", func() bool { s := b.status(); return s.Screen == "bench" && !s.Busy })
}

// answered waits until the patient has said something new.
func (b *browser) answered(before string) string {
	b.t.Helper()
	b.until("there is an answer", func() bool { return b.status().Said != before })
	return b.status().Said
}

// By the mouse alone: a patient is chosen, an eye covered, a chart hung up and
// asked about. After the page was loaded again all of it is there.
func TestMouse(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	b.press("The ferry clerk")
	b.press("examine")
	b.begun()
	b.press("Cover the left eye")
	b.press("Fan")
	b.press("Which lines are clearest?")
	answer := b.answered("")
	b.shot("mouse.png")
	b.until("the answer is read out", func() bool { return eval[string](b, `document.getElementById("said").textContent`) == answer })
	dial := b.find("Axis of the cylinder")
	r := dial.Rect
	b.wheel(r.X+r.W/2, r.Y+r.H/2, 1)
	assert.Equal(t, dial.Value, b.find(dial.Label).Value, "the wheel turns no cylinder")
	b.drag(r.X+r.W/2, r.Y+20, r.X+r.W/2-60, r.Y+30)
	b.until("the drag turns the cylinder", func() bool { return b.find(dial.Label).Value != dial.Value })
	before := b.status()
	b.reload()
	b.begun()
	after := b.status()
	assert.Equal(t, before.Events, after.Events)
	assert.Greater(t, after.Events, 3)
	assert.Equal(t, answer, after.Said)
	assert.Equal(t, before.Frame, after.Frame)
}

// By the keys alone.
func TestKeyboard(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	b.tabTo("Call in someone unknown…")
	b.keys(kb.Enter)
	b.tabTo("Seed")
	b.typeText("421")
	b.keys(kb.Backspace)
	assert.Equal(t, "42", b.find("Seed").Value)
	seed := b.find("Seed").Rect // what is selected by drawing along it is selected for the page too
	b.drag(seed.X+seed.W-4, seed.Y+seed.H/2, seed.X+2, seed.Y+seed.H/2)
	b.until("all of it is selected", func() bool {
		return eval[string](b, `document.activeElement.selectionStart + " " + document.activeElement.selectionEnd`) == "0 2"
	})
	b.typeText("7")
	b.until("it gives way", func() bool { return b.find("Seed").Value == "7" })
	b.tabTo("Close")
	b.keys(kb.Enter)
	b.tabTo("The ferry clerk")
	b.keys(kb.Enter)
	b.tabTo("Alone")
	b.keys(" ")
	b.begun()
	before := b.status().Frame
	b.tabTo("Fan")
	b.keys(kb.Enter)
	b.until("the fan hangs on the wall", func() bool { return b.status().Events == 1 })
	assert.Equal(t, before, b.status().Frame)
	b.tabTo("Which lines are clearest?")
	assert.Equal(t, "Which lines are clearest?", eval[string](b, `document.activeElement.textContent`), "the focus is read out")
	b.keys(kb.Enter)
	assert.NotEmpty(t, b.answered(""))
	b.typeText("+")
	b.until("a lens is changed", func() bool { return b.status().Frame != before })
	const ctrl = 2
	undo := input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeRawKeyDown, Key: "z", Modifiers: ctrl}
	_, err := chromedp.Call(b.ctx, input.DispatchKeyEvent, undo)
	require.NoError(t, err)
	b.until("it is put back", func() bool { return b.status().Frame == before })
}

// By a finger, on a telephone with two pixels of the device in one of the page.
func TestTouch(t *testing.T) {
	b := open(t, practise(t), 390, 844)
	b.phone()
	b.shot("touch-home.png")
	assert.Equal(t, 780.0, eval[float64](b, `document.querySelector("canvas").width`))
	b.tap("The ferry clerk")
	b.tap("examine")
	b.begun()
	b.shot("touch-bench.png")
}

// A case file from the command line is at the bench at once.
func TestCaseFile(t *testing.T) {
	b := open(t, practise(t, "../../../cases/library/net-mender.toml"), 1366, 768)
	assert.Contains(t, b.address, "?case=case.toml")
	b.press("examine")
	b.begun()
	assert.Contains(t, b.labels(), "The net mender")
}
