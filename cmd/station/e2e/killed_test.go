//go:build e2e && linux

package e2e

import (
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mortal opens the bench in a browser that [browser.kill] can kill, with all its processes.
func mortal(t *testing.T, address, profile string) *browser {
	b := visitWith(t, address, profile, 1366, 768, chromedp.ModifyCmdFunc(func(c *exec.Cmd) {
		c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
	}))
	b.ready()
	return b
}

// kill ends the browser without a chance to write anything.
func (b *browser) kill() {
	b.t.Helper()
	p := chromedp.FromContext(b.ctx).Browser.Process()
	require.NoError(b.t, syscall.Kill(-p.Pid, syscall.SIGKILL))
	b.until("it is gone", func() bool { return syscall.Kill(-p.Pid, 0) != nil })
}

// stored are the names that the page stored, which begin so.
func (b *browser) stored(begin string) []string {
	b.t.Helper()
	names := eval[[]string](b, `Object.keys(localStorage)`)
	names = slices.DeleteFunc(names, func(n string) bool { return len(n) < len(begin) || n[:len(begin)] != begin })
	slices.Sort(names)
	return names
}

var code = regexp.MustCompile(`^[0-9A-Z]{4}(-[0-9A-Z]{4}){3}$`)

// code is the code on the screen; empty for none.
func (b *browser) code() string {
	b.t.Helper()
	labels := b.labels()
	if i := slices.IndexFunc(labels, code.MatchString); i >= 0 {
		return labels[i]
	}
	return ""
}

// A browser that is killed in a practical loses nothing that was answered, and no result of
// which it has shown the code; and what was put away does not come back.
func TestKilled(t *testing.T) {
	_, name := friday(t)
	address, profile := practise(t, name), t.TempDir()
	b := mortal(t, address, profile)
	b.admit()
	b.press("begin")
	b.begun()
	b.press("show fan")
	for range 5 {
		b.press("ask which")
		b.answered("")
	}
	b.press("ask which")
	said, events := b.answered(""), b.status().Events
	time.Sleep(2 * time.Second)
	b.kill()

	b = mortal(t, address, profile)
	b.letOn()
	b.begun()
	assert.Equal(t, said, b.status().Said)
	assert.Equal(t, events, b.status().Events)
	b.through()
	b.until("the code is shown", func() bool { return b.code() != "" })
	shown := b.code()
	b.kill()

	b = mortal(t, address, profile)
	b.letOn()
	b.until("the code is shown again", func() bool { return b.code() != "" })
	assert.Equal(t, shown, b.code())
	b.press("dismiss")
	b.until("they have gone", func() bool { return b.status().Screen == "home" && eval[bool](b, "conoid.journal.settled()") })
	gone := b.stored("conoid/practicals/")
	assert.Len(t, gone, 2, "the practical, and what was put away")
	b.kill()

	b = mortal(t, address, profile)
	assert.Equal(t, gone, b.stored("conoid/practicals/"))
	assert.False(t, has(b.status(), "let on"))
}

// A browser that is killed in practice loses nothing that was answered 2 s before. A journal of a
// build that kept only practicals in it takes no sitting away when it is ahead.
func TestKilledInPractice(t *testing.T) {
	address, profile := practise(t), t.TempDir()
	b := mortal(t, address, profile)
	b.press("The ferry clerk")
	b.press("examine")
	b.begun()
	b.press("show fan")
	for range 5 {
		b.press("ask which")
		b.answered("")
	}
	sitting := func() string {
		return eval[string](b, `Object.entries(localStorage).filter(([k]) => k.startsWith("conoid/sittings/")).sort().join("\n")`)
	}
	kept := sitting()
	require.NotEmpty(t, kept)
	time.Sleep(2 * time.Second)
	b.kill()

	b = mortal(t, address, profile)
	assert.True(t, kept == sitting(), sitting())

	b.do(chromedp.Evaluate[chromedp.Void](`window.changed = false; indexedDB.open("conoid").onsuccess = (e) => {
		const t = e.target.result.transaction("kept", "readwrite"), kept = t.objectStore("kept");
		kept.delete("conoid-whole");
		kept.getAllKeys().onsuccess = (e) => { for (const k of e.target.result) if (k.startsWith("conoid/sittings/")) kept.delete(k); };
		kept.put("one more", "conoid/practicals/x/1.json");
		t.oncomplete = () => { localStorage.setItem("conoid-writes", 1); window.changed = true; };
	}`))
	b.until("the journal is changed", func() bool { return eval[bool](b, "window.changed") })
	b.reload()
	assert.Equal(t, []string{"conoid/practicals/x/1.json"}, b.stored("conoid/practicals/"), "the journal was ahead")
	assert.True(t, kept == sitting(), sitting())
}

// Of the storage and its journal the one that had more writes is right, as a whole.
func TestJournal(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	const one, two, other = "conoid/practicals/x/1.json", "conoid/practicals/x/2.json", "other/x.json"
	stored := func(key string) string { return eval[string](b, `localStorage.getItem("`+key+`") ?? "none"`) }
	do := func(script string) {
		t.Helper()
		eval[bool](b, script+"; true")
		b.until("it is written", func() bool { return eval[bool](b, "conoid.journal.settled()") })
	}
	const behind = `; localStorage.setItem("conoid-writes", Number(localStorage.getItem("conoid-writes")) - 1)`

	do(`localStorage.setItem("` + two + `", "late"); localStorage.setItem("` + other + `", "kept");
		conoid.journal.note("` + other + `", "of no concern"); conoid.journal.note("` + one + `", "new")` + behind)
	b.reload()
	assert.Equal(t, []string{"new", "none", "kept"}, []string{stored(one), stored(two), stored(other)}, "the journal is ahead")

	do(`localStorage.setItem("` + two + `", "of a build without a journal"); localStorage.removeItem("` + one + `")`)
	b.reload()
	do(behind[2:])
	b.reload()
	assert.Equal(t, []string{"none", "of a build without a journal"}, []string{stored(one), stored(two)}, "the storage was right, and the journal has it")

	do(`conoid.journal.note("` + two + `", null)` + behind)
	b.reload()
	assert.Equal(t, "none", stored(two), "what was taken away stays away")

	do(`localStorage.setItem("` + one + `", "little"); localStorage.setItem("` + two + `", "y".repeat(3e6));
		conoid.journal.note("` + one + `", "x".repeat(3e6)); conoid.journal.note("` + two + `", "little")` + behind)
	b.reload()
	assert.True(t, stored(one) == strings.Repeat("x", 3e6) && stored(two) == "little", "there is room for what is right alone")
	do(`conoid.journal.note("` + one + `", "little"); localStorage.setItem("` + one + `", "little"); conoid.journal.note("` + two + `", null); localStorage.removeItem("` + two + `")`)

	do(`conoid.journal.note("` + one + `", () => "what cannot be written")`)
	do(`conoid.journal.note("` + two + `", "after that")` + behind)
	b.reload()
	assert.Equal(t, "none", stored(two), "after a write that failed there is none")

	before := eval[int](b, `Number(localStorage.getItem("conoid-writes"))`)
	b.always(`Object.defineProperty(window, "indexedDB", {get() { throw new DOMException("blocked", "SecurityError"); }})`)
	do(`localStorage.setItem("` + one + `", "as it was"); conoid.journal.note("` + one + `", "as it was")`)
	b.reload()
	do(`localStorage.setItem("` + one + `", "without"); conoid.journal.note("` + one + `", "without")`)
	b.reload()
	assert.Equal(t, "without", stored(one), "where there is no database all works without")
	assert.Greater(t, eval[int](b, `Number(localStorage.getItem("conoid-writes"))`), before, "and it is counted on, for the day there is one")
}
