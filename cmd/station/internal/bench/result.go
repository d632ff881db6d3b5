package bench

import (
	"fmt"
	"math"

	"conoid/cmd/internal/debrief"
	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// result is a finished sitting and what it came to.
type result struct {
	mark     *scoring.Mark
	debrief  *debrief.Debrief // nil until it was worked out
	pictures []debrief.Picture
	failed   error
}

// finish marks the sitting.
func (a *App) finish() {
	t := a.seat
	m, err := scoring.Of(t.s)
	if err != nil {
		a.refuse(err)
		return
	}
	t.notes.Done = true
	a.keepNotes()
	a.screen, a.dialog = atResult, nil
	a.finished = &result{mark: m}
	a.set.Open = ""
	a.keep()
	a.remember(reached{
		Log: t.name, ID: t.c.ID, Title: t.c.Title, Case: t.c.Hash(), Level: t.c.Level, When: a.o.Now(),
		Left: float64(m.DefocusEquivalent), Band: m.Band, Steps: m.Steps.Total, Clock: t.notes.Clock, Hints: t.notes.Hints,
		Guided: t.notes.Guided, Drill: t.notes.Drill, Branch: t.notes.Branch, Kinds: t.c.Difficulties(),
	})
	finished := a.finished
	a.behind(func() { finished.failed = finished.work(t, a.pause) })
}

// work is the review, and an expert's sitting with the same patient.
func (r *result) work(t *seat, pause func()) error {
	par, err := scoring.ParWith(t.c, t.s, scoring.ParSeeds)
	if err != nil {
		return err
	}
	d, err := debrief.Of(t.c, t.s, &t.notes.Seed, par)
	if err != nil {
		return err
	}
	if err := d.Expert(); err != nil {
		return err
	}
	r.pictures, err = d.Pictures(pause)
	r.debrief = d
	return err
}

// drawResult draws the mark and the first page of the debrief.
func (a *App) drawResult() {
	u, m := a.ui, a.finished.mark
	all := u.Window()
	wide := min(all.W-2*gap, 920*max(1, u.Text*0.8))
	a.column("result", paper.Rect{X: (all.W - wide) / 2, W: wide, H: all.H}, func(c *ui.Column) {
		c.Gap(gap)
		c.Para(a.seat.c.Title, ui.Quiet)
		c.Gap(2)
		c.Para(report.Verdict(a.voice(), m), ui.Title)
		c.Gap(10)
		a.drawNotice(c)
		a.resultTable(c)
		c.Gap(8)
		c.Para(a.l("result.left", a.voice().Value(m.DefocusEquivalent)), ui.Body)
		c.Para(a.l("result.taken", m.Steps.Total, m.Steps.Lens, m.Steps.Chart, m.Steps.Question, minutes(a.seat.notes.Clock), simulated(float64(m.Seconds))), ui.Body)
		if n := a.seat.notes.Hints; n > 0 {
			c.Para(a.l("hint.count", n), ui.Body)
		}
		c.Gap(8)
		a.resultExpert(c)
		c.Gap(10)
		c.Flow(func(f *ui.Flow) {
			if f.Button("again", a.l("result.again"), ui.Primary) {
				n := a.seat.notes
				a.start(a.seat.c, starting{guided: n.Guided, drill: n.Drill, seed: n.Seed, seeded: true, sealed: n.Sealed})
			}
			if f.Button("replay", a.l("result.replay"), ui.Plain) {
				a.do(func() {
					if err := a.openReplay(a.seat.name); err != nil {
						a.refuse(err)
					}
				})
			}
			if a.o.Save != nil && a.finished.debrief != nil && f.Button("save debrief", a.l("result.page"), ui.Plain) {
				a.do(a.savePage)
			}
			if a.o.Save != nil && f.Button("save log", a.l("result.save"), ui.Plain) {
				a.saveLog()
			}
			if f.Button("home", a.l("result.home"), ui.Plain) {
				a.do(a.leave)
			}
		})
		c.Gap(8)
		a.drawDebrief(c)
		c.Para(a.l("caution"), ui.Caution)
		c.Gap(gap)
	})
}

// resultTable sets the end point beside the truth and the expert.
func (a *App) resultTable(c *ui.Column) {
	m := a.finished.mark
	truth, stated := m.Truth, m.EndPoint
	rows := [][]string{
		{"", a.l("result.truth"), a.l("result.stated"), a.l("result.difference")},
		{a.l("end.sphere"), dioptres(truth.Sphere), dioptres(stated.Sphere), dioptres(float64(m.SphereError))},
		{a.l("end.cyl"), dioptres(truth.Cyl), dioptres(stated.Cyl), dioptres(float64(m.CylinderError))},
		{a.l("end.axis"), axisText(truth), axisText(stated), axisTurn(m)},
		{a.l("result.se"), dioptres(truth.SE()), dioptres(stated.SE()), dioptres(float64(m.Residual.M))},
		{a.l("result.acuity"), patient.FormatAcuity(float64(m.BestAcuity)), patient.FormatAcuity(float64(m.Acuity)), ""},
	}
	u := a.ui
	if c.W < 480*u.Text {
		a.resultList(c, rows)
		return
	}
	first := min(c.W*0.4, 260*u.Text)
	rest := min((c.W-first)/3, 170*u.Text)
	h := u.LineHeight(ui.Body) + 8
	for i, row := range rows {
		style := ui.Body
		if i == 0 {
			style = ui.SmallBold
		}
		r := c.Block(h)
		u.Words(paper.Rect{X: r.X, Y: r.Y, W: first, H: h}, row[0], ui.Quiet)
		for k, text := range row[1:] {
			u.Words(paper.Rect{X: r.X + first + float64(k)*rest, Y: r.Y, W: rest, H: h}, text, style, ui.Finish)
		}
		u.Scene().Box(paper.Rect{X: r.X, Y: r.Bottom() - 1, W: first + 3*rest, H: 1}, 0, u.Theme.Rule)
	}
}

// resultList is the table where there is no room for columns.
func (a *App) resultList(c *ui.Column, rows [][]string) {
	for _, row := range rows[1:] {
		c.Para(row[0], ui.Strong)
		for k, text := range row[1:] {
			if text != "" {
				c.Para(rows[0][k+1]+": "+text, ui.Body)
			}
		}
		c.Gap(6)
	}
}

func axisText(rx optics.Rx) string {
	if rx.Cyl == 0 {
		return "–"
	}
	return fmt.Sprintf("%.0f", rx.Axis)
}

func axisTurn(m *scoring.Mark) string {
	if m.Axis == nil {
		return "–"
	}
	if d := math.Round(float64(m.Axis.Error)); d != 0 {
		return trueMinus(fmt.Sprintf("%+.0f", d))
	}
	return "0"
}

// resultExpert tells what the expert finds with the same patient.
func (a *App) resultExpert(c *ui.Column) {
	r := a.finished
	switch {
	case r.failed != nil:
		c.Para(sentence(r.failed.Error()), ui.Refusal)
	case r.debrief == nil:
		c.Para(a.l("result.expert.waiting"), ui.Quiet)
	default:
		run := r.debrief.Run()
		c.Para(a.l("result.expert", run.Found.String(), run.Steps), ui.Body)
	}
}

// saveLog hands the log to the user.
func (a *App) saveLog() {
	var where string
	data, err := a.o.Store.Read(a.seat.name + ".jsonl")
	if err == nil {
		where, err = a.o.Save(slug(a.seat.c.ID)+".jsonl", data)
	}
	if err != nil {
		a.refuse(err)
		return
	}
	a.notice = a.l("result.saved", where)
}

// savePage hands the debrief to the user, as a page to keep and to print.
func (a *App) savePage() {
	var where string
	page, err := a.finished.debrief.HTML(a.voice())
	if err == nil {
		where, err = a.o.Save(slug(a.seat.c.ID)+".html", page)
	}
	if err != nil {
		a.refuse(err)
		return
	}
	a.notice = a.l("page.saved", where)
}
