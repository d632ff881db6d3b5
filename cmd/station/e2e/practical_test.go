//go:build e2e

package e2e

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring/practical"
)

// A practical in the browser: the machine dies in the middle of a case, and the
// candidate goes on after the assessor allowed it, with the time that had been
// left. Nothing of the truth is on the page.
func TestPractical(t *testing.T) {
	plan, name := friday(t)
	b := open(t, practise(t, name), 1366, 768)
	b.admit()
	b.press("begin")
	b.begun()
	b.shot("practical.png")
	for _, l := range b.labels() {
		assert.NotContains(t, []string{"Hint", "As seen", "Half"}, l)
	}
	b.press("show fan")
	b.press("ask which")
	said := b.answered("")
	time.Sleep(1500 * time.Millisecond)
	b.reload()

	b.letOn()
	b.begun()
	assert.Equal(t, said, b.status().Said)
	b.through()
	b.shot("practical-over.png")
	result := eval[string](b, `localStorage.getItem(Object.keys(localStorage).find(k => k.endsWith(".result")))`)
	require.NotEmpty(t, result)
	for _, c := range plan.Cases {
		assert.NotContains(t, result, c.Title)
	}
	store := eval[string](b, `Object.entries(localStorage).filter(([k]) => k.startsWith("conoid/practicals/")).map(([k, v]) => v).join("\n")`)
	assert.NotContains(t, store, "error =", "the truth is nowhere in what the browser keeps")
}

// friday is a practical of two cases, and the file that is handed out.
func friday(t *testing.T) (practical.Plan, string) {
	keys, err := practical.NewKeys()
	require.NoError(t, err)
	plan := practical.Plan{Title: "Friday", PerCase: 10 * time.Minute, Show: practical.Shown{Clock: true}}
	for _, c := range cases.Library()[:2] {
		plan.Cases = append(plan.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
	}
	p, err := practical.New(plan, keys)
	require.NoError(t, err)
	file, err := p.Seal(keys, "three grey lanterns")
	require.NoError(t, err)
	name := filepath.Join(t.TempDir(), "friday"+practical.Ending)
	require.NoError(t, os.WriteFile(name, file, 0o600))

	return plan, name
}

// admit lets candidate 7 in.
func (b *browser) admit() {
	b.t.Helper()
	b.press("candidate")
	b.typeText("7")
	b.press("passphrase")
	b.typeText("three grey lanterns")
	b.press("admit")
	b.find("begin")
}

// letOn lets the candidate go on, who was interrupted.
func (b *browser) letOn() {
	b.t.Helper()
	b.until("the practical was interrupted", func() bool { return has(b.status(), "let on") })
	b.press("passphrase")
	b.typeText("three grey lanterns")
	b.press("let on")
}

// through hands in both cases, the first of which is under way.
func (b *browser) through() {
	b.t.Helper()
	for range 2 {
		b.press("end")
		b.press("acuity 6/6")
		b.press("end now")
		b.until("the case is handed in", func() bool { s := b.status(); return s.Screen == "practical" && !s.Busy })
		if has(b.status(), "begin") {
			b.press("begin")
			b.begun()
		}
	}
	b.until("the result is there", func() bool { return has(b.status(), "dismiss") })
}
