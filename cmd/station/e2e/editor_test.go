//go:build e2e

package e2e

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/render/voice"
)

// office is a case that somebody wrote by hand, in their own way.
const office = `# Written by hand: the ferry office in winter.
conoid = 2
title = 'The ferry office'  # short, for the list


[patient]   # nobody who lives
  name="Oda Ferrin"
age = 34
symptoms = "The timetable swims." # hers

# The eye that is tested.
[right]
error = "-1.00 / -2.00 x 30"      # found twice
  objective = "-0.75 / -1.75 x 35"
pupil=4.0
# The end.`

// The fields that are typed into.
const (
	errorField     = "f-right-error"
	complaintField = "f-patient-symptoms"
)

// upToDate waits until the account is there to its end, and is of an eye with an error.
func (b *browser) upToDate(of string) {
	b.t.Helper()
	b.until("the account is of "+of, func() bool {
		return b.textOf("progress") == "Up to date" && strings.Contains(b.textOf("account"), of)
	})
}

// refused waits until a field is refused, and returns the sentence that says so.
func (b *browser) refused(id string) string {
	b.t.Helper()
	b.until("it is refused at its field", func() bool { return b.textOf("n-"+id) != "" })
	return b.textOf("n-" + id)
}

// accepted waits until a field is refused no more.
func (b *browser) accepted(id string) {
	b.t.Helper()
	b.until("it is refused no more", func() bool { return b.textOf("n-"+id) == "" })
}

// textOf is the text of an element of the page.
func (b *browser) textOf(id string) string {
	b.t.Helper()
	return eval[string](b, fmt.Sprintf(`document.getElementById(%q).textContent`, id))
}

// valueOf is what stands in a field of the page.
func (b *browser) valueOf(id string) string {
	b.t.Helper()
	return eval[string](b, fmt.Sprintf(`document.getElementById(%q).value`, id))
}

// pressOn presses an element of the page with the mouse, in its middle.
func (b *browser) pressOn(id string) {
	b.t.Helper()
	at := eval[[2]float64](b, fmt.Sprintf(`(() => {
		const e = document.getElementById(%q);
		e.scrollIntoView({block: "nearest"});
		const r = e.getBoundingClientRect();
		return [r.x + r.width / 2, r.y + r.height / 2];
	})()`, id))
	b.pressAt(at[0], at[1])
}

// write types in place of what stands in the field that has the focus.
func (b *browser) write(text string) {
	b.t.Helper()
	b.chord("a")
	b.typeText(text)
}

// chord presses a key with Ctrl.
func (b *browser) chord(key string) {
	b.t.Helper()
	b.do(chromedp.KeyEvent(key, chromedp.KeyModifiers(kb.ModifierCtrl)))
	b.frames(3)
}

// seen waits for the pictures of what the patient sees, none of them one of those before.
func (b *browser) seen(before ...string) (pictures []string) {
	b.t.Helper()
	b.until("there are pictures", func() bool {
		pictures = eval[[]string](b, `[...document.querySelectorAll("#pictures img")].map(i => i.naturalWidth ? i.src : "none")`)
		return len(pictures) == 3 && !slices.ContainsFunc(pictures, func(p string) bool { return p == "none" || slices.Contains(before, p) })
	})
	return pictures
}

// saved waits until the page says that all is saved, and holds the file against what was written by
// hand, but for what was changed.
func (b *browser) saved(path string, changed ...string) {
	b.t.Helper()
	b.until("it is saved", func() bool { return b.textOf("state") == "Saved" })
	data, err := os.ReadFile(path)
	require.NoError(b.t, err)
	assert.Equal(b.t, strings.NewReplacer(changed...).Replace(office), string(data))
}

// A tutor changes an eye and a text by typing: pictures and account follow, a faulty value is refused in a
// sentence at its field and taken back, and the file keeps all else to the byte. Then all of it by keys alone.
func TestACaseIsEditedInABrowser(t *testing.T) {
	path := filepath.Join(t.TempDir(), "office.toml")
	require.NoError(t, os.WriteFile(path, []byte(office), 0o600))
	b := visit(t, serve(t, "The editor is at ", "case", "edit", path, "--no-open"), 1366, 768)
	before := b.seen()

	b.pressOn(errorField)
	b.write("-1 / -3.25 x 30")
	b.seen(before...)
	b.upToDate("−1.00 / −3.25 x 30")
	b.write("-1 / -60 x 30")
	refused := b.refused(errorField)
	assert.Regexp(t, `^“Hidden error”: .*20 D is allowed\.$`, refused)
	assert.Contains(t, b.textOf("mistakes"), refused, "listed beside the form too")
	b.shot("editor-refused.png")
	b.pressOn("undo")
	assert.Equal(t, "-1 / -3.25 x 30", b.valueOf(errorField), "what was looked at meanwhile stays")
	b.accepted(errorField)
	b.pressOn(complaintField)
	b.write("The far pier swims.")
	b.pressOn("save")
	b.saved(path, "-1.00 / -2.00 x 30", "-1 / -3.25 x 30", "The timetable swims.", "The far pier swims.")

	b.tabOnto(complaintField)
	b.write("The near pier swims.")
	b.tabOnto(errorField)
	b.write("none")
	b.refused(errorField)
	b.chord("z")
	b.accepted(errorField)
	assert.Equal(t, errorField, b.onto(), "the focus stays where something was taken back")
	b.chord("z")
	assert.Equal(t, complaintField, b.onto())
	assert.Equal(t, "The far pier swims.", b.valueOf(complaintField), "back over the save")
	b.chord("y")
	b.chord("s")
	b.saved(path, "-1.00 / -2.00 x 30", "-1 / -3.25 x 30", "The timetable swims.", "The near pier swims.")
}

// onto is the element that has the focus.
func (b *browser) onto() string {
	b.t.Helper()
	return eval[string](b, `document.activeElement.id`)
}

// tabOnto moves the focus forward to an element of the page.
func (b *browser) tabOnto(id string) {
	b.t.Helper()
	for range 100 {
		if b.onto() == id {
			return
		}
		b.do(chromedp.KeyEvent(kb.Tab))
	}
	require.FailNow(b.t, "the focus does not come to "+id)
}

// From the bench that opened with a case of one's own a press leads to where it is written,
// and another one back to the patient.
func TestFromTheBenchToTheEditorAndBack(t *testing.T) {
	file := filepath.Join(t.TempDir(), "mine.toml")
	require.NoError(t, os.WriteFile(file, cases.Template(voice.English.Say), 0o600))
	b := open(t, practise(t, file), 1366, 625)
	b.press("case close")
	at := b.find("edit").Rect.Centre()
	b.do(chromedp.MouseClickXY(at.X, at.Y)) // the bench is gone then
	b.until("the editor is there", func() bool { return eval[bool](b, `document.getElementById("save") !== null`) })
	b.shot("editor-beside.png")
	b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById("bench").click()`))
	b.ready()
	b.press("case close")
	b.find("edit")
}
