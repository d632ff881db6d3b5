// Package dialogs has the small screens that can be opened from everywhere: the
// settings, the size of the screen, and the list of the keys.
package dialogs

import (
	"conoid/assets"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// Settings changes the settings.
type Settings struct{}

// Draw implements desk.Overlay.
func (Settings) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v, s := d.Voice(), d.Settings.Now()
	closed := d.UI.Dialog("settings", v.Text("bench.settings.title"), v.Text("bench.close"), 600, func(c *ui.Column) {
		s.TextSize += 25 * ui.Step(c, "text size", v.Text("bench.settings.text"), v.Text("bench.settings.percent", "percent", s.TextSize))
		ui.Between(c)
		s.Dark = desk.Choose(c, "look", v.Text("bench.settings.look"), []string{v.Text("bench.settings.light"), v.Text("bench.settings.dark")}, s.Dark)
		ui.Between(c)
		s.Still = desk.Choose(c, "motion", v.Text("bench.settings.motion"), []string{v.Text("bench.settings.moving"), v.Text("bench.settings.still")}, s.Still)
		ui.Between(c)
		s.Left = desk.Choose(c, "hand", v.Text("bench.settings.hand"), []string{v.Text("bench.settings.right"), v.Text("bench.settings.left")}, s.Left)
		ui.Between(c)
		s.Language = language(c, v, s.Language)
		ui.Between(c)
		measure := v.Text("bench.settings.measure")
		wide, _ := d.UI.ButtonSize(measure, c.W)
		ui.Line(c, v.Text("bench.calibrate.title"), wide, func(f *ui.Flow) {
			if f.Button("calibrate", measure, ui.Plain) {
				next = desk.Open{Overlay: Calibrate{}}
			}
		})
	})
	d.Change(func(now *settings.Settings) { *now = s })
	if closed {
		return desk.Close{}
	}
	return next
}

// language is the choice of a language.
func language(c *ui.Column, v voice.Voice, chosen string) string {
	names, at := []string{}, 0
	for i, code := range assets.Languages() {
		names = append(names, voice.In(code).Text("bench.language"))
		if code == v.Language {
			at = i
		}
	}
	if to := ui.Choose(c, "language", v.Text("bench.settings.language"), names, at); to != at {
		return assets.Languages()[to]
	}
	return chosen
}
