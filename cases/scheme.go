package cases

import (
	"bytes"
	"math"
	"strings"

	"conoid/sim/fact"
)

// Scheme says how a sitting is marked out of 100 points: what each claim is
// worth that an end point makes, what heeding the answers is, and what few steps
// and little time are. A case or a practical may bring its own. Powers are in
// dioptres.
//
// Every number of the default is the project's choice, but for the bands, which
// are common practice (no source).
type Scheme struct {
	Claims  ClaimScheme
	Conduct ConductScheme
	Steps   ParScheme
	Time    ParScheme
}

// ClaimScheme marks the three claims of an end point. Each is worth its points,
// times how near it is, times how far the answers bear it out.
type ClaimScheme struct {
	Axis, Cylinder, Sphere float64 // points

	// How far a spherical equivalent or a cylinder may be off: up to Full nothing
	// is lost, up to Fair and Wide a share is kept, beyond that nothing. Too much
	// minus is one band stricter. For an axis the first band is the turn that
	// leaves 0.25 D, and the second twice that.
	Full, Fair, Wide     float64
	FairKeeps, WideKeeps float64 // per cent
	AxisKeeps            float64 // per cent, in the second band of an axis

	WeakKeeps, UnheardKeeps float64 // per cent that is kept of a claim that answers bear out from one side only; and of one that none does, or that they contradict
	OneUnheard, TwoUnheard  float64 // the most points for a sitting with one such claim, and with two or three
}

// ConductScheme marks whether the answers were heeded, and what a fault takes off.
type ConductScheme struct {
	Heeding float64 // points for heeding what was answered

	// What is taken off it at most, in points.
	Cover       float64 // the wrong eye open
	CylinderOut float64 // the dial asked through the cylinder
	Verify      float64 // the fog not verified, or its check ignored
	Check       float64 // equality not checked through more plus or on the dial, or the check ignored
	SphereAlone float64 // the sphere moved while the cylinder was found
	Acuity      float64 // not taken to its threshold, not recorded, or not what was read
	Lenses      float64 // minus before plus
	Questions   float64 // leading, or repeated for nothing
}

// ParScheme marks a count against the expert's par on the same case. Nothing is
// lost up to Free times par, for who brackets needs steps; all at Most times.
type ParScheme struct{ Points, Free, Most float64 }

// DefaultScheme is how a case is marked that brings no scheme of its own.
func DefaultScheme() Scheme {
	return Scheme{
		Claims: ClaimScheme{
			Axis: 20, Cylinder: 20, Sphere: 25,
			Full: 0.25, Fair: 0.50, Wide: 0.75, FairKeeps: 60, WideKeeps: 25, AxisKeeps: 50,
			WeakKeeps: 50, UnheardKeeps: 15, OneUnheard: 60, TwoUnheard: 40,
		},
		Conduct: ConductScheme{
			Heeding: 25,
			Cover:   5, CylinderOut: 5, Verify: 5, Check: 5, SphereAlone: 5, Acuity: 5, Lenses: 5, Questions: 5,
		},
		Steps: ParScheme{Points: 5, Free: 2, Most: 4},
		Time:  ParScheme{Points: 5, Free: 2, Most: 4},
	}
}

// Total is what all parts are worth together.
func (s Scheme) Total() float64 {
	return s.Claims.Axis + s.Claims.Cylinder + s.Claims.Sphere + s.Conduct.Heeding + s.Steps.Points + s.Time.Points
}

// wholeMark is what all parts of a scheme come to.
const wholeMark = 100

// Scheme is how the case is marked: its own scheme, or the default.
func (c *Case) Scheme() Scheme {
	if c.Marking != nil {
		return *c.Marking
	}
	return DefaultScheme()
}

// MarkedBy is whose scheme that is.
func (c *Case) MarkedBy() fact.Fact {
	if c.Marking != nil {
		return fact.New("scheme.case")
	}
	return fact.New("scheme.usual")
}

// ReadScheme reads the marking scheme from a file that holds the sections
// [marking] and [marking.conduct], and perhaps others, which are not looked
// at: checking those is for whom they belong to. It is nil when there is no
// such section. The error is a *Malformed.
func ReadScheme(name string, data []byte) (*Scheme, error) {
	if err := checkText(name, data); err != nil {
		return nil, err
	}
	r := newReader(name, data)
	r.schema = markingSections()
	r.keep(marking)
	r.unknown()
	r.values()
	if !r.broken {
		r.checkWhole()
		r.checkScheme()
	}
	if len(r.faults) > 0 {
		return nil, &Malformed{name, mistakes(r.text, r.faults)}
	}
	return r.c.Marking, nil
}

