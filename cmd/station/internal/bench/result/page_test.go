package result

import (
	"fmt"
	"image"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/internal/debrief"
	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/optics"
)

// nothing is a store that is empty and keeps nothing.
type nothing struct{}

func (nothing) Read(string) ([]byte, error)  { return nil, fs.ErrNotExist }
func (nothing) Replace(string, []byte) error { return nil }

// deskOf is a desk of a size, in a language.
func deskOf(t *testing.T, w, h, text float64, language string) *desk.Desk {
	set, unread := settings.Open(nothing{}, settings.System{Language: language})
	require.NoError(t, unread)
	d := &desk.Desk{UI: glass(w, h, text), Settings: set, Notice: &desk.Notice{}, Save: func(string, []byte) (string, error) { return "", nil }}
	require.Equal(t, language, d.Voice().Language)
	return d
}

// pageOf is the page of a sitting in which every mistake that has views has the
// widest that there can be beneath them.
func pageOf(d *debrief.Debrief) *page {
	p := &page{c: d.Case, mark: d.Report.Mark, review: review{debrief: d, lessons: d.Lessons()}}
	for _, l := range p.review.lessons {
		if l.Instead != nil {
			l.Was, l.Would = aView(175), aView(85)
		}
	}
	return p
}

func aView(axis float64) *debrief.View {
	f := optics.NewFrame(optics.UsualVertex)
	f.Lenses[optics.Back], f.Lenses[optics.Front1] = optics.SphereOf(-10.75), optics.CylinderOf(-3.75, axis)
	return &debrief.View{Image: image.NewNRGBA(image.Rect(0, 0, 172, 97)), Frame: f, Chart: chart.Blocks, Pointer: int(axis)}
}

// shown is all that is on the page.
func shown(d *desk.Desk, p *page) []ui.Thing {
	p.draw(d)
	d.UI.End()
	return d.UI.Things()
}

// On the page of any sitting, at any size, no text is cut, nothing lies on
// anything else, and what can be pressed is a finger's breadth.
func TestThePageOfEverySitting(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long")
	}
	all := everySitting(t)
	for _, size := range sizes {
		for _, text := range []float64{1, 1.5, 2} {
			for _, language := range assets.Languages() {
				d := deskOf(t, size.w, size.h, text, language)
				for name, deb := range all {
					if deb.Report.Mark == nil {
						continue // it was broken off: it has no end
					}
					d.UI.Begin(ui.Input{}, size.w, size.h)
					laid(t, shown(d, pageOf(deb)), size.w, fmt.Sprintf("%vx%v at %v in %s: %s", size.w, size.h, text, language, name))
				}
			}
		}
	}
}

// Who hears the page hears what the sitting came to before what can be done next: a heading,
// also where it is written no larger than other lines.
func TestTheVerdictIsHeardFirst(t *testing.T) {
	deb := oneSitting(t, "turned-the-wrong-way")
	for _, size := range sizes {
		for _, language := range assets.Languages() {
			d := deskOf(t, size.w, size.h, 1, language)
			var heard []string
			for _, th := range shown(d, pageOf(deb)) {
				if th.Level == 1 || th.Role == ui.RoleButton {
					heard = append(heard, th.Label)
				}
			}
			assert.Equal(t, report.Verdict(d.Voice(), deb.Report.Mark), heard[0], "%v in %s", size, language)
			assert.Equal(t, d.Voice().Text("bench.result.replay"), heard[1], "%v in %s", size, language)
		}
	}
}

// laid checks that things are well laid out.
func laid(t *testing.T, all []ui.Thing, wide float64, where string) {
	t.Helper()
	var parts []ui.Thing
	for _, th := range all {
		require.False(t, th.Cut, "%s: %q is cut", where, th.Label)
		require.True(t, th.Rect.X >= -0.5 && th.Rect.Right() <= wide+0.5, "%s: %q", where, th.Label)
		if th.Role == ui.RoleButton {
			require.True(t, th.Rect.H >= least && th.Rect.W >= least, "%s: %q is small", where, th.Label)
		}
		if th.Role == ui.RoleButton || th.Role == ui.RoleText {
			for _, o := range parts {
				both := th.Rect.Intersect(o.Rect)
				require.False(t, both.W > 1 && both.H > 2, "%s: %q lies on %q", where, th.Label, o.Label)
			}
			parts = append(parts, th)
		}
	}
}

