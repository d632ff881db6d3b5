package scoring

import (
	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/optics"
)

// FromCard is how far a sitting came away from the objective result of the record
// card, as power vectors, in dioptres. Who copies the card has stated nothing but
// zeros; who states what was heard has both alike.
type FromCard struct {
	Heard  Residual `json:"heard"`  // what the answers go best with, less the card
	Stated Residual `json:"stated"` // the end point, less the card
}

// fromCard is how far a sitting came away from its card; nil without an end point, and
// where the answers leave axis, cylinder or sphere open.
func (t claiming) fromCard(claims []Claim) *FromCard {
	if len(claims) == 0 {
		return nil
	}
	stated, card := t.found().Power(), t.objective.Power()
	var heard optics.Power
	for _, c := range claims {
		switch c.Name {
		case cases.CylinderClaim:
			rx, ok := t.heardCylinder(c)
			if !ok {
				return nil
			}
			p := rx.Power()
			heard.J0, heard.J45 = p.J0, p.J45
		case cases.SphereClaim:
			if c.Fit == nil {
				return nil
			}
			heard.M = stated.M + *c.Fit
		}
	}
	return &FromCard{Heard: vector(heard.Sub(card)), Stated: vector(stated.Sub(card))}
}

// heardCylinder is the cylinder that the answers go best with; false when they leave
// its power or its axis open.
func (t claiming) heardCylinder(c Claim) (optics.Rx, bool) {
	if *c.Stated == 0 && c.Support == evidence.Supported {
		return optics.Rx{}, true // that there is none was borne out
	}
	axis := axisFit(t.onArrow(), t.onDial())
	switch {
	case c.Fit == nil:
		return optics.Rx{}, false
	case *c.Fit <= 0:
		return optics.Rx{}, true // the fit looks a step beyond what was tried
	case axis == nil:
		return optics.Rx{}, false
	}
	return optics.Rx{Cyl: -*c.Fit, Axis: *axis}, true
}

// axisFit is the axis that arrow and dial go best with, whatever was stated; nil when
// they name none.
func axisFit(arrow, dial []Heard) *float64 {
	region, _ := lastLabel(dial)
	if f, ok := evidence.OnCircle(fit(arrow), region); ok {
		return &f.At
	}
	return region
}
