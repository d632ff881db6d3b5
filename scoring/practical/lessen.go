package practical

import (
	"time"

	"conoid/sim/fact"
)

// Lessen takes time back that was granted, such as by a slip of the finger: for the case
// under way, or else the next one, and in all. It is at most what was granted for that case
// and is not used yet, so that no candidate has less than the practical says.
func (a *Attempt) Lessen(less time.Duration, reason string, at time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	if most := s.spare(); less <= 0 || less > most {
		return fact.Refuse("practical.rule.lessen", "time", seconds(less), "most", seconds(most))
	}
	if err := s.rule(Ruling{Do: Lessened, Reason: reason, Time: less}, at); err != nil {
		return err
	}
	return a.become(s)
}

// Spare is the time that [Attempt.Lessen] can take back.
func (s Held) Spare() time.Duration { return current(s).spare() }

func (s current) spare() time.Duration {
	i := s.at()
	perCase, total := s.rec.allowed(s.plan, i)
	elapsed, spent := s.used()
	left, _ := left(perCase, total, spent, elapsed)
	return min(left, s.rec.granted(&i))
}

// used is the time used for the case under way, and for all before it.
func (s current) used() (elapsed, spent time.Duration) {
	if s.open == nil {
		return 0, s.Spent()
	}
	return s.open.Elapsed, s.Spent() + s.plan.pause(s.open.Before)
}

// Times are the times that there are for the case under way, or else the next one, and in
// all, with what was granted; 0 is no limit.
func (s Held) Times() (perCase, total time.Duration) {
	return s.rec.allowed(s.plan, current(s).at())
}

// Left are what is left of these times: for the case at most what is left in all; 0 where
// there is no limit, too.
func (s Held) Left() (ofCase, ofAll time.Duration) {
	perCase, total := s.Times()
	elapsed, spent := current(s).used()
	ofAll = max(0, total-spent-elapsed)
	if ofCase = max(0, perCase-elapsed); total > 0 {
		ofCase = min(ofCase, ofAll)
	}
	return ofCase, ofAll
}

// overdrawn reports whether more was taken back of a case than had been granted for it.
func (r *record) overdrawn() bool {
	sums := map[int]time.Duration{}
	for _, d := range r.Rulings {
		sums[d.Case] += d.granted()
		if sums[d.Case] < 0 {
			return true
		}
	}
	return false
}

// granted is the time that a ruling gives; negative where it takes it back.
func (d Ruling) granted() time.Duration {
	switch d.Do {
	case Granted:
		return d.Time
	case Lessened:
		return -d.Time
	}
	return 0
}
