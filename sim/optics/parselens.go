package optics

import (
	"strings"

	"conoid/sim/fact"
)

var pieces = map[string]Lens{
	"no lens": {}, "none": {},
	"pinhole": Pinhole(), "ph": Pinhole(),
	"occluder": Occluder(), "occ": Occluder(),
}

// ParseLens reads what Lens.Code and Lens.String write and what people write:
// "+0.50", "-0.50 DS", "-1.00x35", "−1.00 cyl axis 35", "zyl −1,00 A 35°", "pinhole",
// "occluder", "no lens". A sphere without a sign is plus; a cylinder needs a sign, and an
// axis unless it is called a cylinder: "-1.00 cyl" has the axis 0, and stands in
// a frame only in the place of another, whose axis it takes. The error is a
// *ParseError.
func ParseLens(code string) (Lens, error) {
	if l, ok := pieces[strings.ToLower(strings.Join(strings.Fields(code), " "))]; ok {
		return l, nil
	}
	in := &scanner{text: code}
	n, unit, err := in.power()
	if err != nil {
		if !n.signed {
			err = in.fail(n.pos, fact.New("optics.lens-wanted"))
		}
		return Lens{}, err
	}
	if !in.atEnd() || unit == cylinderUnit {
		return in.cylinderLens(n, unit)
	}
	if err := in.within(n, maxSphere, fact.New("optics.large-sphere", "most", fact.Number(maxSphere))); err != nil {
		return Lens{}, err
	}
	return SphereOf(n.value), nil
}

func (s *scanner) cylinderLens(n number, unit word) (Lens, error) {
	if unit == sphereUnit {
		return Lens{}, s.fail(s.pos, fact.New("optics.sphere-ends"))
	}
	if unit == cylinderUnit && s.atEnd() {
		if err := s.powerOfCylinder(n); err != nil {
			return Lens{}, err
		}
		return Lens{Kind: CylinderLens, Power: n.value}, nil
	}
	axis, err := s.axisOfCylinder(n, true)
	if err != nil {
		return Lens{}, err
	}
	return Lens{CylinderLens, n.value, axis}, nil
}
