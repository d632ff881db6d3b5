package exam

import (
	"conoid/cmd/internal/chair"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// bound is the chair of a practical: it takes no more actions than can be marked. The end
// point can always be stated.
type bound struct {
	chair.Chair
	plan *practical.Plan
}

// Do implements chair.Chair.
func (b bound) Do(a sitting.Action, aside sitting.Aside) *chair.Pending {
	if a.Do != sitting.End && b.plan.ActionsLeft(len(b.Talk())) == 0 {
		return chair.Sent(a).Decide(chair.Told{}, fact.Refuse("bench.exam.full", "n", fact.Count(len(b.Talk()))))
	}
	return b.Chair.Do(a, aside)
}
