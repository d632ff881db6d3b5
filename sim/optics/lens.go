package optics

// PinholeDiameter is the aperture of the trial set's pinhole in millimetres.
// Pinholes of 1.0 to 1.5 mm are common practice.
const PinholeDiameter = 1.2

// Kind is what stands in one place of a trial frame.
type Kind uint8

// The kinds of a lens.
const (
	NoLens       Kind = iota // an empty place
	SphereLens               // a sphere
	CylinderLens             // a cylinder with no power along its axis
	PinholeLens              // a pinhole of PinholeDiameter
	OccluderLens             // an opaque disc
)

// Name is the name of k in the words.
func (k Kind) Name() string {
	switch k {
	case SphereLens:
		return "kind.sphere"
	case CylinderLens:
		return "kind.cylinder"
	case PinholeLens:
		return "kind.pinhole"
	case OccluderLens:
		return "kind.occluder"
	}
	return "kind.none"
}

// Lens is one piece of a trial set, as it stands in a frame. The zero value is
// an empty place. Lenses can be compared with ==.
type Lens struct {
	Kind  Kind
	Power float64 // marked power in dioptres; 0 unless Kind is SphereLens or CylinderLens
	Axis  float64 // degrees, 0 < Axis <= 180; 0 unless Kind is CylinderLens, and for a cylinder that is to take the axis of another
}

// Pinhole is the pinhole of the set.
func Pinhole() Lens { return Lens{Kind: PinholeLens} }

// Occluder is the opaque disc of the set.
func Occluder() Lens { return Lens{Kind: OccluderLens} }

// SphereOf is a sphere of d dioptres.
func SphereOf(d float64) Lens { return Lens{Kind: SphereLens, Power: d} }

// CylinderOf is a cylinder of d dioptres, of either sign, with its axis in
// degrees. Any angle is folded into (0, 180].
func CylinderOf(d, axis float64) Lens {
	return Lens{Kind: CylinderLens, Power: d, Axis: Axis(axis)}
}

// WithPower is the lens of d dioptres that takes l's place: of the same kind,
// and a cylinder that is exchanged keeps its axis. A piece without power stays
// as it is.
func (l Lens) WithPower(d float64) Lens {
	if l.Kind == SphereLens || l.Kind == CylinderLens {
		l.Power = d
	}
	return l
}

// Rx is l as a prescription; plano unless l is a sphere or a cylinder.
func (l Lens) Rx() Rx {
	switch l.Kind {
	case SphereLens:
		return Rx{Sphere: l.Power}
	case CylinderLens:
		return Rx{Cyl: l.Power, Axis: l.Axis}
	}
	return Rx{}
}

// String writes l for people: "+0.50 sphere", "−1.00 cylinder axis 35",
// "pinhole", "occluder", "no lens".
func (l Lens) String() string {
	switch l.Kind {
	case SphereLens:
		return hundredths(l.Power) + " sphere"
	case CylinderLens:
		if l.Axis == 0 {
			return hundredths(l.Power) + " cylinder"
		}
		return hundredths(l.Power) + " cylinder axis " + wholeAxis(l.Axis)
	}
	return l.Code()
}

// Code writes l in ASCII for logs, so that ParseLens returns exactly l:
// "+0.50", "-1.00x35", "-1.00 cyl", "pinhole", "occluder", "no lens".
func (l Lens) Code() string {
	switch l.Kind {
	case NoLens:
		return "no lens"
	case SphereLens:
		return exact(l.Power)
	case CylinderLens:
		if l.Axis == 0 {
			return exact(l.Power) + " cyl"
		}
		return exact(l.Power) + "x" + exactAxis(l.Axis)
	case PinholeLens:
		return "pinhole"
	case OccluderLens:
		return "occluder"
	}
	return "unknown lens"
}

// MarshalText writes the code of l.
func (l Lens) MarshalText() ([]byte, error) { return []byte(l.Code()), nil }

// UnmarshalText reads l as ParseLens does.
func (l *Lens) UnmarshalText(text []byte) (err error) {
	*l, err = ParseLens(string(text))
	return err
}
