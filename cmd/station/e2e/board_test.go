//go:build e2e

package e2e

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The board changes in place, and stays when the service is killed: whoever has the focus
// keeps it, it says since when nothing is heard, and it goes on by itself.
func TestTheBoardOutlivesTheService(t *testing.T) {
	h := host(t)
	staff := visit(t, h.staff, 1366, 768)
	staff.comesIn("AB")
	staff.until("there is the form", func() bool { return eval[bool](staff, `document.querySelector("[name=rehearsal]") !== null`) })
	staff.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=rehearsal]").checked = true`))
	staff.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=numbers]").value = "A7, B2"`))
	staff.presses("Make it")
	board := eval[string](staff, "location.href")
	staff.presses("Give out tickets")
	ticket := eval[string](staff, `document.querySelector(".tickets code").textContent`)
	staff.do(chromedp.Navigate(board))
	staff.until("the board is there", func() bool { return eval[bool](staff, `document.querySelector("#lost") !== null`) })

	focus := func(label string) {
		staff.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('[aria-label="` + label + `"]').focus()`))
	}
	has := func(label string) bool { return eval[string](staff, `document.activeElement.ariaLabel ?? ""`) == label }
	there := func() bool { return eval[bool](staff, "window.here === true") }
	staff.do(chromedp.Evaluate[chromedp.Void]("window.here = true"))
	focus("More about number B2")
	resp, err := http.Post("http://"+h.at+"/s/enter", "application/json", strings.NewReader(`{"ticket":"`+ticket+`","id":"A7"}`))
	require.NoError(t, err)
	resp.Body.Close()
	staff.until("A7 waits", func() bool { return eval[bool](staff, `document.querySelector("tr.lobby") !== null`) })
	assert.True(t, has("More about number B2") && there(), "nobody is moved")

	focus("Let in number A7")
	staff.do(chromedp.Evaluate[chromedp.Void](`fetch(location.pathname + "admit", {method: "POST", body: new URLSearchParams({candidate: "A7"})})`))
	staff.until("A7 is in", func() bool { return eval[bool](staff, `document.querySelector("tr.ready") !== null`) })
	assert.True(t, has("More about number A7") && there(), "the button is gone: its row has the focus")

	require.NoError(t, h.cmd.Process.Kill())
	h.cmd.Wait()
	defer staff.forgive("ERR_CONNECTION_REFUSED", "ERR_CONNECTION_RESET", "ERR_EMPTY_RESPONSE")
	lost := func() bool { return eval[bool](staff, `document.querySelector("#lost").checkVisibility()`) }
	staff.until("it says that nothing is heard", lost)
	assert.True(t, has("More about number A7"))
	staff.do(chromedp.Evaluate[chromedp.Void](`document.activeElement.click(); document.querySelector("main button").click()`))
	time.Sleep(time.Second) // a page of the browser would come at once
	require.True(t, there(), "nothing that was pressed led away")
	staff.shot("staff-lost.png")
	h.start()
	staff.until("it goes on", func() bool { return !lost() })
	assert.True(t, has("More about number A7") && there())
}
