package optics

import (
	"math"

	"conoid/sim/fact"
)

// The largest powers that are read, in dioptres. They are far beyond any
// trial set: their task is to catch a slipped decimal point.
const (
	maxSphere = 40
	maxCyl    = 20
)

// ParseRx reads a prescription in the notations people write:
// "-1.75 / -0.50 x 165", "-1.75/-0.50x165", "−1,75 −0,50 ax 165°",
// "+0.50 DS", "pl/-1.00x180", "-1.00 DC @ 35", "sph −1,75 zyl −0,50 A 165°" (common
// practice in German). The cylinder keeps the sign that
// was written. A sphere without a sign is plus; a cylinder must have its sign.
// The error is a *ParseError.
func ParseRx(s string) (Rx, error) {
	in := &scanner{text: s}
	rx, err := in.rx()
	if err != nil {
		return Rx{}, err
	}
	return rx, nil
}

func (s *scanner) rx() (Rx, error) {
	first, unit, err := s.power()
	if err != nil {
		return Rx{}, err
	}
	if unit == cylinderUnit {
		return s.cylinder(Rx{}, first)
	}
	if err := s.within(first, maxSphere, fact.New("optics.large-sphere", "most", fact.Number(maxSphere))); err != nil {
		return Rx{}, err
	}
	rx := Rx{Sphere: first.value}
	if stroke := s.accept("/"); s.atEnd() && !stroke {
		return rx, nil
	}
	if w, _ := s.peek(); w == axisMark {
		return rx, s.fail(s.pos, fact.New("optics.axis-alone"))
	}
	second, unit, err := s.power()
	if err != nil {
		return rx, err
	}
	if unit == sphereUnit {
		return rx, s.fail(second.pos, fact.New("optics.second-sphere"))
	}
	if second.value == 0 && s.atEnd() {
		return rx, nil
	}
	return s.cylinder(rx, second)
}

// cylinder adds to rx the cylinder whose power has just been read.
func (s *scanner) cylinder(rx Rx, power number) (Rx, error) {
	var err error
	rx.Cyl = power.value
	rx.Axis, err = s.axisOfCylinder(power, false)
	return rx, err
}

// ParseDioptre reads one power in dioptres: "+0.50", "−0,25", "1 D", "pl".
// A power without a sign is plus. The error is a *ParseError.
func ParseDioptre(s string) (float64, error) {
	in := &scanner{text: s}
	n, _, err := in.power()
	if err != nil {
		return 0, err
	}
	if err := in.within(n, maxSphere, fact.New("optics.large-power", "most", fact.Number(maxSphere))); err != nil {
		return 0, err
	}
	if err := in.end(); err != nil {
		return 0, err
	}
	return n.value, nil
}

// power reads a power and the unit behind it or before it, if there is one.
func (s *scanner) power() (number, word, error) {
	before := s.acceptWord(sphereUnit, cylinderUnit)
	s.skipSpace()
	start := s.pos
	if s.acceptWord(planoWord) != noWord {
		return number{pos: start, written: true}, s.acceptWord(sphereUnit), nil
	}
	n, err := s.number()
	switch {
	case err != nil:
		return n, noWord, err
	case !n.written && s.atEnd():
		return n, noWord, s.fail(s.pos, fact.New("optics.power-missing"))
	case !n.written:
		return n, noWord, s.fail(s.pos, fact.New("optics.power-wanted"))
	}
	if before != noWord { // what comes next is the unit of the next power
		s.acceptWord(dioptreUnit)
		return n, before, nil
	}
	return n, s.acceptWord(sphereUnit, cylinderUnit, dioptreUnit), nil
}

// axisOfCylinder checks the cylinder's power and reads the axis that must end
// the text. Its mark (x, axis, @) can be left out unless wantMark is set.
func (s *scanner) axisOfCylinder(cyl number, wantMark bool) (float64, error) {
	if err := s.powerOfCylinder(cyl); err != nil {
		return 0, err
	}
	if s.atEnd() {
		return 0, s.fail(s.pos, fact.New("optics.axis-missing"))
	}
	if !wantMark {
		s.accept("/")
	}
	if s.acceptWord(axisMark) == noWord && wantMark {
		return 0, s.fail(s.pos, fact.New("optics.axis-mark"))
	}
	axis, err := s.number()
	if err != nil {
		return 0, err
	}
	if err := s.axisAllowed(axis); err != nil {
		return 0, err
	}
	s.acceptWord(degreeMark)
	return axis.value, s.end()
}

// powerOfCylinder checks the power of a cylinder, and that it has a sign.
func (s *scanner) powerOfCylinder(cyl number) error {
	switch err := s.within(cyl, maxCyl, fact.New("optics.large-cylinder", "most", fact.Number(maxCyl))); {
	case err != nil:
		return err
	case cyl.value == 0:
		return s.fail(cyl.pos, fact.New("optics.no-cylinder"))
	case !cyl.signed:
		return s.fail(cyl.pos, fact.New("optics.cylinder-sign"))
	}
	return nil
}

func (s *scanner) axisAllowed(axis number) error {
	switch {
	case !axis.written:
		return s.fail(axis.pos, fact.New("optics.axis-wanted"))
	case axis.signed:
		return s.fail(axis.pos, fact.New("optics.axis-sign"))
	case axis.value == 0:
		return s.fail(axis.pos, fact.New("optics.axis-zero"))
	case axis.value > 180:
		return s.fail(axis.pos, fact.New("optics.axis-range"))
	}
	return nil
}

func (s *scanner) within(n number, most float64, tooLarge fact.Fact) error {
	if math.Abs(n.value) > most {
		return s.fail(n.pos, tooLarge)
	}
	return nil
}

// end is an error unless the whole text has been read.
func (s *scanner) end() error {
	if s.atEnd() {
		return nil
	}
	return s.fail(s.pos, fact.New("optics.nothing-more"))
}
