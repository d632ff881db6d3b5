//go:build e2e

package e2e

import (
	"bufio"
	"net"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
)

// hosted is the service, as somebody starts it.
type hosted struct {
	t          *testing.T
	cmd        *exec.Cmd
	folder, at string
	staff      string
}

// host starts the service at a port that is free.
func host(t *testing.T) *hosted {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	h := &hosted{t: t, folder: t.TempDir(), at: l.Addr().String()}
	require.NoError(t, l.Close())
	h.start()
	t.Cleanup(func() { h.cmd.Process.Kill(); h.cmd.Wait() })
	return h
}

func (h *hosted) start() {
	h.cmd = exec.Command(program(h.t, "conoid/cmd/conoid"), "host", "--data", h.folder, "--listen", h.at, "--language", "en")
	h.cmd.Stderr = os.Stderr
	out, err := h.cmd.StdoutPipe()
	require.NoError(h.t, err)
	require.NoError(h.t, h.cmd.Start())
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if _, link, is := strings.Cut(lines.Text(), "Staff, once: "); is {
			h.staff = strings.TrimSpace(link)
			return
		}
	}
	require.Fail(h.t, "the service says no link")
}

// dies kills the service, and starts it again.
func (h *hosted) dies() {
	require.NoError(h.t, h.cmd.Process.Kill())
	h.cmd.Wait()
	h.start()
}

// forgive leaves out what had to go wrong in the page.
func (b *browser) forgive(what ...string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.trouble = slices.DeleteFunc(b.trouble, func(t string) bool {
		return slices.ContainsFunc(what, func(w string) bool { return strings.Contains(t, w) })
	})
}

// presses presses a button of a page of the staff by its words, the first one that there is,
// and waits for the page that comes of it.
func (b *browser) presses(words string) {
	b.t.Helper()
	script := `[...document.querySelectorAll("button, a.button")].find(b => b.textContent.trim() === "` + words + `")`
	b.until("there is "+words, func() bool { return eval[bool](b, script+" !== undefined") })
	b.do(chromedp.Evaluate[chromedp.Void]("window.left = true; " + script + ".click()"))
	b.until("a page comes of "+words, func() bool {
		there, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`window.left === undefined && document.readyState === "complete"`))
		return err == nil && there // there is none while the page changes
	})
}

// ticks sets the tick of a name, once it is there.
func (b *browser) ticks(name string) {
	b.t.Helper()
	tick := `document.querySelector("[name=` + name + `]")`
	b.until("there is "+name, func() bool { return eval[bool](b, tick+" !== null") })
	b.do(chromedp.Evaluate[chromedp.Void](tick + ".checked = true"))
}

// comesIn comes in by the link of the page, under a name.
func (b *browser) comesIn(name string) {
	b.t.Helper()
	b.fills("name", name)
	b.presses("Come in")
}

// fills fills in the first field of a name.
func (b *browser) fills(field, text string) {
	b.t.Helper()
	field = `document.querySelector("main [name=` + field + `]:not([type=hidden])")`
	b.until("there is "+field, func() bool { return eval[bool](b, field+" !== null") })
	b.do(chromedp.Evaluate[chromedp.Void](field + `.value = "` + text + `"`))
}

// second has somebody else asked in for a role, who comes in with a browser of their own.
func (h *hosted) second(b *browser, name, role string) *browser {
	b.do(chromedp.Navigate("http://" + h.at + "/staff/people"))
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[value=` + role + `]").checked = true`))
	b.presses("Make a link")
	b.until("there is a link", func() bool { return eval[bool](b, `document.querySelector(".link code") !== null`) })
	other := visit(h.t, eval[string](b, `document.querySelector(".link code").textContent`), 390, 844)
	other.comesIn(name)
	return other
}

