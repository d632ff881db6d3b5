// Package desk is what all screens of the bench work at: the screen itself, the
// voice, the settings, the store, the work that takes long; and what a screen
// says is to come next.
package desk

import (
	"time"

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

// Narrow reports whether the parts of the bench do not fit beside one another.
func (d *Desk) Narrow() bool {
	w := d.UI.Window()
	return w.W/d.UI.Text < 940 || w.H/d.UI.Text < 520
}
