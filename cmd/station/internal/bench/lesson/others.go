package lesson

import (
	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// beside is what lies beside the assignment: others, and the way to take it off the bench.
func (s *Screen) beside(d *desk.Desk, v voice.Voice, c *ui.Column) (next desk.Next) {
	next = desk.Stay{}
	if s.drops {
		c.Para(v.Text("bench.lesson.drop.about"), ui.Body)
		c.Gap(4)
	}
	c.Flow(func(f *ui.Flow) {
		switch {
		case !s.drops:
			if key(f, d.UI, "drop", v.Text("bench.lesson.drop"), ui.Ghost) {
				s.drops = true
				d.UI.Again()
			}
		case key(f, d.UI, "drop it", v.Text("bench.lesson.drop.press"), ui.Plain):
			next = desk.Later{Work: func() desk.Next { return s.drop(d) }}
		case key(f, d.UI, "keep it", v.Text("bench.lesson.drop.keep"), ui.Plain):
			s.drops = false
			d.UI.Again()
		}
	})
	if len(s.others) == 0 {
		return next
	}
	c.Para(v.Text("bench.lesson.others"), ui.Strong)
	c.Gap(4)
	c.Flow(func(f *ui.Flow) {
		for _, o := range s.others {
			if key(f, d.UI, "other "+o.h.ID, o.label(v), ui.Plain) {
				d.Notice.Clear()
				next = desk.Lesson{ID: o.h.ID}
			}
		}
	})
	return next
}

// label is what the button of another assignment says: its title, and until when it is open.
func (o other) label(v voice.Voice) string {
	title := o.h.In(v.Language).Title
	switch {
	case o.window == cases.Before:
		return v.Text("bench.lesson.other.before", "title", title, "at", v.Day(o.h.Opens.Time))
	case o.h.Closes.IsZero():
		return title
	case o.window == cases.After:
		return v.Text("bench.lesson.other.after", "title", title, "at", v.Day(o.h.Closes.Time))
	}
	return v.Text("bench.lesson.other", "title", title, "at", v.Day(o.h.Closes.Time))
}
