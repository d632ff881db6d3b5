package cases

import (
	"fmt"
	"math"
	"strings"
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
	sum := s.EndPoint.Points + s.Procedure.Total() + s.Steps.Points + s.Time.Points
	if math.Abs(sum-wholeMark) > 1e-6 {
		r.fault(at, "the points of [marking] come to %s (end point %s, procedure %s, steps %s, time %s); they must come to %d",
			text(tidy(sum)), text(s.EndPoint.Points), text(tidy(s.Procedure.Total())), text(s.Steps.Points), text(s.Time.Points), wholeMark)
	}
	e := s.EndPoint
	if !(e.Close < e.Fair && e.Fair < e.Wide) {
		r.fault(at, "the bands of [marking] must grow: close is %s, fair %s and wide %s", text(e.Close), text(e.Fair), text(e.Wide))
	}
	if e.FairLoses > e.WideLoses {
		r.fault(at, "marking.fair-loses is %s and marking.wide-loses %s; the wider band must not lose less", text(e.FairLoses), text(e.WideLoses))
	}
	for _, p := range s.againstPar() {
		if !(p.Free < p.Most) {
			r.fault(at, "marking.free-%s is %s and marking.most-%s %s; the second must be larger", p.name, text(p.Free), p.name, text(p.Most))
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
func checkMarking(c *Case) []string {
	if c.Marking == nil {
		return nil
	}
	var out []string
	warn := func(is bool, format string, args ...any) {
		if is {
			out = append(out, fmt.Sprintf(format, args...))
		}
	}
	s := *c.Marking
	warn(s.EndPoint.Points == 0, "By the marking scheme the end point is worth nothing.")
	warn(s.Procedure.Total() == 0, "By the marking scheme the procedure is worth nothing.")
	for _, p := range s.againstPar() {
		warn(p.Points > 0 && p.Free < 1, "By the marking scheme the expert's own par would lose points for %s: free-%s is %s.", p.name, p.name, text(p.Free))
	}
	warn(s.EndPoint.TooFarFactor < 1, "By the marking scheme too much minus or plus loses less than other errors: too-far-factor is %s.", text(s.EndPoint.TooFarFactor))
	return out
}

// marking is the section of the scheme in a case file.
const marking = "marking"

func markingSections() []section {
	return []section{
		{name: marking, keys: markingKeys(), doc: "How the sitting is marked, in points out of 100. Left out, as it is here, or in\npart, the numbers below are used."},
		{name: marking + ".procedure", keys: procedureKeys(), doc: "What each item of the procedure is worth, in points. All points together, those\nabove too, must come to 100."},
	}
}

func markingKeys() []key {
	points := limits{0, wholeMark, "points"}
	dioptres := limits{0, 4, "D"}
	percent := limits{0, 100, "per cent"}
	times := limits{0, 100, "times par"}
	return []key{
		mark("end-point", points, func(s *Scheme) *float64 { return &s.EndPoint.Points }, "For the end point."),
		mark("close", dioptres, func(s *Scheme) *float64 { return &s.EndPoint.Close }, "The bands of the end point are of its defocus equivalent in dioptres. Up to this\nnothing is lost."),
		mark("fair", dioptres, func(s *Scheme) *float64 { return &s.EndPoint.Fair }, "Up to this, fair-loses is lost."),
		mark("wide", dioptres, func(s *Scheme) *float64 { return &s.EndPoint.Wide }, "Up to this, wide-loses is lost; beyond it, everything."),
		mark("fair-loses", percent, func(s *Scheme) *float64 { return &s.EndPoint.FairLoses }, "In per cent of end-point."),
		mark("wide-loses", percent, func(s *Scheme) *float64 { return &s.EndPoint.WideLoses }, "Likewise; not less than fair-loses."),
		mark("too-minus", dioptres, func(s *Scheme) *float64 { return &s.EndPoint.TooMinus }, "A spherical equivalent that is further than this too minus, in dioptres, loses\ntoo-far-factor times as much."),
		mark("too-plus", dioptres, func(s *Scheme) *float64 { return &s.EndPoint.TooPlus }, "Likewise for too plus."),
		mark("too-far-factor", limits{0, 10, "times"}, func(s *Scheme) *float64 { return &s.EndPoint.TooFarFactor }, "By what the loss is then multiplied."),
		mark("steps", points, func(s *Scheme) *float64 { return &s.Steps.Points }, "For the number of steps, against the expert's par on the same case."),
		mark("free-steps", times, func(s *Scheme) *float64 { return &s.Steps.Free }, "Nothing is lost up to so many times par: who brackets needs steps."),
		mark("most-steps", times, func(s *Scheme) *float64 { return &s.Steps.Most }, "Everything is lost from so many times par on."),
		mark("time", points, func(s *Scheme) *float64 { return &s.Time.Points }, "For the patient's time, against the expert's."),
		mark("free-time", times, func(s *Scheme) *float64 { return &s.Time.Free }, "Nothing is lost up to so many times par."),
		mark("most-time", times, func(s *Scheme) *float64 { return &s.Time.Most }, "Everything is lost from so many times par on."),
	}
}

func procedureKeys() []key {
	item := func(name string, field func(*ProcedureScheme) *float64, doc string) key {
		return mark("procedure."+name, limits{0, wholeMark, "points"}, func(s *Scheme) *float64 { return field(&s.Procedure) }, doc)
	}
	return []key{
		item("cover", func(p *ProcedureScheme) *float64 { return &p.Cover }, "The other eye covered."),
		item("cylinder-out", func(p *ProcedureScheme) *float64 { return &p.CylinderOut }, "The cylinder taken out before the dial."),
		item("fog", func(p *ProcedureScheme) *float64 { return &p.Fog }, "Fogged by the right amount, and still fogged later on."),
		item("verify", func(p *ProcedureScheme) *float64 { return &p.Verify }, "The fog verified: more plus must blur."),
		item("axis", func(p *ProcedureScheme) *float64 { return &p.Axis }, "The dial asked, the arrow balanced, the axis across the clearest line."),
		item("bracket", func(p *ProcedureScheme) *float64 { return &p.Bracket }, "The cylinder bracketed with a reversal."),
		item("sphere-alone", func(p *ProcedureScheme) *float64 { return &p.SphereAlone }, "The sphere left alone while the cylinder was changed."),
		item("check", func(p *ProcedureScheme) *float64 { return &p.Check }, "Equality confirmed through more plus, or on the dial."),
		item("sphere", func(p *ProcedureScheme) *float64 { return &p.Sphere }, "Letters, duochrome, +1.00 and most plus."),
		item("acuity", func(p *ProcedureScheme) *float64 { return &p.Acuity }, "The acuity taken to its threshold, and recorded."),
		item("lenses", func(p *ProcedureScheme) *float64 { return &p.Lenses }, "Lenses exchanged so that plus is never missing."),
		item("questions", func(p *ProcedureScheme) *float64 { return &p.Questions }, "Open questions, and none repeated for nothing."),
	}
}

// mark is one number of the scheme. The first that is read begins a scheme with
// the default's numbers.
func mark(name string, l limits, field func(*Scheme) *float64, doc string) key {
	usual := DefaultScheme()
	return key{
		path: marking + "." + name, doc: doc, example: toNumber(*field(&usual)), json: numbers(l),
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
