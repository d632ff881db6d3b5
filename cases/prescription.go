package cases

import (
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// optionalRx is a prescription that may be left out.
func optionalRx(path, about string, field func(*Case) **optics.Rx, example string) key {
	k := shownAs(prescription(path, about, nil), example)
	k.read = func(c *Case, e entry) *fault {
		var rx optics.Rx
		f := prescription(path, about, func(*Case) *optics.Rx { return &rx }).read(c, e)
		if f == nil {
			*field(c) = &rx
		}
		return f
	}
	k.write = func(c *Case) (string, bool) {
		if rx := *field(c); rx != nil {
			return toText(rx.ASCII()), true
		}
		return "", false
	}
	return k
}

// The largest error of a case, in dioptres: as far as a trial set reaches, and
// cylinders a little further.
const (
	maxSphere   = 20
	maxCylinder = 8
)

// prescription is a sphere and a cylinder of either sign.
func prescription(path, about string, field func(*Case) *optics.Rx) key {
	return key{
		path: path, about: about, json: rule{"type": "string", "pattern": prescriptionPattern()},
		read: func(c *Case, e entry) *fault {
			if e.kind != isText {
				return e.wrongType(fact.New("case.write.rx"))
			}
			rx, err := optics.ParseRx(e.text)
			if err != nil {
				return e.parseFault(err)
			}
			rx = rx.MinusCyl()
			if !(rx.Sphere >= -maxSphere && rx.Sphere <= maxSphere && rx.Cyl >= -maxCylinder) {
				return e.fault(fact.New("case.rx-range", "key", e.path, "rx", rx, "sphere", fact.Number(maxSphere), "cylinder", fact.Number(maxCylinder)))
			}
			*field(c) = rx
			return nil
		},
		write: func(c *Case) (string, bool) { return toText(field(c).ASCII()), true },
	}
}
