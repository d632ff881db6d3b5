package bench

import (
	"encoding/json"
	"errors"
	"io/fs"

	"conoid/assets"
	"conoid/cmd/station/internal/ui"
)

// settings are the user's own, kept in the store.
type settings struct {
	TextSize int     `json:"textSize"` // per cent, 100 to 200
	Dark     bool    `json:"dark"`
	Still    bool    `json:"still"` // reduced motion
	Left     bool    `json:"left"`  // the talk on the left
	Language string  `json:"language"`
	Card     float64 `json:"card"`     // width of a bank card on this screen, logical pixels; 0: not calibrated
	Viewing  float64 `json:"viewing"`  // distance of the user from the screen, centimetres
	Curtain  float64 `json:"curtain"`  // share of the wall that shows the chart as it hangs, 0 to 1
	NoConoid bool    `json:"noConoid"` // the conoid is hidden
	Predict  bool    `json:"predict"`  // in drills, predict every answer first
	Open     string  `json:"open,omitempty"`
	Exam     string  `json:"exam,omitempty"` // a practical that is not handed in yet
}

const settingsFile = "settings.json"

func defaults() settings {
	return settings{TextSize: 100, Language: "en", Viewing: 60, Curtain: 1}
}

// load reads the settings and what was reached before. What cannot be read is
// as if it were not there.
func (a *App) load() {
	a.set = defaults()
	data, err := a.o.Store.Read(settingsFile)
	if err == nil {
		err = json.Unmarshal(data, &a.set)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		a.notice = a.l("settings.unread")
	}
	a.set.check()
	a.history = readHistory(a.o.Store)
}

// check brings every setting into its range.
func (s *settings) check() {
	s.TextSize = min(max(s.TextSize, 100), 200)
	if !contains(assets.Languages(), s.Language) {
		s.Language = "en"
	}
	s.Viewing = min(max(s.Viewing, 20), 600)
	s.Curtain = min(max(s.Curtain, 0), 1)
	if s.Card < 100 || s.Card > 2000 {
		s.Card = 0
	}
}

func contains(list []string, s string) bool {
	for _, v := range list {
		if v == s {
			return true
		}
	}
	return false
}

// keep writes the settings.
func (a *App) keep() {
	data, err := json.Marshal(a.set)
	if err == nil {
		err = a.o.Store.Replace(settingsFile, data)
	}
	if err != nil {
		a.refuse(err)
	}
	a.again = true
}

func (s *settings) theme() ui.Theme {
	if s.Dark {
		return ui.Dark
	}
	return ui.Light
}

// settingsDialog changes the settings.
func settingsDialog(a *App) {
	s := &a.set
	before := *s
	closed := a.ui.Dialog("settings", a.l("settings.title"), a.l("close"), 560, func(c *ui.Column) {
		if by := c.Stepper("text size", a.l("settings.text"), a.l("settings.percent", s.TextSize)); by != 0 {
			s.TextSize += 25 * by
		}
		s.Dark = a.choose(c, "look", a.l("settings.look"), []string{a.l("settings.light"), a.l("settings.dark")}, s.Dark)
		s.Still = a.choose(c, "motion", a.l("settings.motion"), []string{a.l("settings.moving"), a.l("settings.still")}, s.Still)
		s.Left = a.choose(c, "hand", a.l("settings.hand"), []string{a.l("settings.right"), a.l("settings.left")}, s.Left)
		c.Para(a.l("settings.language"), ui.Strong)
		c.Gap(4)
		names, at := []string{}, 0
		for i, code := range assets.Languages() {
			names = append(names, assets.Label(code, "language"))
			if code == s.Language {
				at = i
			}
		}
		s.Language = assets.Languages()[c.Choice("language", names, at)]
		c.Gap(4)
		c.Flow(func(f *ui.Flow) {
			if f.Button("calibrate", a.l("calibrate.title"), ui.Plain) {
				a.dialog = calibrateDialog
			}
		})
	})
	s.check()
	if *s != before {
		a.keep()
	}
	if closed {
		a.dialog = nil
	}
}

// choose is a choice of two with a heading.
func (a *App) choose(c *ui.Column, id, head string, names []string, second bool) bool {
	c.Para(head, ui.Strong)
	c.Gap(4)
	at := 0
	if second {
		at = 1
	}
	at = c.Choice(id, names, at)
	c.Gap(4)
	return at == 1
}
