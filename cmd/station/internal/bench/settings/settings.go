// Package settings holds the user's own settings, and keeps them in the store.
package settings

import (
	"encoding/json"
	"errors"
	"io/fs"
	"slices"

	"conoid/assets"
	"conoid/cmd/station/internal/ui"
)

// Settings are the user's own.
type Settings struct {
	TextSize int     `json:"textSize"`           // per cent, 100 to 200
	Dark     bool    `json:"-"`                  // see kept
	Still    bool    `json:"-"`                  // reduced motion; see kept
	Left     bool    `json:"left"`               // the talk on the left
	Language string  `json:"language,omitempty"` // empty: as the system has it
	Card     float64 `json:"card"`               // width of a bank card on this screen, logical pixels; 0: not calibrated
	Viewing  float64 `json:"viewing"`            // distance of the user from the screen, centimetres
	Curtain  float64 `json:"curtain"`            // share of the wall that shows the chart as it hangs, 0 to 1
	NoConoid bool    `json:"noConoid"`           // the conoid is hidden
	Predict  bool    `json:"predict"`            // who is helped says first what the answer will be
	Open     string  `json:"open,omitempty"`     // a sitting that goes on when the bench opens
	Exam     string  `json:"exam,omitempty"`     // a practical that is not handed in yet
	Who      string  `json:"who,omitempty"`      // the number that the user has in a class
}

// File is the name that settings are kept under.
const File = "settings.json"

func usual() Settings {
	return Settings{TextSize: 100, Viewing: 60, Curtain: 1, Predict: true}
}

// Theme is the colours.
func (s Settings) Theme() ui.Theme {
	if s.Dark {
		return ui.Dark()
	}
	return ui.Light()
}

// checked is s with every setting in its range.
func (s Settings) checked() Settings {
	s.TextSize = min(max(s.TextSize, 100), 200)
	if !slices.Contains(assets.Languages(), s.Language) {
		s.Language = ""
	}
	s.Viewing = min(max(s.Viewing, 20), 600)
	s.Curtain = min(max(s.Curtain, 0), 1)
	if s.Card < 100 || s.Card > 2000 {
		s.Card = 0
	}
	return s
}

// Store is what settings are kept in.
type Store interface {
	Read(name string) ([]byte, error)
	Replace(name string, data []byte) error
}

// Room is where the settings are asked for and changed.
type Room struct {
	store       Store
	system      System
	now         Settings
	dark, still *bool // the user's own choice; nil: the system's
}

// System is what the browser or the system is set to, by whom it belongs to. It goes
// for all that the user did not choose at the bench.
type System struct {
	Language    string
	Dark, Still bool
}

// kept is the settings as they are kept: what was left to the system is not there.
type kept struct {
	Settings
	Dark  *bool `json:"dark,omitempty"`
	Still *bool `json:"still,omitempty"`
}

// Open reads the settings. What cannot be read is as if it were not there, and the
// error says so.
func Open(store Store, system System) (*Room, error) {
	r := &Room{store: store, system: system}
	r.Forget()
	own := kept{Settings: r.now}
	data, err := store.Read(File)
	if err == nil {
		err = json.Unmarshal(data, &own)
	}
	r.now, r.dark, r.still = own.checked(), own.Dark, own.Still
	r.now.Dark, r.now.Still = or(r.dark, system.Dark), or(r.still, system.Still)
	if errors.Is(err, fs.ErrNotExist) {
		err = nil
	}
	return r, err
}

// or is what was chosen, or else what goes without a choice.
func or(chosen *bool, without bool) bool {
	if chosen != nil {
		return *chosen
	}
	return without
}

// Now is the settings as they are.
func (r *Room) Now() Settings { return r.now }

// Language is the language of the bench: the user's, or else the system's.
func (r *Room) Language() string {
	if r.now.Language != "" {
		return r.now.Language
	}
	return r.system.Language
}

// Try changes the settings without keeping them, as while something is being
// dragged.
func (r *Room) Try(s Settings) {
	if s.Dark != r.now.Dark {
		r.dark = &s.Dark
	}
	if s.Still != r.now.Still {
		r.still = &s.Still
	}
	r.now = s.checked()
}

// Change changes the settings and keeps them.
func (r *Room) Change(s Settings) error {
	r.Try(s)
	data, err := json.Marshal(kept{r.now, r.dark, r.still})
	if err != nil {
		return err
	}
	return r.store.Replace(File, data)
}

// Forget brings the usual settings back, without keeping them. The language
// stays.
func (r *Room) Forget() {
	language := r.now.Language
	r.now, r.dark, r.still = usual(), nil, nil
	r.now.Language, r.now.Dark, r.now.Still = language, r.system.Dark, r.system.Still
}

// CardWidth is the width of a bank card in millimetres (ISO/IEC 7810, ID-1).
const CardWidth = 85.60

// UsualCard is the width of a bank card in logical pixels where these are 1/96
// inch, as they usually are.
const UsualCard = CardWidth / 25.4 * 96
