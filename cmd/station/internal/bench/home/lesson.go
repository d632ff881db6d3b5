package home

import (
	"slices"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// lesson is an assignment that is not done yet.
type lesson struct {
	h    *cases.Handout
	done int // of its patients
}

// lessonOf is the assignment that closes first of those that are open and not done; nil
// when there is none.
func lessonOf(d *desk.Desk) *lesson {
	var open []*lesson
	for _, id := range d.Seats.Handouts() {
		h, err := d.Seats.Handout(id)
		if err != nil || h.At(d.Now()) != cases.Within {
			continue
		}
		l := &lesson{h: h, done: satOf(d, id)}
		if l.done < len(h.Cases) {
			open = append(open, l)
		}
	}
	if open == nil {
		return nil
	}
	return slices.MinFunc(open, func(a, b *lesson) int {
		x, y := a.h.Closes, b.h.Closes
		switch {
		case x.IsZero() == y.IsZero():
			return x.Compare(y.Time)
		case x.IsZero():
			return 1
		}
		return -1
	})
}

// satOf is how many patients of an assignment were sat to the end.
func satOf(d *desk.Desk, id string) int {
	places := map[int]bool{}
	for _, l := range d.Seats.For(id) {
		if l.Notes.Done {
			places[l.Notes.Terms.Place] = true
		}
	}
	return len(places)
}

// invitation leads to the assignment.
func (l *lesson) invitation(v voice.Voice) invitation {
	text := v.Text("bench.home.lesson.about", "done", fact.Count(l.done), "all", fact.Count(len(l.h.Cases)))
	if !l.h.Closes.IsZero() {
		text += " " + v.Text("bench.lesson.closes", "at", l.h.Closes.Told())
	}
	return invitation{
		who: face.Of(face.Who{Title: l.h.Title}), title: l.h.In(v.Language).Title, text: text,
		id: "lesson", press: v.Text("bench.home.lesson.press"),
		next: func() desk.Next { return desk.Lesson{ID: l.h.ID} },
	}
}
