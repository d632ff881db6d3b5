package room

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"conoid/cmd/internal/host/store"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// ErrUnreleased says that two people have to agree before the release.
var ErrUnreleased error = fact.Refuse("host.unreleased")

// Erase removes what is kept of a candidate of a practical that is over: the place, the
// logs, the record, the result, and the papers of the marks, which can be worked out anew
// without it. A note keeps the SHA-256 of each, and it says who and why. The number stays
// in the practical and in the notes. Before the release two people have to agree
// to it, other than at a rehearsal.
func (o *Office) Erase(candidate, who, reason string, now time.Time) (n Note, err error) {
	err = erasing(o, candidate, func(s *seat, gone map[string]string) error {
		if err := practical.CheckReason(reason); err != nil {
			return err
		}
		n = Note{Who: who, Do: Erased, Candidate: s.candidate, Reason: reason, Gone: gone}
		err := o.note(n, now,
			func(w store.Writes) error { return w.SetPapers(o.r.plan.ID, nil) },
			func(w store.Writes) error { return w.Erase(o.r.plan.ID, s.candidate) })
		if err != nil {
			return err
		}
		o.r.shutOut(s)
		o.points.Store(nil)
		return nil
	})
	return n, err
}

// Erasing is the SHA-256 of all that Erase would remove of a candidate, by what it is. The error
// is why it would not.
func (o *Office) Erasing(candidate string) (all map[string]string, err error) {
	err = erasing(o, candidate, func(_ *seat, gone map[string]string) error {
		all = gone
		return nil
	})
	return all, err
}

// erasing does something at the seat of a candidate who may be erased, with the sums of what is
// kept there.
func erasing(o *Office, candidate string, do func(*seat, map[string]string) error) error {
	if err := o.r.begin(); err != nil {
		return err
	}
	defer o.r.deeds.Unlock()
	candidate = practical.Candidate(candidate)
	s := o.r.of(candidate)
	switch {
	case s == nil:
		return ErrNobody
	case !o.r.Stage().Over():
		return ErrStage
	case o.r.Stage() != Out && !o.r.plan.Rehearsal && !o.erasable(candidate):
		return ErrUnreleased
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	gone, err := s.sums()
	if err != nil {
		return err
	}
	return do(s, gone)
}

// sums are the SHA-256 of all that is kept of a candidate, by what it is.
func (s *seat) sums() (map[string]string, error) {
	all := map[string]string{}
	add := func(what string, data []byte, err error) error {
		if len(data) > 0 {
			sum := sha256.Sum256(data)
			all[what] = hex.EncodeToString(sum[:])
		}
		return err
	}
	for i := range s.r.plan.Cases {
		log, err := keepOf(s).Log(i)
		if err := add(fmt.Sprintf("log of case %d", i+1), log, err); err != nil {
			return nil, err
		}
	}
	record, err := keepOf(s).Record()
	if err := add("record", record, err); err != nil {
		return nil, err
	}
	result, err := keepOf(s).Result()
	return all, add("result", result, err)
}