// WriteScheme writes a scheme as the section [marking] of a file: ReadScheme gives it back.
func WriteScheme(s Scheme) string {
	var b bytes.Buffer
	for _, section := range markingSections() {
		writeSection(&b, section, &Case{Marking: &s})
	}
	return b.String()
}

// keep leaves out all sections but one and those within it.
func (r *reader) keep(section string) {
	var entries, sections []entry
	for _, e := range r.entries {
		if inSection(section, e.path) {
			entries = append(entries, e)
		}
	}
	for _, s := range r.sections {
		if inSection(section, s.path) {
			sections = append(sections, s)
		}
	}
	r.entries, r.sections = entries, sections
}

func inSection(section, path string) bool {
	return path == section || strings.HasPrefix(path, section+".")
}

// checkScheme finds what no single number of a scheme shows.
func (r *reader) checkScheme() {
	if r.c.Marking == nil {
		return
	}
	s, at := *r.c.Marking, r.place(marking+".conduct")
	if first, ok := r.seen[marking]; ok {
		at = first
	}
	number := func(v float64) fact.Number { return fact.Number(tidy(v)) }
	if sum := s.Total(); math.Abs(sum-wholeMark) > 1e-6 {
		r.fault(at, fact.New("case.marking.sum", "sum", number(sum), "axis", number(s.Claims.Axis), "cylinder", number(s.Claims.Cylinder),
			"sphere", number(s.Claims.Sphere), "heeding", number(s.Conduct.Heeding), "steps", number(s.Steps.Points),
			"time", number(s.Time.Points), "whole", fact.Count(wholeMark)))
	}
	k := s.Claims
	if !(k.Full < k.Fair && k.Fair < k.Wide) {
		r.fault(at, fact.New("case.marking.bands", "full", number(k.Full), "fair", number(k.Fair), "wide", number(k.Wide)))
	}
	for _, falls := range []struct {
		names      [2]string
		more, less float64
	}{
		{[2]string{"fair-keeps", "wide-keeps"}, k.FairKeeps, k.WideKeeps},
		{[2]string{"weak-keeps", "unheard-keeps"}, k.WeakKeeps, k.UnheardKeeps},
		{[2]string{"one-unheard", "two-unheard"}, k.OneUnheard, k.TwoUnheard},
	} {
		if falls.more < falls.less {
			r.fault(at, fact.New("case.marking.falls", "first", falls.names[0], "more", number(falls.more), "second", falls.names[1], "less", number(falls.less)))
		}
	}
	for _, p := range s.againstPar() {
		if !(p.Free < p.Most) {
			r.fault(at, fact.New("case.marking.par", "part", p.name, "free", number(p.Free), "most", number(p.Most)))
		}
	}
}

// counted is a part of a scheme that is marked against par, by the name that
// its keys have.
type counted struct {
	name string
	ParScheme
}

func (s Scheme) againstPar() [2]counted { return [2]counted{{"steps", s.Steps}, {"time", s.Time}} }

