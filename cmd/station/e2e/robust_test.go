//go:build e2e

package e2e

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/internal/ui"
)

// always runs a script in every page before its own.
func (b *browser) always(script string) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
	require.NoError(b.t, err)
}

// One session in one browser, since each takes seconds to open: Back, a page that is
// closed with typed text, a full store, and one that is blocked.
func TestBackAndStorage(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	b.press("The ferry clerk")
	b.press("examine")
	b.begun()
	b.press("Fan")
	eval[bool](b, `history.back(), true`)
	b.until("Back leads home", func() bool { return b.status().Screen == "home" })
	assert.Contains(t, b.status().Notice, "everything is kept")
	b.press("case ferry-clerk")
	b.until("its dialog is an entry of the history", func() bool { return eval[bool](b, `history.state?.away === true`) })
	eval[bool](b, `history.back(), true`)
	b.until("Back closes the dialog", func() bool { return !has(b.status(), "go on") })
	assert.Equal(t, "home", b.status().Screen)

	b.press("case ferry-clerk")
	b.press("go on")
	b.begun()
	leave := func() bool {
		return eval[bool](b, `!window.dispatchEvent(new Event("beforeunload", {cancelable: true}))`)
	}
	assert.False(t, leave(), "what is kept needs no warning")
	b.press("card")
	b.until("the card is there, and its record", func() bool { return firstField(b) != "" && !b.status().Busy })
	b.until("its first field has the focus", func() bool {
		b.press(firstField(b)) // which moves down when the record comes
		return b.find(firstField(b)).Focused
	})
	b.typeText("six")
	b.until("typed text is guarded", leave)
	b.press("card close")
	b.until("what is noted is not", func() bool { return !leave() })

	eval[bool](b, `Storage.prototype.setItem = () => { throw new DOMException("no room", "QuotaExceededError"); }, true`)
	before := b.status().Events
	b.press("show arrow")
	b.find("room close")
	assert.Equal(t, before, b.status().Events, "what cannot be kept has not happened")

	b.always(`Object.defineProperty(window, "localStorage", {get() { throw new DOMException("blocked", "SecurityError"); }})`)
	b.reload()
	assert.Equal(t, "home", b.status().Screen)
	b.until("it is said that nothing is kept", func() bool {
		for _, l := range b.labels() {
			if strings.HasPrefix(l, "This browser lets the page keep nothing.") {
				return true
			}
		}
		return false
	})
	b.press("The ferry clerk")
	b.press("examine")
	b.begun()
	b.press("Fan")
	b.press("Which lines are clearest?")
	assert.NotEmpty(t, b.answered(""))
	assert.True(t, leave())
}

// firstField is the first field on the screen.
func firstField(b *browser) string {
	for _, t := range b.status().Things {
		if t.Role == ui.RoleField && !t.Behind {
			return t.ID
		}
	}
	return ""
}
