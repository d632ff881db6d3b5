package sheet

import (
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/sheet/trialset"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/sim/optics"
)

// TrialSet is the whole trial set, for one place.
type TrialSet struct{ set *trialset.Set }

// NewTrialSet is the set for a lens in a cell.
func NewTrialSet(w View, cell optics.Cell) TrialSet {
	return TrialSet{trialset.New(w.Nose, w.State.Pointer, cell)}
}

// Draw implements Sheet.
func (s TrialSet) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	return closeIf(s.set.Draw(d, w.Nose, out))
}
