package seat

import (
	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/sim/sitting"
)

// Examined brings the patient of a practical, with all that the log says was
// done, or begins the log. Torn reports whether a last line was cut off.
func (k *Keeper) Examined(c *cases.Case, name string, h sitting.Header) (v *chair.Visit, torn bool, err error) {
	l := log{k.store, name}
	rec, torn, err := l.read()
	if err != nil {
		return nil, false, err
	}
	var local *chair.Local
	if rec == nil {
		local, err = chair.Begin(c, h, l, k.pauses.Pause)
	} else {
		local, err = chair.Resume(c, rec, l, k.pauses.Pause)
	}
	if err != nil {
		return nil, false, err
	}
	k.furnish(local)
	return chair.Attend(local, chair.Notes{ID: c.ID}), torn, nil
}
