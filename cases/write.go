package cases

import (
	"bytes"
	"fmt"
	"strings"

	"conoid/sim/optics"
	"conoid/sim/sitting"
)

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
func Template() []byte {
	c := templateCase()
	var b bytes.Buffer
	b.WriteString("# A case: one imaginary person. Lines that begin with # are explanations, or keys\n# that may be left out.\n#\n# For training only. Nothing here describes or measures a real person.\n\n")
	for _, s := range schema() {
		if s.fine {
			continue
		}
		if s.name != "" {
			fmt.Fprintf(&b, "%s[%s]\n", comment(s.doc), s.name)
		}
		for _, k := range s.keys {
			value, given := k.write(c)
			b.WriteString(comment(k.doc))
			if !given {
				fmt.Fprintf(&b, "# %s = %s\n\n", s.short(k), k.example)
				continue
			}
			fmt.Fprintf(&b, "%s = %s\n\n", s.short(k), value)
		}
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

func comment(doc string) string {
	return "# " + strings.ReplaceAll(doc, "\n", "\n# ") + "\n"
}

func templateCase() *Case {
	c := blank("new")
	c.Title, c.Level = "A new case", 1
	c.Story = "Who this is, and what the harbour says about them."
	c.Name, c.Age = "Tobren", 34
	c.Symptoms = "The notices across the quay have gone soft."
	e := c.Of(sitting.Right)
	e.Error = optics.Rx{Sphere: -1, Cyl: -1.25, Axis: 170}
	e.Objective = optics.Rx{Sphere: -0.75, Cyl: -1, Axis: 175}
	return c
}
