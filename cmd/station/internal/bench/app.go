// Package bench is the student's bench: it hands input to the screen that is
// shown, and goes from screen to screen. It knows no window and no display:
// input goes in, a scene to paint comes out.
package bench

import (
	"math/rand/v2"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/line"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/work"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// Store keeps what the user made.
type Store = desk.Store

// Options are what the bench is given by the window or the page around it.
type Options struct {
	Store    Store
	System   settings.System                                          // what it is set to; English when there are no words for its language
	Case     string                                                   // a case of the library to open at once, by number or name; or the name of CaseFile
	CaseFile []byte                                                   // a case file to open at once
	Now      func() time.Time                                         // for the names of logs; time.Now when nil
	Seed     func() uint64                                            // of a new sitting; random when nil
	Save     func(name string, data []byte) (where string, err error) // hands the user a file; nil when there is no way
	Quit     func()                                                   // nil when the window cannot close itself
	Unkept   bool                                                     // the store keeps nothing beyond this run
	Place    func(away, guarded bool)                                 // is told when either changes; nil when nobody asks, see place
	Newer    func() bool                                              // whether a new build of the bench waits; nil when none ever does
	Renew    func()                                                   // takes it
	Edit     func()                                                   // leaves for the editor of the case to open at once; nil when there is none
	Service  line.Sender                                              // where the patients of a practical are; nil: the bench has its own
	Hidden   func() bool                                              // whether nobody can see the page, for the service; nil: never
}

// App is the bench.
type App struct {
	desk    *desk.Desk
	screen  desk.Screen
	overlay desk.Overlay // nil: none lies in front
	again   bool
	shown   shown         // the last screen
	clock   time.Duration // that it showed
	runs    bool          // it goes on
	place   place
	room    bool // it was offered to make room
}

// shown is what a screen depends on that nobody did anything to.
type shown struct {
	w, h    float64
	pointer paper.Point
	over    bool
	letters string // keys that are down
	second  int64  // of the clock
	notice  string // what was refused
	newer   bool   // a new build of the bench waits
}

// New opens the bench. A sitting that was left open goes on.
func New(o Options) *App {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Seed == nil {
		o.Seed = rand.Uint64 // so many that nobody tries them all
	}
	set, unread := settings.Open(o.Store, o.System)
	line := work.New(time.Now)
	a := &App{again: true, desk: &desk.Desk{
		UI: ui.New(), Settings: set, Notice: &desk.Notice{}, Store: o.Store, Work: line,
		History: history.Open(o.Store), Now: o.Now, Seed: o.Seed, Save: o.Save, Quit: o.Quit,
		Unkept: o.Unkept, Newer: o.Newer, Renew: o.Renew, Edit: o.Edit,
	}}
	a.place.tell = o.Place
	a.desk.Seats = seat.NewKeeper(o.Store, o.Now, o.Seed, line, func(b chair.Brief, t chair.Told) []string {
		return []string{talk.Answered(a.desk.Voice(), b, t)}
	})
	if unread != nil {
		a.desk.Notice.Refuse(fact.Refuse("bench.settings.unread"))
	}
	a.screen = home.New(a.desk)
	a.follow(a.first(o))
	return a
}

// first is what was asked for, or what was left open.
func (a *App) first(o Options) desk.Next {
	set := a.desk.Settings.Now()
	switch {
	case o.Service != nil:
		return desk.Bench{Screen: exam.Serve(o.Service, o.Hidden)}
	case set.Exam != "":
		s, err := exam.Reopen(a.desk, set.Exam)
		if err == nil {
			return desk.Bench{Screen: s}
		}
		set.Exam = ""
		a.desk.Settings.Try(set)
		a.desk.Notice.Refuse(err)
	case o.CaseFile != nil:
		c, err := cases.Read(o.Case, o.CaseFile)
		if err == nil {
			if p, torn := a.desk.Seats.ResumeLastOf(c); p != nil {
				return a.resumed(p, torn)
			}
		}
		return home.Dropped(a.desk, ui.File{Name: o.Case, Data: o.CaseFile}) // or a sealed case, or a practical
	case o.Case != "":
		c, err := cases.Find(o.Case)
		if err != nil {
			a.desk.Notice.Refuse(err)
			break
		}
		if p, torn := a.desk.Seats.ResumeLastOf(c); p != nil {
			return a.resumed(p, torn)
		}
		return desk.Sit{Case: c}
	case set.Open != "":
		return desk.Later{Work: func() desk.Next { return a.left(set.Open) }}
	}
	return desk.Stay{}
}

// left goes on with the sitting that was left open.
func (a *App) left(name string) desk.Next {
	for _, l := range a.desk.Seats.Unfinished() {
		if l.Name == name && l.Notes.Sealed != "" {
			return home.GoOn(a.desk, l)
		}
	}
	return a.resume(name)
}

// Frame does what the user did and describes the screen; changed is false when
// it is as before.
func (a *App) Frame(in ui.Input, w, h float64) (s *paper.Scene, changed bool) {
	d := a.desk
	spent := in.Time - d.At
	d.At = in.Time
	a.follow(a.screen.Tick(d, spent))
	busy, again := d.Work.Labour(&in)
	a.again = a.again || again
	if !busy {
		a.goBack(&in)
	}
	if busy || !a.stale(&in, w, h) {
		return d.UI.Scene(), false
	}
	for _, f := range in.Files {
		a.dropped(f)
	}
	a.draw(in, w, h)
	a.offerRoom()
	a.tellPlace()
	return d.UI.Scene(), true
}

// stale reports whether the screen may differ from the last one.
func (a *App) stale(in *ui.Input, w, h float64) bool {
	v := a.desk.Voice()
	now := shown{w: w, h: h, pointer: in.Pointer, over: in.Over, letters: in.Letters, notice: a.desk.Notice.Text(v)}
	now.newer = a.desk.Newer != nil && a.desk.Newer()
	if s, is := a.screen.(desk.Seated); is {
		clock := s.Patient(v).Clock
		now.second = int64(clock / time.Second)
		a.runs, a.clock = clock != a.clock, clock
	} else {
		a.runs = false
	}
	stale := a.again || now != a.shown || in.Active() || a.desk.UI.Woken(in.Time)
	a.shown = now
	return stale
}

// mostTimes is how often a frame is described until its parts stay where they
// are: what is below the talk changes its height, and that how far it is scrolled.
const mostTimes = 4

// draw describes the screen until its parts stay where they are, so that nobody
// presses what has moved on. What the user did counts once.
func (a *App) draw(in ui.Input, w, h float64) {
	for range mostTimes {
		a.describe(in, w, h)
		if a.desk.UI.Settled() {
			return
		}
		in = in.Still()
	}
}

// describe describes the screen and goes where it says.
func (a *App) describe(in ui.Input, w, h float64) {
	d := a.desk
	set, busy := d.Settings.Now(), d.Work.Busy()
	d.UI.Theme, d.UI.Text, d.UI.Names = set.Theme(), float64(set.TextSize)/100, names(d.Voice())
	d.UI.Begin(in, w, h)
	next := a.screen.Draw(d)
	if a.overlay != nil {
		if after := a.overlay.Draw(d); after != (desk.Stay{}) {
			next = after
		}
	}
	again := d.UI.End()
	if busy {
		d.Work.Painted()
	}
	a.again = false
	a.follow(next)
	a.again = a.again || again || d.Work.Shows()
}

// names are what parts without a text of their own are called.
func names(v voice.Voice) ui.Names {
	return ui.Names{
		Less:   func(label string) string { return v.Text("bench.part.less", "label", label) },
		More:   func(label string) string { return v.Text("bench.part.more", "label", label) },
		Scroll: v.Text("bench.part.scroll"),
	}
}

// dropped takes a file in, unless a patient is in the chair.
func (a *App) dropped(f ui.File) {
	a.again = true
	if !a.screen.TakesFiles() {
		a.desk.Notice.Refuse(busy(a))
		return
	}
	next := home.Dropped(a.desk, f)
	if _, opens := next.(desk.Open); opens && a.screen.Name() != homeName {
		a.follow(desk.Home{})
	}
	a.follow(next)
}

// busy says why no file is taken in. Out of a practical only the assessor finds a way.
func busy(a *App) error {
	if a.desk.Settings.Now().Exam != "" {
		return fact.Refuse("bench.drop.practical")
	}
	return fact.Refuse("bench.drop.busy")
}

// Cursor is the form of the pointer.
func (a *App) Cursor() ui.Cursor { return a.desk.UI.Cursor() }
