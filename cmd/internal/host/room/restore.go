package room

import (
	"slices"
	"time"

	"conoid/cmd/internal/host/store"
	"conoid/sim/fact"
)

// restore goes on with what is kept of a room, at a time of the clock on the wall; false
// when it is not there. What comes of that is kept by one write: at the seats and, where the
// service was started while the practical was open, that it was.
func (r *Room) restore(now time.Time, started bool) (bool, error) {
	all, err := r.store.Practicals()
	i := slices.IndexFunc(all, func(k store.Practical) bool { return k.ID == r.plan.ID })
	if err != nil || i < 0 {
		return false, err
	}
	if err := r.read(); err != nil {
		return true, err
	}
	seats, heard, writes, err := r.readSeats(now)
	if err != nil {
		return true, err
	}
	stage := Stage(all[i].Stage)
	switch {
	case started && (stage == Open || stage == Held) && r.Broken() == nil:
		if heard.After(now) { // the clock on the wall was set back
			heard = time.Time{}
		}
		err = r.note(Note{Do: Started, Heard: heard.Round(0)}, now, writes...)
	case len(writes) > 0:
		err = r.store.Together(func(w store.Writes) error { return doAll(w, writes) })
	}
	if err != nil {
		return true, err
	}
	r.seated(stage, seats)
	r.points.Store(nil)
	if stage != Out || r.marks() == "" || r.Broken() != nil {
		return true, nil
	}
	return true, r.readPoints()
}

// readSeats are the seats as they were kept, when something was last done at one or by the staff,
// and what is to be kept of their going on.
func (r *Room) readSeats(now time.Time) (seats []*seat, heard time.Time, writes []write, err error) {
	kept, err := r.store.Seats(r.plan.ID)
	heard, seats = lastNote(&r.book), make([]*seat, len(kept))
	for i, k := range kept {
		var seen time.Time
		if seats[i], seen, err = r.seatOf(k, now, &writes); err != nil {
			return nil, heard, nil, fact.Because(err, "host.candidate", "candidate", k.Candidate)
		}
		if seen.After(heard) {
			heard = seen
		}
	}
	return seats, heard, writes, err
}

// seated has a room be at a stage, with seats and what lets in there.
func (r *register) seated(at Stage, seats []*seat) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.stage, r.seats, r.doors = at, map[string]*seat{}, map[string]*seat{}
	for _, s := range seats {
		r.seats[s.candidate] = s
		r.opens(s)
	}
}

// begin lets a deed of the staff begin; without an error it has deeds. None does at a
// practical whose notes are broken, and while it is not known whether the one before was
// kept.
func (r *Room) begin() error {
	r.deeds.Lock()
	err := r.sure()
	if err == nil {
		err = r.Broken()
	}
	if err != nil {
		r.deeds.Unlock()
	}
	return err
}

// sure finds out whether a deed was kept of which the store could not say it. If it was,
// all seats are read again as they are kept: what the deed left of them here was undone.
func (r *Room) sure() error {
	u := r.unsure.Load()
	if u == nil {
		return nil
	}
	kept, err := r.has(u.n, u.text)
	if err == nil && kept {
		err = r.readAgain(u.at)
	}
	if err == nil {
		r.unsure.Store(nil)
	}
	return err
}

// readAgain reads everything again as it is kept. What is under way at a seat ends before, and
// whoever comes to one that was there finds the new one.
func (r *Room) readAgain(now time.Time) error {
	before, unlock := r.locked()
	defer unlock()
	_, err := r.restore(now, false)
	if err == nil {
		for _, s := range before {
			s.way = way{}
		}
	}
	return err
}
