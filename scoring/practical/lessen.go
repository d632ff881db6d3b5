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
	i, elapsed, spent := s.at(), time.Duration(0), s.Spent()
	if s.open != nil {
		elapsed, spent = s.open.Elapsed, spent+s.plan.pause(s.open.Before)
	}
	perCase, total := s.rec.allowed(s.plan, i)
	left, _ := left(perCase, total, spent, elapsed)
	return min(left, s.rec.granted(&i))
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
