// Package room is a practical that is being held: its seats, their time, and what
// is done there. It decides; it knows no network, and times are given. The truth,
// the chance of each patient and the clock are here, and stay here.
//
// A candidate's place is an [practical.Attempt], as at a machine that has nobody to
// ask. What is kept, and in which order, is the store's affair; an action that was
// not kept has not happened.
package room

import (
	"maps"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/host/store"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Stage is how far a practical has come.
type Stage string

// The stages of a practical, in their order.
const (
	Scheduled Stage = "scheduled" // tickets are given out, and candidates wait in the lobby
	Open      Stage = "open"      // it is sat
	Held      Stage = "held"      // it is open, and the time stands still for everybody
	Closed    Stage = "closed"    // nobody can do anything any more
	Out       Stage = "released"  // and candidates are shown what the practical shows of their marks
)

// Over reports whether nobody can do anything any more.
func (s Stage) Over() bool { return s == Closed || s == Out }

// Room is a practical that is being held. It is for use by many goroutines at once.
// Locks are taken in this order: deeds, that of one seat, or of more by a deed, that of a
// patient, mu. Who waits for the store holds those of what is being kept, and never mu: a disk that is
// slow for one candidate keeps nobody else waiting.
type Room struct {
	Office
	plan     *practical.Plan
	file     []byte
	store    *watched
	secret   []byte          // of the hashes of tickets and sessions
	keys     *practical.Keys // that sign what is set down beside the results
	patients []*patient
	unserved time.Duration // has passed while nothing could be kept; of [Room.Pass] alone

	deeds sync.Mutex // of the staff: one is done after the other
	register
}

// register says how far a practical has come, and who has which seat.
type register struct {
	mu    sync.Mutex // of what follows; for as long as it takes to look
	stage Stage
	seats map[string]*seat // by candidate
	doors map[string]*seat // by the hash of a ticket or a session
}

// Office is what the staff does at a room.
type Office struct {
	r *Room
	book
	points atomic.Pointer[map[string][]float64] // that candidates are shown; nil before they are
}

// patient is the person of a case. All candidates examine the same one, each with
// chance of their own, and one after the other: what was worked out about the eyes
// is kept for all.
type patient struct {
	sync.Mutex
	first *sitting.Sitting
	card  *cases.Card // once a chair was asked for it: acuities on a card have no chance
}

// New is the room of a practical. The file is the practical as it is kept, sealed
// for the service; the secret is what tickets and sessions are hashed with. What
// the store has of it already is gone on with, at a time of the clock on the wall.
func New(p *practical.Plan, file []byte, s store.Store, secret []byte, now time.Time) (*Room, error) {
	return Make(p, file, s, secret, Note{}, now)
}

// Make is New for a practical that somebody of the staff makes, as a note says: who, and
// when one person may open it. A rehearsal is opened at any time.
func Make(p *practical.Plan, file []byte, s store.Store, secret []byte, made Note, now time.Time) (*Room, error) {
	r := &Room{
		plan: p, file: file, store: &watched{Store: s}, secret: secret,
		register: register{stage: Scheduled, seats: map[string]*seat{}, doors: map[string]*seat{}}, patients: make([]*patient, len(p.Cases)),
	}
	r.Office = Office{r: r, book: book{store: r.store, practical: p.ID}}
	for i := range r.patients {
		r.patients[i] = &patient{}
	}
	if is, err := r.restore(now, true); is || err != nil {
		return r, err
	}
	if made.Do = Made; p.Rehearsal {
		made.Opens = time.Time{}
	}
	return r, r.enter(r.stage, now, made, nil, nil)
}

// with has something done to the patient of case i, by nobody else meanwhile. It is
// given a sitting with the keys, at which nothing was done yet.
func (r *Room) with(i int, k sitting.Keys, do func(*sitting.Sitting) error) error {
	p := r.patients[i]
	p.Lock()
	defer p.Unlock()
	if p.first == nil {
		p.first = sitting.Start(r.plan.Patient(i).Setup(), sitting.Keys{})
		p.first.Remember(remembered(len(r.patients)))
	}
	return do(p.first.Again(k))
}

// How many views all patients of a room remember together, which is half a gigabyte, and
// each at least, so that one candidate's question is not worked out twice: our choice.
const (
	mostViews  = (512 << 20) / sitting.ViewBytes
	leastViews = 8
)

// remembered is how many views each of so many patients remembers.
func remembered(patients int) int { return max(leastViews, mostViews/patients) }

// alone has something done with a sitting of the patient, by nobody else meanwhile.
func (p *patient) alone(do func()) {
	p.Lock()
	defer p.Unlock()
	do()
}

// card is the record card of the patient of case i, as a chair has it.
func (r *Room) card(i int, c *chair.Local) (card cases.Card) {
	r.patients[i].alone(func() {
		p := r.patients[i]
		if p.card == nil {
			made := c.Card()
			p.card = &made
		}
		card = *p.card
	})
	return card
}

// enter goes to a stage of the practical, with what a deed does at seats that are locked.
func (r *Room) enter(to Stage, now time.Time, n Note, seats []*seat, do func(*seat) error) error {
	if err := r.deed(n, now, seats, do, func(w store.Writes) error { return r.keep(w, to) }); err != nil {
		return err
	}
	r.mu.Lock()
	r.stage = to
	r.mu.Unlock()
	return nil
}

// keep keeps the practical, at a stage.
func (r *Room) keep(w store.Writes, at Stage) error {
	return w.SetPractical(store.Practical{ID: r.plan.ID, Stage: string(at), File: r.file})
}

// all are the seats, by candidate.
func (r *register) all() []*seat {
	r.mu.Lock()
	defer r.mu.Unlock()
	all := make([]*seat, 0, len(r.seats))
	for _, c := range slices.Sorted(maps.Keys(r.seats)) {
		all = append(all, r.seats[c])
	}
	return all
}

// locked are the seats, by candidate, each locked until unlock is called; for who has deeds.
func (r *register) locked() (all []*seat, unlock func()) {
	all = r.all()
	for _, s := range all {
		s.mu.Lock()
	}
	return all, func() {
		for _, s := range all {
			s.mu.Unlock()
		}
	}
}

// Stage is how far the practical has come.
func (r *register) Stage() Stage {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.stage
}

// File is the practical as it is kept, sealed for the service.
func (r *Room) File() []byte { return r.file }

// Plan is the practical.
func (r *Room) Plan() *practical.Plan { return r.plan }

// ErrStage says that something cannot be done at this stage.
var ErrStage error = fact.Refuse("host.not-at-this-stage")

// ErrNobody says that there is no such candidate.
var ErrNobody error = fact.Refuse("host.nobody")

// Results are the results of all who are through, by candidate, each the same file
// as a machine would hand in.
func (o *Office) Results() (map[string][]byte, error) {
	all := map[string][]byte{}
	for _, s := range o.r.all() {
		s.mu.Lock()
		candidate := s.candidate
		var file []byte
		var err error
		if _, is := s.attempt.State().(practical.Over); is {
			file, err = s.attempt.Result()
		}
		s.mu.Unlock()
		if err != nil {
			return nil, fact.Because(err, "host.candidate", "candidate", candidate)
		}
		if file != nil {
			all[candidate] = file
		}
	}
	return all, nil
}
