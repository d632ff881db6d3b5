// Package desk is what all screens of the bench work at: the screen itself, the
// voice, the settings, the store, the work that takes long; and what a screen
// says is to come next.
package desk

import (
	"time"

	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/work"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// Store keeps what the user made. Names have lower-case letters, digits, "-",
// "." and "/".
type Store interface {
	List(prefix string) ([]string, error)   // sorted
	Read(name string) ([]byte, error)       // fs.ErrNotExist when there is none
	Append(name string, data []byte) error  // makes the file if need be; kept when it returns
	Truncate(name string, size int64) error // cuts the end off
	Replace(name string, data []byte) error // all or nothing
	Remove(name string) error               // nothing to remove is no error
	Settled() bool                          // all of this is on the disk, as far as it can be told
}

// Desk is what every screen is given.
type Desk struct {
	UI       *ui.UI
	Settings *settings.Room
	Notice   *Notice
	Store    Store
	Work     *work.Line
	Seats    *seat.Keeper
	History  *history.Book
	Now      func() time.Time
	Seed     func() uint64
	Save     func(name string, data []byte) (where string, err error) // nil when there is no way
	Quit     func()                                                   // nil when the window cannot close itself
	Unkept   bool                                                     // the store keeps nothing beyond this run
	Newer    func() bool                                              // whether a new build of the bench waits; nil when none ever does
	Renew    func()                                                   // takes it, and loads the bench anew
	Edit     func()                                                   // leaves for the editor of the case that the bench opened with; nil when there is none
	At       time.Duration                                            // of this frame
}

// Voice speaks the user's language.
func (d *Desk) Voice() voice.Voice { return voice.In(d.Settings.Language()) }

// Change changes the settings; what cannot be kept is told.
func (d *Desk) Change(change func(s *settings.Settings)) {
	s := d.Settings.Now()
	change(&s)
	if s == d.Settings.Now() {
		return
	}
	if err := d.Settings.Change(s); err != nil {
		d.Notice.Refuse(err)
	}
	d.UI.Again()
}

// Check tells an error, if there is one.
func (d *Desk) Check(err error) {
	if err != nil {
		d.Notice.Refuse(err)
	}
}

// Form is how the parts of the bench stand in the window.
type Form uint8

// The forms.
const (
	Cross   Form = iota // all beside one another
	Upright             // wall and answer, and below them one part at a time
	Beside              // the same, with that part beside them
	Stack               // the wall, and the rest below one another, to be scrolled
)

// mostText is the largest text with which all parts stand beside one another.
const mostText = 1.25

// Form is the form of the window as it is.
func (d *Desk) Form() Form {
	win, text := d.UI.Window(), d.UI.Text
	w, h := win.W/text, win.H/text
	switch {
	case text <= mostText && win.W >= 700 && win.H >= 520:
		return Cross
	case w >= 340 && h >= 700 && h > w:
		return Upright
	case w >= 640 && h >= 370:
		return Beside
	}
	return Stack
}

// Narrow reports whether the parts of the bench do not fit beside one another.
func (d *Desk) Narrow() bool { return d.Form() != Cross }

// Lid is how far the patient's lids are closed in this frame: never, where nothing
// is to move.
func (d *Desk) Lid() float64 {
	if d.Settings.Now().Still {
		return 0
	}
	d.UI.Wake(face.Next(d.At))
	return face.Lid(d.At)
}
