package bench

import (
	"slices"

	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/lesson"
	"conoid/cmd/station/internal/bench/replay"
	"conoid/cmd/station/internal/bench/result"
	"conoid/cmd/station/internal/store"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
)

// place is where the user is, as far as the page around the bench has to know.
type place struct {
	away    bool // there is somewhere to go back to
	guarded bool // something would be lost, or a practical interrupted, if the page were closed
	known   bool // told, as it is
	wanted  bool // the user wants to go back
	tell    func(away, guarded bool)
}

// Back goes back to where the user came from, in the next frame.
func (a *App) Back() { a.place.wanted = true }

// goBack closes what lies in front, as Escape does, or else leaves the screen.
func (a *App) goBack(in *ui.Input) {
	if !a.place.wanted {
		return
	}
	a.place.wanted, a.place.known, a.again = false, false, true
	if covered(a) {
		in.Keys = append(in.Keys, ui.Press{Key: ui.Escape})
		return
	}
	a.follow(a.before())
}

// covered reports whether something lies in front of the screen.
func covered(a *App) bool {
	return slices.ContainsFunc(a.desk.UI.Things(), func(t ui.Thing) bool { return t.Behind })
}

// before is where the user came from. A sitting is kept as it is left; a practical
// cannot be left.
func (a *App) before() desk.Next {
	switch s := a.screen.(type) {
	case *home.Screen:
	case *lesson.Screen:
		return desk.Home{}
	case *result.Screen, *result.Withheld:
		return desk.Leave{}
	case *replay.Screen:
		return desk.GoOn{Name: s.Sitting().Practice().Name()}
	case *exam.Door:
		return desk.EndExam{}
	case *exam.Over:
		a.desk.Notice.Refuse(fact.Refuse("bench.back.over"))
	case *chairside.Screen:
		if s.Practised() {
			a.follow(desk.Leave{})
			a.desk.Notice.Tell("bench.back.kept", "title", s.Visit().Brief().In(a.desk.Voice().Language).Title)
			return desk.Stay{}
		}
		a.desk.Notice.Refuse(fact.Refuse("bench.back.practical"))
	default:
		a.desk.Notice.Refuse(fact.Refuse("bench.back.practical"))
	}
	return desk.Stay{}
}

// tellPlace tells the page where the user is, when that has changed.
func (a *App) tellPlace() {
	if a.place.tell == nil {
		return
	}
	away, guards := a.screen.Name() != homeName || covered(a), guarded(a)
	if a.place.known && away == a.place.away && guards == a.place.guarded {
		return
	}
	a.place.away, a.place.guarded, a.place.known = away, guards, true
	a.place.tell(away, guards)
}

// guarded reports whether closing the page would interrupt a practical, or lose
// something.
func guarded(a *App) bool {
	if a.desk.Settings.Now().Exam != "" {
		return true
	}
	if s, is := a.screen.(*chairside.Screen); is && s.Unsaved() {
		return true
	}
	if !a.desk.Unkept {
		return false
	}
	names, _ := a.desk.Store.List("sittings/")
	return len(names) > 0
}

// offerRoom offers once to make room when something could not be kept for the want of
// it.
func (a *App) offerRoom() {
	full := a.desk.Notice.Is(store.ErrFull)
	if full && !a.room {
		a.follow(desk.Open{Overlay: home.Room(a.desk)})
	}
	a.room = full
}
