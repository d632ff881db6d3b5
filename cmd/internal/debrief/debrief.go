// Package debrief puts together what a student is to learn from a sitting: one
// page that needs nothing else, prints well, and tells why and not only that.
package debrief

import (
	"bytes"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	"image/png"
	"slices"
	"strings"
	"sync"

	"conoid/cases"
	"conoid/render/figure"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Debrief is a sitting with all that is told about it.
type Debrief struct {
	Case   *cases.Case
	Report *scoring.Report
	Seed   *uint64 // by which the same patient can be had again, if there is one

	s      *sitting.Sitting // as it was when it ended
	expert *Run
}

// Run is an expert's sitting with the same patient and the same noise.
type Run struct {
	Found    optics.Rx
	Steps    int
	Findings []expert.Finding
	Doubts   []string
}

// Of reviews a sitting. It stays as it is.
func Of(c *cases.Case, s *sitting.Sitting, seed *uint64, par scoring.Par) (*Debrief, error) {
	report, err := scoring.Review(c, s, par)
	if err != nil {
		return nil, err
	}
	return &Debrief{Case: c, Report: report, Seed: seed, s: s}, nil
}

// Expert lets the expert examine the same patient, for comparison.
func (d *Debrief) Expert() error {
	chair := d.s.Again(d.s.Keys())
	res, err := expert.Examine(chair, expert.BriefOf(d.s.Setup()))
	if err != nil {
		return err
	}
	d.expert = &Run{res.Rx, chair.Steps().Total(), res.Findings, res.Doubts}
	return nil
}

// Run is the expert's sitting; nil before Expert.
func (d *Debrief) Run() *Run { return d.expert }

// Steps are the steps of the sitting as the figures show them.
func (d *Debrief) Steps() []figure.Step {
	wrong := map[int]bool{}
	for _, f := range d.Report.Findings {
		if f.Severity != scoring.Note {
			for _, n := range f.Events {
				wrong[n] = true
			}
		}
	}
	var out []figure.Step
	for _, m := range d.Report.Path {
		out = append(out, figure.Step{N: m.Event, Worn: power(m.Power), Left: power(m.Residual), Mistake: wrong[m.Event]})
	}
	return out
}

func power(r scoring.Residual) optics.Power { return optics.Power{M: r.M, J0: r.J0, J45: r.J45} }

// Figures are the path of the cylinder and of the focal lines.
func (d *Debrief) Figures() (path, focus *figure.Figure) {
	truth := d.s.Truth(d.s.Setup().Tested).Error.Power()
	var found *optics.Power
	if d.expert != nil {
		p := d.expert.Found.Power()
		found = &p
	}
	steps := d.Steps()
	return figure.Astigmatism(steps, truth, found), figure.Focus(steps)
}

// Entry is one event of the timeline.
type Entry struct {
	N       int
	Did     string // or what was asked
	Said    string // by the patient
	Rows    []string
	Wrong   []scoring.Finding // that happened here
	Luckily string            // what a noiseless patient would have said
}

// Timeline is every event, with the mistakes where they happened.
func (d *Debrief) Timeline() []Entry {
	wrong := map[int][]scoring.Finding{}
	for _, f := range d.Report.Findings {
		if len(f.Events) > 0 {
			wrong[f.Events[0]] = append(wrong[f.Events[0]], f)
		}
	}
	luck := map[int]string{}
	for _, l := range d.Report.Luck {
		luck[l.Event] = l.Noiseless
	}
	s := d.s.Again(d.s.Keys())
	room := s.Setup().Room
	var out []Entry
	for _, e := range d.s.Events() {
		if _, err := s.Do(e.Action); err != nil {
			break
		}
		st := s.State()
		entry := Entry{N: e.N, Wrong: wrong[e.N], Luckily: luck[e.N]}
		if e.Answer == nil {
			entry.Did = voice.English.Done(e, st, room)
		} else {
			entry.Did = "“" + voice.English.Question(e.Action, st.Chart) + "”"
			entry.Said = voice.English.Answer(*e.Answer, room.Labels, st.Chart)
			entry.Rows = voice.English.Rows(*e.Answer)
		}
		out = append(out, entry)
	}
	return out
}

// Picture is what the patient saw at a turning point.
type Picture struct {
	N       int
	Caption string
	Image   *image.NRGBA
}

// mostPictures keeps a page to a readable length.
const mostPictures = 8

// Pictures are what the patient saw at the turning points: where something went
// wrong, where a chart was first asked about, and at the end. Pause is called
// before each, if it is not nil.
func (d *Debrief) Pictures(pause func()) ([]Picture, error) {
	points := d.turningPoints()
	s := d.s.Again(d.s.Keys())
	seen := newViewer()
	var out []Picture
	for _, e := range d.s.Events() {
		if e.Action.Do == sitting.End {
			break
		}
		if _, err := s.Do(e.Action); err != nil {
			return nil, err
		}
		why, wanted := points[e.N]
		if !wanted {
			continue
		}
		if pause != nil {
			pause()
		}
		img, err := seen.look(s)
		if err != nil || img == nil {
			continue // nothing to be seen
		}
		out = append(out, Picture{e.N, why, img})
	}
	return out, nil
}

// turningPoints are the events that are worth a picture, and why.
func (d *Debrief) turningPoints() map[int]string {
	out := map[int]string{}
	for _, f := range d.Report.Findings {
		for _, n := range f.Events {
			if f.Severity != scoring.Note && len(out) < mostPictures-3 && d.asked(n) {
				out[n] = f.Title
				break
			}
		}
	}
	first := map[sitting.ChartName]bool{}
	last := 0
	for _, e := range d.s.Events() {
		if e.Action.Do != sitting.Ask {
			continue
		}
		last = e.N
		chart := d.Report.Path[e.N-1].Chart
		if _, is := out[e.N]; !is && !first[chart] && len(out) < mostPictures-1 {
			out[e.N] = "The " + string(chart) + ", first asked about"
		}
		first[chart] = true
	}
	if _, is := out[last]; !is && last > 0 {
		out[last] = "The last look"
	}
	return out
}

// asked tells whether an event is a question, so that there was something to
// look at.
func (d *Debrief) asked(n int) bool {
	events := d.s.Events()
	return n >= 1 && n <= len(events) && events[n-1].Action.Do == sitting.Ask
}

//go:embed page.html style.css
var files embed.FS

// page is read when it is first wanted, since that takes a while.
var page = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page.html").Funcs(template.FuncMap{
		"svg":     func(f *figure.Figure) template.HTML { return template.HTML(f.SVG()) },
		"uri":     uri,
		"points":  func(v float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0") },
		"percent": func(a, b float64) float64 { return 100 * a / max(b, 1e-9) },
		"events":  events,
		"rx":      rxText,
		"minus":   func(s string) string { return strings.ReplaceAll(s, "-", "−") },
		"signed":  signed,
	}).ParseFS(files, "page.html"))
})

