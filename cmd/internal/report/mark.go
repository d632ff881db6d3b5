package report

import (
	"math"

	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// mark is a mark without the caution.
func (p *page) mark(m *scoring.Mark) {
	v := p.voice
	p.line(Verdict(v, m))
	p.line("")
	power := func(d float64) string { return v.Value(fact.Power(d)) }
	p.WriteString(Columns([][]string{
		{"", v.Text("mark.truth"), v.Text("mark.end-point"), v.Text("mark.difference"), ""},
		{v.Text("mark.sphere"), power(m.Truth.Sphere), power(m.EndPoint.Sphere), v.Value(m.SphereError), ""},
		{v.Text("mark.cylinder"), power(m.Truth.Cyl), power(m.EndPoint.Cyl), v.Value(m.CylinderError), ""},
		{v.Text("mark.axis"), p.axis(m.Truth), p.axis(m.EndPoint), p.turn(m.Axis), p.axisNote(m.Axis)},
		{v.Text("mark.equivalent"), power(m.Truth.SE()), power(m.EndPoint.SE()), v.Value(m.Residual.M), p.plusNote(m)},
		{v.Text("mark.acuity"), v.Value(m.BestAcuity), v.Value(m.Acuity), AcuityLost(v, m), AcuityStated(v, m)},
	}))
	p.line("")
	p.say("mark.left", "left", m.DefocusEquivalent, "m", m.Residual.M, "j0", m.Residual.J0, "j45", m.Residual.J45)
	if m.Balance != (scoring.Residual{}) {
		p.say("mark.optical", "rx", m.Optical, "by", m.Balance.Power().Rx().Round(0.01))
	}
	for _, l := range m.Limits {
		p.line(v.Say(l))
	}
	p.say("mark.taken", "lens", fact.Count(m.Steps.Lens), "chart", fact.Count(m.Steps.Chart),
		"question", fact.Count(m.Steps.Question), "total", fact.Count(m.Steps.Total), "time", m.Seconds)
}

func (p *page) axis(r optics.Rx) string {
	if r.Cyl == 0 {
		return p.voice.Text("mark.axis.none")
	}
	return p.voice.Value(fact.Degrees(r.Axis))
}

func (p *page) turn(a *scoring.AxisError) string {
	if a == nil {
		return ""
	}
	return p.voice.Value(a.Error)
}

func (p *page) axisNote(a *scoring.AxisError) string {
	if a == nil {
		return ""
	}
	allowed := fact.Number(math.Round(float64(a.Tolerance)*10) / 10)
	switch {
	case allowed == 90:
		return p.voice.Text("mark.axis.any")
	case a.Within:
		return p.voice.Text("mark.axis.within", "allowed", allowed)
	}
	return p.voice.Text("mark.axis.beyond", "allowed", allowed)
}

func (p *page) plusNote(m *scoring.Mark) string {
	switch {
	case m.OverMinus:
		return p.voice.Text("mark.equivalent.minus")
	case m.OverPlus:
		return p.voice.Text("mark.equivalent.plus")
	}
	return ""
}

// AcuityLost is what was lost of the acuity, in rows of the chart, 0.1 logMAR
// each.
func AcuityLost(v voice.Voice, m *scoring.Mark) string {
	rows := fact.Number(math.Round(float64(m.Acuity-m.BestAcuity)*100) / 10)
	switch {
	case rows > 0:
		return v.Text("mark.acuity.less", "rows", rows)
	case rows < 0:
		return v.Text("mark.acuity.more", "rows", -rows)
	}
	return v.Text("mark.acuity.same")
}

// AcuityStated is the acuity that was written down with the end point; "" for
// none.
func AcuityStated(v voice.Voice, m *scoring.Mark) string {
	if m.StatedAcuity == nil {
		return ""
	}
	return v.Text("mark.acuity.stated", "acuity", *m.StatedAcuity)
}
