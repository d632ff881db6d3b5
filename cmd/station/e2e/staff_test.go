//go:build e2e && load

package e2e

import (
	"bytes"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/crowd"
	"conoid/cmd/internal/host/wire"
)

// bare is a candidate's place, without a bench: what is posted there.
type bare struct {
	r      *rehearsed
	cookie string
}

func (b *bare) posts(path, body string) {
	q, err := http.NewRequest("POST", "http://"+b.r.h.at+path, bytes.NewReader([]byte(body)))
	require.NoError(b.r.t, err)
	q.Header.Set("Cookie", b.cookie)
	resp, err := http.DefaultClient.Do(q)
	require.NoError(b.r.t, err)
	resp.Body.Close()
	require.Equal(b.r.t, http.StatusOK, resp.StatusCode, path)
	if c := resp.Header.Get("Set-Cookie"); c != "" {
		b.cookie, _, _ = strings.Cut(c, ";")
	}
}

// enters has a candidate come in who does nothing by themselves.
func (r *rehearsed) enters(number string) *bare {
	b := &bare{r: r}
	b.posts(wire.EnterPath, `{"ticket":"`+r.tickets[number]+`","id":"`+number+`"}`)
	b.posts(wire.ClaimPath, `{"tab":"tab"}`)
	return b
}

// pictured keeps pictures of a page as it looks on a laptop in English and German, in the
// dark, and on a telephone, and makes sure that nothing has to be moved sideways.
func (b *browser) pictured(name, address string) {
	b.t.Helper()
	for _, as := range []struct {
		name, language string
		w, h           int
		dark           bool
	}{{"en-1366", "en", 1366, 768, false}, {"de-1366", "de", 1366, 768, true}, {"en-390", "en", 390, 844, false}, {"de-390", "de", 390, 844, false}} {
		scheme := "light"
		if as.dark {
			scheme = "dark"
		}
		b.speaks(as.language)
		_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
		require.NoError(b.t, err)
		b.do(chromedp.EmulateViewport(int64(as.w), int64(as.h)), chromedp.Navigate(address))
		b.until("the page is there", func() bool { return eval[bool](b, `document.readyState === "complete"`) })
		assert.LessOrEqual(b.t, eval[int](b, `document.documentElement.scrollWidth`), as.w, "%s, %s", name, as.name)
		assert.Equal(b.t, as.language, eval[string](b, "document.documentElement.lang"), name)
		assert.Regexp(b.t, "(?i)simulation", eval[string](b, "document.body.textContent"), "%s has the caution", name)
		high := eval[int](b, `Math.max(innerHeight, document.documentElement.scrollHeight)`)
		b.do(chromedp.EmulateViewport(int64(as.w), int64(min(high, 4000))))
		b.shot("staff-" + name + "-" + as.name + ".png")
	}
	b.speaks("en")
	b.do(chromedp.EmulateViewport(1366, 768), chromedp.Navigate(address))
}

// speaks has the browser ask for pages in a language.
func (b *browser) speaks(language string) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetUserAgentOverride, emulation.SetUserAgentOverrideParams{
		UserAgent: eval[string](b, "navigator.userAgent"), AcceptLanguage: language,
	})
	require.NoError(b.t, err)
}

// printed keeps a picture of a page, given as its text, as it is printed on A4.
func (b *browser) printed(name, text string) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	require.NoError(b.t, err)
	b.do(chromedp.EmulateViewport(794, 1123)) // at 96 to the inch
	data, err := json.Marshal(text)
	require.NoError(b.t, err)
	b.do(chromedp.Evaluate[chromedp.Void]("document.documentElement.innerHTML = " + string(data)))
	b.until("it has its style", func() bool { return eval[bool](b, `document.styleSheets.length > 0`) })
	b.shot("staff-" + name + "-printed.png")
	_, err = chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
	require.NoError(b.t, err)
}

// All pages of the staff, in both languages, on a laptop and on a telephone: none has to be
// moved sideways, and each has the caution.
func TestStaffPages(t *testing.T) {
	longest = 15 * time.Minute
	r := rehearse(t, "A1", "A2", "A3", "A4", "A5", "A6")
	c := &crowd.Crowd{Service: "http://" + r.h.at, Cases: r.cases, Admit: r.admit, Client: http.DefaultClient}
	c.Enough()
	require.NoError(t, c.Sit(0, "A1", r.tickets["A1"]))
	for _, number := range []string{"A2", "A3"} {
		b := r.enters(number)
		require.NoError(t, r.admit(number))
		b.posts(wire.BeginPath, `{"tab":"tab"}`)
	}
	r.enters("A4")
	r.enters("A5")
	require.NoError(t, r.admit("A5"))
	time.Sleep(16 * time.Second)
	staff := r.staff
	staff.printed("tickets", r.sheet)
	staff.pictured("home", "http://"+r.h.at+"/staff/")
	staff.pictured("board", r.board)
	staff.pictured("people", "http://"+r.h.at+"/staff/people")
	staff.pictured("seat", r.board+"seat/A2")
	staff.pictured("halt", r.board+"move/halted")
	staff.pictured("close", r.board+"move/shut")
	staff.pictured("notes", r.board+"notes")
	staff.pictured("early", r.board+"marks")
	other := r.h.second(staff, "CD", "assessor")
	staff.do(chromedp.Navigate(r.board))
	staff.presses("Close the practical")
	staff.fills("reason", "The time is over.")
	staff.presses("Close the practical")
	staff.presses("Marks")
	staff.pictured("marks", r.board+"marks")
	code := eval[string](staff, `document.querySelector("td code").textContent`)
	staff.pictured("codes", r.board+"codes")
	staff.fills("code-A1", code)
	staff.presses("Keep them")
	staff.pictured("seat-closed", r.board+"seat/A1")
	examiner := r.h.second(staff, "GH", "examiner")
	examiner.pictured("rates", "http://"+r.h.at+"/staff/rate/")
	works := strings.Replace(r.board, "/staff/p/", "/staff/rate/", 1)
	examiner.pictured("rate", works)
	work := eval[string](examiner, `document.querySelector("[name=work]").value`)
	examiner.fills("rating", "3")
	examiner.presses("Keep it, and go on to the next")
	examiner.pictured("rated", works)
	examiner.pictured("rate-again", works+"?again="+work)
	staff.do(chromedp.Navigate(r.board + "marks"))
	staff.presses("Work out the marks")
	r.marked()
	staff.ticks("codes") // there is one slip
	staff.presses("Ask for the release")
	staff.until("it is asked for", func() bool { return eval[bool](staff, `document.querySelector(".asked") !== null`) })
	other.pictured("asked", r.board+"marks")
	staff.pictured("report", r.board+"report/class.html")
	staff.do(chromedp.EmulateViewport(390, 844), chromedp.Navigate(r.board+"report/class.html"))
	staff.until("the remarks are in view", func() bool {
		return eval[bool](staff, `(() => { const all = [...document.querySelectorAll(".remarked td.soft:not(:empty)")].map(d => d.getBoundingClientRect()); return all.length > 0 && all.every(d => d.left >= 0 && d.right <= 390); })()`)
	})
	other.do(chromedp.Navigate(r.board + "marks"))
	other.presses("Confirm")
	staff.pictured("released", r.board+"marks")
	staff.pictured("closed", r.board)
	staff.pictured("appeal", r.board+"seat/A1")
	other.presses("Sign out")
	defer other.forgive("403 (Forbidden)")
	other.pictured("refused", r.board)
}