// On a laptop the ways back to all three mistakes are above the fold.
func TestTheWaysBackAreAboveTheFold(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long")
	}
	for _, size := range []struct{ w, h float64 }{{1366, 625}, {1366, 768}, {1920, 1080}} {
		for _, language := range assets.Languages() {
			d := deskOf(t, size.w, size.h, 1, language)
			for name, deb := range everySitting(t) {
				if deb.Report.Mark == nil {
					continue
				}
				d.UI.Begin(ui.Input{}, size.w, size.h)
				for _, th := range shown(d, pageOf(deb)) {
					if strings.HasPrefix(th.ID, "try ") {
						assert.LessOrEqual(t, th.Rect.Bottom(), size.h, "%v in %s: %s", size, language, name)
					}
				}
			}
		}
	}
}

// Every word of a finding is told: on its card, or below the fold.
func TestAllOfAFindingIsTold(t *testing.T) {
	deb := oneSitting(t, "turned-the-wrong-way")
	for _, size := range sizes {
		d := deskOf(t, size.w, size.h, 1, "en")
		told := strings.Builder{}
		for _, th := range shown(d, pageOf(deb)) {
			told.WriteString(th.Label + "\n")
		}
		for i := range deb.Report.Findings {
			for _, text := range cardOf(d.UI, d.Voice(), 1, &debrief.Lesson{Finding: deb.Report.Findings[i], N: 1}, 300).texts {
				assert.Equal(t, 1, strings.Count(told.String(), text), "%v: %s", size, text)
			}
		}
	}
}

// What is off has a sign and not a colour alone: more than a step of the lenses,
// an axis beyond what the cylinder allows, more than a row of acuity.
func TestWhatIsOffHasASign(t *testing.T) {
	deb := oneSitting(t, "turned-the-wrong-way")
	d := deskOf(t, 1366, 768, 1, "en")
	m := *deb.Report.Mark
	off := func() (out []bool) {
		for _, k := range columnsOf(d.Voice(), &m) {
			assert.Equal(t, k.off, strings.HasPrefix(k.yours, "≠ "), k.yours)
			out = append(out, k.off)
		}
		return out
	}
	m.SphereError, m.CylinderError, m.Acuity = 0.25, -0.25, m.BestAcuity+0.1
	m.Axis.Within = true
	assert.Equal(t, []bool{false, false, false, false}, off())
	m.SphereError, m.CylinderError, m.Acuity = 0.26, -0.26, m.BestAcuity+0.12
	m.Axis.Within = false
	assert.Equal(t, []bool{true, true, true, true}, off())
}

// While the pictures are worked out their places are there already.
func TestTheViewsTakeTheirPlacesBeforeTheyAreThere(t *testing.T) {
	deb := oneSitting(t, "cylinder-left-in")
	place := func(p *page) paper.Rect {
		for _, th := range shown(deskOf(t, 1366, 768, 1, "en"), p) {
			if th.ID == "try 1" {
				return th.Rect
			}
		}
		return paper.Rect{}
	}
	seen := pageOf(deb)
	waiting := &page{c: deb.Case, mark: deb.Report.Mark, review: review{debrief: deb, lessons: deb.Lessons()}}
	assert.Equal(t, place(seen), place(waiting))
}

// An expert's end point that is not the truth is explained: they hear answers too. Up to
// a step of the lenses is near.
func TestAnExpertWhoIsOffIsExplained(t *testing.T) {
	truth := optics.Rx{Sphere: -1, Cyl: -1.25, Axis: 180}
	sphere := func(s float64) optics.Rx { r := truth; r.Sphere = s; return r }
	assert.Empty(t, unlike(truth, truth))
	assert.Equal(t, "bench.result.expert.off", unlike(truth, sphere(-1.25)))
	assert.Equal(t, "bench.result.expert.off", unlike(truth, sphere(-0.75)))
	assert.Equal(t, "bench.result.expert.far", unlike(truth, sphere(-1.50)))
}