// A practical at the service, by its pages alone: made, opened, sat, closed, marked, and
// released by two people. The service is killed in the middle, and nothing is lost; the
// truth is nowhere in the candidate's machine.
func TestHosted(t *testing.T) {
	h := host(t)
	staff := visit(t, h.staff, 1366, 768)
	staff.comesIn("AB")
	staff.until("there is the form", func() bool { return eval[bool](staff, `document.querySelector("[name=rehearsal]") !== null`) })
	staff.shot("staff-home.png")
	staff.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=rehearsal]").checked = true`))
	staff.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=numbers]").value = "A7, B2"`))
	staff.presses("Make it")
	staff.presses("Give out tickets")
	staff.until("there are tickets", func() bool { return eval[int](staff, `document.querySelectorAll(".tickets li").length`) == 2 })
	staff.shot("staff-tickets.png")
	ticket := eval[string](staff, `document.querySelector(".tickets code").textContent`)
	board := eval[string](staff, `document.querySelector("main a.button").href`)
	staff.do(chromedp.Navigate(board))
	staff.presses("Open the practical")

	b := open(t, "http://"+h.at+"/", 1366, 768)
	b.shot("served-door.png")
	b.press("ticket")
	b.typeText(ticket)
	b.do(chromedp.Evaluate[chromedp.Void](`{
		const asks = window.fetch; // the first two replies at the door are lost
		let lost = 0;
		window.fetch = async (path, options) => {
			const reply = await asks(path, options);
			if (path === "/s/enter" && lost++ < 2) throw new TypeError("lost on the way");
			return reply;
		};
	}`))
	b.press("enter")
	b.until("the candidate waits", func() bool {
		return has(b.status(), "exam") || strings.Contains(strings.Join(b.labels(), " "), "You are number A7")
	})
	b.shot("served-lobby.png")
	staff.presses("Let in")
	b.press("begin")
	b.begun()
	b.shot("served-case.png")
	b.do(chromedp.Evaluate[chromedp.Void](`Object.defineProperty(document, "hidden", {get: () => true, configurable: true})`))
	staff.until("the board says that the page is hidden", func() bool {
		staff.do(chromedp.Navigate(board + "?still=1"))
		return strings.Contains(eval[string](staff, `document.body.textContent`), "page hidden for 0:")
	})
	staff.shot("staff-board.png")
	b.do(chromedp.Evaluate[chromedp.Void](`delete document.hidden`))
	b.press("show fan")
	b.press("ask which")
	said := b.answered("")
	h.dies()
	defer b.forgive("ERR_CONNECTION_REFUSED", "ERR_CONNECTION_RESET", "ERR_EMPTY_RESPONSE")
	b.press("show arrow")
	b.press("ask limbs")
	b.answered(said)
	b.reload()
	b.begun()
	b.press("end")
	b.press("acuity 6/6")
	b.press("end now")
	b.until("all is handed in", func() bool {
		return strings.Contains(strings.Join(b.labels(), " "), "Number A7: all cases are handed in.")
	})
	other := h.second(staff, "CD", "assessor")
	staff.do(chromedp.Navigate(board))
	staff.presses("Close the practical")
	staff.fills("reason", "The time is over.")
	staff.presses("Close the practical")
	staff.presses("Marks")
	staff.presses("Work out the marks")
	staff.ticks("codes") // there are no slips
	staff.presses("Ask for the release")
	staff.until("it is asked for", func() bool { return eval[bool](staff, `document.querySelector(".asked") !== null`) })
	staff.shot("staff-marks.png")
	other.do(chromedp.Navigate(board + "marks"))
	other.presses("Confirm")
	b.until("the points are shown", func() bool { return strings.Contains(strings.Join(b.labels(), " "), "of 100 points") })
	b.shot("served-over.png")
	kept := eval[string](b, `JSON.stringify(localStorage)`)
	for _, secret := range []string{"error", cases.Library()[0].Hash(), cases.Library()[0].ID} {
		assert.NotContains(t, kept, secret)
	}
	b.press("another") // of a rehearsal nothing is lost
	atDoor := func() bool { return !strings.Contains(strings.Join(b.labels(), " "), "A7") && has(b.status(), "enter") }
	b.until("another ticket can be typed", atDoor)
	b.reload()
	b.until("it is the same after a reload", atDoor)
	b.shot("served-another.png")
}
