// Package bench is the student's bench: the screens of the station, what is on
// them, and what the user's hands do. It knows no window and no display: input
// goes in, a scene to paint comes out.
package bench

import (
	"fmt"
	"math/rand/v2"
	"time"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
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

// Options are what the bench is given by the window or the page around it.
type Options struct {
	Store    Store
	Case     string                                                   // a case of the library to open at once, by number or name; or the name of CaseFile
	CaseFile []byte                                                   // a case file to open at once
	Now      func() time.Time                                         // for the names of logs; time.Now when nil
	Seed     func() uint64                                            // of a new sitting; random when nil
	Save     func(name string, data []byte) (where string, err error) // hands the user a file; nil when there is no way
	Quit     func()                                                   // nil when the window cannot close itself
}

// screen is what fills the window.
type screen uint8

const (
	atHome screen = iota
	atBench
	atResult
	atExam
)

// App is the bench.
type App struct {
	o                   Options
	ui                  *ui.UI
	set                 settings
	screen              screen
	dialog              dialog
	seat                *seat
	history             []reached
	notice              string // of what was refused, or could not be done
	later               *work  // done once the screen that says so was painted
	background          *work  // done while the user goes on
	running             *work  // what is being done just now
	waiting             []ui.Input
	clock               func() time.Time // for the pace of work
	painted             bool
	again               bool
	second              int64
	w, h                float64
	pointer             paper.Point
	last                time.Duration
	view                view
	thumbs              map[string]*thumb
	draft               draft
	home                homeState
	finished            *result
	unsealed            *cases.Case // the sealed case that was opened last
	exam                *exam       // a practical that is being sat; nil in practice
	paused              bool        // the menu is open: the clock stands still
	askHeight, wallSide float64
}

// New opens the bench. A sitting that was left open goes on.
func New(o Options) *App {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Seed == nil {
		o.Seed = func() uint64 { return rand.Uint64N(1_000_000) } // short enough to be written down
	}
	a := &App{o: o, ui: ui.New(), again: true, thumbs: map[string]*thumb{}, clock: time.Now}
	a.load()
	a.open()
	return a
}

// open shows what was asked for, or what was left open.
func (a *App) open() {
	switch {
	case a.set.Exam != "":
		if err := a.reopen(a.set.Exam); err != nil {
			a.set.Exam = ""
			a.refuse(err)
		}
	case a.o.CaseFile != nil:
		c, err := cases.Read(a.o.Case, a.o.CaseFile)
		if err != nil || !a.goOnWith(c) { // or a sealed case, or a practical
			a.dropped(ui.File{Name: a.o.Case, Data: a.o.CaseFile})
		}
	case a.o.Case != "":
		c, err := cases.Find(a.o.Case)
		if err != nil {
			a.notice = err.Error()
			return
		}
		if !a.goOnWith(c) {
			a.start(c, starting{})
		}
	case a.set.Open != "":
		name := a.set.Open
		a.do(func() {
			for _, l := range a.unfinished() {
				if l.name == name && l.notes.Sealed != "" {
					a.goOnAt(l)
					return
				}
			}
			if err := a.resume(name); err != nil {
				a.notice = err.Error()
			}
		})
	}
}

// l is a label in the user's language, with what is to be filled in.
func (a *App) l(key string, fill ...any) string {
	return fmt.Sprintf(assets.Label(a.set.Language, key), fill...)
}

// Frame does what the user did and describes the screen; changed is false when
// it is as before.
func (a *App) Frame(in ui.Input, w, h float64) (s *paper.Scene, changed bool) {
	spent := in.Time - a.last
	a.last = in.Time
	a.tick(spent)
	if a.labour(&in) || !a.stale(&in, w, h) {
		return a.ui.Scene(), false
	}
	a.w, a.h, a.pointer = w, h, in.Pointer
	for _, f := range in.Files {
		a.dropped(f)
	}
	a.draw(in)
	return a.ui.Scene(), true
}

// stale tells whether the screen may differ from the last one.
func (a *App) stale(in *ui.Input, w, h float64) bool {
	second := int64(0)
	if a.screen == atBench {
		second = int64(a.seat.notes.Clock / time.Second)
		if a.exam != nil {
			second = int64(a.exam.now.Elapsed() / time.Second)
		}
	}
	stale := a.again || w != a.w || h != a.h || in.Pointer != a.pointer || second != a.second ||
		in.Pressed || in.Released || in.Wheel != 0 || len(in.Keys) > 0 || in.Text != "" || len(in.Files) > 0
	a.second = second
	return stale
}

// draw describes the screen.
func (a *App) draw(in ui.Input) {
	u := a.ui
	u.Theme, u.Text = a.set.theme(), float64(a.set.TextSize)/100
	u.Begin(in, a.w, a.h)
	switch a.screen {
	case atHome:
		a.drawHome()
	case atBench:
		a.drawBench()
	case atResult:
		a.drawResult()
	case atExam:
		a.drawExam()
	}
	a.paused = false
	if a.dialog != nil {
		a.dialog(a)
	}
	if a.later != nil {
		a.painted = true
	}
	a.again = u.End() || a.later != nil || a.background != nil
}

// tick lets the clock of the sitting run.
func (a *App) tick(spent time.Duration) {
	if a.exam != nil {
		a.tickExam(spent)
		return
	}
	if a.screen != atBench || spent <= 0 || a.paused || a.seat.replay != nil {
		return
	}
	// A machine that slept, or a page that was hidden, did not examine anybody.
	a.seat.notes.Clock += min(spent, time.Second)
	if a.seat.notes.Clock-a.seat.kept > clockGrain {
		a.keepNotes()
	}
}

// Cursor is the form of the pointer.
func (a *App) Cursor() ui.Cursor { return a.ui.Cursor() }

// refuse shows why something was not done.
func (a *App) refuse(err error) {
	a.notice = sentence(err.Error())
	if told, is := err.(fact.Told); is {
		v := voice.In(a.set.Language)
		a.notice = v.Sentence(v.Error(told))
	}
	a.again = true
}
