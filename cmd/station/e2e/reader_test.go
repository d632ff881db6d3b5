//go:build e2e

package e2e

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heard is one node of the browser's accessibility tree, which is what a screen reader
// is given.
type heard struct {
	role, name, value string
	states            map[string]string
	node              cdp.BackendNodeID
}

// tree is the accessibility tree in reading order, without what is ignored.
func (b *browser) tree() (all []heard) {
	b.t.Helper()
	got, err := chromedp.Call(b.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	require.NoError(b.t, err)
	nodes := map[accessibility.NodeID]*accessibility.Node{}
	for _, n := range got.Nodes {
		nodes[n.NodeID] = n
	}
	var walk func(id accessibility.NodeID)
	walk = func(id accessibility.NodeID) {
		n := nodes[id]
		if n == nil {
			return
		}
		if !n.Ignored {
			h := heard{role: plain(n.Role), name: plain(n.Name), value: plain(n.Value), states: map[string]string{}, node: n.BackendDOMNodeID}
			for _, p := range n.Properties {
				h.states[string(p.Name)] = plain(p.Value)
			}
			all = append(all, h)
		}
		for _, child := range n.ChildIDs {
			walk(child)
		}
	}
	walk(got.Nodes[0].NodeID)
	return all
}

// plain is a value of the tree as text.
func plain(v *accessibility.Value) string {
	if v == nil {
		return ""
	}
	var s string
	if json.Unmarshal(v.Value, &s) != nil {
		s = string(v.Value)
	}
	return s
}

// hear waits for a node with a role and a name.
func (b *browser) hear(role, name string) (found heard) {
	b.t.Helper()
	b.until(fmt.Sprintf("the %s %q is there", role, name), func() bool {
		all := b.tree()
		i := slices.IndexFunc(all, func(h heard) bool { return h.role == role && h.name == name })
		if i >= 0 {
			found = all[i]
		}
		return i >= 0
	})
	return found
}

// focused is the node that has the focus.
func (b *browser) focused() heard {
	b.t.Helper()
	all := b.tree()
	slices.Reverse(all) // the document has it as well
	return all[slices.IndexFunc(all, func(h heard) bool { return h.states["focused"] == "true" })]
}

// click presses a node as assistive technology does.
func (b *browser) click(role, name string) {
	b.t.Helper()
	b.use(b.hear(role, name), "this.click()")
}

// use runs a script on a node.
func (b *browser) use(h heard, script string) {
	b.t.Helper()
	r, err := chromedp.Call(b.ctx, dom.ResolveNode, dom.ResolveNodeParams{BackendNodeID: h.node})
	require.NoError(b.t, err)
	_, err = chromedp.Call(b.ctx, runtime.CallFunctionOn, runtime.CallFunctionOnParams{
		FunctionDeclaration: "function() { " + script + " }", ObjectID: r.Object.ObjectID,
	})
	require.NoError(b.t, err)
	b.frames(3)
}

// ledBy is the button that does what the guide advises: the last one before the text
// that says at which stage of the method the sitting is.
func ledBy(all []heard) (button heard) {
	for _, h := range all {
		switch {
		case h.role == "button":
			button = h
		case h.role == "paragraph" && strings.HasPrefix(h.name, "Stage "), h.role == "StaticText" && strings.HasPrefix(h.name, "Stage "):
			return button
		}
	}
	return heard{}
}

// A patient from the home screen to the result with nothing but what a screen reader is
// given, and a few steps of it in German.
func TestAWholeCaseByScreenReader(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	b.hear("heading", "Conoid")
	b.hear("image", "the fan as such an eye sees it")
	b.click("button", "Settings")
	assert.Equal(t, "true", b.hear("dialog", "Settings").states["modal"])
	assert.Equal(t, "true", b.hear("button", "English").states["pressed"])
	b.click("button", "Deutsch")
	b.hear("dialog", "Einstellungen")
	assert.Equal(t, "de", eval[string](b, `document.documentElement.lang`), "for the voice that reads it")
	b.hear("main", "Der Refraktionsplatz")
	assert.NotContains(t, namesOf(b.tree()), "Ihr Fortschritt", "what lies behind is not to be had")
	b.click("button", "Schließen")
	b.hear("button", "Ihr Fortschritt")
	b.click("button", "Einstellungen")
	b.click("button", "English")
	b.click("button", "Close")

	b.click("button", "Begin, about ten minutes")
	b.begun()
	for _, region := range []string{"The wall", "Trial frame and lenses", "The patient", "The conoid"} {
		b.hear("region", region)
	}
	b.turnCylinder()
	asked := map[string]bool{}
	for i := 0; b.status().Screen != "result"; i++ {
		require.Less(t, i, 100, "the guide leads nowhere")
		all := b.tree()
		if names := namesOf(all); slices.Contains(names, "This is what I found") {
			b.click("button", "6/6")
			b.click("button", "This is what I found")
			b.until("the result is there", func() bool { return b.status().Screen == "result" })
			break
		}
		next, before := ledBy(all), b.status()
		if at := slices.IndexFunc(all, func(h heard) bool { return h.role == "button" && h.name == "Just ask" }); at >= 0 {
			next = all[at]
		}
		require.NotEmpty(t, next.name)
		b.use(next, "this.click()")
		b.until("something came of "+next.name, func() bool {
			s := b.status()
			return !s.Busy && (s.Events > before.Events || s.Screen == "result" || has(s, "end now") || has(s, "just ask") && !has(before, "just ask"))
		})
		if s := b.status(); s.Said != before.Said && !asked[s.Said] {
			asked[s.Said] = true
			b.until("the answer is read out", func() bool {
				return slices.ContainsFunc(b.tree(), func(h heard) bool { return h.role == "status" && strings.Contains(b.live(), s.Said) })
			})
		}
	}
	assert.GreaterOrEqual(t, len(asked), 3)
	truth := func(h heard) bool { return strings.HasPrefix(h.name, "Sphere: truth ") }
	b.until("the truth is told", func() bool { return slices.ContainsFunc(b.tree(), truth) })
	assert.Contains(t, b.replayed(), "The end point is")
}

// live is what was last read out.
func (b *browser) live() string {
	return eval[string](b, `document.getElementById("said").textContent`)
}

func namesOf(all []heard) (names []string) {
	for _, h := range all {
		names = append(names, h.name)
	}
	return names
}

// turnCylinder turns the cylinder there and back as assistive technology turns a slider.
func (b *browser) turnCylinder() {
	b.t.Helper()
	const name = "Axis of the cylinder"
	was := b.hear("slider", name)
	b.use(was, `this.value++; this.dispatchEvent(new Event("input", {bubbles: true}))`)
	b.until("it is turned", func() bool { return b.hear("slider", name).value == "175" })
	assert.Equal(b.t, "170", was.value)
	assert.Equal(b.t, name, b.focused().name)
	b.use(was, `this.value--; this.dispatchEvent(new Event("input", {bubbles: true}))`)
	b.until("it is turned back", func() bool { return b.hear("slider", name).value == was.value })
}

// back is the Tab key with shift.
func (b *browser) back() {
	b.t.Helper()
	b.do(chromedp.KeyEvent(kb.Tab, chromedp.KeyModifiers(kb.ModifierShift)))
	b.frames(3)
}

// By Tab and Enter alone: the node with the focus is what has it on the canvas, and Tab
// leads out of the page behind the last thing, and before the first.
func TestTabAndEnter(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	out := func() bool { return eval[bool](b, `document.activeElement === document.body && !document.hasFocus()`) }
	const first, last = "Begin, about ten minutes", "axis: more"
	b.keys(kb.Tab)
	now := b.focused()
	assert.Equal(t, []string{"button", first}, []string{now.role, now.name})
	assert.True(t, b.find("guided").Focused)
	b.back()
	assert.True(t, out(), "before the first")
	b.back()
	assert.Equal(t, last, b.focused().name, "in again at the end")
	b.keys(kb.Tab)
	assert.True(t, out(), "behind the last")
	b.keys(kb.Tab)
	assert.Equal(t, first, b.focused().name, "in again at the start")

	b.tabTo("back line")
	b.keys(kb.ArrowRight)
	now = b.focused()
	assert.Equal(t, []string{"slider", "back line"}, []string{now.role, now.name})
	assert.Equal(t, "+0.20", eval[string](b, `document.activeElement.getAttribute("aria-valuetext")`))
	assert.Contains(t, now.value, "0.2")

	b.tabTo("Call in someone unknown…")
	b.keys(kb.Enter)
	b.until("the dialog has the focus", func() bool {
		now := b.focused()
		return now.role == "dialog" && now.name == "Someone whom nobody knows"
	})
	b.tabTo("Seed")
	b.typeText("421")
	b.keys(kb.Backspace, kb.ArrowLeft)
	b.typeText("7")
	now = b.focused()
	assert.Equal(t, []string{"textbox", "Seed", "472"}, []string{now.role, now.name, now.value})
	assert.Equal(t, "472", b.find("seed").Value)
	b.keys(kb.Escape)
	b.until("the focus is back where it was", func() bool {
		now := b.focused()
		return now.role == "button" && now.name == "Call in someone unknown…"
	})
}

// phone makes the browser that of a telephone, by the finger.
func (b *browser) phone() {
	b.t.Helper()
	b.do(chromedp.EmulateViewport(390, 844, func(m *emulation.SetDeviceMetricsOverrideParams, touch *emulation.SetTouchEmulationEnabledParams) {
		m.DeviceScaleFactor, m.Mobile = 2, true
		touch.Enabled = true
	}))
	b.reload()
}

// A field that is touched gets the focus of the page, so that a telephone's keyboard
// comes up, and takes what that types: words that are still being put together, and
// words that it changes later. A finger that explores finds what is painted there.
func TestTheKeyboardOfATelephone(t *testing.T) {
	b := open(t, practise(t), 390, 844)
	b.phone()
	require.True(t, eval[bool](b, `matchMedia("(pointer: coarse)").matches`))
	const someone = "Call in someone unknown…"
	_, err := chromedp.Call(b.ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	require.NoError(t, err)
	b.use(b.hear("button", someone), "this.focus()") // which brings it into view
	b.until("it is in view", func() bool { return b.find("someone").Rect.Y < 844 })
	assert.Equal(t, someone, b.under("someone"))
	b.tap("someone")
	assert.Equal(t, "Close", b.under("someone close"))
	b.tap("seed")
	assert.Equal(t, "Seed", eval[string](b, `document.activeElement.getAttribute("aria-label")`))
	assert.True(t, b.find("seed").Focused)
	_, err = chromedp.Call(b.ctx, input.ImeSetComposition, input.ImeSetCompositionParams{Text: "42", SelectionStart: 2, SelectionEnd: 2})
	require.NoError(t, err)
	b.until("what is put together is there", func() bool { return b.find("seed").Value == "42" })
	_, err = chromedp.Call(b.ctx, input.InsertText, input.InsertTextParams{Text: "421"})
	require.NoError(t, err)
	b.until("what was put together is there", func() bool { return b.find("seed").Value == "421" })
	eval[bool](b, `document.activeElement.value = "17", document.activeElement.dispatchEvent(new InputEvent("input", {bubbles: true, inputType: "insertReplacementText"}))`)
	b.until("what was changed is there", func() bool { return b.find("seed").Value == "17" })

	eval[bool](b, `document.activeElement.blur(), true`) // as by the keyboard's own key to go away
	b.tap("seed")
	assert.Equal(t, "Seed", eval[string](b, `document.activeElement.getAttribute("aria-label")`), "it comes up again")
	b.tap("someone close")
	b.until("the dialog is shut", func() bool { return b.focused().name == someone })
}

// under is what a finger that explores finds at a thing's place.
func (b *browser) under(id string) string {
	b.t.Helper()
	r := b.find(id).Rect
	return eval[string](b, fmt.Sprintf(`document.elementFromPoint(%f, %f).textContent`, r.X+r.W/2, r.Y+r.H/2))
}

// What the browser is set to goes for the bench, until the user chooses otherwise.
func TestDarkAndStillAsTheBrowserHasThem(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
		{Name: "prefers-color-scheme", Value: "dark"}, {Name: "prefers-reduced-motion", Value: "reduce"},
	}})
	require.NoError(t, err)
	b.reload()
	b.click("button", "Settings")
	assert.Equal(t, "true", b.hear("button", "Dark").states["pressed"])
	assert.Equal(t, "true", b.hear("button", "Reduced").states["pressed"])
	b.click("button", "Light")
	b.until("it is light", func() bool { return b.hear("button", "Light").states["pressed"] == "true" })
	b.reload()
	b.click("button", "Settings")
	assert.Equal(t, "true", b.hear("button", "Light").states["pressed"])
	assert.Equal(t, "true", b.hear("button", "Reduced").states["pressed"])
}