func tidy(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// unheardMuch is what is kept of a claim that no answer bears out, in per cent,
// from which a scheme hardly tells listening from copying. The project's choice.
const unheardMuch = 50

// checkMarking says what a tutor may not have meant by a scheme.
func checkMarking(c *Case) (out []fact.Fact) {
	if c.Marking == nil {
		return nil
	}
	s := *c.Marking
	if s.Claims.Axis+s.Claims.Cylinder+s.Claims.Sphere == 0 {
		out = append(out, fact.New("case.mind.no-end-point"))
	}
	if s.Conduct.Heeding == 0 {
		out = append(out, fact.New("case.mind.no-heeding"))
	}
	if s.Claims.UnheardKeeps >= unheardMuch {
		out = append(out, fact.New("case.mind.unheard", "keeps", fact.Number(s.Claims.UnheardKeeps)))
	}
	for _, p := range s.againstPar() {
		if p.Points > 0 && p.Free < 1 {
			out = append(out, fact.New("case.mind.below-par", "part", p.name, "free", fact.Number(p.Free)))
		}
	}
	return out
}

// marking is the section of the scheme in a case file.
const marking = "marking"

func markingSections() []section {
	return []section{
		{name: marking, about: "marking", keys: markingKeys()},
		{name: marking + ".conduct", about: "conduct", keys: conductKeys()},
	}
}

func markingKeys() []key {
	worth := limits{0, wholeMark, points}
	band := limits{0, 4, dioptres}
	share := limits{0, 100, percent}
	par := limits{0, 100, timesPar}
	return []key{
		mark("axis", worth, func(s *Scheme) *float64 { return &s.Claims.Axis }),
		mark("cylinder", worth, func(s *Scheme) *float64 { return &s.Claims.Cylinder }),
		mark("sphere", worth, func(s *Scheme) *float64 { return &s.Claims.Sphere }),
		mark("full", band, func(s *Scheme) *float64 { return &s.Claims.Full }),
		mark("fair", band, func(s *Scheme) *float64 { return &s.Claims.Fair }),
		mark("wide", band, func(s *Scheme) *float64 { return &s.Claims.Wide }),
		mark("fair-keeps", share, func(s *Scheme) *float64 { return &s.Claims.FairKeeps }),
		mark("wide-keeps", share, func(s *Scheme) *float64 { return &s.Claims.WideKeeps }),
		mark("axis-keeps", share, func(s *Scheme) *float64 { return &s.Claims.AxisKeeps }),
		mark("weak-keeps", share, func(s *Scheme) *float64 { return &s.Claims.WeakKeeps }),
		mark("unheard-keeps", share, func(s *Scheme) *float64 { return &s.Claims.UnheardKeeps }),
		mark("one-unheard", worth, func(s *Scheme) *float64 { return &s.Claims.OneUnheard }),
		mark("two-unheard", worth, func(s *Scheme) *float64 { return &s.Claims.TwoUnheard }),
		mark("heeding", worth, func(s *Scheme) *float64 { return &s.Conduct.Heeding }),
		mark("steps", worth, func(s *Scheme) *float64 { return &s.Steps.Points }),
		mark("free-steps", par, func(s *Scheme) *float64 { return &s.Steps.Free }),
		mark("most-steps", par, func(s *Scheme) *float64 { return &s.Steps.Most }),
		mark("time", worth, func(s *Scheme) *float64 { return &s.Time.Points }),
		mark("free-time", par, func(s *Scheme) *float64 { return &s.Time.Free }),
		mark("most-time", par, func(s *Scheme) *float64 { return &s.Time.Most }),
	}
}

func conductKeys() []key {
	item := func(name string, field func(*ConductScheme) *float64) key {
		return mark("conduct."+name, limits{0, wholeMark, points}, func(s *Scheme) *float64 { return field(&s.Conduct) })
	}
	return []key{
		item("cover", func(c *ConductScheme) *float64 { return &c.Cover }),
		item("cylinder-out", func(c *ConductScheme) *float64 { return &c.CylinderOut }),
		item("verify", func(c *ConductScheme) *float64 { return &c.Verify }),
		item("check", func(c *ConductScheme) *float64 { return &c.Check }),
		item("sphere-alone", func(c *ConductScheme) *float64 { return &c.SphereAlone }),
		item("acuity", func(c *ConductScheme) *float64 { return &c.Acuity }),
		item("lenses", func(c *ConductScheme) *float64 { return &c.Lenses }),
		item("questions", func(c *ConductScheme) *float64 { return &c.Questions }),
	}
}

// mark is one number of the scheme. The first that is read begins a scheme with
// the default's numbers.
func mark(name string, l limits, field func(*Scheme) *float64) key {
	usual := DefaultScheme()
	return key{
		path: marking + "." + name, about: marking + "." + name, example: toNumber(*field(&usual)), json: numbers(l), unit: l.unit,
		read: func(c *Case, e entry) *fault {
			v, f := e.float(l)
			if f != nil {
				return f
			}
			if c.Marking == nil {
				s := DefaultScheme()
				c.Marking = &s
			}
			*field(c.Marking) = v
			return nil
		},
		write: func(c *Case) (string, bool) {
			if c.Marking == nil {
				return "", false
			}
			return toNumber(*field(c.Marking)), true
		},
	}
}
