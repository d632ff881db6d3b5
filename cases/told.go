package cases

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// CheckTold looks for what tells the error to everybody who meets the person, or
// reads no more than the head of a sealed file: texts with numbers of the error in
// them, and an objective result that is the error. It finds the usual ways to write
// a lens in English and German; a hint in other words it does not see.
func CheckTold(c *Case) (out []fact.Fact) {
	if e := c.Of(c.Tested); e.Objective == e.Error && e.Error != (optics.Rx{}) {
		out = append(out, fact.New("case.told.objective", "objective", e.Objective))
	}
	if e := c.Of(c.Tested); e.Spectacles != nil && *e.Spectacles == e.Error && e.Error != (optics.Rx{}) {
		out = append(out, fact.New("case.told.spectacles", "spectacles", *e.Spectacles))
	}
	for _, t := range c.saying() {
		if words, side := c.toldBy(t.text); words != "" {
			out = append(out, fact.New("case.told", "where", fact.New("case.told."+t.where), "text", words, "eye", side, "error", c.Of(side).Error))
		}
	}
	return out
}

// toldBy are the words of a text that tell a part of the error of an eye, "" for none; of
// the tested one if of both, since most fellow eyes are all but mirror images.
func (c *Case) toldBy(text string) (words string, side sitting.Side) {
	for _, side := range []sitting.Side{c.Tested, c.Tested.Other()} {
		if words := tellsOf(text, c.Of(side).Error); words != "" {
			return words, side
		}
	}
	return "", ""
}

// CheckTold looks for what the assignment itself tells of the errors of its cases to
// everybody who is given it: in its texts, in all languages, and in the names of its files.
// Of cases that are nil, which nobody has opened, it knows nothing; the others have their
// titles in a language.
func (a *Assignment) CheckTold(all []*Case, language string) (out []fact.Fact) {
	for _, t := range a.saying() {
		for _, c := range all {
			if c == nil {
				continue
			}
			if words, side := c.toldBy(t.text); words != "" {
				out = append(out, fact.New("assignment.told", "where", fact.New("assignment.told."+t.where), "text", words,
					"title", c.Texts(language).Title, "eye", side, "error", c.Of(side).Error))
			}
		}
	}
	return out
}

// saying is what students read of an assignment before they begin, each text once.
func (a *Assignment) saying() (out []said) {
	for _, l := range append([]string{""}, languages...) {
		says := a.In(l)
		for _, s := range []said{{"title", says.Title}, {"aims", says.Aims}} {
			if s.text != "" && !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	for _, l := range a.Cases {
		if !l.InLibrary() {
			out = append(out, said{"file", l.base()})
		}
	}
	return out
}

// said is a text that students read, and which it is.
type said struct{ where, text string }

// saying are the texts of a case in all languages, each once.
func (c *Case) saying() (out []said) {
	add := func(t Texts) {
		for _, s := range []said{{"title", t.Title}, {"story", t.Story}, {"symptoms", t.Symptoms}} {
			if !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	add(c.Texts(""))
	for _, l := range languages {
		add(c.Texts(l))
	}
	for _, s := range []said{{"author", c.Author}, {"tags", c.Tags}} {
		if s.text != "" {
			out = append(out, s)
		}
	}
	return out
}

// figure is a number in a text. A sign is -1 or 1, or 0 for none.
type figure struct {
	value    float64
	sign     float64
	exact    bool   // written with decimals
	from, to int    // bytes of the text
	before   string // the words just before it, in lower case
	after    string // what follows
}

// The words that say of which part a number is, or of what unit, in English and
// German, right before or behind it. Letters alone, as in S, C and A, are looked at only between two numbers:
// "a 35 year old" tells nothing.
var (
	numeral     = regexp.MustCompile(`[+\-−–]?\d+(?:[.,]\d+)?`)
	ofSphere    = regexp.MustCompile(`\bsph[\p{L}]*[^\d]{0,6}$`)
	ofCylinder  = regexp.MustCompile(`(\bcyl|\bzyl|zylind)[\p{L}]*[^\d]{0,12}$`)
	ofAxis      = regexp.MustCompile(`(\b(ax|axis|meridian)\b|achse|@)[\p{L}]*[^\d]{0,8}$`)
	inDioptres  = regexp.MustCompile(`^\s?(D\b|DS\b|DC\b|dpt|[dD]iopt)`)
	inDegrees   = regexp.MustCompile(`^\s?(°|º|deg|Grad\b)`)
	untilItsEnd = regexp.MustCompile(`^[^\d.!?;]{0,12}$`) // what may stand between two numbers of one lens
)

// figures are the numbers of a text.
func figures(text string) (out []figure) {
	const near = 24
	for _, at := range numeral.FindAllStringIndex(text, -1) {
		plain := strings.NewReplacer(",", ".", "−", "-", "–", "-").Replace(text[at[0]:at[1]])
		v, err := strconv.ParseFloat(plain, 64)
		if err != nil {
			continue // no float is so large
		}
		f := figure{value: math.Abs(v), exact: strings.Contains(plain, "."), from: at[0], to: at[1], after: text[at[1]:]}
		switch plain[0] {
		case '-':
			f.sign = -1
		case '+':
			f.sign = 1
		}
		f.before = strings.ToLower(text[max(0, at[0]-near):at[0]])
		out = append(out, f)
	}
	return out
}

// is reports whether a figure can stand for a power, whose sign is often left out.
func (f figure) is(power float64) bool {
	return math.Abs(f.value-math.Abs(power)) < 0.005 && f.value != 0 && (f.sign == 0 || f.sign*power > 0)
}

// power reports whether a figure is written as powers are, and no count is.
func (f figure) power() bool {
	return f.sign != 0 && f.exact || inDioptres.MatchString(f.after) || ofSphere.MatchString(f.before) || ofCylinder.MatchString(f.before)
}

// axis reports whether a figure is an axis in degrees, and said to be one.
func (f figure) axis(degrees float64) bool {
	return f.value == degrees && !f.exact && (ofAxis.MatchString(f.before) || inDegrees.MatchString(f.after))
}

// tellsOf gives the words of a text that tell a part of an error: the first of them,
// "" for none.
func tellsOf(text string, truth optics.Rx) string {
	all := figures(text)
	for _, rx := range []optics.Rx{truth, turned(truth)} {
		for i, f := range all {
			if i+1 < len(all) && together(text, f, all[i+1], rx) {
				return text[f.from:all[i+1].to]
			}
			if f.power() && (f.is(rx.Sphere) || f.is(rx.Cyl)) || rx.Cyl != 0 && f.axis(rx.Axis) {
				return text[f.from:f.to]
			}
		}
	}
	return ""
}

// together reports whether two numbers that follow each other are the sphere and the
// cylinder of a lens, or its cylinder and its axis.
func together(text string, f, next figure, rx optics.Rx) bool {
	if rx.Cyl == 0 || !untilItsEnd.MatchString(text[f.to:next.from]) || !f.exact && f.sign == 0 {
		return false
	}
	return f.is(rx.Sphere) && next.is(rx.Cyl) && (next.exact || next.sign != 0) || f.is(rx.Cyl) && next.value == rx.Axis
}

// turned is the same lens with a plus cylinder.
func turned(rx optics.Rx) optics.Rx {
	if rx.Cyl == 0 {
		return rx
	}
	return optics.Rx{Sphere: rx.Sphere + rx.Cyl, Cyl: -rx.Cyl, Axis: optics.Axis(rx.Axis + 90)}
}
