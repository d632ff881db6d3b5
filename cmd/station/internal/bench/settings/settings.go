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
	TextSize int     `json:"textSize"` // per cent, 100 to 200
	Dark     bool    `json:"dark"`
	Still    bool    `json:"still"`              // reduced motion
	Left     bool    `json:"left"`               // the talk on the left
	Language string  `json:"language,omitempty"` // empty: as the system has it
	Card     float64 `json:"card"`               // width of a bank card on this screen, logical pixels; 0: not calibrated
	Viewing  float64 `json:"viewing"`            // distance of the user from the screen, centimetres
	Curtain  float64 `json:"curtain"`            // share of the wall that shows the chart as it hangs, 0 to 1
	NoConoid bool    `json:"noConoid"`           // the conoid is hidden
	Predict  bool    `json:"predict"`            // in drills, predict every answer first
	Open     string  `json:"open,omitempty"`     // a sitting that goes on when the bench opens
	Exam     string  `json:"exam,omitempty"`     // a practical that is not handed in yet
}

// File is the name that settings are kept under.
const File = "settings.json"

func usual() Settings {
	return Settings{TextSize: 100, Viewing: 60, Curtain: 1}
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
	store  Store
	system string // the language of the browser or the system
	now    Settings
}

// Open reads the settings; system is the language of the browser or the system.
// What cannot be read is as if it were not there, and the error says so.
func Open(store Store, system string) (*Room, error) {
	r := &Room{store: store, system: system, now: usual()}
	data, err := store.Read(File)
	if err == nil {
		err = json.Unmarshal(data, &r.now)
	}
	r.now = r.now.checked()
	if errors.Is(err, fs.ErrNotExist) {
		err = nil
	}
	return r, err
}

// Now is the settings as they are.
func (r *Room) Now() Settings { return r.now }

// Language is the language of the bench: the user's, or else the system's.
func (r *Room) Language() string {
	if r.now.Language != "" {
		return r.now.Language
	}
	return r.system
}

// Try changes the settings without keeping them, as while something is being
// dragged.
func (r *Room) Try(s Settings) { r.now = s.checked() }

// Change changes the settings and keeps them.
func (r *Room) Change(s Settings) error {
	r.now = s.checked()
	data, err := json.Marshal(r.now)
	if err != nil {
		return err
	}
	return r.store.Replace(File, data)
}

// Forget brings the usual settings back, without keeping them. The language
// stays.
func (r *Room) Forget() {
	language := r.now.Language
	r.now = usual()
	r.now.Language = language
}

// CardWidth is the width of a bank card in millimetres (ISO/IEC 7810, ID-1).
const CardWidth = 85.60

// UsualCard is the width of a bank card in logical pixels where these are 1/96
// inch, as they usually are.
const UsualCard = CardWidth / 25.4 * 96