// uri is a picture inside the page.
func uri(img image.Image) (template.URL, error) {
	var b bytes.Buffer
	err := png.Encode(&b, img)
	return template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(b.Bytes())), err
}

// events lists numbers of events.
func events(n []int) string {
	if len(n) == 0 {
		return ""
	}
	var out []string
	for _, v := range slices.Compact(slices.Sorted(slices.Values(n))) {
		out = append(out, fmt.Sprint(v))
	}
	if len(out) > 8 {
		out = append(out[:7], "…", out[len(out)-1])
	}
	return strings.Join(out, ", ")
}

func rxText(s string) string {
	rx, err := optics.ParseRx(s)
	if err != nil {
		return s
	}
	return rx.String()
}

func signed(d float64) string {
	if d > -0.005 && d < 0.005 {
		return "0.00"
	}
	return strings.ReplaceAll(fmt.Sprintf("%+.2f", d), "-", "−")
}

// HTML is the page: it needs no script, no other file and no network.
func (d *Debrief) HTML() ([]byte, error) {
	style, err := files.ReadFile("style.css")
	if err != nil {
		return nil, err
	}
	pictures, err := d.Pictures(nil)
	if err != nil {
		return nil, err
	}
	path, focus := d.Figures()
	var b bytes.Buffer
	err = page().Execute(&b, map[string]any{
		"Style": template.CSS(style), "Case": d.Case, "Report": d.Report, "Expert": d.expert, "Seed": d.Seed,
		"Path": path, "Focus": focus, "Pictures": pictures, "Timeline": d.Timeline(), "Caution": scoring.Caution,
	})
	return b.Bytes(), err
}
