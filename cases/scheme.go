package cases

import (
	"math"
	"strings"

	"conoid/sim/fact"
)

// Scheme says how a sitting is marked out of 100 points: what an end point, a
// procedure, steps and time are worth, and where each begins to lose. A case or
// a practical may bring its own. Powers are in dioptres.
//
// Every number of the default is the project's choice: published pass marks
// vary and are not followed here.
type Scheme struct {
	EndPoint  EndPointScheme
	Procedure ProcedureScheme
	Steps     ParScheme
	Time      ParScheme
}

// EndPointScheme marks the end point by the defocus equivalent of the lens that
// is left over when the truth is taken away from it (the idea of Taylor and
// others (2011), Eye 25:1333).
type EndPointScheme struct {
	Points float64 // at most

	// The bands of the defocus equivalent: up to Close nothing is lost, up to
	// Fair and Wide a share, beyond that everything.
	Close, Fair, Wide    float64
	FairLoses, WideLoses float64 // per cent of Points
	TooMinus, TooPlus    float64 // spherical equivalents, too minus and too plus, beyond which what is lost is multiplied
	TooFarFactor         float64 // by this
}

// ParScheme marks a count against the expert's par on the same case. Nothing is
// lost up to Free times par, for who brackets needs steps; all at Most times.
type ParScheme struct{ Points, Free, Most float64 }

// ProcedureScheme is what each item of the procedure is worth, in points.
type ProcedureScheme struct {
	Cover       float64 // the other eye covered
	CylinderOut float64 // the cylinder taken out before the dial
	Fog         float64 // fogged by the right amount, and still fogged later
	Verify      float64 // the fog verified
	Axis        float64 // the dial before the arrow, the arrow balanced before the blocks, the axis across the clearest line
	Bracket     float64 // the cylinder bracketed with a reversal
	SphereAlone float64 // the sphere left alone while the cylinder was changed
	Check       float64 // equality confirmed through more plus
	Sphere      float64 // letters, duochrome, +1.00, most plus
	Acuity      float64 // taken to its threshold, and recorded
	Lenses      float64 // exchanged so that plus is never missing
	Questions   float64 // open, and not repeated for nothing
}

// DefaultScheme is how a case is marked that brings no scheme of its own.
func DefaultScheme() Scheme {
	return Scheme{
		EndPoint: EndPointScheme{
			Points: 50,
			// The step of the trial lenses, twice and four times as much.
			Close: 0.25, Fair: 0.50, Wide: 1.00, FairLoses: 20, WideLoses: 40,
			// Too much minus is judged more strictly than too much plus: a young
			// eye hides it by accommodating, and works for it all day.
			TooMinus: 0.25, TooPlus: 0.50, TooFarFactor: 2,
		},
		Procedure: ProcedureScheme{
			Cover: 3, CylinderOut: 3, Fog: 6, Verify: 3, Axis: 6, Bracket: 5, SphereAlone: 1, Check: 1,
			Sphere: 4, Acuity: 1, Lenses: 1, Questions: 1,
		},
		Steps: ParScheme{Points: 10, Free: 1.5, Most: 3},
		Time:  ParScheme{Points: 5, Free: 1.5, Most: 3},
	}
}

