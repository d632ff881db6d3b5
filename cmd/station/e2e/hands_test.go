//go:build e2e

package e2e

import (
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// press presses the thing with a label, in its middle, with the mouse.
func (b *browser) press(label string) {
	b.t.Helper()
	r := b.find(label).Rect
	b.pressAt(r.X+r.W/2, r.Y+r.H/2)
}

func (b *browser) pressAt(x, y float64) {
	b.t.Helper()
	b.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseMoved, X: x, Y: y})
	b.mouse(input.DispatchMouseEventParams{Type: chromedp.MousePressed, X: x, Y: y, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1})
	b.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseReleased, X: x, Y: y, Button: input.MouseButtonLeft, ClickCount: 1})
	b.frames(4)
}

// drag presses at one place and lets go at another.
func (b *browser) drag(fromX, fromY, toX, toY float64) {
	b.t.Helper()
	b.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseMoved, X: fromX, Y: fromY})
	b.mouse(input.DispatchMouseEventParams{Type: chromedp.MousePressed, X: fromX, Y: fromY, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1})
	for i := 1; i <= 8; i++ {
		part := float64(i) / 8
		b.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseMoved, X: fromX + part*(toX-fromX), Y: fromY + part*(toY-fromY), Button: input.MouseButtonLeft, Buttons: 1})
	}
	b.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseReleased, X: toX, Y: toY, Button: input.MouseButtonLeft, ClickCount: 1})
	b.frames(4)
}

// wheel turns the wheel at a place; notches are positive away from the user.
func (b *browser) wheel(x, y, notches float64) {
	b.t.Helper()
	// A distance of exactly 0 would be left out of the message.
	b.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseWheel, X: x, Y: y, DeltaX: 1e-6, DeltaY: -100 * notches})
	b.frames(4)
}

func (b *browser) mouse(p input.DispatchMouseEventParams) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, input.DispatchMouseEvent, p)
	require.NoError(b.t, err)
}

// keys presses keys, by the names of package kb: kb.Tab, kb.Enter, …
func (b *browser) keys(names ...string) {
	b.t.Helper()
	for _, n := range names {
		b.do(chromedp.KeyEvent(n))
	}
	b.frames(len(names) + 2)
}

// typeText types text.
func (b *browser) typeText(text string) {
	b.t.Helper()
	b.do(chromedp.KeyEvent(text))
	b.frames(4)
}

// tabTo moves the focus to the thing with a label, by the keyboard alone.
func (b *browser) tabTo(label string) {
	b.t.Helper()
	for range 200 {
		for _, t := range b.status().Things {
			if t.Focused && t.Label == label {
				return
			}
		}
		b.keys(kb.Tab)
	}
	require.FailNow(b.t, "the focus does not come to "+label)
}

// tap touches the thing with a label.
func (b *browser) tap(label string) {
	b.t.Helper()
	r := b.find(label).Rect
	at := []*input.TouchPoint{{X: r.X + r.W/2, Y: r.Y + r.H/2}}
	_, err := chromedp.Call(b.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: at})
	require.NoError(b.t, err)
	_, err = chromedp.Call(b.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{}})
	require.NoError(b.t, err)
	b.frames(4)
}
