package debrief

import (
	"bytes"
	"embed"
	"encoding/base64"
	"html/template"
	"image"
	"image/png"
	"slices"
	"strconv"
	"sync"

	"conoid/cmd/internal/report"
	"conoid/render/figure"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
)

//go:embed page.html style.css
var files embed.FS

// HTML is the page, in the language of a voice: it needs no script, no other
// file and no network.
func (d *Debrief) HTML(v voice.Voice) ([]byte, error) {
	v = v.By(d.Report.Labels)
	style, err := files.ReadFile("style.css")
	if err != nil {
		return nil, err
	}
	pictures, err := d.Pictures(nil)
	if err != nil {
		return nil, err
	}
	lessons := d.Lessons()
	for _, l := range lessons {
		if err := d.Look(l, nil); err != nil {
			return nil, err
		}
	}
	t, err := page().Clone()
	if err != nil {
		return nil, err
	}
	seed := ""
	if d.Seed != nil {
		seed = strconv.FormatUint(*d.Seed, 10)
	}
	path, focus := d.Figures(v)
	var b bytes.Buffer
	err = t.Funcs(spoken(v)).Execute(&b, map[string]any{
		"Style": template.CSS(style), "Language": v.Language, "Case": d.Case, "Report": d.Report, "Expert": d.expert, "Seed": seed, "Tried": d.Tried, "Who": d.Who, "When": d.When, "Withheld": d.Withheld,
		"Lessons": lessons, "More": more(d.Report.Findings, lessons), "Path": path, "Focus": focus, "Pictures": pictures, "Timeline": d.Timeline(v),
	})
	return b.Bytes(), err
}

// more are the findings that are no lessons.
func more(all []scoring.Finding, lessons []*Lesson) (out []scoring.Finding) {
	for _, f := range all {
		if !slices.ContainsFunc(lessons, func(l *Lesson) bool { return l.Finding.ID == f.ID }) {
			out = append(out, f)
		}
	}
	return out
}

// shot is one of the two views of a lesson.
type shot struct {
	Name, Standing, Alt string
	Image               image.Image
}

// shots are the views of a lesson as it was and as it would have been; none where they
// cannot be had.
func shots(v voice.Voice, l *Lesson) (out []shot) {
	if l.Was == nil || l.Would == nil {
		return nil
	}
	for i, name := range []string{"bench.card.was", "bench.card.would"} {
		view := []*View{l.Was, l.Would}[i]
		out = append(out, shot{v.Text(name), l.Standing(v, i), v.Text("bench.card.seen", "chart", view.Chart, "lenses", view.Frame.Prescription()), view.Image})
	}
	return out
}

// page is read when it is first wanted, since that takes a while.
var page = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page.html").Funcs(spoken(voice.English)).Funcs(template.FuncMap{
		"svg":     func(f *figure.Figure) template.HTML { return template.HTML(f.SVG()) },
		"uri":     uri,
		"percent": func(a, b fact.Points) float64 { return 100 * float64(a) / max(float64(b), 1e-9) },
	}).ParseFS(files, "page.html"))
})

// spoken are the functions of the page that put things into words.
func spoken(v voice.Voice) template.FuncMap {
	return template.FuncMap{
		"text":     v.Text,
		"say":      v.Say,
		"day":      v.Day,
		"lost":     func(f scoring.Finding) fact.Points { return -f.Cost },
		"shots":    func(l *Lesson) []shot { return shots(v, l) },
		"value":    v.Value,
		"caption":  func(p Picture) string { return p.Caption(v) },
		"words":    func(f scoring.Finding) report.Words { return report.Of(v, f) },
		"verdict":  func(m *scoring.Mark) string { return report.Verdict(v, m) },
		"evidence": func(r *scoring.Report) []report.Evidence { return report.EvidenceOf(v, r) },
		"one":      func(event int) fact.Events { return fact.Events{event} },
		"at":       func(r *scoring.Report, events fact.Events) string { return atSteps(v, r.Steps(events)) },
	}
}

// atSteps names the steps at which something happened.
func atSteps(v voice.Voice, steps fact.Events) string {
	switch len(steps) {
	case 0:
		return ""
	case 1:
		return v.Text("debrief.at-step", "steps", steps)
	}
	return v.Text("debrief.at-steps", "steps", steps)
}

// uri is a picture inside the page.
func uri(img image.Image) (template.URL, error) {
	var b bytes.Buffer
	err := png.Encode(&b, img)
	return template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(b.Bytes())), err
}
