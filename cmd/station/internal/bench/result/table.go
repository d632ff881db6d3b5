package result

import (
	"math"
	"strings"

	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/bench/sheet"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// table sets the end point beside the truth.
func table(u *ui.UI, v voice.Voice, c *ui.Column, m *scoring.Mark) {
	truth, stated := m.Truth, m.EndPoint
	power := func(d float64) string { return sheet.Dioptres(v, d) }
	row := func(id string, texts ...string) []string {
		return append([]string{v.Value(fact.Fact{ID: id})}, texts...)
	}
	rows := [][]string{
		{"", v.Text("bench.result.truth"), v.Text("bench.result.stated"), v.Text("bench.result.difference")},
		row("bench.end.sphere", power(truth.Sphere), power(stated.Sphere), power(float64(m.SphereError))),
		row("bench.end.cyl", power(truth.Cyl), power(stated.Cyl), power(float64(m.CylinderError))),
		row("bench.end.axis", axis(v, truth), axis(v, stated), turned(v, m)),
		row("bench.result.se", power(truth.SE()), power(stated.SE()), power(float64(m.Residual.M))),
		row("bench.result.acuity", v.Value(m.BestAcuity), v.Value(m.Acuity), report.AcuityLost(v, m)),
	}
	if fit(u, c, rows) {
		columns(u, c, rows)
	} else {
		list(c, rows)
	}
	for _, l := range m.Limits {
		c.Gap(4)
		c.Para(v.Say(l), ui.Body)
	}
	c.Gap(4)
	c.Para(v.Text("bench.result.acuities", "truth", v.Text("bench.result.truth"), "stated", v.Text("bench.result.stated")), ui.Quiet)
	if stated := report.AcuityStated(v, m); stated != "" {
		c.Gap(4)
		c.Para(v.Text("bench.result.acuity")+": "+stated, ui.Body)
	}
}

// widths are those of the first column, and of each of the others.
func widths(u *ui.UI, c *ui.Column) (first, rest float64) {
	first = min(c.W*0.4, 260*u.Text)
	return first, min((c.W-first)/3, 170*u.Text)
}

// fit reports whether there is room for columns.
func fit(u *ui.UI, c *ui.Column, rows [][]string) bool {
	first, rest := widths(u, c)
	for _, row := range rows {
		if u.Width(row[0], ui.Quiet) > first {
			return false
		}
		for _, text := range row[1:] {
			if u.Width(text, ui.Body) > rest {
				return false
			}
		}
	}
	return true
}

// columns is the table in columns.
func columns(u *ui.UI, c *ui.Column, rows [][]string) {
	first, rest := widths(u, c)
	h := u.LineHeight(ui.Body) + 8
	for i, row := range rows {
		style := ui.Body
		if i == 0 {
			style = ui.SmallBold
		}
		r := c.Block(h)
		ui.Says(u, r, strings.Trim(strings.Join(row, ", "), ", "))
		u.Words(paper.Rect{X: r.X, Y: r.Y, W: first, H: h}, row[0], ui.Quiet)
		for k, text := range row[1:] {
			u.Words(paper.Rect{X: r.X + first + float64(k)*rest, Y: r.Y, W: rest, H: h}, text, style, ui.Finish)
		}
		u.Scene().Box(paper.Rect{X: r.X, Y: r.Bottom() - 1, W: first + 3*rest, H: 1}, 0, u.Theme.Rule)
	}
}

// list is the table where there is no room for columns.
func list(c *ui.Column, rows [][]string) {
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

// none stands where there is no axis.
const none = "–"

func axis(v voice.Voice, rx optics.Rx) string {
	if rx.Cyl == 0 {
		return none
	}
	return v.Value(fact.Degrees(rx.Axis))
}

func turned(v voice.Voice, m *scoring.Mark) string {
	if m.Axis == nil {
		return none
	}
	if d := math.Round(float64(m.Axis.Error)); d != 0 {
		return v.Value(fact.Turn(d))
	}
	return v.Value(fact.Degrees(0))
}
