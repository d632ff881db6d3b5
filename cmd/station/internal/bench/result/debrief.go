package result

import (
	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/method"
	"conoid/sim/optics"
)

// draw draws what there is to learn besides: the smaller findings, and of the
// dearest what had no room above; the marks; the way it went; and what the
// patient saw.
func (w review) draw(u *ui.UI, v voice.Voice, c *ui.Column, left [][]string) {
	d := w.debrief
	if d == nil {
		return
	}
	if run := d.Run(); run != nil {
		c.Para(v.Text("bench.result.expert", "rx", run.Found, "steps", run.Steps), ui.Body)
		if off := unlike(d.Report.Mark.Truth, run.Found); off != "" {
			c.Para(v.Text(off), ui.Quiet)
		}
		c.Gap(8)
	}
	r := d.Report
	w.drawFindings(u, v, c, left)
	c.Head(v.Text("bench.debrief.marks", "points", r.Total, "most", r.Most))
	for _, p := range r.Parts {
		drawPart(u, v, c, p)
	}
	c.Para(v.Text("bench.debrief.earns"), ui.Quiet)
	for _, e := range report.EvidenceOf(v, r) {
		c.Para(e.String(), ui.Body)
	}
	c.Gap(8)
	c.Head(v.Text("bench.debrief.way"))
	w.drawFigure(u, v, c)
	c.Gap(8)
	if len(r.Luck) > 0 {
		c.Head(v.Text("bench.debrief.luck"))
		for _, l := range r.Luck {
			c.Para(v.Text("bench.debrief.chance", "n", r.Step(l.Event), "said", l.Said, "noiseless", l.Noiseless), ui.Body)
		}
	}
	w.drawPictures(u, v, c)
	c.Gap(8)
}

// unlike is what there is to say of an expert's end point that is not the truth; "" where
// it is.
func unlike(truth, found optics.Rx) string {
	switch off := scoring.Compare(truth, found); {
	case off.DefocusEquivalent < 0.005:
		return ""
	case off.DefocusEquivalent <= method.SphereStep+0.005:
		return "bench.result.expert.off"
	}
	return "bench.result.expert.far"
}

// drawFindings draws the findings that have no card, and what the cards had no
// room for.
func (w review) drawFindings(u *ui.UI, v voice.Voice, c *ui.Column, left [][]string) {
	all := w.debrief.Report.Findings
	if len(all) == 0 {
		c.Para(v.Text("bench.debrief.nothing"), ui.Body)
		c.Gap(8)
		return
	}
	for i, texts := range left {
		if len(texts) > 0 {
			c.Para(v.Text("bench.card.more", "rank", i+1, "title", report.Of(v, w.lessons[i].Finding).Title), ui.Strong)
			for _, text := range texts {
				c.Para(text, ui.Body)
			}
			c.Gap(12)
		}
	}
	if len(w.lessons) == len(all) {
		return
	}
	c.Head(v.Text("bench.debrief.smaller"))
	for _, f := range all[len(w.lessons):] {
		drawFinding(u, v.By(w.debrief.Report.Labels), c, f)
	}
}

// drawPart draws the points of one part as a bar.
func drawPart(u *ui.UI, v voice.Voice, c *ui.Column, p scoring.Part) {
	label, text := v.Value(p.Name), v.Text("bench.debrief.of", "points", p.Points, "most", p.Most)
	name := max(160*u.Text, u.Width(label, ui.Body)+12)
	wide := max(110*u.Text, u.Width(text, ui.Body)+8)
	if name+wide > c.W {
		c.Para(label+": "+text, ui.Body)
		return
	}
	r := c.Block(u.LineHeight(ui.Body) + 6)
	ui.Says(u, r, label+": "+text)
	u.Words(paper.Rect{X: r.X, Y: r.Y, W: name, H: r.H}, label, ui.Body)
	u.Words(paper.Rect{X: r.X + name, Y: r.Y, W: wide, H: r.H}, text, ui.Body)
	bar := paper.Rect{X: r.X + name + wide + 8, Y: r.Y + r.H/2 - 5, W: min(240*u.Text, r.W-name-wide-8), H: 10}
	if bar.W < 20 {
		return
	}
	u.Scene().Box(bar, 0, u.Theme.Rule)
	bar.W *= float64(p.Points / max(p.Most, 1e-9))
	u.Scene().Box(bar, 0, u.Theme.Act)
}

// drawFinding draws one thing that went otherwise than the method has it.
func drawFinding(u *ui.UI, v voice.Voice, c *ui.Column, f scoring.Finding) {
	top := c.Y
	in := u.Column(c.X+14, c.Y+2, c.W-14)
	words := report.Of(v, f)
	in.Para(words.Title, ui.Strong)
	in.Para(words.What, ui.Body)
	in.Para(words.Optics, ui.Quiet)
	in.Para(v.Text("bench.debrief.better", "text", words.Better), ui.Body)
	if words.Tutor != "" {
		in.Para(words.Tutor, ui.Strong)
	}
	c.Y = in.Y + 2
	edge := u.Theme.Warn
	if f.Severity == scoring.Note {
		edge = u.Theme.Edge
	}
	u.Scene().Box(paper.Rect{X: c.X, Y: top, W: 4, H: c.Y - top}, 0, edge)
	c.Gap(12)
}

// drawFigure draws the path of the cylinder. That of the focal lines is drawn above.
func (w review) drawFigure(u *ui.UI, v voice.Voice, c *ui.Column) {
	path, _ := w.debrief.Figures(v)
	wide := min(c.W, 420)
	r := c.Block(wide * path.H / path.W)
	drawFigure(u, path, paper.Rect{X: r.X, Y: r.Y, W: wide, H: r.H})
	c.Para(v.Text("bench.debrief.figures"), ui.Note)
}

// drawPictures draws what the patient saw at the turning points.
func (w review) drawPictures(u *ui.UI, v voice.Voice, c *ui.Column) {
	pictures := w.pictures
	if len(pictures) == 0 {
		return
	}
	c.Gap(8)
	c.Head(v.Text("bench.debrief.saw"))
	const side = 180.0
	n := max(1, int((c.W+desk.Gap)/(side+desk.Gap)))
	for len(pictures) > 0 {
		row := pictures[:min(n, len(pictures))]
		pictures = pictures[len(row):]
		tall := 0.0
		for i, p := range row {
			r := paper.Rect{X: c.X + float64(i)*(side+desk.Gap), Y: c.Y, W: side, H: side}
			u.Scene().Picture(r, p.Image, 1)
			u.Scene().Frame(r, 0, 1, u.Theme.Edge)
			text := v.Text("bench.debrief.step", "n", p.Step, "caption", p.Caption(v))
			tall = max(tall, u.Para(r.X, r.Bottom()+2, side, text, ui.Note))
			u.Image(text, "", r)
		}
		c.Gap(side + tall + desk.Gap)
	}
}
