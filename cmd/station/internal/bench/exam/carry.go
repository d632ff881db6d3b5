package exam

import (
	"errors"
	"strings"

	"conoid/cmd/station/internal/bench/settings"
	"conoid/scoring/practical"
)

// unpack brings an attempt here that was carried from another machine, if one was.
func (x *room) unpack(candidate string) error {
	if x.carried == nil {
		return nil
	}
	return x.carried.Unpack(x.plan, candidate, x.keep, func(i int, log []byte) error {
		return x.d.Store.Replace(x.keep.logName(i), log)
	})
}

// move keeps the attempt under another number from now on.
func (x *room) move(to, reason string) error {
	if err := x.takeOut(to); err != nil {
		return err
	}
	was, there := x.keep, keepOf(x.d, x.head, to)
	if refused := x.attempt.MayRenumber(to, reason, there, x.d.Now()); refused != nil {
		held, _ := x.attempt.State().(practical.Held)
		if err := x.putAway(held.Candidate()); err != nil {
			return err
		}
		return refused
	}
	for i := range x.plan.Cases {
		log, err := was.Log(i)
		if err == nil && log != nil {
			err = x.d.Store.Replace(there.logName(i), log)
		}
		if err != nil {
			return err
		}
	}
	if err := x.attempt.Renumber(to, reason, there, x.d.Now()); err != nil {
		return err
	}
	x.keep, x.bench = there, nil
	x.d.Change(func(s *settings.Settings) { s.Exam = strings.TrimPrefix(there.name, practicals) })
	return was.empty(len(x.plan.Cases))
}

// empty takes everything away that is kept there.
func (k keep) empty(cases int) error {
	err := k.store.Remove(k.name + ".json")
	for i := range cases {
		err = errors.Join(err, k.store.Remove(k.logName(i)))
	}
	return err
}
