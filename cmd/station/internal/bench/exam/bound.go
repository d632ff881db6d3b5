package exam

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// bound is the chair of a practical: it takes no more actions than can be marked. The end
// point can always be stated.
type bound struct {
	chair.Chair
	cases int // of the practical
}

// Do implements chair.Chair.
func (b bound) Do(a sitting.Action, aside sitting.Aside) *chair.Pending {
	if a.Do != sitting.End && practical.ActionsLeft(b.cases, len(b.Talk())) == 0 {
		return chair.Sent(a).Decide(chair.Told{}, fact.Refuse("bench.exam.full", "n", fact.Count(len(b.Talk()))))
	}
	return b.Chair.Do(a, aside)
}

// fewLeft has told with how few actions left a candidate was warned last.
type fewLeft struct{ few int }

// warnOfFew tells once when few actions are left at a chair of one of so many cases, and again
// shortly before none is.
func (f *fewLeft) warnOfFew(d *desk.Desk, c chair.Chair, cases int) {
	few, due := practical.FewLeft(cases, len(c.Talk()))
	if due && few != f.few {
		f.few = few
		d.Notice.Tell("bench.exam.few-left", "n", fact.Count(few))
	}
}
