package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"conoid/cases"
	"conoid/cmd/internal/editor"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// account tells what a case amounts to. X is what the expert makes of it; nil for
// not tried.
func account(v voice.Voice, path string, c *cases.Case, s *sitting.Sitting, x *examined) string {
	var b strings.Builder
	b.WriteString(v.Text("check.case", "file", path, "title", c.Texts(v.Language).Title, "level", fact.Count(c.Level)) + "\n")
	lines, warnings := accounted(v, c, s, x)
	for _, l := range lines {
		b.WriteString(entryOf(l.Name, l.Text))
	}
	for _, w := range warnings {
		fmt.Fprintln(&b, indent(wrap(v.Text("check.mind", "what", w), width-margin), margin))
	}
	return b.String()
}

// mannerOf is the name of a person's manner, and whether it was changed.
func mannerOf(c *cases.Case) fact.Fact {
	name := fact.New("editor.option.manner." + c.MannerName)
	if c.Manner != patient.Manners()[c.MannerName] {
		return fact.New("check.manner.changed", "manner", name)
	}
	return name
}

// accounted is what an account says, line by line, and what it warns of.
func accounted(v voice.Voice, c *cases.Case, s *sitting.Sitting, x *examined) (lines []editor.Line, warnings []fact.Fact) {
	line := func(name string, f fact.Fact) { lines = append(lines, editor.Line{Name: v.Text(name), Text: v.Say(f)}) }
	truth := s.Truth(c.Tested)
	objective := c.Of(c.Tested).Objective
	acuity := func(rx optics.Rx) fact.Row { return fact.Row(s.AcuityWith(c.Tested, rx)) }
	line("check.patient", fact.New("check.patient.is", "name", nameOf(c), "age", fact.Number(c.Age), "eye", c.Tested, "manner", mannerOf(c)))
	tellRecord(c, line)
	line("check.error", fact.New("check.error.is", "error", truth.Error))
	line("check.optical", fact.New("check.optical.is", "rx", truth.Optical.Round(0.01), "by", truth.Balance.Rx().Round(0.01)))
	line("check.objective", fact.New("check.objective.is", "rx", objective))
	tellFound(c.CardOf(s, c.Tested), line)
	line("check.acuity", fact.New("check.acuity.is", "unaided", acuity(optics.Rx{}), "objective", acuity(objective), "best", fact.Row(truth.Best)))
	for _, l := range truth.Limits() {
		line("check.limit", l)
	}
	line("check.fog", fogOf(c))
	if released, kept := c.Tonus(); released+kept > 0 {
		line("check.tonus", fact.New("check.tonus.is", "released", fact.Amount(released), "kept", fact.Amount(kept)))
	}
	line("check.difficulties", difficultiesOf(c))
	warnings = cases.Check(c)
	if x != nil {
		x.tell(v, c, line)
		warnings = append(warnings, x.warnings(c.Of(c.Tested).Error)...)
	}
	return lines, warnings
}

// tellRecord tells what a case says to tutors.
func tellRecord(c *cases.Case, line func(name string, f fact.Fact)) {
	for _, s := range []struct {
		name string
		said any
	}{
		{"check.author", c.Author}, {"check.tags", strings.Join(c.Tagged(), ", ")}, {"check.language", c.Speaks()},
		{"check.aims", c.Aims}, {"check.notes", c.Notes},
	} {
		if s.said != nil && s.said != "" {
			line(s.name, fact.New("check.said", "said", s.said))
		}
	}
}

// tellFound tells what the record card says beyond the objective result.
func tellFound(card cases.Card, line func(name string, f fact.Fact)) {
	if by, said := card.By(); said {
		line("check.by", by)
	}
	if card.Worn != nil {
		line("check.spectacles", card.Worn.Tell())
	}
}

// nameOf is the name of a person, if there is one.
func nameOf(c *cases.Case) any {
	if c.Name == "" {
		return fact.New("check.no-name")
	}
	return c.Name
}

func difficultiesOf(c *cases.Case) fact.Fact {
	if d := c.Difficulties(); len(d) > 0 {
		return fact.New("check.difficulties.are", "difficulties", d)
	}
	return fact.New("check.no-difficulties")
}

// entryOf is a line of an account: a name, and what is said of it, wrapped.
func entryOf(name, text string) string {
	const begins, wide = 16, 90
	text = indent(wrap(text, wide-begins), begins)
	pad := max(1, begins-margin-utf8.RuneCountInString(name))
	return "  " + name + strings.Repeat(" ", pad) + strings.TrimLeft(text, " ") + "\n"
}

// fogOf says whether the fog that is taught, on the objective sphere with the
// cylinder out, is enough in a case.
func fogOf(c *cases.Case) fact.Fact {
	back, enough := c.Fogged()
	where := fact.New("check.before-retina", "back", fact.Amount(back))
	if back < 0 {
		where = fact.New("check.behind-retina", "back", fact.Amount(back))
	}
	values := []any{"fog", fact.Power(method.UsualFog), "where", where}
	switch {
	case enough:
		return fact.New("check.fog.enough", values...)
	case back < method.LeastFog:
		return fact.New("check.fog.little", values...)
	}
	return fact.New("check.fog.much", values...)
}