// Total is what all items of the procedure are worth together.
func (p ProcedureScheme) Total() float64 {
	return p.Cover + p.CylinderOut + p.Fog + p.Verify + p.Axis + p.Bracket + p.SphereAlone + p.Check +
		p.Sphere + p.Acuity + p.Lenses + p.Questions
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

// ReadScheme reads the marking scheme from a file that holds the sections
// [marking] and [marking.procedure], and perhaps others, which are not looked
// at: checking those is for whom they belong to. It is nil when there is no
// such section. The error is a *Malformed.
func ReadScheme(name string, data []byte) (*Scheme, error) {
	if err := checkSize(name, data); err != nil {
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

// keep leaves out all sections but one and those within it.
func (r *reader) keep(section string) {
	var entries, sections []entry
	for _, e := range r.entries {
		if within(section, e.path) {
			entries = append(entries, e)
		}
	}
	for _, s := range r.sections {
		if within(section, s.path) {
			sections = append(sections, s)
		}
	}
	r.entries, r.sections = entries, sections
}

func within(section, path string) bool {
	return path == section || strings.HasPrefix(path, section+".")
}

// checkScheme finds what no single number of a scheme shows.
func (r *reader) checkScheme() {
	if r.c.Marking == nil {
		return
	}
	s, at := *r.c.Marking, r.place(marking+".procedure")
	if first, ok := r.seen[marking]; ok {
		at = first
	}
	number := func(v float64) fact.Number { return fact.Number(tidy(v)) }
	sum := s.EndPoint.Points + s.Procedure.Total() + s.Steps.Points + s.Time.Points
	if math.Abs(sum-wholeMark) > 1e-6 {
		r.fault(at, fact.New("case.marking.sum", "sum", number(sum), "end", number(s.EndPoint.Points),
			"procedure", number(s.Procedure.Total()), "steps", number(s.Steps.Points), "time", number(s.Time.Points), "whole", fact.Count(wholeMark)))
	}
	e := s.EndPoint
	if !(e.Close < e.Fair && e.Fair < e.Wide) {
		r.fault(at, fact.New("case.marking.bands", "close", number(e.Close), "fair", number(e.Fair), "wide", number(e.Wide)))
	}
	if e.FairLoses > e.WideLoses {
		r.fault(at, fact.New("case.marking.loses", "fair", number(e.FairLoses), "wide", number(e.WideLoses)))
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

// checkMarking says what a tutor may not have meant by a scheme.
func checkMarking(c *Case) (out []fact.Fact) {
	if c.Marking == nil {
		return nil
	}
	s := *c.Marking
	if s.EndPoint.Points == 0 {
		out = append(out, fact.New("case.mind.no-end-point"))
	}
	if s.Procedure.Total() == 0 {
		out = append(out, fact.New("case.mind.no-procedure"))
	}
	for _, p := range s.againstPar() {
		if p.Points > 0 && p.Free < 1 {
			out = append(out, fact.New("case.mind.below-par", "part", p.name, "free", fact.Number(p.Free)))
		}
	}
	if s.EndPoint.TooFarFactor < 1 {
		out = append(out, fact.New("case.mind.too-far", "factor", fact.Number(s.EndPoint.TooFarFactor)))
	}
	return out
}

// marking is the section of the scheme in a case file.
const marking = "marking"

func markingSections() []section {
	return []section{
		{name: marking, about: "marking", keys: markingKeys()},
		{name: marking + ".procedure", about: "procedure", keys: procedureKeys()},
	}
}

func markingKeys() []key {
	worth := limits{0, wholeMark, points}
	band := limits{0, 4, dioptres}
	share := limits{0, 100, percent}
	par := limits{0, 100, timesPar}
	return []key{
		mark("end-point", worth, func(s *Scheme) *float64 { return &s.EndPoint.Points }),
		mark("close", band, func(s *Scheme) *float64 { return &s.EndPoint.Close }),
		mark("fair", band, func(s *Scheme) *float64 { return &s.EndPoint.Fair }),
		mark("wide", band, func(s *Scheme) *float64 { return &s.EndPoint.Wide }),
		mark("fair-loses", share, func(s *Scheme) *float64 { return &s.EndPoint.FairLoses }),
		mark("wide-loses", share, func(s *Scheme) *float64 { return &s.EndPoint.WideLoses }),
		mark("too-minus", band, func(s *Scheme) *float64 { return &s.EndPoint.TooMinus }),
		mark("too-plus", band, func(s *Scheme) *float64 { return &s.EndPoint.TooPlus }),
		mark("too-far-factor", limits{0, 10, times}, func(s *Scheme) *float64 { return &s.EndPoint.TooFarFactor }),
		mark("steps", worth, func(s *Scheme) *float64 { return &s.Steps.Points }),
		mark("free-steps", par, func(s *Scheme) *float64 { return &s.Steps.Free }),
		mark("most-steps", par, func(s *Scheme) *float64 { return &s.Steps.Most }),
		mark("time", worth, func(s *Scheme) *float64 { return &s.Time.Points }),
		mark("free-time", par, func(s *Scheme) *float64 { return &s.Time.Free }),
		mark("most-time", par, func(s *Scheme) *float64 { return &s.Time.Most }),
	}
}

func procedureKeys() []key {
	item := func(name string, field func(*ProcedureScheme) *float64) key {
		return mark("procedure."+name, limits{0, wholeMark, points}, func(s *Scheme) *float64 { return field(&s.Procedure) })
	}
	return []key{
		item("cover", func(p *ProcedureScheme) *float64 { return &p.Cover }),
		item("cylinder-out", func(p *ProcedureScheme) *float64 { return &p.CylinderOut }),
		item("fog", func(p *ProcedureScheme) *float64 { return &p.Fog }),
		item("verify", func(p *ProcedureScheme) *float64 { return &p.Verify }),
		item("axis", func(p *ProcedureScheme) *float64 { return &p.Axis }),
		item("bracket", func(p *ProcedureScheme) *float64 { return &p.Bracket }),
		item("sphere-alone", func(p *ProcedureScheme) *float64 { return &p.SphereAlone }),
		item("check", func(p *ProcedureScheme) *float64 { return &p.Check }),
		item("sphere", func(p *ProcedureScheme) *float64 { return &p.Sphere }),
		item("acuity", func(p *ProcedureScheme) *float64 { return &p.Acuity }),
		item("lenses", func(p *ProcedureScheme) *float64 { return &p.Lenses }),
		item("questions", func(p *ProcedureScheme) *float64 { return &p.Questions }),
	}
}

// mark is one number of the scheme. The first that is read begins a scheme with
// the default's numbers.
func mark(name string, l limits, field func(*Scheme) *float64) key {
	usual := DefaultScheme()
	return key{
		path: marking + "." + name, about: marking + "." + name, example: toNumber(*field(&usual)), json: numbers(l),
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
