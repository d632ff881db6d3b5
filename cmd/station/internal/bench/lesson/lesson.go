// Package lesson is the screen of an assignment: what it asks, its patients, how far one
// is with them, and what is handed in.
package lesson

import (
	"slices"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/handed"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/seat"
)

// Screen is an assignment.
type Screen struct {
	h      *cases.Handout
	places []place
	who    string    // as it is typed
	asks   bool      // for the number
	saved  time.Time // when the work was last saved to be handed in; zero for never
	file   string    // as which it was saved just now; "" for none
	others []other
	drops  bool // it asks whether to take the assignment away
}

// other is another assignment that is kept.
type other struct {
	h      *cases.Handout
	window cases.Window
}

// place is one case of the assignment, and what was done with it.
type place struct {
	n        int // from 1
	enclosed cases.Enclosed
	c        *cases.Case   // nil while it is sealed
	head     *cases.Sealed // nil unless it is
	done     []seat.Left
	left     *seat.Left // the sitting that can go on
}

// New is the assignment of an ID as it stands now.
func New(d *desk.Desk, id string) (*Screen, error) {
	h, err := d.Seats.Handout(id)
	if err != nil {
		return nil, err
	}
	s := &Screen{h: h, who: d.Settings.Now().Who, asks: d.Settings.Now().Who == ""}
	s.saved, s.others = d.Seats.SavedAt(id), othersOf(d, id)
	for i, e := range h.Enclosed {
		p := place{n: i + 1, enclosed: e}
		if e.Sealed() {
			p.head, err = cases.ReadSealed(e.Name, []byte(e.Text))
		} else {
			p.c, err = cases.Read(e.Name, []byte(e.Text))
		}
		if err != nil {
			return nil, err
		}
		s.places = append(s.places, p)
	}
	for _, l := range d.Seats.For(id) {
		if n := l.Notes.Terms.Place; n < 1 || n > len(s.places) {
			continue
		}
		p := &s.places[l.Notes.Terms.Place-1]
		if l.Notes.Done {
			p.done = append(p.done, l)
		} else {
			p.left = &l
		}
	}
	return s, nil
}

// othersOf are the assignments that are kept beside one, by when they close.
func othersOf(d *desk.Desk, id string) (out []other) {
	for _, o := range d.Seats.Handouts() {
		if h, err := d.Seats.Handout(o); o != id && err == nil {
			out = append(out, other{h, h.At(d.Now())})
		}
	}
	slices.SortStableFunc(out, func(a, b other) int { return a.h.Closes.Compare(b.h.Closes.Time) })
	return out
}

// drop takes the assignment away from the bench. What was sat for it stays.
func (s *Screen) drop(d *desk.Desk) desk.Next {
	if err := d.Seats.DropHandout(s.h.ID); err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	d.Notice.Clear()
	return desk.Home{}
}

// Name implements desk.Screen.
func (s *Screen) Name() string { return "assignment" }

// TakesFiles implements desk.Screen.
func (s *Screen) TakesFiles() bool { return true }

// Tick implements desk.Screen.
func (s *Screen) Tick(*desk.Desk, time.Duration) desk.Next { return desk.Stay{} }

// title is what a place is called in a language.
func (p place) title(language string) string {
	if p.head != nil {
		return p.head.Title
	}
	return p.c.Texts(language).Title
}

// more reports whether the case may be begun once more.
func (s *Screen) more(p place) bool {
	tried := len(p.done)
	if p.left != nil {
		tried++
	}
	return s.h.Attempts == 0 || tried < s.h.Attempts
}

// next is the place to go on with: that of the sitting that was left, or else the first
// that was not sat yet; nil when all were.
func (s *Screen) next() *place {
	var first *place
	for i := range s.places {
		p := &s.places[i]
		if p.left != nil {
			return p
		}
		if first == nil && len(p.done) == 0 {
			first = p
		}
	}
	return first
}

// press goes on with the patient of a place, or introduces them.
func (s *Screen) press(d *desk.Desk, p *place) desk.Next {
	if p.left != nil {
		return home.GoOn(d, *p.left)
	}
	d.Notice.Clear()
	_, fixed := chair.HelpOf(s.h.Help)
	meet := func(c *cases.Case, sealed string) desk.Next {
		return desk.Open{Overlay: home.IntroduceFor(c, fixed, func(chosen chair.Help) desk.Next {
			return desk.Sit{Case: c, How: s.how(d, *p, sealed, chosen)}
		})}
	}
	if p.head == nil {
		return meet(p.c, "")
	}
	return home.Unseal(d, p.enclosed.Name, []byte(p.enclosed.Text), meet)
}

// how is how a sitting at a place begins.
func (s *Screen) how(d *desk.Desk, p place, sealed string, chosen chair.Help) seat.How {
	how := seat.How{Help: chosen, Drill: s.h.Begin, Sealed: sealed, Terms: chair.TermsOf(s.h, p.n, len(p.done)+1), Who: d.Settings.Now().Who}
	if help, fixed := chair.HelpOf(s.h.Help); fixed {
		how.Help = help
	}
	return how
}

// handIn gives the user the file to hand in.
func (s *Screen) handIn(d *desk.Desk) desk.Next {
	w := handed.Work{Who: d.Settings.Now().Who, Assignment: s.h.ID, Title: s.h.Title}
	for _, p := range s.places {
		for _, l := range p.done {
			data, err := d.Seats.LogOf(l.Name)
			if err != nil {
				d.Notice.Refuse(err)
				return desk.Stay{}
			}
			w.Logs = append(w.Logs, string(data))
		}
	}
	where, err := d.Save(seat.Slug(w.Who+"-"+w.Title)+handed.Ending, w.Write())
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	s.saved = d.Now()
	if err := d.Seats.Saved(s.h.ID, s.saved); err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	d.Notice.Clear()
	s.file = where
	return desk.Stay{}
}

// done is how many places were sat to their end, and how many sittings that took.
func (s *Screen) done() (places, sittings int) {
	for _, p := range s.places {
		if len(p.done) > 0 {
			places++
		}
		sittings += len(p.done)
	}
	return places, sittings
}
