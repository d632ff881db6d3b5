package home

import (
	"strings"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// largestCase is more than any case file needs, in bytes.
const largestCase = 1 << 20

// Dropped takes a file in: progress that was taken along, a practical, a case,
// or a sealed one. What cannot be read is told, and changes nothing.
func Dropped(d *desk.Desk, f ui.File) desk.Next {
	next, err := read(d, f)
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	return next
}

func read(d *desk.Desk, f ui.File) (desk.Next, error) {
	if kind := kindOf(f.Data); kind != "" {
		return nil, fact.Refuse("bench.drop.other", "file", f.Name, "kind", fact.New("bench.drop."+kind))
	}
	if practical.IsCarried(f.Data) {
		c, err := practical.ReadCarried(f.Name, f.Data)
		if err != nil {
			return nil, err
		}
		return desk.Exam{Head: c.Head, File: c.Practical, Carried: c}, nil
	}
	if len(f.Data) > largestCase && !cases.IsHandout(f.Data) {
		return nil, fact.Refuse("bench.drop.large", "file", f.Name)
	}
	if all, ok := readAll(f.Data); ok {
		return all.bring(d)
	}
	if cases.IsHandout(f.Data) {
		return handout(d, f)
	}
	head, err := practical.Read(f.Name, f.Data)
	if err == nil {
		return desk.Exam{Head: head, File: f.Data}, nil
	}
	if practical.IsPractical(f.Data) {
		return nil, err
	}
	d.Notice.Clear()
	if cases.IsSealed(f.Data) {
		return Unseal(d, f.Name, f.Data, func(c *cases.Case, data string) desk.Next {
			return desk.Open{Overlay: introduction{c: c, sealed: data}}
		}), nil
	}
	c, err := cases.Read(f.Name, f.Data)
	if err != nil && !strings.HasSuffix(strings.ToLower(f.Name), ".toml") {
		return nil, fact.Refuse("bench.drop.other", "file", f.Name, "kind", fact.New("bench.drop.text"))
	}
	if err != nil {
		return nil, err
	}
	return desk.Open{Overlay: Introduce(c)}, nil
}

// handout keeps an assignment that was handed out, and shows it.
func handout(d *desk.Desk, f ui.File) (desk.Next, error) {
	h, err := cases.ReadHandout(f.Name, f.Data)
	if err != nil {
		return nil, err
	}
	told, err := replaces(d, h)
	if err != nil {
		return nil, err
	}
	if err := d.Seats.KeepHandout(h); err != nil {
		return nil, err
	}
	d.Notice.Clear()
	if told != "" {
		d.Notice.Tell(told)
	}
	return desk.Lesson{ID: h.ID}, nil
}

// replaces is what to tell of an assignment that is kept already, as it is or in an earlier
// version. The earlier one goes, unless it was begun: its sittings are handed in with it.
func replaces(d *desk.Desk, h *cases.Handout) (told string, err error) {
	for _, id := range d.Seats.Handouts() {
		before, bad := d.Seats.Handout(id)
		switch {
		case id == h.ID:
			return "bench.lesson.known", nil
		case bad != nil || before.Title != h.Title:
		case len(d.Seats.For(id)) > 0:
			told = "bench.lesson.newer.beside"
		default:
			told, err = "bench.lesson.newer", d.Seats.DropHandout(id)
		}
	}
	return told, err
}
