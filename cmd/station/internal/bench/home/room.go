package home

import (
	"cmp"
	"slices"
	"time"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/store"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
)

// old is a finished sitting that could be dropped.
type old struct {
	name, title string
	when        time.Time
	kb          int // that it takes, in thousands of bytes
}

// room offers to make room when the store is full. Nothing goes without a press.
type room struct{ all []old }

// mostOld is how many sittings are offered: those that take the most.
const mostOld = 6

// Room looks up what could be dropped.
func Room(d *desk.Desk) desk.Overlay {
	r, p := &room{}, NewProgress()
	for _, h := range d.History.All() {
		if size := d.Seats.Size(h.Log); size > 0 {
			r.all = append(r.all, old{h.Log, p.titleOf(d.Voice(), h), h.When, (size + 999) / 1000})
		}
	}
	slices.SortStableFunc(r.all, func(a, b old) int { return cmp.Compare(b.kb, a.kb) })
	r.all = r.all[:min(len(r.all), mostOld)]
	return r
}

// Draw implements desk.Overlay.
func (r *room) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	closed := d.UI.Dialog("room", v.Text("bench.room.title"), v.Text("bench.close"), 640, func(c *ui.Column) {
		if n := d.Notice.In(v); n.Text != "" && !d.Notice.Is(store.ErrFull) { // which the title says
			c.Para(n.Text, n.Style)
			c.Gap(6)
		}
		c.Para(v.Text("bench.room.about"), ui.Body)
		c.Gap(8)
		c.Flow(func(f *ui.Flow) {
			if d.Save != nil && key(f, d.UI, "export", v.Text("bench.progress.export")) {
				if after := export(d); after != (desk.Close{}) {
					next = after
				}
			}
		})
		c.Gap(4)
		if len(r.all) == 0 {
			c.Para(v.Text("bench.room.none"), ui.Body)
		}
		for i, o := range r.all {
			c.Flow(func(f *ui.Flow) {
				if key(f, d.UI, "drop "+o.name, v.Text("bench.room.drop", "title", o.title, "date", o.when, "kb", fact.Count(o.kb))) {
					r.drop(d, i)
				}
			})
		}
	})
	if closed {
		return desk.Close{}
	}
	return next
}

// drop drops a sitting.
func (r *room) drop(d *desk.Desk, i int) {
	o := r.all[i]
	if err := d.Seats.Drop(o.name); err != nil {
		d.Notice.Refuse(err)
		return
	}
	r.all = slices.Delete(slices.Clone(r.all), i, i+1)
	d.Notice.Tell("bench.room.dropped", "title", o.title, "kb", fact.Count(o.kb))
	d.UI.Again()
}
