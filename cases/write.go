package cases

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Words puts a fact into the words of a language, for what explains a file to
// those who write one. Nothing that is read depends on them.
type Words func(fact.Fact) string

// Write writes c as a case file: Read gives the same case back. What the file
// left to be worked out by age and light is left so; an eye that was left out
// is written down.
func Write(c *Case) []byte {
	var b bytes.Buffer
	for _, s := range schema() {
		writeSection(&b, s, c)
	}
	return b.Bytes()
}

func writeSection(b *bytes.Buffer, s section, c *Case) {
	begun := s.name == ""
	for _, k := range s.keys {
		value, given := k.write(c)
		if !given || k.path == "patient.manner" && !readyMade(c) {
			continue
		}
		if !begun {
			fmt.Fprintf(b, "\n[%s]\n", s.name)
			begun = true
		}
		fmt.Fprintf(b, "%s = %s\n", s.short(k), value)
	}
}

// short is a key's name within its section.
func (s section) short(k key) string { return strings.TrimPrefix(k.path, s.name+".") }

// Template is a new case with every key explained, ready to be changed.
func Template(words Words) []byte {
	c := templateCase(words)
	var b bytes.Buffer
	for _, f := range []fact.Fact{fact.New("case.new.about"), fact.New("case.new.caution")} {
		b.WriteString(comment(words(f)) + "\n")
	}
	for _, s := range schema() {
		if (!s.fine || s.offered) && (s.language == "" || s.language != c.Language) {
			explain(&b, s, c, words)
		}
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

// explain writes a section with every key explained; what the case leaves out,
// and a section that is only offered, as comments.
func explain(b *bytes.Buffer, s section, c *Case, words Words) {
	if s.name != "" {
		fmt.Fprintf(b, "%s%s[%s]\n", comment(words(s.explained())), offered(s.offered), s.name)
	}
	for i, k := range s.keys {
		value, given := k.write(c)
		if k.about != "" {
			b.WriteString(comment(words(k.explained())))
		} else if i > 0 { // explained with its section, where one is enough of an example
			break
		}
		if !given {
			value = cmp.Or(k.example, value)
		}
		fmt.Fprintf(b, "%s%s = %s\n\n", offered(!given || s.offered), s.short(k), value)
	}
}

// offered begins a line that is there to be taken up, if it is only that.
func offered(only bool) string {
	if only {
		return "# "
	}
	return ""
}

// comment is text as the comment of a file, in lines of at most width characters.
func comment(text string) string {
	var b strings.Builder
	line := "#"
	for _, word := range strings.Fields(text) {
		if utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			b.WriteString(line + "\n")
			line = "#"
		}
		line += " " + word
	}
	b.WriteString(line + "\n")
	return b.String()
}

func templateCase(words Words) *Case {
	c := blank("new")
	if own := words(fact.New("case.new.language")); slices.Contains(languages, own) {
		c.Language = own
	}
	c.Title, c.Level = words(fact.New("case.new.title")), 1
	c.Story = words(fact.New("case.new.story"))
	c.Name, c.Age = "Tobren", 34
	c.Symptoms = words(fact.New("case.new.symptoms"))
	e := c.Of(sitting.Right)
	e.Error = optics.Rx{Sphere: -1, Cyl: -1.25, Axis: 170}
	e.Objective = optics.Rx{Sphere: -0.75, Cyl: -1, Axis: 160}
	return c
}
