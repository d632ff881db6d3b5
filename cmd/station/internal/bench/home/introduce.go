package home

import (
	"strconv"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// introduction introduces a case, and begins it.
type introduction struct {
	c      *cases.Case
	sealed string     // the case as it came, if it came sealed
	left   *seat.Left // nil: no sitting with them was left
}

// Introduce introduces a case.
func Introduce(c *cases.Case) desk.Overlay { return introduction{c: c} }

// Draw implements desk.Overlay.
func (i introduction) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	closed := d.UI.Dialog("case", i.c.Texts(v.Language).Title, v.Text("bench.close"), 600, func(c *ui.Column) {
		i.about(d, v, c)
		sit := func(how seat.How) {
			how.Sealed = i.sealed
			next = desk.Sit{Case: i.c, How: how}
		}
		look := ui.Primary
		c.Flow(func(f *ui.Flow) {
			if i.left != nil {
				if f.Button("go on", v.Text("bench.home.left.press"), ui.Primary) {
					next = GoOn(d, *i.left)
				}
				look = ui.Plain
			}
			if f.Button("examine", v.Text("bench.case.examine"), look) {
				sit(seat.How{})
			}
			if f.Button("examine guided", v.Text("bench.case.guided"), ui.Plain) {
				sit(seat.How{Guided: true})
			}
		})
		c.Rule()
		c.Para(v.Text("bench.drill.title"), ui.Strong)
		c.Para(v.Text("bench.drill.about"), ui.Quiet)
		c.Gap(6)
		c.Flow(func(f *ui.Flow) {
			for _, drill := range chair.Drills() {
				if f.Button("drill "+string(drill), v.Text("bench.drill."+string(drill)), ui.Plain) {
					sit(seat.How{Drill: drill})
				}
			}
		})
		predict := desk.Choose(c, "predict", v.Text("bench.drill.predict"), []string{v.Text("bench.no"), v.Text("bench.yes")}, d.Settings.Now().Predict)
		d.Change(func(s *settings.Settings) { s.Predict = predict })
	})
	if closed {
		return desk.Close{}
	}
	return next
}

// about tells who it is, and what was reached before.
func (i introduction) about(d *desk.Desk, v voice.Voice, c *ui.Column) {
	if story := i.c.Texts(v.Language).Story; story != "" {
		c.Para(story, ui.Body)
		c.Gap(6)
	}
	c.Para(v.Text("bench.case.who", "level", v.Text("bench.level."+strconv.Itoa(i.c.Level)), "age", int(i.c.Age+0.5),
		"eye", v.Text("eye."+string(i.c.Tested))), ui.Quiet)
	if best, ok := d.History.Best(i.c.ID); ok {
		c.Gap(4)
		c.Para(v.Text("bench.case.best", "left", fact.Amount(best.Left), "steps", best.Steps, "clock", best.Clock), ui.Quiet)
	}
	c.Gap(10)
}
