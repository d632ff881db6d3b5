// Package dialogs has the small screens that can be opened from everywhere: the
// settings, the size of the screen, and the list of the keys.
package dialogs

import (
	"fmt"

	"conoid/assets"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// Settings changes the settings.
type Settings struct{}

// Draw implements desk.Overlay.
func (Settings) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v, s := d.Voice(), d.Settings.Now()
	closed := d.UI.Dialog("settings", v.Text("bench.settings.title"), v.Text("bench.close"), 560, func(c *ui.Column) {
		if by := c.Stepper("text size", v.Text("bench.settings.text"), v.Text("bench.settings.percent", "percent", s.TextSize)); by != 0 {
			s.TextSize += 25 * by
		}
		s.Dark = desk.Choose(c, "look", v.Text("bench.settings.look"), []string{v.Text("bench.settings.light"), v.Text("bench.settings.dark")}, s.Dark)
		s.Still = desk.Choose(c, "motion", v.Text("bench.settings.motion"), []string{v.Text("bench.settings.moving"), v.Text("bench.settings.still")}, s.Still)
		s.Left = desk.Choose(c, "hand", v.Text("bench.settings.hand"), []string{v.Text("bench.settings.right"), v.Text("bench.settings.left")}, s.Left)
		s.Language = language(c, v, s.Language)
		c.Flow(func(f *ui.Flow) {
			if f.Button("calibrate", v.Text("bench.calibrate.title"), ui.Plain) {
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
	c.Para(v.Text("bench.settings.language"), ui.Strong)
	c.Gap(4)
	names, at := []string{}, 0
	for i, code := range assets.Languages() {
		names = append(names, voice.In(code).Text("bench.language"))
		if code == v.Language {
			at = i
		}
	}
	to := c.Choice("language", names, at)
	c.Gap(4)
	if to == at {
		return chosen
	}
	return assets.Languages()[to]
}

// Calibrate finds out how large a logical pixel is.
type Calibrate struct{}

// Draw implements desk.Overlay.
func (Calibrate) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v, s := d.Voice(), d.Settings.Now()
	if s.Card == 0 {
		s.Card = settings.UsualCard
	}
	closed := d.UI.Dialog("calibrate", v.Text("bench.calibrate.title"), v.Text("bench.close"), 640, func(c *ui.Column) {
		c.Para(v.Text("bench.calibrate.about"), ui.Body)
		c.Gap(10)
		s.Card = card(d.UI, c, v, s.Card)
		c.Gap(10)
		s.Card += float64(c.Stepper("card width", v.Text("bench.calibrate.card"), fmt.Sprintf("%.0f", s.Card)))
		s.Viewing += 5 * float64(c.Stepper("viewing", v.Text("bench.calibrate.distance"), v.Text("bench.calibrate.cm", "cm", fact.Number(s.Viewing))))
		c.Flow(func(f *ui.Flow) {
			if f.Button("uncalibrate", v.Text("bench.calibrate.off"), ui.Plain) {
				s.Card = 0
				next = desk.Close{}
			}
		})
	})
	d.Change(func(now *settings.Settings) { *now = s })
	if closed {
		return desk.Close{}
	}
	return next
}

// card is a box to be made as wide as a bank card.
func card(u *ui.UI, c *ui.Column, v voice.Voice, width float64) float64 {
	w := min(width, c.W)
	r := c.Block(w * 53.98 / settings.CardWidth)
	r.W = w
	u.Scene().Box(r, 8, u.Theme.Touch)
	u.Scene().Frame(r, 8, 2, u.Theme.Edge)
	g := u.Grip("bank card", v.Text("bench.calibrate.card"), fmt.Sprintf("%.0f", width), r, nil)
	if g.Held {
		width = min(max(g.At.X-r.X, 120), c.W)
	}
	u.Ring("bank card", r)
	return width + float64(g.Turn)
}

// Key is a key and what it does.
type Key struct {
	Key rune
	ID  string // of the words for what it does
}

// Keys lists the keys.
type Keys struct{ Keys []Key }

// Draw implements desk.Overlay.
func (k Keys) Draw(d *desk.Desk) desk.Next {
	v := d.Voice()
	closed := d.UI.Dialog("keys", v.Text("bench.keys.title"), v.Text("bench.close"), 560, func(c *ui.Column) {
		c.Para(v.Text("bench.keys.about"), ui.Quiet)
		c.Gap(8)
		for _, k := range k.Keys {
			c.Flow(func(f *ui.Flow) {
				f.Text(string(k.Key), ui.Strong)
				f.Text(v.Text(k.ID), ui.Body)
			})
		}
	})
	if closed {
		return desk.Close{}
	}
	return desk.Stay{}
}
